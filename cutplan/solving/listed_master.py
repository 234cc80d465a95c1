"""The LP over a list of patterns. It is given those alone that pay, so that the LP of a node takes milliseconds.

Whatever duals it ends with, going through the list tells what they bound: for that no pattern needs to be in the LP.
Bars whose left over is kept need not be listed: those are priced by a knapsack.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np
from ortools.linear_solver import pywraplp

from cutplan.solving.blocks import least_over_blocks
from cutplan.solving.clock import Clock
from cutplan.solving.instance import Block, Instance
from cutplan.solving.kept_bars import KeptBars, beside_listed
from cutplan.solving.knapsack import Array
from cutplan.solving.master import ONE_BY_ONE, WAYS, Column, solved
from cutplan.solving.parameters import Parameters


@dataclass(frozen=True)
class Rows:
    """The patterns listed, side by side, those of one source after those of another."""

    source: Array
    counts: Array
    costs: Array
    kept: Array

    @classmethod
    def of(cls, instance: Instance, columns: Sequence[Column]) -> Rows:
        """Of columns in the order of their sources."""
        patterns = np.array([column.pattern for column in columns], dtype=np.int64)
        return cls(
            np.array([column.source for column in columns], dtype=np.int64),
            # Told apart by a part or two, patterns are gone through part by part.
            np.asfortranarray(patterns.reshape(len(columns), len(instance.pieces))),
            np.array([column.cost for column in columns], dtype=np.int64),
            np.array([column.kept for column in columns], dtype=bool),
        )

    @cached_property
    def held(self) -> Array:
        """The parts of each below one another, a row for its first, second and so on.

        One for which there is no more has a number beyond all parts.
        """
        which, part = np.nonzero(self.counts)
        copies = self.counts[which, part]
        which, part = np.repeat(which, copies), np.repeat(part, copies)
        place = np.arange(len(which)) - np.searchsorted(which, which)
        found = np.full((int(place.max(initial=-1)) + 1, len(self.costs)), self.counts.shape[1])
        found[place, which] = part
        return found

    def worth(self, duals: Array) -> Array:
        """What the parts of each are worth."""
        # A bar holds few of all parts, so that adding those up takes less than a product with all duals.
        padded = np.append(duals, duals.dtype.type(0))
        total = np.zeros(len(self.costs), dtype=duals.dtype)
        for row in self.held:
            total += padded[row]
        return total

    def within(self, block: Block) -> Array:
        """Which of them are in a block?"""
        found: Array = self.kept.copy() if block.kept else np.ones(len(self.costs), dtype=bool)
        found &= self.source == block.source
        for piece, least in enumerate(block.least):
            if least:
                found &= self.counts[:, piece] >= least
        return found

    def least_of_sources(self, sources: int, values: Array) -> list[Any]:
        """The least value among the patterns of each source, infinite where it has none."""
        ends = np.searchsorted(self.source, np.arange(sources + 1)).tolist()
        return [values[begin:end].min() if begin < end else math.inf for begin, end in pairwise(ends)]


@dataclass(frozen=True)
class ListedSolution:
    """The best bound seen in an LP and the duals that gave it; ``uses`` of its columns, none where that is enough."""

    bound: float
    duals: tuple[float, ...]
    keep_dual: float
    block_duals: tuple[float, ...]
    uses: tuple[float, ...]


@dataclass(frozen=True)
class _Duals:
    """What the LP says parts, bars of each source and of each block are worth, and what keeping a left over costs.

    ``kept`` is what a bar of a source whose left over is kept is worth beyond others.
    """

    parts: Array
    bars: Array
    blocks: Sequence[float]
    kept: Mapping[int, float]
    keep: float


class ListedMaster:
    """The LP over a list, and over ``kept_bars`` if these are not listed; ``columns`` are those it was given so far.

    Whatever may be missing, parts and bars alike, is so at a penalty, so that each node has a solution.
    """

    def __init__(
        self,
        instance: Instance,
        listed: Sequence[Column],
        rows: Rows,
        ranges: Sequence[tuple[int, int]],
        penalty: int,
        parameters: Parameters,
        kept_bars: KeptBars | None = None,
    ) -> None:
        self.columns: list[Column] = []
        self._instance, self._listed, self._rows, self._kept_bars = instance, listed, rows, kept_bars
        self._ranges, self._parameters = ranges, parameters
        dearest = max([source.price for source in instance.sources] + [1])
        # The tolerances of an LP solver are absolute figures: the dearest bar costs 100, whatever the currency.
        self._scale = dearest / 100
        self._tolerance = dearest * parameters.reduced_cost / self._scale
        self._penalty = penalty / self._scale
        self._costs = rows.costs / self._scale
        self._solver: Any = pywraplp.Solver.CreateSolver("GLOP")
        self._solver.SetNumThreads(1)
        self._infinity = self._solver.infinity()
        self._objective = self._solver.Objective()
        self._objective.SetMinimization()
        self._parts = [self._solver.Constraint(float(piece.demand), self._infinity) for piece in instance.pieces]
        self._bars = [self._solver.Constraint(float(low), float(high)) for low, high in ranges]
        self._kept = self._solver.Constraint(0.0, float(instance.most_kept or 0)) if instance.kept_counts else None
        for row in self._parts:
            self._let_miss(row, 1.0)
        for row in self._bars:
            self._let_miss(row, 1.0, -1.0)
        self._variables: list[Any] = []
        self._given: list[int] = []
        """The places of these among those listed; -1 of a bar whose left over is kept."""
        self._known: set[Column] = set()
        self._kept_rows = Rows.of(instance, ())
        self._is_given = np.zeros(len(listed), dtype=bool)
        # A row for each block of the node at hand, in their order: nodes solved one after another share the first.
        self._blocks: list[tuple[Any, Block, Array]] = []

    def give(self, duals: Sequence[float], kept: Sequence[Column] = ()) -> None:
        """Give it the patterns of each source that seem to cost least by some duals, and of those that are ``kept``."""
        most = self._parameters.listed_begun
        reduced = self._costs - self._rows.worth(np.array(duals) / self._scale)
        worth = [column.cost - sum(n * y for n, y in zip(column.pattern, duals, strict=True)) for column in kept]
        for index in range(len(self._instance.sources)):
            own = np.flatnonzero(self._rows.source == index)
            for number in own[np.argsort(reduced[own], kind="stable")][:most].tolist():
                self._add(number)
            for number in sorted((k for k, c in enumerate(kept) if c.source == index), key=worth.__getitem__)[:most]:
                self._add_kept(kept[number])

    def solve(
        self, blocks: Mapping[Block, tuple[int, int]], target: float, clock: Clock, *, guess: bool = False
    ) -> ListedSolution | None:
        """Solve the LP with so many bars of some blocks, or stop at a bound of ``target``; None when time is up.

        Where a ``guess`` is enough, of bars whose left over is kept those known by now are taken for all.
        """
        self._set_blocks(blocks)
        # Bars of these are not listed.
        apart = {block: numbers for block, numbers in blocks.items() if block.kept and self._kept_bars}
        best: ListedSolution | None = None
        while solved(self._solver, clock.seconds_left, (ONE_BY_ONE, *WAYS)):
            pivots = int(self._solver.iterations()) * self._parameters.pivot_cells
            cells = len(self._listed) * self._parameters.listed_node_cells
            clock.work += (pivots + cells) * len(self._parts)
            duals = self._duals_at_hand(blocks)
            beyond = self._beyond(duals)
            reduced = beyond - duals.bars[self._rows.source]
            paying = np.flatnonzero((reduced < -self._tolerance) & ~self._is_given)
            kept: Sequence[Column] = ()
            # Below that value no bound is higher, so that the other bars need not be priced for it.
            if guess or not self._kept_bars or not len(paying) or self._objective.Value() * self._scale >= target:
                least = self._least_known(duals)
                if self._kept_bars and not guess:
                    clock.work += self._kept_bars.cells * len(self._parts)
                    least, kept = self._least_of_kept(self._kept_bars, duals, apart)
                priced = self._bounded(blocks, apart, duals, beyond, least)
                if best is None or priced.bound > best.bound:
                    best = priced
                if best.bound >= target:
                    return best
                if not len(paying) and not kept:
                    return replace(best, uses=() if guess else self._uses(reduced))
            for number in paying[np.argsort(reduced[paying], kind="stable")][: self._parameters.listed_more].tolist():
                self._add(number)
            for column in kept:
                self._add_kept(column)
        return None

    def _duals_at_hand(self, blocks: Mapping[Block, tuple[int, int]]) -> _Duals:
        of_blocks = [row.dual_value() for row, *_ in self._blocks[: len(blocks)]]
        return _Duals(
            parts=np.array([row.dual_value() for row in self._parts]),
            bars=np.array([row.dual_value() for row in self._bars]),
            blocks=of_blocks,
            kept={block.source: dual for block, dual in zip(blocks, of_blocks, strict=True) if block.kept},
            keep=max(0.0, -self._kept.dual_value()) if self._kept is not None else 0.0,
        )

    def _beyond(self, duals: _Duals) -> Array:
        """What each pattern listed costs more than its parts and its place in blocks are worth."""
        beyond: Array = self._costs + duals.keep * self._rows.kept - self._rows.worth(duals.parts)
        for (*_, within), dual in zip(self._blocks, duals.blocks, strict=False):
            if dual:
                np.subtract(beyond, dual, out=beyond, where=within)
        return beyond

    def _least_known(self, duals: _Duals) -> dict[int, float]:
        """Of each source the least that a bar known by now whose left over is kept costs more than its parts."""
        rows = self._kept_rows
        beyond = rows.costs / self._scale + duals.keep - rows.worth(duals.parts)
        return {k: float(beyond[rows.source == k].min()) for k in np.unique(rows.source).tolist()}

    def _least_of_kept(
        self, kept_bars: KeptBars, duals: _Duals, apart: Mapping[Block, tuple[int, int]]
    ) -> tuple[dict[int, float], list[Column]]:
        """The same of all there can be, and those of them that pay and are not known yet."""
        scale, pay = self._scale, []
        worths, keep_dual = duals.parts.tolist(), duals.keep
        best = kept_bars.best([worth * scale for worth in worths], keep_dual * scale, apart)
        for index, (_, column) in best.items():
            reduced = column.cost / scale + keep_dual - duals.bars[index] - duals.kept.get(index, 0.0)
            reduced -= sum(n * worths[i] for i, n in enumerate(column.pattern) if n)
            if reduced < -self._tolerance and column not in self._known:
                pay.append(column)
        return {index: value / scale for index, (value, _) in best.items()}, pay

    def _bounded(
        self,
        blocks: Mapping[Block, tuple[int, int]],
        apart: Mapping[Block, tuple[int, int]],
        duals: _Duals,
        beyond: Array,
        kept: Mapping[int, float],
    ) -> ListedSolution:
        """What the duals at hand bound."""
        bound = float(duals.parts @ self._instance.demand) - duals.keep * (self._instance.most_kept or 0)
        for (block, (low, high)), dual in zip(blocks.items(), duals.blocks, strict=True):
            if dual and block not in apart:
                bound += dual * (low if dual > 0 else high)
        listed = self._rows.least_of_sources(len(self._bars), beyond)
        bars = least_over_blocks(self._ranges, *beside_listed(apart, listed, kept))
        scale = self._scale
        return ListedSolution(
            math.inf if bars is None else (bound + bars) * scale,
            tuple((duals.parts * scale).tolist()),
            duals.keep * scale,
            tuple(dual * scale for dual in duals.blocks),
            (),
        )

    def _uses(self, reduced: Array) -> tuple[float, ...]:
        """How much the optimum uses each column."""
        # At the optimum a column that costs more than it is worth is not used. Reading a value takes long.
        listed = [number < 0 or reduced[number] <= self._tolerance for number in self._given]
        return tuple(
            variable.solution_value() if may_be else 0.0
            for variable, may_be in zip(self._variables, listed, strict=True)
        )

    def _let_miss(self, row: Any, *signs: float) -> None:
        for sign in signs:
            variable = self._solver.NumVar(0.0, self._infinity, "")
            row.SetCoefficient(variable, sign)
            self._objective.SetCoefficient(variable, self._penalty)

    def _add(self, number: int) -> None:
        column = self._listed[number]
        self._is_given[number] = True
        variable = self._variable(column, number)
        if column.kept and self._kept is not None:
            self._kept.SetCoefficient(variable, 1.0)
        for row, _, within in self._blocks:
            if within[number]:
                row.SetCoefficient(variable, 1.0)

    def _add_kept(self, column: Column) -> None:
        self._known.add(column)
        variable = self._variable(column, -1)
        for row, block, _ in self._blocks:
            if block.kept and block.source == column.source:
                row.SetCoefficient(variable, 1.0)
        if self._kept is not None:
            self._kept.SetCoefficient(variable, 1.0)
        self._kept_rows = Rows.of(self._instance, [one for one in self.columns if one.kept])

    def _variable(self, column: Column, number: int) -> Any:
        variable = self._solver.NumVar(0.0, self._infinity, "")
        for row, n in zip(self._parts, column.pattern, strict=True):
            if n:
                row.SetCoefficient(variable, float(n))
        self._bars[column.source].SetCoefficient(variable, 1.0)
        self._objective.SetCoefficient(variable, column.cost / self._scale)
        self.columns.append(column)
        self._variables.append(variable)
        self._given.append(number)
        return variable

    def _set_blocks(self, blocks: Mapping[Block, tuple[int, int]]) -> None:
        """Set least and most bars of some blocks, on the rows of others: a node has few, a search very many."""
        for place, (block, (low, high)) in enumerate(blocks.items()):
            if place == len(self._blocks):
                row = self._solver.Constraint(-self._infinity, self._infinity)
                self._let_miss(row, 1.0, -1.0)
                self._blocks.append((row, block, self._filled(row, block)))
            row, before, within = self._blocks[place]
            if before != block:
                self._blocks[place] = row, block, self._filled(row, block, (before, within))
            row.SetBounds(float(low), float(high))
        for row, *_ in self._blocks[len(blocks) :]:
            row.SetBounds(-self._infinity, self._infinity)

    def _filled(self, row: Any, block: Block, before: tuple[Block, Array] | None = None) -> Array:
        """Give a row the columns of a block, in place of those of the one ``before``."""
        within = self._rows.within(block)
        changed = within if before is None else within != before[1]
        given = np.array(self._given, dtype=np.int64)
        listed = np.flatnonzero(given >= 0)
        for place in listed[changed[given[listed]]].tolist():
            row.SetCoefficient(self._variables[place], float(within[given[place]]))
        kept = {one.source: float(one is block) for one in (before[0] if before else block, block) if one.kept}
        for place in np.flatnonzero(given < 0).tolist() if kept else ():
            if self.columns[place].source in kept:
                row.SetCoefficient(self._variables[place], kept[self.columns[place].source])
        return within
