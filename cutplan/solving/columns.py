"""Column generation: the pattern LP of a relaxation, solved by pricing every stock length in one pass."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from cutplan.model import Split
from cutplan.solving.blocks import Partition, least_over_blocks
from cutplan.solving.certificate import Priced, denominator, largest_sum, summable, whole
from cutplan.solving.clock import Clock
from cutplan.solving.instance import Instance
from cutplan.solving.knapsack import Table
from cutplan.solving.master import Column, Master, MasterSolution, columns_of
from cutplan.solving.parameters import Parameters
from cutplan.solving.pricing import Best, Grid, working_step
from cutplan.solving.solver_pieces import Pattern
from cutplan.units import Length


@dataclass(frozen=True)
class Duals:
    """What one of each part is worth, and what keeping a left over is charged."""

    duals: tuple[float, ...]
    keep_dual: float

    def midway(self, other: Duals) -> Duals:
        """Half way to others."""
        duals = tuple((a + b) / 2 for a, b in zip(self.duals, other.duals, strict=True))
        return Duals(duals, (self.keep_dual + other.keep_dual) / 2)


@dataclass(frozen=True)
class Relaxation:
    """What column generation found for one choice of count ranges.

    ``bound`` is the best Lagrangian bound seen and ``duals`` the duals that
    gave it, ``least_reduced`` the least reduced cost of each source by them, its count's dual left out.
    ``at_target``: the bound reached ``target`` before the LP ended, so that its solution is no optimum.
    ``priced`` is the same in whole numbers, where bars were priced in those.
    """

    solution: MasterSolution
    bound: float
    duals: tuple[float, ...]
    least_reduced: tuple[float, ...]
    keep_dual: float
    at_target: bool
    priced: Priced | None = None

    def reduced_cost(self, column: Column) -> float:
        """By how much a plan that uses the column costs more than ``bound`` at least."""
        worth = sum(n * y for n, y in zip(column.pattern, self.duals, strict=True) if n)
        return column.cost + self.keep_dual * column.kept - worth - self.least_reduced[column.source]


def unsolved(instance: Instance) -> Relaxation:
    """The relaxation of a node for which a limit struck before its LP was solved."""
    nothing, none = (0.0,) * len(instance.pieces), (0.0,) * len(instance.sources)
    return Relaxation(
        MasterSolution(0.0, (), nothing, none, {}, 0.0, float(sum(instance.demand))), 0.0, nothing, none, 0.0, False
    )


def _lagrangian(
    duals: Sequence[float],
    demand: Sequence[float],
    least_reduced: Sequence[float],
    ranges: Sequence[tuple[int, int]],
    splits: Sequence[Split] = (),
) -> float:
    bars = least_over_blocks(ranges, splits, least_reduced)
    # Bounds are told apart by the last digits, which a plain sum of floats would lose.
    return math.inf if bars is None else math.fsum([*(y * d for y, d in zip(duals, demand, strict=True)), bars])


def worth_by_length(instance: Instance) -> Duals:
    """Parts worth what they take of the bar that costs least for its room."""
    rate = min((source.price / source.room for source in instance.sources if source.room > 0), default=0.0)
    return Duals(tuple(rate * piece.take for piece in instance.pieces), 0.0)


class ColumnGenerator:
    """The master LP of an instance with its grids; columns found in one relaxation serve all others."""

    def __init__(self, instance: Instance, penalty: int, clock: Clock, parameters: Parameters) -> None:
        self.instance = instance
        self.parameters = parameters
        self.step = working_step(instance, parameters.most_steps, parameters.table_cells, parameters.state_steps)
        self.grid = Grid.of(instance, self.step, for_bound=False)
        self.bound_grid = Grid.of(instance, self.step, for_bound=True)
        self.master = Master(instance)
        self.penalty = penalty
        self.master.set_penalty(penalty)
        self.clock = clock
        self.unit = denominator(largest_sum(instance, penalty))
        """The denominator of whole duals."""
        self._capped = instance.flat and len(instance.pieces) >= parameters.capped_pieces
        """May the next relaxation leave parts out for little, to begin with?"""
        self._centre = worth_by_length(instance) if self._capped else None
        """Where there are many parts, duals that bound well and bars are first priced by."""
        self._waiting: list[Column] = []
        """Columns found as a relaxation was done. With new columns, an LP whose bounds are moved is solved all anew."""
        dearest = max([source.price for source in instance.sources] + [1])
        self.margin = min(0.5, dearest * parameters.margin + sum(instance.demand) / self.unit)
        """How far above the dearest cost of use a bound fathoms: what floats, and duals in whole numbers, may lose."""
        self._tolerance, self._fine = dearest * parameters.reduced_cost, dearest * parameters.fine_reduced_cost
        coarse = working_step(instance, parameters.coarse_steps, parameters.table_cells, parameters.state_steps)
        self._coarse = Grid.of(instance, coarse, for_bound=False) if coarse > self.step else None
        self.listing_grid = self.grid if instance.space.adds_up else self.bound_grid
        """The grid for listing sets: none that can be cut is missing in it."""
        on_pieces = instance.space.adds_up_on_pieces
        self._seen_alike = (on_pieces and self.step == instance.divisor) or (
            len(self.bound_grid.views) == 1 and self.grid.alike_to(self.bound_grid.views[0])
        )
        """Are sets seen alike for plans and for bounds, so that one grid brings the columns of both?"""
        self.exact_passes, self.exact_work = 0, 0.0
        """How often all bars were priced for a bound, and how long that kept a processor busy. [s]"""
        self._last_work: dict[tuple[Length, bool], float] = {}
        self._in_whole = bool(self.bound_grid.views) and not on_pieces
        """Are bars priced in whole numbers for bounds, so that a proof need not price them again?"""
        self.fill_grid = self._coarse or self.grid
        """The grid for filling single bars by duals: never finer than that needs."""
        self.root_ranges = tuple((0, source.most) for source in instance.sources)
        # Each part alone, as often as it fits or else once, so that the first LP leaves out no part that can be cut.
        for index in range(len(instance.sources)):
            if clock.struck():
                break
            for i, piece in enumerate(instance.pieces):
                single = instance.single(i)
                most = min(piece.demand, max(instance.sources[index].room, 0) // piece.take) if piece.take else 1
                for n in sorted({1, most}, reverse=True):
                    if n and self.add(index, tuple(n * one for one in single)):
                        break

    @property
    def lists_all(self) -> bool:
        """Does listing miss no pattern, as it may where steps are coarser, and is the cost of each the least it has?"""
        return self.step == self.instance.divisor and self.instance.space.judged

    def add(self, index: int, pattern: Pattern) -> bool:
        """Add a pattern that may be cut from the source; False when it may not or is there already."""
        unknown = self._unknown(index, pattern)
        for column in unknown:
            self.master.add(column)
        return bool(unknown)

    def relax(
        self,
        ranges: Sequence[tuple[int, int]],
        demand: Sequence[float],
        target: float,
        most_rounds: int,
        most_kept: int | None = None,
        splits: Sequence[Split] = (),
    ) -> Relaxation | None:
        """Solve the LP of a relaxation, or stop when its bound reaches ``target``.

        ``splits`` divide the sources' bars into the blocks that are priced and bounded, each for itself.
        ``most_kept`` is how many left overs may still be kept where that counts; None is as many as at the start.

        Returns None when a limit struck before any bound was known.
        """
        if self._capped and self._centre:
            # What a part is worth is seldom much more than its length is: where no more is paid, the first duals lie
            # near the last.
            self._capped = False
            self.master.set_penalties([y * (1 + self.parameters.cap) for y in self._centre.duals])
            first = self._relaxed(ranges, demand, target, most_rounds, most_kept, splits, capped=True)
            self.master.set_penalty(self.penalty)
            if first is None or first.at_target or self.clock.struck():
                return first
        return self._relaxed(ranges, demand, target, most_rounds, most_kept, splits)

    def _relaxed(
        self,
        ranges: Sequence[tuple[int, int]],
        demand: Sequence[float],
        target: float,
        most_rounds: int,
        most_kept: int | None,
        splits: Sequence[Split],
        *,
        capped: bool = False,
    ) -> Relaxation | None:
        """The same at the penalties that the master has; when ``capped``, only until no part is left out."""
        self.master.set_ranges(ranges)
        self.master.set_demand(demand)
        most_kept = (self.instance.most_kept or 0) if most_kept is None else most_kept
        self.master.set_most_kept(most_kept)
        partition = Partition.of(self.instance, splits)
        self.master.set_blocks(partition.ranges)
        exact_grid = self.grid.divided(partition.blocks) if splits else self.grid
        views = self.bound_grid.divided(partition.blocks).views if splits else self.bound_grid.views
        grid = self._coarse if self._coarse and not splits and not capped else exact_grid
        relaxation: Relaxation | None = None
        nothing = (0.0,) * len(partition.blocks)
        bound, best, least_reduced = -math.inf, self._centre or Duals((0.0,) * len(demand), 0.0), nothing
        certified: Priced | None = None
        for number in range(most_rounds):
            solution = self.master.solve(self.clock.seconds_left)
            if solution is None:
                return relaxation
            self.clock.rounds += 1
            self.clock.work += self.master.pivots * len(demand) * self.parameters.pivot_cells
            exact = grid is exact_grid
            duals = Duals(solution.duals, solution.keep_dual)
            # Where the bound lies that near below the target, the last digits say on which side of it the optimum lies.
            near = bound >= target - self.parameters.gap_slack * abs(target)
            tolerance = self._fine if near else self._tolerance
            # Between the duals of the best bound and those at hand, bars are priced that serve for longer.
            between = duals.midway(best) if bound > -math.inf else best
            for at in [between, duals] if exact and (self._centre or bound > -math.inf) else [duals]:
                # Where sets do not add up, a grid for plans sees fewer of them than there are and one for bounds more:
                # both bring columns, the latter alone bound: in whole numbers, so that a proof need not price again.
                columns, reduced_seen = [], []
                in_whole = exact and self._in_whole and summable(self.instance, at.duals, self.unit)
                unit = self.unit if in_whole else None
                for one in (*(() if exact and self._seen_alike else (grid,)), *(views if exact else ())):
                    whole_unit = unit if one.for_bound else None
                    priced = self._price(one, solution, at, ranges, partition, whole_unit, tolerance)
                    if priced is None:
                        return relaxation
                    columns += priced[0]
                    reduced_seen.append(priced[1])
                # Beside views for bounds the grid for plans comes first, and sees too few sets to bound.
                found = tuple(map(min, zip(*(reduced_seen[1:] or reduced_seen), strict=True)))
                shown = Priced(*whole(at.duals, at.keep_dual, unit), found) if unit else None
                found = tuple(least / (unit or 1) for least in found)
                lagrangian = _lagrangian(at.duals, demand, found, ranges, splits) - at.keep_dual * most_kept
                if exact and lagrangian > bound:
                    bound, best, least_reduced, certified = lagrangian, at, found, shown
                if columns or bound >= target:
                    break
            done = self.clock.struck() or number == most_rounds - 1
            done |= capped and solution.missing < self.parameters.missing
            if exact:
                was_near, near = near, bound >= target - self.parameters.gap_slack * abs(target)
                # Where the LP's value is below the target, its optimum is too, and no better bound is to be had.
                done |= bound >= target or (near and solution.value < target)
                done |= not columns and was_near == near
            elif not columns or (lagrangian >= target and solution.missing < self.parameters.missing):
                grid = exact_grid
            if done and exact:
                solution = replace(solution, uses=self.master.uses())
                at_target = bound >= target
                relaxation = Relaxation(
                    solution, bound, best.duals, least_reduced, best.keep_dual, at_target, certified
                )
            self._waiting += columns
            if done:
                if self._centre and exact and list(demand) == list(self.instance.demand):
                    self._centre = best
                return relaxation
            for column in self._waiting:
                self.master.add(column)
            self._waiting.clear()
        return relaxation

    def centred(
        self,
        ranges: Sequence[tuple[int, int]],
        demand: Sequence[int],
        relaxation: Relaxation,
        most_kept: int | None = None,
        splits: Sequence[Split] = (),
    ) -> Relaxation:
        """The relaxation with duals from the midst of all that are optimal, under which fewer patterns seem free.

        Where many duals are optimal, a solution of the LP gives a corner of them. Wanting of each part a hair
        more, by chance, leads to other corners; their mean keeps the bound.
        """
        draw = random.Random(len(demand))
        corners = [(*relaxation.duals, relaxation.keep_dual)]
        for _ in range(self.parameters.corners):
            if self.clock.struck():
                return relaxation
            nearly = [d * (1 + self.parameters.corner_raise * draw.random()) for d in demand]
            other = self.relax(ranges, nearly, math.inf, self.parameters.corner_rounds, most_kept, splits)
            if other is not None:
                corners.append((*other.solution.duals, other.solution.keep_dual))
        *duals, keep_dual = (sum(ys) / len(corners) for ys in zip(*corners, strict=True))
        blocks = Partition.of(self.instance, splits).blocks
        least_reduced = [math.inf] * len(blocks)
        for grid in self.bound_grid.views or (self.grid,):
            view = grid.divided(blocks) if splits else grid
            tables = view.tables(duals, np.float64, readable=False)
            for index in range(len(blocks)):
                least_reduced[index] = min(
                    least_reduced[index], float(view.best(index, tables, duals, 1, keep_dual).value)
                )
        bound = _lagrangian(duals, demand, least_reduced, ranges, splits)
        bound -= keep_dual * ((self.instance.most_kept or 0) if most_kept is None else most_kept)
        if bound < relaxation.bound - self._tolerance * sum(demand):
            return relaxation
        return replace(
            relaxation,
            bound=bound,
            duals=tuple(duals),
            least_reduced=tuple(least_reduced),
            keep_dual=keep_dual,
            priced=None,
        )

    def _price(
        self,
        grid: Grid,
        solution: MasterSolution,
        at: Duals,
        ranges: Sequence[tuple[int, int]],
        partition: Partition,
        unit: int | None,
        tolerance: float,
    ) -> tuple[list[Column], tuple[float, ...]] | None:
        """New columns that pay more than ``tolerance``, found by the duals ``at``.

        And by these, the least reduced cost of each block.
        With a ``unit`` these are whole numbers, in 1/unit of a cost unit. None when time is up before all are priced.
        """
        if not self.clock.lets(self._last_work.get((grid.step, grid.for_bound), 0.0)):
            return None
        began = self.clock.pace.worked()
        dtype: Any = np.float64
        duals: Sequence[Any] = at.duals
        keep_dual: Any = at.keep_dual
        if unit:
            dtype, (duals, keep_dual) = np.int64, whole(at.duals, at.keep_dual, unit)
        # Of a block that is to have no bar it does not matter what they cost.
        least_reduced = [0.0 if partition.is_empty(index) else math.inf for index in range(len(partition.blocks))]
        columns: list[Column] = []
        priced = 0
        for alike in grid.alike():
            blocks = [index for index in alike if not partition.is_empty(index)]
            if priced and self.clock.struck():
                return None
            tables = grid.tables(duals, dtype, unit=unit or 1, blocks=blocks)
            self.clock.work += sum(table.cap + self.parameters.row_cells for table in tables.values()) * len(at.duals)
            for index in blocks:
                if priced and self.clock.struck():
                    return None
                priced += 1
                best = grid.best(index, tables, duals, unit or 1, keep_dual)
                least_reduced[index] = int(best.value) if unit and best.value < math.inf else float(best.value)
                block, within = partition.blocks[index], partition.within[index]
                count_dual = solution.count_duals[block.source] + sum(solution.block_duals[one] for one in within)
                high = min([ranges[block.source][1]] + [partition.ranges[one][1] for one in within])
                if high == 0:
                    continue
                pattern = grid.pattern(best, index, tables)
                paying = [
                    column
                    for column in self._unknown(block.source, pattern, block.kept)
                    if solution.reduced_cost(column, count_dual) < -tolerance
                ]
                columns += paying
                # One offcut needs one good column, not one for every part.
                if high > 1 and (paying or at.duals is not solution.duals):
                    columns += self._others(grid, index, tables, best, pattern, solution.duals, count_dual, tolerance)
        worked = self.clock.pace.worked() - began
        self._last_work[grid.step, grid.for_bound] = worked
        if grid.step == self.step and (grid.for_bound or self._seen_alike):
            self.exact_passes += 1
            self.exact_work += worked
        return columns, tuple(least_reduced)

    def _unknown(self, index: int, pattern: Pattern, kept: bool | None = None) -> list[Column]:
        """A pattern as columns that are not there yet; none when it may not be cut from the source, nor thinned."""
        if any(pattern) and not self.instance.allowed(index, pattern):
            pattern = self.instance.space.thinned(index, pattern)
        if not any(pattern) or not self.instance.allowed(index, pattern):
            return []
        return [column for column in columns_of(self.instance, index, pattern, kept) if not self.master.knows(column)]

    def _others(
        self,
        grid: Grid,
        index: int,
        tables: dict[int, Table],
        best: Best,
        pattern: Pattern,
        duals: Sequence[float],
        count_dual: float,
        tolerance: float,
    ) -> list[Column]:
        """For each part that no column of this round holds yet, the best set with one of it, if it pays."""
        table = tables.get(grid.classes[index])
        if table is None:
            return []
        instance, block = self.instance, grid.blocks[index]
        source, served = instance.sources[block.source], instance.served[block.source]
        given = {i: n for i, n in enumerate(block.least) if n}
        covered = {i for i, n in enumerate(pattern) if n}
        cap = min(grid.free(index), table.cap)
        # A column pays when its parts are worth this much, a kept left over not counted.
        needed = source.price - count_dual + tolerance
        found: dict[Pattern, list[Column]] = {}
        order = sorted((i for i, worth in enumerate(duals) if worth > 0), key=lambda i: (-duals[i], i))
        # Where there are very many parts each round begins with others, so that none waits for ever.
        most = self.parameters.others
        turn = self.clock.rounds * most % len(order) if len(order) > most else 0
        for i in order[turn:] + order[:turn]:
            # What one of them may be cut to can take a while to find out.
            if len(found) >= most or self.clock.struck():
                break
            if i in covered or grid.takes[i] > cap or not served[i]:
                continue
            room = cap - grid.takes[i]
            counts = table.counts(room, best.held and table.tells(table.row(room)))
            counts[i] = counts.get(i, 0) + 1
            for k, n in given.items():
                counts[k] = counts.get(k, 0) + n
            worth = sum(n * (duals[k] - grid.cuts(source, k, 1)) for k, n in counts.items())
            worth -= source.per_setup * len(counts)
            if counts[i] > min(grid.limits[i], block.most[i]) or worth <= needed:
                continue
            other = tuple(counts.get(k, 0) for k in range(len(duals)))
            columns = self._unknown(block.source, other, block.kept) if other != pattern and other not in found else []
            if columns:
                found[other] = columns
                covered.update(counts)
        return [column for columns in found.values() for column in columns]
