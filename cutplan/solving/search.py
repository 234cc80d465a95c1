"""The search for one group: quick plans, the pattern LP, branching on bar counts, and the close-out by listing.

Every closed case leaves integer duals behind; together they are the proof that
the checker rechecks. Cases that counts alone cannot close are listed by reduced
cost; what that shows is called "by search".
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from cutplan.model import Leaf, Status
from cutplan.solving.bound import denominator, prove, round_up
from cutplan.solving.dive import dive, round_down
from cutplan.solving.limits import Clock, Limits
from cutplan.solving.linear import Column, Relaxed, whole_bars
from cutplan.solving.listing import patterns_within
from cutplan.solving.problem import Problem
from cutplan.solving.quick import Bars, covers, first_fit, preferences, tidy, total_cost
from cutplan.solving.relax import Generator, Node, nothing_known

Ranges: TypeAlias = tuple[tuple[int, int], ...]


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What the search knows at its end; ``plan`` is None when no plan was found.

    ``bound`` is what ``leaves`` prove; ``by_search`` that nothing cheaper than
    the plan exists although the leaves show less.
    """

    plan: list[Bars] | None
    cost: int
    bound: int
    leaves: tuple[Leaf, ...]
    unit: int
    step: int
    by_search: bool
    stopped_by: str
    rounds: int
    patterns: int
    nodes: int

    @property
    def status(self) -> Status:
        """Which of the three statuses holds."""
        if self.plan is not None and self.bound >= self.cost:
            return Status.RECHECKED
        return Status.BY_SEARCH if self.by_search else Status.NOT_PROVEN


@dataclass
class _Open:
    """A case still open: its ranges, the leaf that bounds it and its LP solution."""

    ranges: Ranges
    bound: int
    leaf: Leaf
    node: Node


class Search:
    """One run on one problem; :meth:`run` is its face.

    ``enough`` is a cost from which on a plan is of no use, so that proving a
    bound that high ends the search too.
    """

    def __init__(
        self,
        problem: Problem,
        limits: Limits,
        clock: Clock,
        say: Callable[[str], None] | None = None,
        enough: int | None = None,
    ) -> None:
        self.problem = problem
        self.limits = limits
        self.clock = clock
        self._say = say or (lambda text: None)
        self.plan: list[Bars] | None = None
        self.cost = 0
        # Costs come in steps, so that below ``enough`` and below the next step after it are the same.
        self._enough = None if enough is None else round_up(problem, enough)
        dearest = max([source.price for source in problem.sources] + [1])
        self._ceiling = dearest * (sum(problem.demand) + 1)
        self.unit = 1
        self.generator: Generator | None = None

    def run(self) -> Outcome:
        """Search until proven or a limit strikes."""
        leaves: tuple[Leaf, ...] = ()
        bound, by_search = 0, False
        try:
            self._quick_plans()
            leaves, bound, by_search = self._branch()
        except KeyboardInterrupt:
            if self.plan is None:
                raise
            self.clock.stopped_by = "user"
        if not leaves:
            leaves = (self._trivial_leaf(),)
            bound = 0
        generator = self.generator
        return Outcome(
            plan=self.plan,
            cost=self.cost,
            bound=min(bound, self.cost) if self.plan is not None else bound,
            leaves=leaves,
            unit=self.unit,
            step=generator.step if generator else self.problem.divisor,
            by_search=by_search,
            stopped_by=self.clock.stopped_by,
            rounds=self.clock.rounds,
            patterns=len(generator.master.columns) if generator else 0,
            nodes=self.clock.nodes,
        )

    def _trivial_leaf(self) -> Leaf:
        """Duals of nothing, which prove that no plan costs less than nothing."""
        ranges = tuple((0, source.most) for source in self.problem.sources)
        return Leaf(ranges=ranges, duals=(0,) * len(self.problem.pieces))

    def _mark(self) -> int:
        """The cost that a plan must stay below to be of use."""
        marks = [self.cost] if self.plan is not None else []
        return min(marks + ([self._enough] if self._enough is not None else []), default=self._ceiling)

    def _settled(self, bound: int) -> bool:
        """Does the bound of a case leave no room for a useful plan?"""
        return bound >= self._mark()

    def _offer(self, plan: Sequence[Bars] | None) -> None:
        """Keep a plan when it is whole and cheaper than the best so far."""
        if plan is None or not covers(self.problem, plan):
            return
        tidied = tidy(self.problem, plan)
        cost = total_cost(self.problem, tidied)
        if self.plan is None or cost < self.cost:
            self.plan, self.cost = tidied, cost

    def _quick_plans(self) -> None:
        most = [source.most for source in self.problem.sources]
        for preference in preferences(self.problem):
            self._offer(first_fit(self.problem, preference, self.problem.demand, most))

    def _branch(self) -> tuple[tuple[Leaf, ...], int, bool]:
        problem = self.problem
        # Leaving a part out must cost more than any plan of use, or the LP would rather do that.
        penalty = 2 * self._mark()
        self.unit = denominator(penalty * sum(problem.demand))
        generator = self.generator = Generator(problem, penalty, self.clock)
        for bars in self.plan or ():
            generator.add(bars.source, bars.pattern)
        closed: list[tuple[int, Leaf]] = []
        stuck: list[_Open] = []
        heap: list[tuple[int, int, _Open]] = []
        order = 0

        def settle(ranges: Ranges) -> None:
            """Bound a case and put it where it belongs."""
            nonlocal order
            order += 1
            self.clock.nodes += 1
            node = generator.relax(ranges, problem.demand, self._mark() - problem.cost_step + 0.5, self.limits.rounds)
            if node is None:
                leaf = replace(self._trivial_leaf(), ranges=ranges)
                stuck.append(_Open(ranges, 0, leaf, nothing_known(problem)))
                return
            bound, leaf = prove(generator.bound_grid, node.worths, ranges, self.unit)
            if not self._settled(bound):
                self._whole(node.relaxed)
            if self._settled(bound):
                closed.append((bound, leaf))
            else:
                heapq.heappush(heap, (bound, order, _Open(ranges, bound, leaf, node)))

        settle(generator.root_ranges)
        if heap:
            self._search_within(heap[0][2])
        while heap:
            bound, _, case = heapq.heappop(heap)
            if self._settled(bound):
                closed.append((bound, case.leaf))
                continue
            if self.clock.nodes >= self.limits.nodes:
                self.clock.stopped_by = self.clock.stopped_by or "node limit"
            counts = self._counts(case.node.relaxed)
            if not self._stopped() and not self._fractional(case.ranges, counts):
                self._search_within(case)
                if self._settled(bound):
                    closed.append((bound, case.leaf))
                    continue
            children = [] if self._stopped() else self._split(case.ranges, counts)
            if not children:
                stuck.append(case)
            for ranges in children:
                settle(ranges)
            self._say(f"{self.clock.nodes} cases, {len(heap)} open")
        # A plan found late may close what was put aside before.
        by_search = bool(stuck) and self.plan is not None and self._list_out(stuck)
        # Measured against ``enough`` alone, a case may still hold a plan between that and the cost found.
        by_search = by_search and self.cost == self._mark()
        everything = closed + [(case.bound, case.leaf) for case in stuck]
        return tuple(leaf for _, leaf in everything), min(bound for bound, _ in everything), by_search

    def _whole(self, relaxed: Relaxed) -> None:
        for plan in round_down(self._made(), relaxed):
            self._offer(plan)

    def _made(self) -> Generator:
        assert self.generator is not None
        return self.generator

    def _stopped(self) -> bool:
        return bool(self.clock.stopped_by) or self.clock.struck()

    def _search_within(self, case: _Open) -> None:
        """Look for a plan in a case: dive, then an integer program over the columns known so far."""
        self._offer(dive(self._made(), case.node.relaxed, case.ranges))
        if not self._settled(case.bound):
            self._whole_program(case)

    def _whole_program(self, case: _Open) -> None:
        """An integer program over the known columns that a cheaper plan could use, the likeliest first."""
        columns = self._made().master.columns
        gap = self._gap(case)
        reduced = [(case.node.reduced_cost(column), k) for k, column in enumerate(columns)]
        likely = sorted((cost, k) for cost, k in reduced if cost <= gap)[: self.limits.whole_columns]
        self._solve_whole([columns[k] for _, k in likely], case.ranges, self.limits.whole_nodes)

    def _gap(self, case: _Open) -> float:
        """What a useful plan may cost above the bound of a case, with a little for floating point."""
        return self._mark() - self.problem.cost_step - case.node.bound + 1e-6 * abs(self._mark())

    def _solve_whole(self, columns: Sequence[Column], ranges: Ranges, nodes: int) -> tuple[bool, bool]:
        """Whether an integer program over ``columns`` gave a plan, and whether it ended by itself."""
        chosen, ended = whole_bars(
            self.problem, columns, ranges, self.problem.demand, self._mark(), nodes, self.clock.seconds_left
        )
        if chosen is not None:
            self._offer([Bars(column.source, column.pattern, count) for column, count in chosen])
        return chosen is not None, ended

    def _counts(self, relaxed: Relaxed) -> list[float]:
        """How many bars of each source an LP solution uses."""
        counts = [0.0] * len(self.problem.sources)
        for column, use in zip(self._made().master.columns, relaxed.uses, strict=False):
            counts[column.source] += use
        return counts

    @staticmethod
    def _fractional(ranges: Ranges, counts: Sequence[float]) -> list[int]:
        """Sources whose count is not whole and can still be split."""
        return [
            s
            for s, (count, (low, high)) in enumerate(zip(counts, ranges, strict=True))
            if 1e-5 < count % 1.0 < 1 - 1e-5 and low < high
        ]

    def _split(self, ranges: Ranges, counts: Sequence[float]) -> list[Ranges]:
        """Cases that together cover this one: by a fractional count, else around the whole counts found."""
        price = [source.price for source in self.problem.sources]
        fractional = self._fractional(ranges, counts)
        if fractional:
            s = min(fractional, key=lambda s: (round(abs(counts[s] % 1.0 - 0.5), 6), -price[s], s))
            return _around(ranges, s, int(counts[s]), None)
        wide = [s for s, (low, high) in enumerate(ranges) if low < high]
        if not wide:
            return []
        s = max(wide, key=lambda s: (price[s], -s))
        return _around(ranges, s, round(counts[s]), round(counts[s]))

    def _list_out(self, stuck: list[_Open]) -> bool:
        """Try to show by listing that no stuck case holds a cheaper plan; True when all were decided."""
        return not self._stopped() and all(self._list_case(case) for case in stuck) and not self._stopped()

    def _list_case(self, case: _Open) -> bool:
        generator = self._made()
        if generator.step != self.problem.divisor:
            return False
        while not self._settled(case.bound):
            mark = self._mark()
            node, most = case.node, self.limits.listed
            columns = patterns_within(
                self.problem, generator.grid, node.worths, node.leasts, self._gap(case), most, self._stopped
            )
            if columns is None:
                return False
            found, ended = self._solve_whole(columns, case.ranges, self.limits.whole_nodes * 50)
            if ended and (not found or self._mark() < mark):
                # Either nothing cheaper exists, or the cheapest has just been found.
                return True
            if self._mark() == mark:
                return False
        return True


def _around(ranges: Ranges, s: int, below: int, at: int | None) -> list[Ranges]:
    """Split the range of source ``s``: up to ``below`` and above, or under, at and over ``at``."""
    low, high = ranges[s]
    parts = [(low, below), (below + 1, high)] if at is None else [(low, at - 1), (at, at), (at + 1, high)]
    return [(*ranges[:s], part, *ranges[s + 1 :]) for part in parts if part[0] <= part[1]]
