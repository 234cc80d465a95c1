"""Looking for a plan inside one node, and deciding a node by listing its patterns."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from cutplan.solving.by_pieces import Listed, listed, put_together
from cutplan.solving.columns import ColumnGenerator, Relaxation
from cutplan.solving.cost_steps import dearest_below, next_cost
from cutplan.solving.dive import DiveNode, PartialPlan, dives, round_down
from cutplan.solving.enumeration import enumerate_patterns, most_waste
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.integer_master import may_ask, whole_bars, whole_pieces
from cutplan.solving.master import Column
from cutplan.solving.neighbourhoods import replan_bars
from cutplan.solving.nodes import Node, Ranges
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse, covers, may_still_keep, total_cost


@dataclass(frozen=True)
class NodeCloser:
    """The means of one search: its columns, its best plan, its parameters."""

    generator: ColumnGenerator
    incumbent: Incumbent
    parameters: Parameters

    def round_down(self, relaxation: Relaxation) -> None:
        """Offer the plans that an LP solution rounds to."""
        for plan in round_down(self.generator, relaxation.solution):
            self.incumbent.offer(plan)

    def look_within(
        self, node: Node, dives_made: int, effort: float, *, thorough: bool, counts: Sequence[int] | None = None
    ) -> None:
        """Dive, then put an integer program over the columns known so far to work for ``effort``.

        ``thorough`` dives list patterns of few parts where all that could be of use are too many. With ``counts`` no
        more bars of each source are used than these.
        """
        incumbent, ranges, relaxation = self.incumbent, node.ranges, node.relaxation
        if counts is not None:
            # An LP that has to use so many bars wastes what it likes; one that may do with fewer shows what is spare.
            ranges = tuple((0, count) for count in counts)
            relaxation = self._at_most(ranges) or relaxation
        finish = self._finish_at_length if thorough else self._finish
        for plan in dives(self.generator, relaxation, ranges, incumbent.cutoff, dives_made, finish):
            incumbent.offer(plan)
            if incumbent.fathoms(node.bound):
                return
        if incumbent.fathoms(node.bound) or self.generator.clock.struck():
            return
        columns = self.generator.master.columns
        gap = self._gap(relaxation)
        reduced = [(relaxation.reduced_cost(column), k) for k, column in enumerate(columns)]
        likely = sorted((cost, k) for cost, k in reduced if cost <= gap)[: self.parameters.whole_columns]
        self._solve_whole([columns[k] for _, k in likely], ranges, effort)

    def decide_by_pieces(self, node: Node, *, thorough: bool) -> Node:
        """Look for plans of a node of the next cost that there can be, by what pieces of lengths may hold.

        Where bars cost what their pieces say. A plan that is found is offered; the node is given back with how far it
        is known by now. First little is listed, then all that can be of use; a ``thorough`` look begins with the latter
        and takes its time.
        """
        incumbent, parameters = self.incumbent, self.parameters
        instance, bound = self.generator.instance, node.relaxation.bound
        dearest = dearest_below(instance, node.ranges, incumbent.cutoff())
        if dearest < node.next:
            return replace(node, reach=incumbent.cutoff() - 1)
        reach = next_cost(instance, node.ranges, node.next)
        if node.reach >= 0:
            # The list of twice the gap costs little more than the next: costs may differ by cents.
            twice = dearest_below(instance, node.ranges, math.floor(bound + 2 * (node.reach - bound)) + 1)
            reach = min(dearest, max(reach, twice))
        # Where numbers of bars are settled so is what they cost, and duals tell little of what sets are worth.
        fewer, shown = self._at_most(tuple((0, high) for _, high in node.ranges)) or node.relaxation, False
        few, few_effort = parameters.pieces_few, parameters.pieces_few_effort
        tries = [
            (fewer, few, few_effort),
            (node.relaxation, few * parameters.pieces_widened, few_effort * parameters.pieces_widened),
            (node.relaxation, parameters.pieces_listed, parameters.pieces_effort),
        ]
        if thorough:
            tries = [
                (some, parameters.pieces_listed, parameters.pieces_last_effort) for some in (node.relaxation, fewer)
            ]
        for relaxation, most, effort in tries:
            found = self._narrowed(node, relaxation, reach, most)
            if found is not None:
                made, shown = self._of_pieces(node, found, reach, effort)
                if made or shown:
                    break
        # There is no plan of use between the dearest of use and the cutoff.
        reach = max(reach, incumbent.cutoff() - 1) if reach >= dearest else reach
        return replace(node, reach=reach, sure=node.sure and shown)

    def look_in_short_lists(self, node: Node) -> None:
        """Look for plans of a node among the patterns of least reduced cost, where all of use are too many.

        Over few of them an integer program finds in seconds what it misses over many; and the cheaper the plan, the
        fewer are of use.
        """
        instance, parameters, clock = self.generator.instance, self.parameters, self.generator.clock
        centred = self.generator.centred(node.ranges, instance.demand, node.relaxation)
        state = DiveNode(PartialPlan([], list(instance.demand), [high for _, high in node.ranges]), centred, 0, 0)
        if clock.struck() or self._listed(state, parameters.listed_first) is not None:
            return
        columns = self._of_least(state, parameters.short_listed)
        reduced = sorted((centred.reduced_cost(column), k) for k, column in enumerate(columns))
        for most in sorted({min(parameters.short_first, len(columns)), len(columns)} - {0}):
            if self.incumbent.fathoms(node.bound) or clock.struck():
                return
            self._solve_whole([columns[k] for _, k in reduced[:most]], node.ranges, parameters.short_effort)

        def few() -> bool:
            return self._listed(state, parameters.listed_first) is not None

        if not few():
            replan_bars(self.generator, self.incumbent, node, centred, parameters.replanned_tries, few)

    def _of_least(self, dive_node: DiveNode, most: int) -> list[Column]:
        """The patterns of use that cost least by the duals at hand, at most so many; none where too many cost least."""
        gap = self._gap(dive_node.relaxation)
        for within in self._narrower(gap, self.parameters.short_narrowed):
            columns = self._listed(replace(dive_node, spent=math.floor(gap - within)), most)
            if columns is not None:
                return columns
        return []

    def _at_most(self, ranges: Ranges) -> Relaxation | None:
        """The LP solved to its end where there are so many bars, which need not be used; None when time is up."""
        return self.generator.relax(ranges, self.generator.instance.demand, math.inf, self.parameters.rounds)

    def _narrowed(self, node: Node, relaxation: Relaxation, reach: int, most: int) -> Listed | None:
        """What pieces may hold in plans that cost ``reach`` at most, by the duals of an LP for all plans of a node.

        Where that is over ``most``, what costs least by these duals: what a plan may cost beyond their bound is shared
        out among its bars, so that few of them take more than a part of it.
        """
        gap = reach - relaxation.bound + self.parameters.gap_slack * abs(reach)
        for within in self._narrower(gap, self.parameters.pieces_narrowed):
            found = listed(self.generator, relaxation, node.ranges, within, most, self.generator.clock.struck)
            if found is not None:
                return replace(found, all_of_use=found.all_of_use and within == gap)
        return None

    def _narrower(self, gap: float, times: int) -> Iterator[float]:
        """A gap, and narrower ones until time is up, for lists of which the whole is too long."""
        for _ in range(times):
            yield gap
            if self.generator.clock.struck():
                return
            gap *= self.parameters.narrowing

    def _of_pieces(self, node: Node, found: Listed, reach: int, effort: float) -> tuple[bool, bool]:
        """Was a plan found that costs ``reach`` at most? Is it shown that none is cheaper, or that there is none?"""
        if not may_ask(self.generator.clock, self.parameters.loading):
            return False, False
        instance = self.generator.instance
        seconds = self.generator.clock.seconds_left
        chosen, ended = whole_pieces(
            instance, found.columns, found.pieces, node.ranges, node.next, reach + 1, effort, seconds
        )
        if chosen is None:
            return False, ended and found.all_of_use
        made = put_together(instance, chosen[1])
        if made is None:
            return False, False
        plan = [*(PatternUse(column.source, column.pattern, n) for column, n in chosen[0]), *made]
        self.incumbent.offer(plan)
        # Pieces that differ in their ends may be put together to a length that cannot be cut so.
        if not covers(instance, plan) or total_cost(instance, plan) > reach:
            return False, False
        least = next_cost(instance, node.ranges, node.next)
        if ended and found.all_of_use:
            least = sum(column.cost * n for column, n in chosen[0])
            least += sum(lengths.price * bars for lengths, bars, _ in chosen[1])
        return True, total_cost(instance, plan) <= least

    def _finish(self, dive_node: DiveNode) -> tuple[list[PatternUse] | None, bool, int]:
        """List all that could fill what is left of a dive, where that is little, and decide it."""
        wanted = dive_node.state.wanted
        much = max(self.generator.grid.caps) * sum(map(bool, wanted)) > self.parameters.finished_cells
        if much or sum(wanted) > self.parameters.finished_again * dive_node.tried:
            return None, False, dive_node.tried
        columns = self._listed(dive_node, self.parameters.finished)
        if columns is None:
            return None, False, dive_node.tried
        return (*self._filled(dive_node, columns, self.parameters.finished_effort), sum(wanted))

    def _finish_at_length(self, dive_node: DiveNode) -> tuple[list[PatternUse] | None, bool, int]:
        """The same, and where there is too much to list, list by better duals, or else only what holds few parts."""
        generator, parameters, wanted = self.generator, self.parameters, dive_node.state.wanted
        found, ended, tried = self._finish(dive_node)
        pieces = sum(wanted)
        if (
            found is not None
            or ended
            or pieces > min(parameters.finished_pieces, self.parameters.finished_again * tried)
        ):
            return found, ended, tried
        # The bars fixed since the LP was solved are fixed for good now, so that its duals may use that.
        ranges = tuple((0, most) for most in dive_node.state.left)
        kept = may_still_keep(generator.instance, dive_node.state.plan)
        spent = total_cost(generator.instance, dive_node.state.plan)
        relaxation = dive_node.relaxation
        left = replace(relaxation, bound=relaxation.bound - (spent - dive_node.spent))
        centred = generator.centred(ranges, wanted, left, kept)
        here = replace(dive_node, relaxation=centred, spent=spent, tried=pieces)
        columns = self._listed(here, parameters.finished)
        if columns is not None:
            return (*self._filled(here, columns, parameters.finished_effort), pieces)
        columns = self._of_few(here, parameters.finished_few)
        return self._filled(here, columns, parameters.few_effort)[0] if columns else None, False, pieces

    def _of_few(self, dive_node: DiveNode, most: int) -> list[Column]:
        """The patterns of so few parts that there are no more of them than an integer program can bear."""
        columns: list[Column] = []
        for most_parts in range(self.parameters.few_from, self.parameters.few_up_to + 1):
            more = self._listed(dive_node, most, most_parts)
            if more is None:
                break
            columns = more
        return columns

    def _filled(
        self, dive_node: DiveNode, columns: Sequence[Column], effort: float
    ) -> tuple[list[PatternUse] | None, bool]:
        """Bars of ``columns`` for what a dive node wants, if they make a useful plan; and whether all were tried."""
        if not may_ask(self.generator.clock, self.parameters.loading):
            return None, False
        instance, state = self.generator.instance, dive_node.state
        below = self.incumbent.cutoff() - total_cost(instance, state.plan)
        if instance.kept_counts:
            instance = replace(instance, most_kept=may_still_keep(instance, state.plan))
        ranges = tuple((0, most) for most in state.left)
        seconds = self.generator.clock.seconds_left
        chosen, ended = whole_bars(instance, columns, state.wanted, ranges, below, effort, seconds)
        return None if chosen is None else [PatternUse(column.source, column.pattern, n) for column, n in chosen], ended

    def decide(self, node: Node, most: int, *, at_length: bool) -> bool:
        """List every pattern that a cheaper plan of the node could use and decide it by an integer program.

        True when nothing cheaper exists; False when there are more than ``most`` patterns, of which those of few
        parts are tried alone where there is time to do it ``at_length``, or time is up.
        """
        generator, relaxation = self.generator, node.relaxation
        if not generator.lists_all:
            return False
        demand = generator.instance.demand
        centred = generator.centred(node.ranges, demand, relaxation)
        dive_node = DiveNode(PartialPlan([], list(demand), [high for _, high in node.ranges]), centred, 0, 0)
        columns = self._listed(dive_node, most)
        if columns is None:
            few = self._of_few(dive_node, self.parameters.listed) if at_length else []
            if few:
                self._solve_whole(few, node.ranges, self.parameters.listed_effort)
            return False
        # What is found is the cheapest in the list: either way nothing cheaper is left, unless a cost was not judged.
        return self._solve_whole(columns, node.ranges, self.parameters.listed_effort) and generator.lists_all

    def _listed(self, dive_node: DiveNode, most: int, most_parts: int | None = None) -> list[Column] | None:
        """Every pattern of use for what a dive node wants; None when over ``most``."""
        generator, instance, state, relaxation = (
            self.generator,
            self.generator.instance,
            dive_node.state,
            dive_node.relaxation,
        )
        below = self.incumbent.cutoff() - total_cost(instance, state.plan)
        return enumerate_patterns(
            instance,
            generator.listing_grid.limited(state.wanted),
            relaxation.duals,
            relaxation.least_reduced,
            self._gap(relaxation) - dive_node.spent,
            most_waste(instance, state.wanted, state.left, below),
            most,
            generator.clock.struck,
            self.parameters,
            most_parts,
        )

    def _gap(self, relaxation: Relaxation) -> float:
        """What a useful plan may cost above a bound, with a little for floating point."""
        cutoff = self.incumbent.cutoff()
        return cutoff - self.generator.instance.cost_step - relaxation.bound + self.parameters.gap_slack * abs(cutoff)

    def _solve_whole(self, columns: Sequence[Column], ranges: Ranges, effort: float) -> bool:
        """Offer the best whole plan over ``columns``; True when the program ended by itself, and no plan is cheaper.

        No bar costs less than nothing, so that parts beyond what is wanted never pay.
        """
        if not may_ask(self.generator.clock, self.parameters.loading):
            return False
        seconds = self.generator.clock.seconds_left
        instance = self.generator.instance
        chosen, ended = whole_bars(instance, columns, instance.demand, ranges, self.incumbent.cutoff(), effort, seconds)
        if chosen is not None:
            self.incumbent.offer([PatternUse(column.source, column.pattern, count) for column, count in chosen])
        return ended
