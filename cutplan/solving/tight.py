"""Bars filled to the brim: the longest part, and beside it the set of others that leaves least.

Where parts have very many different lengths nearly every bar can be filled without a rest, until few parts are left.
Which bars those are cut from is then worth a search of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from operator import add, sub

from cutplan.model import SourceKind
from cutplan.solving.constructive import repeats
from cutplan.solving.dive import PartialPlan
from cutplan.solving.instance import Instance
from cutplan.solving.knapsack import chunks_of
from cutplan.solving.plans import PatternUse
from cutplan.solving.solver_pieces import Pattern
from cutplan.units import ceil_div


def filled(
    instance: Instance, state: PartialPlan, most_left: int, most_steps: int, stopped: Callable[[], bool], aside: int = 0
) -> PartialPlan:
    """Bars of the least price for their room, each filled to the brim, until no more than so many parts are wanted.

    Of all lengths alike so many parts are put ``aside`` before: they are wanted in the end, and so is what would not
    fill the last bar.

    It ends sooner where no such bar is left, the vice could not hold what would be cut from it, or it is ``stopped``.

    Raises
    ------
    ValueError
        When what a set takes is no sum.
    """
    if not instance.space.adds_up:
        raise ValueError("what a set takes is no sum of its parts")
    sources = instance.sources
    bought = [s for s, source in enumerate(sources) if source.kind is SourceKind.BOUGHT and source.room > 0]
    order: Sequence[int] = instance.longest_first
    kept = spread(state.wanted, order[::-1], aside)
    state = replace(state, wanted=list(map(sub, state.wanted, kept)))
    for s in sorted(bought, key=lambda s: (sources[s].price / sources[s].room, s)):
        while state.left[s] and sum(state.wanted) > most_left and not stopped():
            order = [i for i in order if state.wanted[i]]
            pattern = fullest(instance, s, state.wanted, order, most_steps)
            if not any(pattern) or not instance.allowed(s, pattern) or (aside and sum(pattern) == sum(state.wanted)):
                break
            state = state.fix(PatternUse(s, pattern, repeats(pattern, state.wanted, state.left[s])))
    return replace(state, wanted=list(map(add, state.wanted, kept)))


def spread(wanted: Sequence[int], order: Sequence[int], number: int) -> list[int]:
    """So many of all parts wanted, or all, evenly along ``order``."""
    one_by_one = [i for i in order for _ in range(wanted[i])]
    number = min(number, len(one_by_one))
    chosen = [0] * len(wanted)
    for k in range(number):
        chosen[one_by_one[(2 * k + 1) * len(one_by_one) // (2 * number)]] += 1
    return chosen


def fullest(instance: Instance, index: int, wanted: Sequence[int], order: Sequence[int], most_steps: int) -> Pattern:
    """The longest part that a bar can hold, and what fills the bar most beside it; of such sets one of long parts.

    ``order`` names the parts, longest first. None of them at all where the bar can hold none. A bar is counted in
    ``most_steps`` at most, what parts take rounded up to these.
    """
    step = max(instance.divisor, ceil_div(instance.sources[index].room, most_steps))
    room, served = instance.sources[index].room // step, instance.served[index]
    takes = [ceil_div(take, step) for take in instance.takes]
    counts = [0] * len(wanted)
    fitting = [i for i in order if wanted[i] and served[i] and takes[i] <= room]
    if not fitting:
        return tuple(counts)
    counts[fitting[0]] = 1
    room -= takes[fitting[0]]
    # Bit n is set where some set takes n steps: parts come in longest first, and are read back shortest first, each
    # left out where it can be.
    sums, within = 1, (1 << (room + 1)) - 1
    entered = []
    for i in fitting:
        copies = min(wanted[i] - counts[i], room // takes[i]) if takes[i] else 0
        for size in chunks_of(copies):
            entered.append((i, size, sums))
            sums |= (sums << (size * takes[i])) & within
        if sums >> room:
            break
    fill = sums.bit_length() - 1
    for i, size, before in reversed(entered):
        if not before >> fill & 1:
            counts[i] += size
            fill -= size * takes[i]
    return tuple(counts)


def left_over(instance: Instance, state: PartialPlan) -> tuple[Instance, list[int]]:
    """The instance of what is still wanted, from the bars still to be had; and which piece each of its pieces is."""
    places = [i for i, n in enumerate(state.wanted) if n]
    pieces = tuple(instance.pieces[i]._replace(demand=state.wanted[i]) for i in places)
    sources = tuple(replace(source, most=most) for source, most in zip(instance.sources, state.left, strict=True))
    return replace(instance, pieces=pieces, sources=sources), places


def put_back(instance: Instance, plan: Sequence[PatternUse], places: Sequence[int]) -> list[PatternUse]:
    """A plan of what was left over, with a count for every piece of the whole."""
    whole = []
    for bars in plan:
        counts = [0] * len(instance.pieces)
        for i, n in zip(places, bars.pattern, strict=True):
            counts[i] = n
        whole.append(PatternUse(bars.source, tuple(counts), bars.count))
    return whole
