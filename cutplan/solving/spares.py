"""Spares: more of a part than is wanted, cut from left overs where that costs nothing."""

from __future__ import annotations

from collections.abc import Sequence

from cutplan.solving.problem import Pattern, Problem
from cutplan.solving.quick import Bars
from cutplan.units import Length


def with_spares(problem: Problem, plan: Sequence[Bars]) -> list[Bars]:
    """A plan with spares in it, longest first, each where it leaves the most useful rest.

    A spare goes into a bar only when the bar then costs no more than before.
    What would be scrap anyway is used first, a left over to keep only then; of
    several the tightest.
    """
    filled = list(plan)
    if problem.cut_at_least:
        return filled  # no cut is free
    for i in sorted(range(len(problem.pieces)), key=lambda i: (-problem.pieces[i].take, i)):
        for _ in range(problem.pieces[i].spares):
            if not _place(problem, filled, i):
                break
    return filled


def _place(problem: Problem, plan: list[Bars], i: int) -> bool:
    """Put one spare of piece ``i`` into a bar of the plan, in place; False where no bar takes it for nothing."""
    choices: list[tuple[bool, Length, int, Pattern]] = []
    for k, bars in enumerate(plan):
        more = tuple(n + int(j == i) for j, n in enumerate(bars.pattern))
        if not problem.allowed(bars.source, more):
            continue
        if problem.cost(bars.source, more) <= problem.cost(bars.source, bars.pattern):
            left = problem.left(bars.source, bars.pattern)
            choices.append((left >= problem.keep, left, k, more))
    if not choices:
        return False
    _, _, k, more = min(choices)
    bars = plan[k]
    plan[k : k + 1] = [Bars(bars.source, more, 1)]
    if bars.count > 1:
        plan.insert(k + 1, Bars(bars.source, bars.pattern, bars.count - 1))
    return True
