"""Spares: more of a part than is wanted, cut from left overs where that costs nothing."""

from __future__ import annotations

from collections.abc import Sequence

from cutplan.solving.instance import Instance
from cutplan.solving.plans import PatternUse
from cutplan.solving.solver_pieces import Pattern
from cutplan.units import Length


def with_spares(instance: Instance, plan: Sequence[PatternUse]) -> list[PatternUse]:
    """A plan with spares in it, longest first, each where it leaves the most useful rest.

    A spare goes into a bar only when the bar then costs no more than before.
    What would be scrap anyway is used first, a left over to keep only then; of
    several the tightest.
    """
    filled = list(plan)
    if instance.cut_at_least:
        return filled  # no cut is free
    welcome = [i for i, piece in enumerate(instance.pieces) if piece.spares]
    for i in sorted(welcome, key=lambda i: (-instance.pieces[i].take, i)):
        for _ in range(instance.pieces[i].spares):
            if not _place(instance, filled, i):
                break
    return filled


def _place(instance: Instance, plan: list[PatternUse], i: int) -> bool:
    """Put one spare of piece ``i`` into a bar of the plan, in place; False where no bar takes it for nothing."""
    choices: list[tuple[bool, Length, int, Pattern]] = []
    for k, bars in enumerate(plan):
        more = tuple(n + int(j == i) for j, n in enumerate(bars.pattern))
        if not instance.allowed(bars.source, more):
            continue
        if instance.cost(bars.source, more) <= instance.cost(bars.source, bars.pattern):
            left = instance.left(bars.source, bars.pattern)
            choices.append((left >= instance.keep, left, k, more))
    if not choices:
        return False
    _, _, k, more = min(choices)
    bars = plan[k]
    plan[k : k + 1] = [PatternUse(bars.source, more, 1)]
    if bars.count > 1:
        plan.insert(k + 1, PatternUse(bars.source, bars.pattern, bars.count - 1))
    return True
