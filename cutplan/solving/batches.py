"""Groups of very many different parts: planned in batches, each of which the search sees as a group, bounded as one.

A pattern has a count for every different part, so that what a search needs grows with the square of their number.
Square parts are planned at once by first fit, and the bars dealt out. Mitred ones are dealt out before: a batch has
parts of every length, so that none lacks short ones to fill up with. Bars and left overs to keep that one batch leaves
are open to the others.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from cutplan.solving.certificate import denominator, largest_sum
from cutplan.solving.clock import Clock
from cutplan.solving.constructive import first_fit, preferences
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.instance import Instance
from cutplan.solving.nodes import by_length
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse, may_still_keep, tidy, total_cost
from cutplan.solving.solver_pieces import Piece
from cutplan.solving.sparse import Filled, sparse_first_fit
from cutplan.solving.tree import Outcome, TreeSearch, first_step
from cutplan.solving.uncollected import uncollected
from cutplan.units import ceil_div


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

    def give(self, instance: Instance, pieces: Sequence[Piece]) -> Instance:
        """A batch of some pieces with all of that open to it."""
        sources = tuple(replace(s, most=most) for s, most in zip(instance.sources, self.bars, strict=True))
        return replace(instance, pieces=tuple(pieces), sources=sources, most_kept=self.keeps)

    def take(self, batch: Batch, sign: int = 1) -> None:
        """Take what a batch uses; with a ``sign`` of -1, put it back."""
        for bars in batch.plan:
            self.bars[bars.source] -= sign * bars.count
        if self.keeps is not None:
            self.keeps -= sign * batch.keeps


def in_batches(
    instance: Instance, parameters: Parameters, clock: Clock, say: Callable[[str], None]
) -> tuple[Outcome, tuple[Batch, ...]]:
    """Plan a group in batches: a first plan of each, the bound of the whole, then a search in each.

    Raises
    ------
    KeyboardInterrupt
        When interrupted before there was a plan for every batch; later the best plan is returned, marked as stopped.
    """
    begun = time.monotonic()
    plan_first = _planned_at_once if instance.space.adds_up else _first_batches
    batches, left = plan_first(instance, clock, parameters)
    cost = sum(batch.cost for batch in batches)
    # As for a search, though no LP asks for a penalty.
    unit = denominator(largest_sum(instance, max(cost, 1)))
    step = first_step(instance, parameters)
    worked = clock.pace.worked()
    known = by_length(instance, unit, parameters, step=step, stopped=clock.struck)
    clock.note_first_bound()
    clock.kept_back += parameters.leaf_lengths * (clock.pace.worked() - worked)
    # Bars are laid out after the search, which takes about as long again.
    clock.deadline -= time.monotonic() - begun
    patterns, stopped_by = 0, ""
    for number, batch in enumerate(batches):
        if stopped_by == "user" or clock.struck() or cost <= known.bound:
            break
        say(f"batch {number + 1} of {len(batches)}")
        left.take(batch, -1)
        within = clock.within(time.monotonic() + clock.seconds_left / (len(batches) - number))
        open_to = left.give(batch.instance, batch.instance.pieces)
        outcome = TreeSearch(open_to, parameters, within, say).run()
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


def _all_open(instance: Instance) -> _Open:
    return _Open([source.most for source in instance.sources], instance.most_kept)


def _first_batches(instance: Instance, clock: Clock, parameters: Parameters) -> tuple[list[Batch], _Open]:
    """A constructed plan for each batch; where one has none, one for all parts at once; none where that fails too."""
    batches, left = [], _all_open(instance)
    for pieces in _dealt(instance, parameters):
        batch = _constructed(left.give(instance, [instance.pieces[i] for i in pieces]), clock)
        if batch is None:
            left, whole = _all_open(instance), _constructed(instance, clock)
            if whole is None:
                return [], left
            left.take(whole)
            return [whole], left
        left.take(batch)
        batches.append(batch)
    return batches, left


def _dealt(instance: Instance, parameters: Parameters) -> list[Sequence[int]]:
    """The pieces, longest first, dealt out in turn."""
    order = instance.longest_first
    number = ceil_div(
        len(order), min(parameters.batch_pieces, max(parameters.batch_least, _size(instance, parameters)))
    )
    return [order[first::number] for first in range(number)]


def _size(instance: Instance, parameters: Parameters) -> int:
    """About how many different parts a batch should have."""
    return max(1, min(parameters.batch_pieces, parameters.batch_counts // len(instance.pieces)))


@uncollected()
def _planned_at_once(instance: Instance, clock: Clock, parameters: Parameters) -> tuple[list[Batch], _Open]:
    """The cheapest first fit of the whole, its bars dealt out in turn; none where no order of bars holds all parts."""
    best: tuple[list[Batch], _Open] | None = None
    for preference in preferences(instance):
        if best is not None and clock.struck():
            break
        began = clock.pace.worked()
        filled = sparse_first_fit(instance, preference)
        if filled is None:
            continue
        found = _with_bars_dealt(instance, filled, parameters)
        # As for a search: a bound and its check are to follow.
        clock.lets(parameters.bound_plans * (clock.pace.worked() - began))
        if best is None or sum(batch.cost for batch in found[0]) < sum(batch.cost for batch in best[0]):
            best = found
    return best or ([], _all_open(instance))


def _with_bars_dealt(instance: Instance, filled: Sequence[Filled], parameters: Parameters) -> tuple[list[Batch], _Open]:
    """Batches of about the same number of bars, each with long and short ones; spares go to the first with the part."""
    left = _all_open(instance)
    for bars in filled:
        left.bars[bars.source] -= bars.count
    number = min(len(filled), ceil_div(len(instance.pieces), _size(instance, parameters)))
    batches: list[Batch] = []
    spared: set[int] = set()
    for first in range(number):
        own = filled[first::number]
        demand: dict[int, int] = {}
        for bars in own:
            left.bars[bars.source] += bars.count
            for piece, n in bars.holds:
                demand[piece] = demand.get(piece, 0) + n * bars.count
        held = sorted(demand.items())
        pieces = [_portion(instance.pieces[i], n, i not in spared) for i, n in held]
        spared.update(demand)
        places = {i: place for place, (i, _) in enumerate(held)}
        plan = []
        for bars in own:
            counts = [0] * len(places)
            for piece, n in bars.holds:
                counts[places[piece]] = n
            plan.append(PatternUse(bars.source, tuple(counts), bars.count))
        open_to = left.give(instance, pieces)
        # Of one source there is nothing to choose, and first fit makes no part twice.
        batches.append(Batch(open_to, tuple(tidy(open_to, plan) if len(open_to.sources) > 1 else plan)))
        left.take(batches[-1])
    return batches, left


def _portion(piece: Piece, demand: int, spares: bool) -> Piece:
    """As many of a piece as a batch has, with or without its spares."""
    if demand == piece.demand and (spares or not piece.spares):
        return piece
    return piece._replace(demand=demand, spares=piece.spares if spares else 0)


def _constructed(instance: Instance, clock: Clock) -> Batch | None:
    incumbent = Incumbent(instance)
    for preference in preferences(instance):
        if incumbent.plan is not None and clock.struck():
            break
        incumbent.offer(first_fit(instance, preference, instance.demand, [source.most for source in instance.sources]))
    return None if incumbent.plan is None else Batch(instance, tuple(incumbent.plan))
