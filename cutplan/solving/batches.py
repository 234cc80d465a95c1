"""Groups of very many different parts: planned in batches, each of which the search sees as a group, bounded as one.

A pattern has a count for every different part, so that what a search needs grows with the square of their number. A
batch has parts of every length, so that none lacks short ones to fill up with; bars and left overs to keep that one
batch leaves are open to the others.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from cutplan.solving.certificate import denominator, largest_sum
from cutplan.solving.clock import Clock, Limits
from cutplan.solving.constructive import first_fit, preferences
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.instance import Instance
from cutplan.solving.nodes import by_length
from cutplan.solving.plans import PatternUse, may_still_keep, total_cost
from cutplan.solving.tree import Outcome, TreeSearch, first_step
from cutplan.units import ceil_div

MOST_PIECES = 1_500
"""Different parts up to which a group is searched as a whole."""

BATCH = 250
"""About how many different parts there are in a batch, where that is not too many counts."""

MOST_COUNTS = 2_500_000
"""Different parts of a group times those of a batch: quick plans of all batches take about a second then."""

SMALLEST = 100
"""Different parts of a batch below which another bar for each batch would cost too much."""


@dataclass(frozen=True)
class Batch:
    """Some pieces of a group with the bars they are cut from."""

    instance: Instance
    plan: tuple[PatternUse, ...]

    @cached_property
    def cost(self) -> int:
        """[cost unit]"""
        return total_cost(self.instance, self.plan)

    @property
    def keeps(self) -> int:
        """How many of its left overs the cost counts on being kept."""
        return (self.instance.most_kept or 0) - may_still_keep(self.instance, self.plan)


@dataclass
class _Open:
    """Bars of each source, and left overs to keep, that no batch has taken."""

    bars: list[int]
    keeps: int | None

    def give(self, instance: Instance) -> Instance:
        """A batch with all of that open to it."""
        sources = tuple(replace(s, most=most) for s, most in zip(instance.sources, self.bars, strict=True))
        return replace(instance, sources=sources, most_kept=self.keeps)

    def take(self, batch: Batch, sign: int = 1) -> None:
        """Take what a batch uses; with a ``sign`` of -1, put it back."""
        for bars in batch.plan:
            self.bars[bars.source] -= sign * bars.count
        if self.keeps is not None:
            self.keeps -= sign * batch.keeps


def in_batches(
    instance: Instance, limits: Limits, clock: Clock, say: Callable[[str], None]
) -> tuple[Outcome, tuple[Batch, ...]]:
    """Plan a group in batches: a quick plan of each, the bound of the whole, then a search in each.

    Raises
    ------
    KeyboardInterrupt
        When interrupted before there was a plan for every batch; later the best plan is returned, marked as stopped.
    """
    left = _Open([source.most for source in instance.sources], instance.most_kept)
    batches = _quick_batches(instance, left, clock)
    cost = sum(batch.cost for batch in batches)
    # As for a search, though no LP asks for a penalty.
    unit = denominator(largest_sum(instance, max(cost, 1)))
    step = first_step(instance)
    known = by_length(instance, unit, step=step)
    patterns, stopped_by = 0, ""
    for number, batch in enumerate(batches):
        if stopped_by == "user" or clock.struck() or cost <= known.bound:
            break
        say(f"batch {number + 1} of {len(batches)}")
        left.take(batch, -1)
        within = Clock(deadline=clock.deadline - clock.seconds_left * (1 - 1 / (len(batches) - number)))
        open_to = left.give(batch.instance)
        outcome = TreeSearch(open_to, limits, within, say).run()
        clock.count(within)
        stopped_by = within.stopped_by if within.stopped_by == "user" else stopped_by or within.stopped_by
        patterns += outcome.patterns
        other = Batch(open_to, tuple(outcome.plan or ()))
        if outcome.plan is not None and other.cost < batch.cost:
            batches[number] = other
        left.take(batches[number])
        cost = sum(batch.cost for batch in batches)
    clock.stopped_by = stopped_by or clock.stopped_by
    outcome = Outcome(
        plan=[] if batches else None,
        cost=cost,
        bound=min(known.bound, cost) if batches else known.bound,
        leaves=(known.leaf,),
        unit=unit,
        step=step,
        by_search=False,
        stopped_by=clock.stopped_by,
        rounds=clock.rounds,
        patterns=patterns,
        nodes=clock.nodes,
    )
    return outcome, tuple(batches)


def _quick_batches(instance: Instance, left: _Open, clock: Clock) -> list[Batch]:
    """A quick plan for each batch; where one has none, one for all parts at once; none where that fails too."""
    batches = []
    for pieces in _dealt(instance):
        batch = _quick(left.give(replace(instance, pieces=tuple(instance.pieces[i] for i in pieces))), clock)
        if batch is None:
            whole = _quick(instance, clock)
            return [] if whole is None else [whole]
        left.take(batch)
        batches.append(batch)
    return batches


def _dealt(instance: Instance) -> list[Sequence[int]]:
    """The pieces, longest first, dealt out in turn."""
    order = sorted(range(len(instance.pieces)), key=lambda i: (-instance.pieces[i].take, i))
    number = ceil_div(len(order), min(BATCH, max(SMALLEST, MOST_COUNTS // len(order))))
    return [order[first::number] for first in range(number)]


def _quick(instance: Instance, clock: Clock) -> Batch | None:
    incumbent = Incumbent(instance)
    for preference in preferences(instance):
        if incumbent.plan is not None and clock.struck():
            break
        incumbent.offer(first_fit(instance, preference, instance.demand, [source.most for source in instance.sources]))
    return None if incumbent.plan is None else Batch(instance, tuple(incumbent.plan))
