"""The LP over a list of patterns. It is given those alone that pay, so that the LP of a node takes milliseconds.

Whatever duals it ends with, going through the list tells what they bound: for that no pattern needs to be in the LP.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from ortools.linear_solver import pywraplp

from cutplan.solving.blocks import least_over_blocks
from cutplan.solving.clock import Clock
from cutplan.solving.instance import Block, Instance
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


class ListedMaster:
    """The LP over a list; ``columns`` are those it was given so far.

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
    ) -> None:
        self.columns: list[Column] = []
        self._instance, self._listed, self._rows = instance, listed, rows
        self._ranges, self._parameters = ranges, parameters
        dearest = max([source.price for source in instance.sources] + [1])
        # The tolerances of an LP solver are absolute figures: the dearest bar costs 100, whatever the currency.
        self._scale = dearest / 100
        self._tolerance = dearest * parameters.reduced_cost / self._scale
        self._penalty = penalty / self._scale
        self._costs, self._counts = rows.costs / self._scale, rows.counts.astype(float)
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
        self._is_given = np.zeros(len(listed), dtype=bool)
        # A row for each block of the node at hand, in their order: nodes solved one after another share the first.
        self._blocks: list[tuple[Any, Block, Array]] = []

    def give(self, duals: Sequence[float]) -> None:
        """Give it the patterns of each source that seem to cost least by some duals."""
        reduced = self._costs - self._counts @ (np.array(duals) / self._scale)
        for index in range(len(self._instance.sources)):
            own = np.flatnonzero(self._rows.source == index)
            for number in own[np.argsort(reduced[own], kind="stable")][: self._parameters.listed_begun].tolist():
                self._add(number)

    def solve(self, blocks: Mapping[Block, tuple[int, int]], target: float, clock: Clock) -> ListedSolution | None:
        """Solve the LP with so many bars of some blocks, or stop at a bound of ``target``; None when time is up."""
        self._set_blocks(blocks)
        best: ListedSolution | None = None
        while solved(self._solver, clock.seconds_left, (ONE_BY_ONE, *WAYS)):
            pivots = int(self._solver.iterations()) * self._parameters.pivot_cells
            cells = len(self._listed) * self._parameters.listed_node_cells
            clock.work += (pivots + cells) * len(self._parts)
            priced, reduced = self._priced(blocks)
            if best is None or priced.bound > best.bound:
                best = priced
            if best.bound >= target:
                return best
            paying = np.flatnonzero((reduced < -self._tolerance) & ~self._is_given)
            if not len(paying):
                # At the optimum a column that costs more than it is worth is not used. Reading a value takes long.
                may_be = (reduced[self._given] <= self._tolerance).tolist()
                uses = tuple(
                    variable.solution_value() if used else 0.0
                    for variable, used in zip(self._variables, may_be, strict=True)
                )
                return ListedSolution(best.bound, best.duals, best.keep_dual, best.block_duals, uses)
            most = self._parameters.listed_more
            for number in paying[np.argsort(reduced[paying], kind="stable")][:most].tolist():
                self._add(number)
        return None

    def _priced(self, blocks: Mapping[Block, tuple[int, int]]) -> tuple[ListedSolution, Array]:
        """What the duals at hand bound, and what each pattern costs more than it is worth by them."""
        instance, rows = self._instance, self._rows
        duals = np.array([row.dual_value() for row in self._parts])
        block_duals = [row.dual_value() for row, *_ in self._blocks[: len(blocks)]]
        keep_dual = max(0.0, -self._kept.dual_value()) if self._kept is not None else 0.0
        reduced = self._costs + keep_dual * rows.kept - self._counts @ duals
        bound = float(duals @ instance.demand) - keep_dual * (instance.most_kept or 0)
        for (*_, within), dual, (low, high) in zip(self._blocks, block_duals, blocks.values(), strict=False):
            if dual:
                reduced -= dual * within
                bound += dual * (low if dual > 0 else high)
        bars = least_over_blocks(self._ranges, (), rows.least_of_sources(len(self._bars), reduced))
        scale = self._scale
        priced = ListedSolution(
            math.inf if bars is None else (bound + bars) * scale,
            tuple((duals * scale).tolist()),
            keep_dual * scale,
            tuple(dual * scale for dual in block_duals),
            (),
        )
        return priced, reduced - np.array([row.dual_value() for row in self._bars])[rows.source]

    def _let_miss(self, row: Any, *signs: float) -> None:
        for sign in signs:
            variable = self._solver.NumVar(0.0, self._infinity, "")
            row.SetCoefficient(variable, sign)
            self._objective.SetCoefficient(variable, self._penalty)

    def _add(self, number: int) -> None:
        column = self._listed[number]
        variable = self._solver.NumVar(0.0, self._infinity, "")
        for row, n in zip(self._parts, column.pattern, strict=True):
            if n:
                row.SetCoefficient(variable, float(n))
        self._bars[column.source].SetCoefficient(variable, 1.0)
        if column.kept and self._kept is not None:
            self._kept.SetCoefficient(variable, 1.0)
        for row, _, within in self._blocks:
            if within[number]:
                row.SetCoefficient(variable, 1.0)
        self._objective.SetCoefficient(variable, float(self._costs[number]))
        self.columns.append(column)
        self._variables.append(variable)
        self._given.append(number)
        self._is_given[number] = True

    def _set_blocks(self, blocks: Mapping[Block, tuple[int, int]]) -> None:
        """Set least and most bars of some blocks, on the rows of others: a node has few, a search very many."""
        for place, (block, (low, high)) in enumerate(blocks.items()):
            if place == len(self._blocks):
                row = self._solver.Constraint(-self._infinity, self._infinity)
                self._let_miss(row, 1.0, -1.0)
                self._blocks.append((row, block, self._filled(row, block, None)))
            row, before, within = self._blocks[place]
            if before != block:
                self._blocks[place] = row, block, self._filled(row, block, within)
            row.SetBounds(float(low), float(high))
        for row, *_ in self._blocks[len(blocks) :]:
            row.SetBounds(-self._infinity, self._infinity)

    def _filled(self, row: Any, block: Block, before: Array | None) -> Array:
        within = self._rows.within(block)
        changed = within if before is None else within != before
        given = np.array(self._given, dtype=np.int64)
        for place in np.flatnonzero(changed[given]).tolist():
            row.SetCoefficient(self._variables[place], float(within[given[place]]))
        return within
