"""Plans in milliseconds: first fit decreasing, fills by worth, and the tidying of any plan found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from cutplan.model import SourceKind
from cutplan.solving.grid import Grid
from cutplan.solving.problem import Pattern, Problem


@dataclass(frozen=True)
class Bars:
    """``count`` bars of one source, all cut to one pattern."""

    source: int
    pattern: Pattern
    count: int


def total_cost(problem: Problem, plan: Sequence[Bars]) -> int:
    """What a plan costs. [cost unit]"""
    return sum(bars.count * problem.cost(problem.sources[bars.source], bars.pattern) for bars in plan)


def covers(problem: Problem, plan: Sequence[Bars]) -> bool:
    """Does a plan hold every part wanted, each bar allowed and none used more often than there are?"""
    made = [0] * len(problem.pieces)
    used = [0] * len(problem.sources)
    for bars in plan:
        used[bars.source] += bars.count
        if not problem.allowed(bars.source, bars.pattern):
            return False
        for i, n in enumerate(bars.pattern):
            made[i] += n * bars.count
    enough = all(m >= d for m, d in zip(made, problem.demand, strict=True))
    return enough and all(u <= source.most for u, source in zip(used, problem.sources, strict=True))


def _greedy_fill(problem: Problem, index: int, wanted: Sequence[int]) -> Pattern:
    """Longest parts first into one bar; empty when nothing may be cut from it."""
    room, served = problem.sources[index].room, problem.served[index]
    counts = [0] * len(wanted)
    order = sorted(range(len(wanted)), key=lambda i: (-problem.pieces[i].take, i))
    for i in order:
        if served[i] and wanted[i]:
            counts[i] = min(wanted[i], room // problem.pieces[i].take)
            room -= counts[i] * problem.pieces[i].take
    # What cannot be held is taken off again, shortest first, until the left over can be held instead.
    for i in reversed(order):
        while counts[i] and not problem.allowed(index, counts):
            counts[i] -= 1
    return tuple(counts)


def _times(pattern: Pattern, wanted: Sequence[int], most: int) -> int:
    """How often a pattern can be repeated without making more than is wanted."""
    return max(1, min([most] + [w // n for w, n in zip(wanted, pattern, strict=True) if n]))


def first_fit(
    problem: Problem, preference: Sequence[int], wanted: Sequence[int], left: Sequence[int]
) -> list[Bars] | None:
    """First fit decreasing, opening bars in the order of ``preference``; None when parts remain.

    ``wanted`` is how many of each part are still to be placed, ``left`` how many
    bars of each source there are.
    """
    wanted, left = list(wanted), list(left)
    plan: list[Bars] = []
    while any(wanted):
        for index in preference:
            pattern = _greedy_fill(problem, index, wanted) if left[index] else ()
            if any(pattern):
                break
        else:
            return None
        times = _times(pattern, wanted, left[index])
        plan.append(Bars(index, pattern, times))
        left[index] -= times
        wanted = [w - times * n for w, n in zip(wanted, pattern, strict=True)]
    return plan


def preferences(problem: Problem) -> list[list[int]]:
    """Orders in which first fit is worth trying: each stock length first, with and without the offcuts before it."""
    sources = problem.sources
    offcuts = sorted(
        (i for i, s in enumerate(sources) if s.kind is SourceKind.OFFCUT), key=lambda i: (sources[i].room, i)
    )
    stock = [i for i, s in enumerate(sources) if s.kind is SourceKind.BOUGHT]
    by_rate = sorted(stock, key=lambda i: (sources[i].price / max(sources[i].room, 1), i))
    orders = []
    for first in by_rate:
        rest = [i for i in by_rate if i != first]
        orders.append([*offcuts, first, *rest])
        if offcuts:
            orders.append([first, *rest, *offcuts])
    return orders or [offcuts]


def by_worth(
    problem: Problem, grid: Grid, worths: Sequence[float], wanted: Sequence[int], left: Sequence[int]
) -> list[Bars] | None:
    """Fill bar after bar with what is worth most for its cost, until nothing is wanted; None when parts remain.

    ``worths`` are duals of the pattern LP; a part the LP holds worthless still
    counts a little by its length, so that it is not left to the end.
    """
    wanted, left = list(wanted), list(left)
    longest = max(piece.take for piece in problem.pieces)
    floor = max(worths) * 1e-3 if any(worths) else 1.0
    prices = [max(w, 0.0) + floor * p.take / longest for w, p in zip(worths, problem.pieces, strict=True)]
    plan: list[Bars] = []
    while any(wanted):
        limited = grid.limited(wanted)
        tables = limited.tables(prices, np.float64)
        choice: tuple[float, int, Pattern] | None = None
        for index, source in enumerate(problem.sources):
            if not left[index]:
                continue
            pattern = limited.richest(index, tables, prices)
            pattern = tuple(min(n, w) for n, w in zip(pattern, wanted, strict=True))
            if not any(pattern) or not problem.allowed(index, pattern):
                continue
            worth = sum(n * w for n, w in zip(pattern, prices, strict=True))
            ratio = (problem.cost(source, pattern) + 1e-6 * source.price + 1e-9) / worth
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


def tidy(problem: Problem, plan: Sequence[Bars]) -> list[Bars]:
    """Take off surplus parts, then cut each set from the cheapest, then shortest, bar that serves.

    Never dearer than the plan given: cost does not rise when a part is taken
    off, and a set moves only to a bar that costs no more.
    """
    sets = [(bars.source, list(bars.pattern)) for bars in plan for _ in range(bars.count)]
    surplus = [sum(counts[i] for _, counts in sets) - d for i, d in enumerate(problem.demand)]
    if any(surplus):
        sets.sort(key=lambda entry: problem.fill(entry[1]))
        for _, counts in sets:
            for i, n in enumerate(counts):
                off = min(n, surplus[i])
                counts[i] -= off
                surplus[i] -= off
    return _resource(problem, [(source, tuple(counts)) for source, counts in sets if any(counts)])


def _resource(problem: Problem, sets: list[tuple[int, Pattern]]) -> list[Bars]:
    left = [source.most for source in problem.sources]
    for source, _ in sets:
        left[source] -= 1
    order = sorted(range(len(sets)), key=lambda k: (-problem.fill(sets[k][1]), k))
    choices: dict[Pattern, list[int]] = {}
    placed: dict[tuple[int, Pattern], int] = {}
    for k in order:
        current, pattern = sets[k]
        if pattern not in choices:
            allowed = [i for i in range(len(problem.sources)) if problem.allowed(i, pattern)]
            costs = {i: problem.cost(problem.sources[i], pattern) for i in allowed}
            choices[pattern] = sorted(allowed, key=lambda i: (costs[i], problem.sources[i].room, i))
        left[current] += 1
        best = next(i for i in choices[pattern] if left[i] > 0)
        left[best] -= 1
        placed[best, pattern] = placed.get((best, pattern), 0) + 1
    return [Bars(source, pattern, count) for (source, pattern), count in sorted(placed.items())]
