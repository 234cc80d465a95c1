"""Group -> bars and a proof: quick plans, column generation, branching on bar counts, close-out by listing.

The one user of ortools. Nothing outside this room sees its floats: what leaves
it are whole-number bars and duals that the checker rechecks.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from cutplan.model import CutBar, Goal, Group, GroupPlan, Leaf, Proof, Status, StockLength, Workshop
from cutplan.solving.bars import as_it_was, cut_bars, cut_together, scrap_beyond
from cutplan.solving.batches import Batch, in_batches
from cutplan.solving.clock import Clock, Pace
from cutplan.solving.exchange import improved
from cutplan.solving.instance import Instance
from cutplan.solving.integer_master import FreeCuts
from cutplan.solving.master import highest
from cutplan.solving.order import Order, OrderLp
from cutplan.solving.parameters import Parameters, read_parameters
from cutplan.solving.plans import PatternUse, total_cost
from cutplan.solving.saw_order import as_sawn
from cutplan.solving.spare_parts import with_spares
from cutplan.solving.tree import Outcome, TreeSearch
from cutplan.solving.whole_numbers import NO_MULTIPLIERS, Multipliers, instance_of

__all__ = [
    "NO_MULTIPLIERS",
    "Clock",
    "FreeCuts",
    "Multipliers",
    "Order",
    "OrderLp",
    "Pace",
    "Parameters",
    "PatternUse",
    "Solved",
    "bars_as_they_were",
    "group_plans",
    "highest",
    "read_parameters",
    "solve_group",
]


@dataclass(frozen=True)
class Solved:
    """What is known of one group when certain offers are open.

    ``cost`` is None when no plan was found with them; ``dual_bound`` is what the leaves of the proof show without
    any search. [cost unit]
    """

    group: Group
    goal: Goal
    proof: Proof
    cost: int | None
    dual_bound: int
    instance: Instance
    plan: tuple[PatternUse, ...]
    batches: tuple[Batch, ...] = ()
    """What is planned instead of ``plan``, which is empty then, where there are very many different parts."""

    # The bars of one workshop, which are asked for again and again while merchants are compared.
    _laid_out: list[tuple[Workshop, tuple[CutBar, ...]]] = field(
        init=False, repr=False, compare=False, default_factory=list
    )

    def bars(self, workshop: Workshop, first: int) -> tuple[CutBar, ...]:
        """The plan as bars, numbered from ``first``."""
        if not self._laid_out or self._laid_out[0][0] is not workshop:
            self._laid_out[:] = [(workshop, tuple(as_sawn(self._bars(workshop, first))))]
        bars = self._laid_out[0][1]
        if bars and bars[0].number != first:
            bars = tuple(replace(bar, number=number) for number, bar in enumerate(bars, first))
        return bars

    def _bars(self, workshop: Workshop, first: int) -> tuple[CutBar, ...]:
        if self.batches:
            return self._bars_of_batches(workshop, first)
        plan = with_spares(self.instance, self.plan)
        return tuple(cut_bars(self.instance, self.group, workshop, plan, first))

    def _bars_of_batches(self, workshop: Workshop, first: int) -> tuple[CutBar, ...]:
        """Bars of the longest parts first, whatever batch they are from.

        Where a left over to keep has a value, each batch keeps as many as its cost counts on.
        """
        counts = self.instance.kept_counts
        plans = [
            (b.instance.keeping(b.keeps if counts else None), with_spares(b.instance, b.plan)) for b in self.batches
        ]
        bars = cut_together(self.group, workshop, plans, first)
        return tuple(bars if counts else scrap_beyond(bars, self.instance.most_kept))

    def group_plan(self, workshop: Workshop, first: int) -> GroupPlan:
        """The plan of the group with its proof."""
        return GroupPlan(title=self.group.title, goal=self.goal, bars=self.bars(workshop, first), proof=self.proof)

    def cut_as(self, instance: Instance, plan: Sequence[PatternUse]) -> Solved:
        """What is known, with another plan, whose sources are those of ``instance``.

        A plan that a minimum order makes dearer than the group need be is held to the leaves alone.
        """
        cost = total_cost(instance, plan) + instance.outside
        proof = self.proof
        if cost != self.cost or proof.status is Status.NOT_PROVEN:
            status = Status.RECHECKED if self.dual_bound >= cost else Status.NOT_PROVEN
            proof = replace(proof, status=status, bound=min(self.dual_bound, cost))
        return replace(self, proof=proof, cost=cost, instance=instance, plan=tuple(plan), batches=())

    def bettered(self, clock: Clock, parameters: Parameters) -> Solved:
        """With fewer bars, fewer set-ups or longer left overs where that costs the group no more."""
        if self.batches:
            return self
        return self.cut_as(self.instance, improved(self.instance, self.plan, clock.struck, parameters))

    def not_placed(self) -> list[str]:
        """Marks of parts that no bar open here can hold."""
        instance = self.instance
        marks = []
        for i, piece in enumerate(instance.pieces):
            single = instance.single(i)
            if not any(s.most and instance.allowed(index, single) for index, s in enumerate(instance.sources)):
                marks += [self.group.parts[part].mark for part in piece.parts]
        return marks


def group_plans(groups: Sequence[Solved], workshop: Workshop) -> list[GroupPlan]:
    """The plans of all groups of a job, their bars numbered on from one to the next."""
    plans: list[GroupPlan] = []
    first = 1
    for solved in groups:
        plans.append(solved.group_plan(workshop, first))
        first += len(plans[-1].bars)
    return plans


def bars_as_they_were(
    group: Group, workshop: Workshop, lying: Sequence[tuple[str, CutBar]], parameters: Parameters
) -> list[CutBar | None]:
    """Bars of an earlier plan as they would be cut from offcuts of the group, each given by its mark.

    None for a bar whose cuts would not lie where they did.
    """
    instance = instance_of(group, workshop, (), parameters)
    return [as_it_was(instance, group, workshop, bar, mark) for mark, bar in lying]


def solve_group(
    group: Group,
    workshop: Workshop,
    offers: Sequence[StockLength],
    *,
    parameters: Parameters,
    clock: Clock,
    say: Callable[[str], None] | None = None,
    cutoff: int | None = None,
    multipliers: Multipliers = NO_MULTIPLIERS,
) -> Solved:
    """Find the least-cost plan of one group with ``offers`` and every offcut, and certify it as far as it goes.

    ``cutoff`` is a cost from which on a plan is of no use. [cost unit] A merchant's prices count by its multiplier.

    Raises
    ------
    KeyboardInterrupt
        When interrupted before any plan was found; later the best plan is returned, marked as stopped.
    """
    instance = instance_of(group, workshop, offers, parameters, multipliers)
    inside = None if cutoff is None else cutoff - instance.outside
    batches: tuple[Batch, ...] = ()
    if len(instance.pieces) > parameters.whole_pieces:
        outcome, batches = in_batches(instance, parameters, clock, say or (lambda text: None))
    else:
        own = clock.within(time.monotonic() + clock.seconds_left * parameters.apart_share)
        looked_for = not instance.space.told_by_view and not clock.struck()
        apart = _apart(group, workshop, offers, parameters, own, multipliers) if looked_for else None
        first = apart.plan() if apart else None
        clock.count(own)
        clock.stopped_by = clock.stopped_by or (own.stopped_by if own.stopped_by == "user" else "")
        if apart:
            # To make others takes as long again, and a bound is to follow.
            clock.lets(parameters.bound_plans * apart.constructing)
        # At prices that only count in part, what a plan comes to is nobody's to pay.
        true = all(multiplier == 1 for multiplier in multipliers.values())
        outcome = TreeSearch(instance, parameters, clock, say if true else None, inside, first).run()
        if own.stopped_by == "time limit":
            outcome = replace(outcome, stopped_by=outcome.stopped_by or own.stopped_by)
    return Solved(
        group=group,
        goal=instance.goal,
        proof=_proof(instance, outcome, inside),
        cost=outcome.cost + instance.outside if outcome.plan is not None else None,
        dual_bound=outcome.bound + instance.outside,
        instance=instance,
        plan=tuple(outcome.plan or ()),
        batches=batches,
    )


def _apart(
    group: Group,
    workshop: Workshop,
    offers: Sequence[StockLength],
    parameters: Parameters,
    clock: Clock,
    multipliers: Multipliers,
) -> TreeSearch | None:
    """A search for a plan in which every mitre is cut for itself, to begin with where pricing sees no shared cut.

    None is looked for where parts are of so many kinds that their orders are not gone through.
    """
    shop = workshop.with_saws([replace(saw, share_mitres=False) for saw in workshop.all_saws])
    instance = instance_of(group, shop, offers, parameters, multipliers)
    if len({piece.kind for piece in instance.pieces}) > parameters.apart_kinds:
        return None
    return TreeSearch(instance, parameters, clock)


def _proof(instance: Instance, outcome: Outcome, inside: int | None) -> Proof:
    stopped_by = outcome.stopped_by
    if outcome.status is Status.NOT_PROVEN and (inside is None or outcome.bound < inside):
        # What ends a search without a word is that more patterns could be of use than are listed.
        stopped_by = stopped_by or "pattern limit"
    return Proof(
        sources=tuple(source.id for source in instance.sources),
        status=outcome.status,
        denominator=outcome.unit,
        step=outcome.step,
        leaves=tuple(_with_cuts(leaf, instance, outcome.unit) for leaf in outcome.leaves),
        bound=(outcome.cost if outcome.by_search else outcome.bound) + instance.outside,
        stopped_by=stopped_by,
        rounds=outcome.rounds,
        patterns=outcome.patterns,
        nodes=outcome.nodes,
    )


def _with_cuts(leaf: Leaf, instance: Instance, unit: int) -> Leaf:
    """A leaf of the proof as the checker wants it: one piece is worth its cut too."""
    cut, listing = instance.cut_at_least * unit, leaf.listing
    if listing is not None:
        raised = tuple(dual + cut for dual in listing.duals)
        listing = replace(listing, duals=raised, below=listing.below + instance.outside)
    return replace(leaf, duals=tuple(dual + cut for dual in leaf.duals), listing=listing)
