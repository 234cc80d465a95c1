"""Plans in milliseconds: first fit decreasing, fills by worth, and the tidying of any plan found."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from cutplan.model import SourceKind
from cutplan.solving.grid import Grid
from cutplan.solving.instance import Instance, Pattern


@dataclass(frozen=True)
class Bars:
    """``count`` bars of one source, all cut to one pattern."""

    source: int
    pattern: Pattern
    count: int


def total_cost(instance: Instance, plan: Sequence[Bars]) -> int:
    """What a plan costs, the most valuable of its left overs kept. [cost unit]"""
    cost = sum(bars.count * instance.cost(bars.source, bars.pattern) for bars in plan)
    if instance.kept_counts:
        values = sorted(_values(instance, plan))
        cost += sum(values[: max(0, len(values) - (instance.most_kept or 0))])
    return cost


def _values(instance: Instance, plan: Sequence[Bars]) -> list[int]:
    """Worth of each left over that has any."""
    found = [(instance.value_left(bars.source, bars.pattern), bars.count) for bars in plan]
    return [value for value, count in found if value for _ in range(count)]


def may_still_keep(instance: Instance, plan: Sequence[Bars]) -> int:
    """How many more left overs than those of some bars may be kept."""
    return max(0, (instance.most_kept or 0) - len(_values(instance, plan)))


def covers(instance: Instance, plan: Sequence[Bars]) -> bool:
    """Does a plan hold every part wanted, each bar allowed and none used more often than there are?"""
    made = [0] * len(instance.pieces)
    used = [0] * len(instance.sources)
    for bars in plan:
        used[bars.source] += bars.count
        if not instance.allowed(bars.source, bars.pattern):
            return False
        for i, n in enumerate(bars.pattern):
            made[i] += n * bars.count
    enough = all(m >= d for m, d in zip(made, instance.demand, strict=True))
    return enough and all(u <= source.most for u, source in zip(used, instance.sources, strict=True))


def _greedy_fill(instance: Instance, index: int, wanted: Sequence[int], order: Sequence[int]) -> Pattern:
    """Longest parts first, as ``order`` has them, into one bar; empty when nothing may be cut from it."""
    room, served = instance.sources[index].room, instance.served[index]
    counts = [0] * len(wanted)
    takes = instance.takes
    shortest = takes[order[-1]] if order else 0
    for i in order:
        if room < shortest:
            break
        if wanted[i] and takes[i] <= room and served[i]:
            counts[i] = min(wanted[i], room // takes[i])
            room -= counts[i] * takes[i]
    # What cannot be held is taken off again, shortest first, until the left over can be held instead.
    for i in reversed(order):
        while counts[i] and not instance.allowed(index, counts):
            counts[i] -= 1
    return tuple(counts)


def _times(pattern: Pattern, wanted: Sequence[int], most: int) -> int:
    """How often a pattern can be repeated without making more than is wanted."""
    return max(1, min([most] + [w // n for w, n in zip(wanted, pattern, strict=True) if n]))


def first_fit(
    instance: Instance, preference: Sequence[int], wanted: Sequence[int], left: Sequence[int]
) -> list[Bars] | None:
    """First fit decreasing, opening bars in the order of ``preference``; None when parts remain.

    ``wanted`` is how many of each part are still to be placed, ``left`` how many
    bars of each source there are.
    """
    wanted, left = list(wanted), list(left)
    order = sorted(range(len(wanted)), key=lambda i: (-instance.takes[i], i))
    plan: list[Bars] = []
    while any(wanted):
        order = [i for i in order if wanted[i]]
        for index in preference:
            pattern = _greedy_fill(instance, index, wanted, order) if left[index] else ()
            if any(pattern):
                break
        else:
            return None
        times = _times(pattern, wanted, left[index])
        plan.append(Bars(index, pattern, times))
        left[index] -= times
        wanted = [w - times * n for w, n in zip(wanted, pattern, strict=True)]
    return plan


def preferences(instance: Instance) -> Iterator[list[int]]:
    """Orders in which first fit is worth trying: each stock length first, with and without the offcuts before it."""
    sources = instance.sources
    offcuts = sorted(
        (i for i, s in enumerate(sources) if s.kind is SourceKind.OFFCUT), key=lambda i: (sources[i].room, i)
    )
    stock = [i for i, s in enumerate(sources) if s.kind is SourceKind.BOUGHT]
    by_rate = sorted(stock, key=lambda i: (sources[i].price / max(sources[i].room, 1), i))
    for first in by_rate:
        rest = [i for i in by_rate if i != first]
        yield [*offcuts, first, *rest]
        if offcuts:
            yield [first, *rest, *offcuts]
    if not by_rate:
        yield offcuts


def by_worth(
    instance: Instance,
    grid: Grid,
    worths: Sequence[float],
    wanted: Sequence[int],
    left: Sequence[int],
    stopped: Callable[[], bool],
) -> list[Bars] | None:
    """Fill bar after bar with what is worth most for its cost, until nothing is wanted; None when parts remain.

    None too when it is ``stopped`` before.

    ``worths`` are duals of the pattern LP; a part the LP holds worthless still
    counts a little by its length, so that it is not left to the end.
    """
    wanted, left = list(wanted), list(left)
    longest = max(piece.take for piece in instance.pieces)
    floor = max(worths) * 1e-3 if any(worths) else 1.0
    prices = [max(w, 0.0) + floor * p.take / longest for w, p in zip(worths, instance.pieces, strict=True)]
    plan: list[Bars] = []
    while any(wanted):
        if stopped():
            return None
        limited = grid.limited(wanted)
        tables = limited.tables(prices, np.float64, unit=0)
        choice: tuple[float, int, Pattern] | None = None
        for index, source in enumerate(instance.sources):
            if not left[index]:
                continue
            pattern = limited.richest(index, tables, prices)
            pattern = tuple(min(n, w) for n, w in zip(pattern, wanted, strict=True))
            if not any(pattern) or not instance.allowed(index, pattern):
                continue
            worth = sum(n * w for n, w in zip(pattern, prices, strict=True))
            ratio = (instance.cost(index, pattern) + 1e-6 * source.price + 1e-9) / worth
            if choice is None or ratio < choice[0]:
                choice = (ratio, index, pattern)
        if choice is None:
            return None
        _, index, pattern = choice
        times = _times(pattern, wanted, left[index])
        plan.append(Bars(index, pattern, times))
        left[index] -= times
        wanted = [w - times * n for w, n in zip(wanted, pattern, strict=True)]
    return plan


def tidy(instance: Instance, plan: Sequence[Bars]) -> list[Bars]:
    """Take off surplus parts, then cut each set from the cheapest, then shortest, bar that serves.

    Never dearer than the plan given: cost does not rise when a part is taken
    off, and a set moves only to a bar that costs no more. Where few left overs
    may be kept, bars are not judged one by one, so there the better of both is taken.
    """
    lean = without_surplus(instance, plan)
    return min([_resource(instance, lean), lean], key=lambda plan: total_cost(instance, plan))


def without_surplus(instance: Instance, plan: Sequence[Bars]) -> list[Bars]:
    """Take off what is made beyond the demand, from the emptiest bars first."""
    surplus = [-d for d in instance.demand]
    for bars in plan:
        for i, n in enumerate(bars.pattern):
            surplus[i] += n * bars.count
    if not any(surplus):
        return list(plan)
    kept = []
    for bars in sorted(plan, key=lambda bars: instance.fill(bars.pattern)):
        count = bars.count
        while count and any(n and s for n, s in zip(bars.pattern, surplus, strict=True)):
            pattern = tuple(n - min(n, s) for n, s in zip(bars.pattern, surplus, strict=True))
            surplus = [s - min(n, s) for n, s in zip(bars.pattern, surplus, strict=True)]
            count -= 1
            if any(pattern):
                kept.append(Bars(bars.source, pattern, 1))
        if count:
            kept.append(Bars(bars.source, bars.pattern, count))
    return kept


def _resource(instance: Instance, plan: Sequence[Bars]) -> list[Bars]:
    """Cut each set from the cheapest, then shortest, bar that serves; the fullest sets choose first."""
    left = [source.most for source in instance.sources]
    for bars in plan:
        left[bars.source] -= bars.count
    fills = [instance.fill(bars.pattern) for bars in plan]
    choices: dict[Pattern, list[int]] = {}
    placed: dict[tuple[int, Pattern], int] = {}
    for k in sorted(range(len(plan)), key=lambda k: (-fills[k], k)):
        bars = plan[k]
        if bars.pattern not in choices:
            sources = enumerate(instance.sources)
            allowed = [i for i, s in sources if s.room >= fills[k] and instance.allowed(i, bars.pattern)]
            costs = {i: instance.cost(i, bars.pattern) for i in allowed}
            choices[bars.pattern] = sorted(allowed, key=lambda i: (costs[i], instance.sources[i].room, i))
        left[bars.source] += bars.count
        count = bars.count
        for i in choices[bars.pattern]:
            taken = min(count, left[i])
            if taken:
                left[i] -= taken
                count -= taken
                placed[i, bars.pattern] = placed.get((i, bars.pattern), 0) + taken
    return [Bars(source, pattern, count) for (source, pattern), count in sorted(placed.items())]
