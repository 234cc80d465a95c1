"""Looking for a plan inside one case, and deciding a case by listing its patterns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from cutplan.model import Leaf
from cutplan.solving.dive import dives, round_down
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.limits import Limits
from cutplan.solving.linear import Column, whole_bars
from cutplan.solving.listing import patterns_within
from cutplan.solving.quick import Bars
from cutplan.solving.relax import Generator, Node

Ranges: TypeAlias = tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Case:
    """A case of the search: its count ranges, the leaf that bounds it and its LP solution."""

    ranges: Ranges
    bound: int
    leaf: Leaf
    node: Node


@dataclass(frozen=True)
class Closer:
    """The means of one search: its columns, its best plan, its limits."""

    generator: Generator
    incumbent: Incumbent
    limits: Limits

    def round_down(self, node: Node) -> None:
        """Offer the plans that an LP solution rounds to."""
        for plan in round_down(self.generator, node.relaxed):
            self.incumbent.offer(plan)

    def look_within(self, case: Case, effort: float) -> None:
        """Dive, then put an integer program over the columns known so far to work for ``effort``."""
        incumbent = self.incumbent
        for plan in dives(self.generator, case.node.relaxed, case.ranges, incumbent.mark, self.limits.dives):
            incumbent.offer(plan)
            if incumbent.settled(case.bound):
                return
        if incumbent.settled(case.bound) or self.generator.clock.struck():
            return
        columns = self.generator.master.columns
        gap = self._gap(case.node)
        reduced = [(case.node.reduced_cost(column), k) for k, column in enumerate(columns)]
        likely = sorted((cost, k) for cost, k in reduced if cost <= gap)[: self.limits.whole_columns]
        self._solve_whole([columns[k] for _, k in likely], case.ranges, effort)

    def decide(self, case: Case, most: int) -> bool:
        """List every pattern that a cheaper plan of the case could use and decide it by an integer program.

        True when nothing cheaper exists; False when there are more than ``most`` patterns or time is up.
        """
        generator, node = self.generator, case.node
        if generator.step != generator.problem.divisor:
            # Counted in a coarser step, some patterns would be missed.
            return False
        columns = patterns_within(
            generator.problem, generator.grid, node.worths, node.leasts, self._gap(node), most, generator.clock.struck
        )
        # What is found is the cheapest in the list, so either way nothing cheaper is left.
        return columns is not None and self._solve_whole(columns, case.ranges, self.limits.listed_effort)

    def _gap(self, node: Node) -> float:
        """What a useful plan may cost above a bound, with a little for floating point."""
        mark = self.incumbent.mark()
        return mark - self.generator.problem.cost_step - node.bound + 1e-6 * abs(mark)

    def _solve_whole(self, columns: Sequence[Column], ranges: Ranges, effort: float) -> bool:
        """Offer the best whole plan over ``columns``; True when the program ended by itself."""
        seconds = self.generator.clock.seconds_left
        problem = self.generator.problem
        chosen, ended = whole_bars(problem, columns, ranges, self.incumbent.mark(), effort, seconds)
        if chosen is not None:
            self.incumbent.offer([Bars(column.source, column.pattern, count) for column, count in chosen])
        return ended
