"""Whole plans from LP solutions: round down and fill the rest, or dive with column generation in between."""

from __future__ import annotations

from collections.abc import Sequence

from cutplan.solving.linear import Relaxed
from cutplan.solving.quick import Bars, by_worth, first_fit, preferences
from cutplan.solving.relax import Generator

DIVE_ROUNDS = 12
"""LP solves after each fixing of a dive; the duals need not be exact there."""


def round_down(generator: Generator, relaxed: Relaxed) -> list[list[Bars]]:
    """Whole bars of an LP solution, the rest filled once by worth and once by first fit."""
    problem = generator.problem
    fixed, wanted, left = _whole_part(generator, relaxed, problem.demand, [s.most for s in problem.sources])
    if not any(wanted):
        return [fixed]
    plans = []
    rest = by_worth(problem, generator.fill_grid, relaxed.worths, wanted, left)
    if rest is not None:
        plans.append(fixed + rest)
    for preference in preferences(problem):
        rest = first_fit(problem, preference, wanted, left)
        if rest is not None:
            plans.append(fixed + rest)
    return plans


def _whole_part(
    generator: Generator, relaxed: Relaxed, demand: Sequence[int], most: Sequence[int]
) -> tuple[list[Bars], list[int], list[int]]:
    fixed: list[Bars] = []
    wanted, left = list(demand), list(most)
    for column, use in zip(generator.master.columns, relaxed.uses, strict=False):
        count = min(int(use + 1e-6), left[column.source])
        if count:
            fixed.append(Bars(column.source, column.pattern, count))
            left[column.source] -= count
            wanted = [max(0, w - count * n) for w, n in zip(wanted, column.pattern, strict=True)]
    return fixed, wanted, left


def dive(generator: Generator, relaxed: Relaxed, ranges: Sequence[tuple[int, int]]) -> list[Bars] | None:
    """Fix whole bars, solve the LP for what is left, and again, until nothing is; None when parts remain."""
    problem = generator.problem
    wanted: list[int] = list(problem.demand)
    left = [high for _, high in ranges]
    plan: list[Bars] = []
    current: Relaxed | None = relaxed
    while any(wanted):
        if current is None or current.missing > 1e-6:
            return None
        fixed, wanted, left = _whole_part(generator, current, wanted, left)
        if not fixed:
            fixed, wanted, left = _likeliest(generator, current, wanted, left)
            if not fixed:
                return None
        plan += fixed
        if any(wanted):
            node = generator.relax([(0, n) for n in left], wanted, float("inf"), DIVE_ROUNDS)
            current = node.relaxed if node else None
    return plan


def _likeliest(
    generator: Generator, relaxed: Relaxed, wanted: Sequence[int], left: Sequence[int]
) -> tuple[list[Bars], list[int], list[int]]:
    """One bar of the column nearest to a whole one."""
    columns = generator.master.columns
    best = max(
        (k for k, use in enumerate(relaxed.uses) if use > 1e-6 and left[columns[k].source] > 0),
        key=lambda k: (round(relaxed.uses[k] % 1.0, 6), -k),
        default=None,
    )
    if best is None:
        return [], list(wanted), list(left)
    column, rest = columns[best], list(left)
    rest[column.source] -= 1
    return (
        [Bars(column.source, column.pattern, 1)],
        [max(0, w - n) for w, n in zip(wanted, column.pattern, strict=True)],
        rest,
    )
