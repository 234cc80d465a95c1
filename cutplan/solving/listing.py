"""Listing every pattern that a better plan could use, by reduced cost.

With duals y and, for each source, the least m of cost less worth, a plan that
uses a pattern of reduced cost r (its cost less its worth less m) costs at least
the bound plus r. When all patterns with r inside the gap can be listed, an
integer program over them decides.

References
----------
Reduced-cost fixing: G. Nemhauser, L. Wolsey, Integer and Combinatorial
Optimization, Wiley 1988, section II.5.2 (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from cutplan.solving.grid import Grid, chunks_of, let_in
from cutplan.solving.linear import Column, columns_of
from cutplan.solving.problem import Pattern, Problem

MOST_CELLS = 4_000_000
"""Cells of the completion tables, above which listing is not tried."""

STEPS_PER_PATTERN = 20
"""Steps of the walk allowed for each pattern it may list."""


def patterns_within(
    problem: Problem,
    grid: Grid,
    worths: Sequence[float],
    leasts: Sequence[float],
    gap: float,
    most: int,
    stopped: Callable[[], bool],
) -> list[Column] | None:
    """Every pattern with reduced cost at most ``gap``; None when there are more than ``most`` or time is up.

    Where a bar costs the same whatever is cut from it only sets to which no
    part can be added are listed: a smaller set costs no less.

    Parameters
    ----------
    worths
        Duals of the node, 0 or more. [cost unit]
    leasts
        By these duals, the least of cost less worth of each source. [cost unit]
    gap
        What a better plan may cost above the node's bound. [cost unit]
    """
    columns: list[Column] = []
    for index in range(len(problem.sources)):
        if grid.caps[index] < 0:
            continue
        found = _of_source(problem, grid, index, worths, leasts[index], gap, most - len(columns), stopped)
        if found is None:
            return None
        columns += found
    return columns


def _of_source(
    problem: Problem,
    grid: Grid,
    index: int,
    worths: Sequence[float],
    least: float,
    gap: float,
    most: int,
    stopped: Callable[[], bool],
) -> list[Column] | None:
    source, served, cap = problem.sources[index], problem.served[index], grid.caps[index]
    order = sorted(
        (i for i in range(len(problem.pieces)) if served[i] and grid.takes[i] <= cap),
        key=lambda i: (-grid.takes[i], i),
    )
    if (cap + 1) * (len(order) + 1) > MOST_CELLS or any(grid.takes[i] == 0 for i in order):
        return None
    # A set costs at least its bare price and its cuts (but for a part that is the whole bar and needs none), so
    # completing it must bring this much worth beyond those.
    cheapest = source.price - problem.value(source.reach) - source.per_cut
    worths = [worth - source.per_cut for worth in worths]
    needed = cheapest - least - gap - 1e-9 * source.price
    completions = _completions(grid, worths, order, cap)
    counts = [0] * len(problem.pieces)
    columns: list[Column] = []
    steps = 0

    def walk(k: int, room: int, worth: float) -> bool:
        """Try every count of the k-th part and on; False once there is too much to list."""
        nonlocal steps
        steps += 1
        if steps > STEPS_PER_PATTERN * most or (steps % 4096 == 0 and stopped()):
            return False
        if worth + completions[k][room] < needed:
            return True
        if k == len(order):
            pattern = tuple(counts)
            worth += source.per_cut * sum(pattern)
            if _listed(problem, index, pattern, worth + least + gap + 1e-9 * source.price):
                columns.extend(columns_of(problem, index, pattern))
            return len(columns) <= most
        i = order[k]
        for n in range(min(grid.limits[i], room // grid.takes[i]), -1, -1):
            counts[i] = n
            if not walk(k + 1, room - n * grid.takes[i], worth + n * max(worths[i], 0.0)):
                return False
        return True

    return columns if walk(0, cap, 0.0) else None


def _listed(problem: Problem, index: int, pattern: Pattern, dearest: float) -> bool:
    """May the pattern be cut, does it cost little enough, and is it as full as it must be?"""
    if not any(pattern) or not problem.allowed(index, pattern):
        return False
    if problem.cost(problem.sources[index], pattern) > dearest:
        return False
    return not problem.flat or not _could_grow(problem, index, pattern)


def _could_grow(problem: Problem, index: int, pattern: Pattern) -> bool:
    slack = problem.sources[index].room - problem.fill(pattern)
    for i, (n, piece) in enumerate(zip(pattern, problem.pieces, strict=True)):
        if n < piece.demand and piece.take <= slack:
            grown = tuple(m + int(k == i) for k, m in enumerate(pattern))
            if problem.allowed(index, grown):
                return True
    return False


def _completions(grid: Grid, worths: Sequence[float], order: Sequence[int], cap: int) -> list[list[float]]:
    """For each k, the most worth that parts order[k:] can add in every room."""
    rows = [np.zeros(cap + 1)]
    for i in reversed(order):
        row = rows[-1].copy()
        for size in chunks_of(min(grid.limits[i], cap // grid.takes[i])):
            let_in(row, size * grid.takes[i], size * max(worths[i], 0.0))
        rows.append(row)
    return [row.tolist() for row in reversed(rows)]
