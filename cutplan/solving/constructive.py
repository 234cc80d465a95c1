"""Constructive heuristics, plans in milliseconds: first fit decreasing, and filling bar after bar by duals."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from cutplan.model import SourceKind
from cutplan.solving.instance import Instance
from cutplan.solving.plans import PatternUse
from cutplan.solving.pricing import Grid
from cutplan.solving.solver_pieces import Pattern


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
    if instance.allowed(index, counts):
        return tuple(counts)
    thinned = instance.space.thinned(index, tuple(counts))
    counts = list(thinned) if any(thinned) else counts
    # What cannot be held is taken off again, shortest first, until the left over can be held instead.
    for i in reversed(order):
        while counts[i] and not instance.allowed(index, counts):
            counts[i] -= 1
    return tuple(counts)


def repeats(pattern: Pattern, wanted: Sequence[int], most: int) -> int:
    """How often a pattern can be repeated without making more than is wanted."""
    return max(1, min([most] + [w // n for w, n in zip(wanted, pattern, strict=True) if n]))


def first_fit(
    instance: Instance, preference: Sequence[int], wanted: Sequence[int], left: Sequence[int]
) -> list[PatternUse] | None:
    """First fit decreasing, opening bars in the order of ``preference``; None when parts remain.

    ``wanted`` is how many of each part are still to be placed, ``left`` how many
    bars of each source there are.
    """
    wanted, left = list(wanted), list(left)
    order: Sequence[int] = instance.longest_first
    plan: list[PatternUse] = []
    while any(wanted):
        order = [i for i in order if wanted[i]]
        for index in preference:
            pattern = _greedy_fill(instance, index, wanted, order) if left[index] else ()
            if any(pattern):
                break
        else:
            return None
        times = repeats(pattern, wanted, left[index])
        plan.append(PatternUse(index, pattern, times))
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


def fill_by_duals(
    instance: Instance,
    grid: Grid,
    duals: Sequence[float],
    wanted: Sequence[int],
    left: Sequence[int],
    stopped: Callable[[], bool],
    least_dual: float,
) -> list[PatternUse] | None:
    """Fill bar after bar with what is worth most for its cost, until nothing is wanted; None when parts remain.

    None too when it is ``stopped`` before.

    ``duals`` are duals of the pattern LP; a part the LP holds worthless still
    counts a little by its length, so that it is not left to the end.
    """
    wanted, left = list(wanted), list(left)
    longest = max(piece.take for piece in instance.pieces)
    floor = max(duals) * least_dual if any(duals) else 1.0
    prices = [max(w, 0.0) + floor * p.take / longest for w, p in zip(duals, instance.pieces, strict=True)]
    plan: list[PatternUse] = []
    while any(wanted):
        if stopped():
            return None
        limited = grid.limited(wanted)
        # Worth alone, with no cost: cost over worth, by which bars are chosen below, is no sum over parts.
        tables = limited.tables(prices, np.float64, unit=0)
        choice: tuple[float, int, Pattern] | None = None
        for index, source in enumerate(instance.sources):
            if not left[index]:
                continue
            pattern = limited.richest(index, tables, prices)
            pattern = tuple(min(n, w) for n, w in zip(pattern, wanted, strict=True))
            if any(pattern) and not instance.allowed(index, pattern):
                pattern = instance.space.thinned(index, pattern)
            if not any(pattern) or not instance.allowed(index, pattern):
                continue
            worth = sum(n * w for n, w in zip(pattern, prices, strict=True))
            # Of bars that cost the same, as offcuts at no book value do, the one of the lower price goes first.
            ratio = (instance.cost(index, pattern) + 1e-6 * source.price + 1e-9) / worth
            if choice is None or ratio < choice[0]:
                choice = (ratio, index, pattern)
        if choice is None:
            return None
        _, index, pattern = choice
        times = repeats(pattern, wanted, left[index])
        plan.append(PatternUse(index, pattern, times))
        left[index] -= times
        wanted = [w - times * n for w, n in zip(wanted, pattern, strict=True)]
    return plan
