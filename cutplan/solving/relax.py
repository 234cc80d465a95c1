"""Column generation: the pattern LP of a node, solved by pricing every stock length in one pass."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from cutplan.solving.grid import Grid, working_step
from cutplan.solving.limits import Clock
from cutplan.solving.linear import Column, Master, Relaxed
from cutplan.solving.problem import Pattern, Problem

COARSE_CAP = 12_000
"""Steps of the rounded-up grid that finds most columns; the exact grid only finishes."""

TOLERANCE = 1e-7
"""Reduced costs below this share of the dearest bar count as none."""

PREFIX_PATTERNS = 6
"""Further columns a round, read from the same table by leaving out the parts of least worth for their length."""


@dataclass(frozen=True)
class Node:
    """What column generation found for one choice of count ranges.

    ``bound`` is the best Lagrangian bound seen and ``worths`` the duals that
    gave it; ``closed`` tells that it reached ``target`` before the LP ended.
    """

    relaxed: Relaxed
    bound: float
    worths: tuple[float, ...]
    closed: bool


class Generator:
    """The master LP of a problem with its grids; columns found in one node serve all others."""

    def __init__(self, problem: Problem, penalty: int, clock: Clock) -> None:
        self.problem = problem
        self.step = working_step(problem)
        self.grid = Grid.of(problem, self.step, for_bound=False)
        self.bound_grid = Grid.of(problem, self.step, for_bound=True)
        self.master = Master(problem, penalty)
        self.clock = clock
        self._tolerance = max([source.price for source in problem.sources] + [1]) * TOLERANCE
        coarse = working_step(problem, COARSE_CAP)
        self._coarse = Grid.of(problem, coarse, for_bound=False) if coarse > self.step else None
        self.fill_grid = self._coarse or self.grid
        """The grid for filling single bars by worth: never finer than that needs."""
        self.root_ranges = tuple((0, source.most) for source in problem.sources)
        for index in range(len(problem.sources)):
            for i, piece in enumerate(problem.pieces):
                single = tuple(int(i == k) for k in range(len(problem.pieces)))
                most = min(piece.demand, max(problem.sources[index].room, 0) // piece.take) if piece.take else 1
                for n in sorted({1, most}, reverse=True):
                    if n and self.add(index, tuple(n * one for one in single)):
                        break

    def add(self, index: int, pattern: Pattern) -> bool:
        """Add a pattern that may be cut from the source; False when it may not or is there already."""
        if not any(pattern) or not self.problem.allowed(index, pattern):
            return False
        source = self.problem.sources[index]
        return self.master.add(Column(index, pattern, self.problem.cost(source, pattern)))

    def relax(
        self,
        ranges: Sequence[tuple[int, int]],
        demand: Sequence[int],
        target: float,
        most_rounds: int,
    ) -> Node | None:
        """Solve the LP of a node, or stop when its bound reaches ``target``.

        Returns None when a limit struck before any bound was known.
        """
        self.master.set_ranges(ranges)
        self.master.set_demand(demand)
        grid = self._coarse or self.grid
        node: Node | None = None
        bound, worths = float("-inf"), (0.0,) * len(demand)
        for _ in range(most_rounds):
            relaxed = self.master.solve()
            if relaxed is None:
                return node
            self.clock.rounds += 1
            exact = grid is self.grid
            added, lagrangian = self._price(grid, relaxed, ranges, demand, every_source=exact)
            if exact and lagrangian > bound:
                bound, worths = lagrangian, relaxed.worths
            if exact:
                node = Node(relaxed, bound, worths, bound >= target)
                if node.closed or not added or self.clock.struck():
                    return node
            elif not added or (lagrangian >= target and relaxed.missing < 1e-9):
                grid = self.grid
            if self.clock.struck():
                return node
        return node

    def _price(
        self,
        grid: Grid,
        relaxed: Relaxed,
        ranges: Sequence[tuple[int, int]],
        demand: Sequence[int],
        *,
        every_source: bool,
    ) -> tuple[bool, float]:
        worths = relaxed.worths
        tables = grid.tables(worths, np.float64)
        lagrangian = sum(y * d for y, d in zip(worths, demand, strict=True))
        added = False
        for index, (low, high) in enumerate(ranges):
            best = grid.best(index, tables, worths, 1)
            lagrangian += float(best.value) * (high if best.value < 0 else low)
            # Offcuts that are alike would each bring the same column only to sit idle.
            if high == 0 or best.value - relaxed.count_duals[index] >= -self._tolerance:
                continue
            added |= self.add(index, grid.pattern(best, index, tables))
            table = tables.get(grid.classes[index])
            if table is not None and not table.layered and high > 1:
                for passes in range(max(1, table.passes - PREFIX_PATTERNS), table.passes):
                    added |= self._add_if_cheap(index, table.pattern(best.fill, False, passes), relaxed)
        return added, lagrangian

    def _add_if_cheap(self, index: int, pattern: Pattern, relaxed: Relaxed) -> bool:
        source = self.problem.sources[index]
        worth = sum(n * y for n, y in zip(pattern, relaxed.worths, strict=True))
        reduced = self.problem.cost(source, pattern) - worth - relaxed.count_duals[index]
        return reduced < -self._tolerance and self.add(index, pattern)
