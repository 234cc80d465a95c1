"""The search for one group: first plans, the pattern LP, branching on bar counts, and the close-out by listing.

Every fathomed node leaves integer duals behind; together they are the proof that
the checker rechecks. Cases that counts alone cannot close are listed by reduced
cost; what that shows is called "by search".
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from cutplan.model import Goal, Leaf, Status
from cutplan.solving.by_pieces import told_by_pieces
from cutplan.solving.certificate import denominator, largest_sum
from cutplan.solving.clock import Clock
from cutplan.solving.closing import NodeCloser
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.component_branching import (
    Candidate,
    Choice,
    Way,
    branched,
    candidate,
    children,
    divided,
    with_shortest,
)
from cutplan.solving.constructive import first_fit, preferences
from cutplan.solving.cost_steps import dearest_below
from cutplan.solving.count_branching import count_children, counts_of, fractional
from cutplan.solving.dive import PartialPlan, whole_bars_of
from cutplan.solving.frontier import Frontier
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.instance import Instance
from cutplan.solving.listed_branching import can_be_listed
from cutplan.solving.nodes import Bounder, Node, Ranges, Splits, by_length
from cutplan.solving.over_lists import branched_over_list
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse, total_cost
from cutplan.solving.pricing import working_step
from cutplan.solving.tight import filled, left_over, put_back
from cutplan.solving.without_waste import without_waste
from cutplan.units import Length, ceil_div, kg_text, money_text


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What the search knows at its end; ``plan`` is None when no plan was found.

    ``bound`` is what ``leaves`` certify; ``by_search`` that nothing cheaper than
    the plan exists although the leaves show less.
    """

    plan: list[PatternUse] | None
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


def first_step(instance: Instance, parameters: Parameters) -> Length:
    """The step of the bound that a search begins with, of which each kind of bar wants a table. [nm]"""
    kinds = {(served, s.per_cut, s.per_setup) for served, s in zip(instance.served, instance.sources, strict=True)}
    return working_step(
        instance, parameters.most_steps, parameters.first_cells // max(1, len(kinds)), parameters.state_steps
    )


class TreeSearch:
    """One run on one instance; :meth:`run` is its face, and :meth:`plan` for whom a bound is of no use.

    ``cutoff`` is a cost from which on a plan is of no use, so that proving a
    bound that high ends the search too. ``first`` is a plan to begin with.
    """

    def __init__(
        self,
        instance: Instance,
        parameters: Parameters,
        clock: Clock,
        say: Callable[[str], None] | None = None,
        cutoff: int | None = None,
        first: Sequence[PatternUse] | None = None,
    ) -> None:
        self.instance = instance
        self.parameters = parameters
        self.clock = clock
        self.incumbent = Incumbent(instance, cutoff)
        self.incumbent.offer(first)
        self._say = say or (lambda text: None)
        # Replaced as a whole after every step, so that it covers everything whenever the user stops.
        self._frontier = Frontier(first_step(instance, parameters))
        self._by_search = False
        self._unit = 1
        # Cases of bar counts alone: what their number is limited by.
        self._counted = 0
        self._closer: NodeCloser | None = None
        # LP solutions whose whole bars were completed by bars filled to the brim.
        self._completed = 0
        # Whole numbers of bars of LP solutions by which a plan was looked for.
        self._looked_at: set[tuple[int, ...]] = set()
        # Numbers of bars whose lists were branched over, or are too long for that, and the cutoff that made them so.
        self._listed: set[tuple[Ranges, int]] = set()
        self._kept_before = clock.kept_back
        # What going once through the lengths of the group took. [s of a processor]
        self._by_length = 0.0
        self._bound_wanted = True
        self.constructing = 0.0
        """How long the first plans kept a processor busy. [s]"""

    def run(self) -> Outcome:
        """Search until proven or a limit strikes.

        Raises
        ------
        KeyboardInterrupt
            When interrupted before any plan was found; later the best plan is returned, marked as stopped.
        """
        self._search()
        return self._outcome()

    def plan(self) -> list[PatternUse] | None:
        """The plan alone; raises what :meth:`run` does."""
        self._bound_wanted = False
        self._search()
        return self.incumbent.plan

    def _search(self) -> None:
        try:
            began = self.clock.pace.worked()
            self._construct()
            self.constructing = self.clock.pace.worked() - began
            if not self._bound_wanted and self.incumbent.plan is not None:
                # The bound is wanted for the search that follows it alone.
                self.clock.lets(self.parameters.bound_plans * self.constructing)
            if self.incumbent.plan is not None:
                self._say(self._best())
            self._branch()
            # Where the cost of a bar depends on what is cut from it, branching over a list shows more than an integer
            # program over one, and mostly takes less time.
            if not self.instance.flat:
                # With a cheaper plan the lists are so much shorter that branching over them mostly ends.
                self._look_in_short_lists()
                self._branch_over_lists()
            self._list_out(self.parameters.listed_first, at_length=False)
            # Where the cost of a bar depends on what is cut from it, branching on components fathomed one node in eight
            # that enumeration closes sooner.
            if self.instance.flat:
                self._branch_on_components()
            self._list_out(self.parameters.listed, at_length=True)
            if not self.instance.flat:
                self._branch_over_lists()
                if not self._by_search:
                    self._branch_on_components()
            if self.clock.stopped_by != "user" and (self._bound_wanted or not self._stopped()):
                grace = replace(self.clock, deadline=self.clock.deadline + self.parameters.grace, stopped_by="")
                self.incumbent.improve(grace.struck, self.parameters)
                self.clock.stopped_by = self.clock.stopped_by or grace.stopped_by
        except KeyboardInterrupt:
            if self.incumbent.plan is None:
                raise
            self.clock.stopped_by = "user"

    def _outcome(self) -> Outcome:
        step = self._frontier.step
        nodes = self._frontier.all() or (
            by_length(self.instance, self._unit, self.parameters, step=step, stopped=self._stopped),
        )
        incumbent = self.incumbent
        bound = min(node.bound for node in nodes)
        generator = self._closer.generator if self._closer else None
        return Outcome(
            plan=incumbent.plan,
            cost=incumbent.cost,
            bound=bound if incumbent.plan is None else min(bound, incumbent.cost),
            leaves=tuple(node.leaf for node in nodes),
            unit=self._unit,
            step=step,
            by_search=self._by_search,
            stopped_by=self.clock.stopped_by,
            rounds=self.clock.rounds,
            patterns=len(generator.master.columns) if generator else 0,
            nodes=self.clock.nodes,
        )

    def _construct(self) -> None:
        most = [source.most for source in self.instance.sources]
        counts = len(self.incumbent.plan or ()) * len(self.instance.pieces) * len(most)
        for preference in preferences(self.instance):
            # What takes a millisecond is tried even when time is up.
            if self.incumbent.plan is not None and self._stopped() and counts > self.parameters.few_counts:
                return
            began = self.clock.pace.worked()
            plan = first_fit(self.instance, preference, self.instance.demand, most)
            self.incumbent.offer(plan)
            # A bound and its check are to follow, of which all that is known yet is that they take longer so too.
            self.clock.lets(self.parameters.bound_plans * (self.clock.pace.worked() - began))
            counts += len(plan or ()) * len(self.instance.pieces) * len(self.instance.sources)

    def _branch(self) -> None:
        instance, incumbent = self.instance, self.incumbent
        if not self._bound_wanted and incumbent.plan is not None and self._stopped():
            return
        # Leaving a part out must cost more than any plan of use, or the LP would rather do that.
        penalty = max(incumbent.cutoff(), 1) + instance.most_earned
        self._unit = denominator(largest_sum(instance, penalty))
        began = self.clock.pace.worked()
        first = by_length(instance, self._unit, self.parameters, step=self._frontier.step, stopped=self._stopped)
        self._by_length = self.clock.pace.worked() - began
        self._frontier = replace(self._frontier, fathomed=(first,))
        self.clock.note_first_bound()
        self._keep_back()
        if incumbent.fathoms(first.bound) or self._stopped():
            return
        if len(instance.pieces) >= self.parameters.tight_pieces:
            self._complete(PartialPlan.of(instance))
            choice = len(instance.sources) > 1 and not incumbent.fathoms(first.bound)
            if choice and len(instance.pieces) >= self.parameters.tight_alone:
                self._complete(PartialPlan.of(instance), self.parameters.tight_last, self.parameters.tight_aside)
            if not incumbent.fathoms(first.bound):
                incumbent.offer(without_waste(instance, self.parameters, self.clock, again=False))
            if incumbent.fathoms(first.bound) or self._stopped():
                return
        generator = ColumnGenerator(instance, penalty, self.clock, self.parameters)
        if self._stopped():
            return
        closer = self._closer = NodeCloser(generator, incumbent, self.parameters)
        for bars in incumbent.plan or ():
            generator.add(bars.source, bars.pattern)
        root = self._bounded(closer, generator.root_ranges)
        if self._stopped() and root.bound <= first.bound:
            return
        self._frontier = Frontier(generator.step, open=(root,))
        # Far below the best plan a bound is rarely reached, and plans are found sooner where counts are whole.
        near = incumbent.cutoff() - root.bound <= self.parameters.near * instance.cost_step
        if near and not incumbent.fathoms(root.bound) and not self._stopped():
            closer.look_within(root, self.parameters.root_dives, self.parameters.root_effort, thorough=False)
            # With one source there are no counts to branch on, so a short list may spare the rest.
            if len(instance.sources) == 1 and closer.decide(root, self.parameters.listed_first, at_length=True):
                self._by_search = incumbent.sets_cutoff()
                return
        for thorough in (False, True):
            self._frontier = self._frontier.again(lambda node: incumbent.fathoms(node.bound))
            while self._frontier.open:
                self._frontier = self._next(closer, self._frontier, thorough=thorough)
                self._keep_back()
                self._tell_what_is_open()

    def _keep_back(self) -> None:
        """Keep time back for the checker, which goes through every leaf about as a bound is priced."""
        generator = self._closer.generator if self._closer else None
        if generator and generator.exact_passes:
            leaf = self.parameters.leaf_passes * generator.exact_work / generator.exact_passes
        else:
            leaf = self.parameters.leaf_lengths * self._by_length
        self.clock.kept_back = self._kept_before + leaf * len(self._frontier.all())

    def _tell_what_is_open(self) -> None:
        """Say how much a cheaper plan could save at most, in tenths of a percent rounded up."""
        cost, bound = self.incumbent.cost, min(node.bound for node in self._frontier.all())
        if self.incumbent.plan is not None and cost > bound >= 0:
            tenths = ceil_div((cost - bound) * 1000, cost)
            self._say(f"{self._best()}, at most {tenths // 10}.{tenths % 10} % could be saved")

    def _best(self) -> str:
        """What the best plan so far comes to, of this group alone."""
        cost = self.incumbent.cost + self.instance.outside
        return f"{money_text(cost)} so far" if self.instance.goal is Goal.MONEY else f"{kg_text(cost)} kg to buy so far"

    def _next(self, closer: NodeCloser, frontier: Frontier, *, thorough: bool) -> Frontier:
        """Close the first node that waits, split it, or set it aside.

        ``thorough`` is for nodes that were looked at before and may still hold a plan of use.
        """
        incumbent, node = self.incumbent, frontier.open[0]
        frontier = replace(frontier, open=frontier.open[1:])
        fathomed = replace(frontier, fathomed=(*frontier.fathomed, node))
        if incumbent.fathoms(node.bound):
            return fathomed
        if incumbent.fathoms(node.next):
            return replace(frontier, deferred=(*frontier.deferred, node))
        if self._counted >= self.parameters.nodes:
            self.clock.stopped_by = self.clock.stopped_by or "node limit"
        counts = counts_of(closer.generator, node.relaxation.solution)
        if not self._stopped() and not fractional(node.ranges, counts, self.parameters.count_integrality):
            # Where no count is left to split, this is the last chance to find a plan.
            last = len(self.instance.sources) == 1 or all(low == high for low, high in node.ranges)
            parameters, by_pieces = self.parameters, told_by_pieces(closer.generator)
            # What branching over lists finds by itself need not be dived for at every choice of bar counts, nor listed
            # for at the end of a dive.
            few = not self.instance.flat and can_be_listed(closer.generator)
            bars = tuple(round(count) for count in counts)
            # Where numbers of bars say what a plan costs they are looked at once, in whatever node an LP has them.
            at, anew = bars if self.instance.flat else None, bars not in self._looked_at
            self._looked_at.add(bars)
            if anew:
                self._complete_at(closer, node, bars)
            if incumbent.fathoms(node.bound):
                return fathomed
            # Pieces tell more than dives, in less time, once all counts are settled.
            if by_pieces and not count_children(closer.generator, node, counts):
                looked = closer.decide_by_pieces(node, thorough=thorough)
                if not looked.sure and node.reach < 0 and not thorough:
                    closer.look_within(node, parameters.dives, parameters.last_effort, thorough=True)
                return frontier.wait([looked])
            if not by_pieces and last:
                # Where the cost of a bar depends on what is cut from it, what parts it holds comes to little.
                no_waste = self._has_no_waste(node)
                work = parameters.divided_full if no_waste else parameters.divided_first
                nodes = self._branched(closer, node, work, no_waste=no_waste, by_parts=self.instance.flat)
                if all(incumbent.fathoms(one.bound) for one in nodes):
                    return replace(frontier, fathomed=(*frontier.fathomed, *nodes))
                if anew:
                    incumbent.offer(without_waste(self.instance, parameters, self.clock, again=True))
                if not incumbent.fathoms(node.bound):
                    dives = parameters.listed_dives if few else parameters.dives
                    closer.look_within(node, dives, parameters.last_effort, thorough=not few, counts=at)
            elif not by_pieces and (anew or at is None):
                dives = parameters.listed_dives if few else parameters.node_dives
                effort = parameters.root_effort if few else parameters.node_effort
                closer.look_within(node, dives, effort, thorough=False, counts=at)
            if incumbent.fathoms(node.bound):
                return fathomed
        children = [] if self._stopped() else count_children(closer.generator, node, counts)
        if not children:
            return replace(frontier, deferred=(*frontier.deferred, node))
        nodes = []
        for ranges in children:
            nodes.append(self._bounded(closer, ranges))
            if self._stopped():
                # What was cut short says less than what is known of both.
                return replace(frontier, deferred=(*frontier.deferred, node))
        return frontier.wait(nodes)

    def _has_no_waste(self, node: Node) -> bool:
        """Does the LP cost as much as the dearest plan of use, so that a hair more would fathom the node?"""
        dearest = dearest_below(self.instance, node.ranges, self.incumbent.cutoff())
        return self.instance.flat and node.relaxation.solution.value >= dearest - self.parameters.gap_slack * dearest

    def _is_decided(self, node: Node) -> bool:
        """Is it known that no plan of a node is cheaper than the incumbent, although its bound is lower?"""
        return node.sure and self.incumbent.fathoms(node.next)

    def _bounded(self, closer: NodeCloser, ranges: Ranges, splits: Splits = ()) -> Node:
        """A node with its bound; where that leaves room for a plan, plans are rounded from its LP solution."""
        self.clock.nodes += 1
        self._counted += not splits
        node = Bounder(closer.generator, self.incumbent, self.parameters, self._unit).bounded(ranges, splits)
        if node.relaxation.solution.uses and not self.incumbent.fathoms(node.bound):
            closer.round_down(node.relaxation)
            if self._completed < self.parameters.tight_tries and not self.incumbent.fathoms(node.bound):
                self._completed += self._complete(whole_bars_of(closer.generator, node.relaxation.solution))
        return node

    def _complete_at(self, closer: NodeCloser, node: Node, counts: Sequence[int]) -> None:
        """Complete the whole bars of an LP solution with so many bars, more and more parts left to a search."""
        instance, parameters = self.instance, self.parameters
        pieces = len(instance.pieces)
        if pieces < parameters.tight_pieces or sum(instance.demand) < parameters.tight_copies * pieces:
            return
        begun = replace(PartialPlan.of(instance), left=list(counts))
        state = whole_bars_of(closer.generator, node.relaxation.solution, begun)
        left = parameters.tight_left
        for _ in range(parameters.tight_doubled):
            left = min(2 * left, sum(state.wanted) - 1)
            if self.incumbent.fathoms(node.bound) or self._stopped() or not self._complete(state, left):
                return

    def _complete(self, state: PartialPlan, most: int | None = None, aside: int = 0) -> bool:
        """Complete a plan by bars filled to the brim, and by a search for the last parts; False where these are all.

        ``most`` is how many those are, where they are not as many as usual, besides those of all lengths put ``aside``.
        """
        instance, parameters = self.instance, self.parameters
        most = parameters.tight_left if most is None else most
        if not instance.space.adds_up or sum(state.wanted) <= most + aside:
            return False
        state = filled(instance, state, most, parameters.tight_steps, self._stopped, aside)
        if not state.plan:
            # All parts are left: a search of their own would begin as this one did.
            return True
        # Beside those put aside there may also be all that would have been in the last bar.
        if sum(state.wanted) > (2 * most + aside if aside else most):
            return True
        if not any(state.wanted):
            self.incumbent.offer(state.plan)
            return True
        rest, places = left_over(instance, state)
        nodes = parameters.tight_aside_nodes if aside else parameters.tight_nodes
        brief = replace(
            parameters, nodes=nodes, dives=1, node_dives=1, divided_first=0, divided_full=0, divided=0, listed=0
        )
        clock = self.clock.within(self.clock.deadline)
        # Where few left overs may be kept, the cost of the rest depends on what is fixed.
        cutoff = None if instance.kept_counts else self.incumbent.cutoff() - total_cost(instance, state.plan)
        plan = TreeSearch(rest, brief, clock, cutoff=cutoff).plan()
        self.clock.count(clock)
        if clock.stopped_by in ("user", "time limit"):
            self.clock.stopped_by = clock.stopped_by
        if plan is not None:
            self.incumbent.offer([*state.plan, *put_back(instance, plan, places)])
        return True

    def _branched(
        self, closer: NodeCloser, node: Node, work: int, *, no_waste: bool, by_parts: bool = True
    ) -> list[Node]:
        def fathomed(one: Node) -> bool:
            return self.incumbent.fathoms(one.bound)

        def made(one: Node, found: Candidate) -> list[Node]:
            further = children(closer.generator, one.splits, found)
            return [self._bounded(closer, node.ranges, splits) for splits in further]

        def way(choice: Choice) -> Way:
            return lambda one: choice(closer.generator, one.relaxation.solution, one.splits, by_parts=by_parts)

        # Where a hair fathoms a node, which numbers of bars bring one differs from job to job.
        ways = [way(candidate), way(with_shortest)] if no_waste else [way(candidate)]
        return branched(self.clock, node, work, lambda one: divided(one, ways, made, fathomed), fathomed)

    def _stopped(self) -> bool:
        return bool(self.clock.stopped_by) or self.clock.struck()

    def _list_out(self, most: int, *, at_length: bool) -> None:
        """Try to show by listing at most ``most`` patterns that no node set aside holds a cheaper plan."""
        if self._by_search or not self._frontier.deferred or self._closer is None:
            return
        for node in self._frontier.deferred:
            if self._stopped():
                return
            fathomed = self.incumbent.fathoms(node.bound) or self._is_decided(node)
            if not fathomed and not self._closer.decide(node, most, at_length=at_length):
                return
        # Measured against ``cutoff`` alone, a node may still hold a plan between that and the cost found.
        self._by_search = self.incumbent.sets_cutoff()

    def _branch_on_components(self) -> None:
        """Close nodes set aside by what their bars hold, so that their leaves show what listing could only find."""
        if self._closer is None:
            return
        # What is known already, only to be shown better, is not worth as much as what is not.
        work = self.parameters.divided_first if self._by_search else self.parameters.divided
        for node in self._frontier.deferred + self._frontier.open:
            if not self.incumbent.fathoms(node.bound):
                nodes = self._branched(self._closer, node, work, no_waste=self._has_no_waste(node))
                if all(self.incumbent.fathoms(one.bound) for one in nodes):
                    self._frontier = self._frontier.instead(node, nodes)
                    self._keep_back()

    def _look_in_short_lists(self) -> None:
        """Look for cheaper plans of nodes set aside, where the lists to branch over are long."""
        if self._closer and can_be_listed(self._closer.generator):
            for node in self._frontier.deferred:
                if not self.incumbent.fathoms(node.bound) and not self._stopped():
                    self._closer.look_in_short_lists(node)

    def _branch_over_lists(self) -> None:
        """Close nodes set aside over lists of what a cheaper plan could use."""
        if self._closer is None or not self.incumbent.sets_cutoff():
            return
        for node in self._frontier.deferred:
            if not self.incumbent.fathoms(node.bound) and not self._stopped():
                at_hand = node.ranges, self.incumbent.cutoff()
                if at_hand in self._listed:
                    continue
                self._listed.add(at_hand)
                nodes = branched_over_list(self._closer.generator, node, self.incumbent, self._unit)
                if nodes and all(self.incumbent.fathoms(one.bound) for one in nodes):
                    self._frontier = self._frontier.instead(node, nodes)
                    self._keep_back()
