"""Whole plans: what they cost, whether they hold, and the tidying of any plan found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cutplan.model import SourceKind
from cutplan.solving.instance import Instance
from cutplan.solving.solver_pieces import Pattern


@dataclass(frozen=True)
class PatternUse:
    """A pattern with its multiplicity: ``count`` bars of one source, all cut to it."""

    source: int
    pattern: Pattern
    count: int


def total_cost(instance: Instance, plan: Sequence[PatternUse]) -> int:
    """What a plan costs, the most valuable of its left overs kept. [cost unit]"""
    cost = sum(bars.count * instance.cost(bars.source, bars.pattern) for bars in plan)
    if instance.kept_counts:
        values = sorted(_values(instance, plan))
        cost += sum(values[: max(0, len(values) - (instance.most_kept or 0))])
    return cost


def _values(instance: Instance, plan: Sequence[PatternUse]) -> list[int]:
    """Worth of each left over that has any."""
    found = [(instance.value_left(bars.source, bars.pattern), bars.count) for bars in plan]
    return [value for value, count in found if value for _ in range(count)]


def may_still_keep(instance: Instance, plan: Sequence[PatternUse]) -> int:
    """How many more left overs than those of some bars may be kept."""
    return max(0, (instance.most_kept or 0) - len(_values(instance, plan)))


def covers(instance: Instance, plan: Sequence[PatternUse]) -> bool:
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


def tidy(instance: Instance, plan: Sequence[PatternUse]) -> list[PatternUse]:
    """Take off surplus parts, then cut each set from the cheapest, then shortest, bar that serves.

    Never dearer than the plan given: cost does not rise when a part is taken
    off, and a set moves only to a bar that costs no more. Where few left overs
    may be kept, bars are not judged one by one, so there the better of both is taken.
    """
    lean = without_surplus(instance, plan)
    return min([_resource(instance, lean), lean], key=lambda plan: total_cost(instance, plan))


def without_surplus(instance: Instance, plan: Sequence[PatternUse]) -> list[PatternUse]:
    """Take off what is made beyond the demand, from the emptiest bars first."""
    surplus = [-d for d in instance.demand]
    for bars in plan:
        for i, n in enumerate(bars.pattern):
            surplus[i] += n * bars.count
    if not any(surplus):
        return list(plan)
    kept = []
    # A bar that holds little is the first to be empty, and then need not be bought.
    for bars in sorted(plan, key=lambda bars: instance.fill(bars.pattern)):
        count = bars.count
        while count and any(n and s for n, s in zip(bars.pattern, surplus, strict=True)):
            pattern = tuple(n - min(n, s) for n, s in zip(bars.pattern, surplus, strict=True))
            surplus = [s - min(n, s) for n, s in zip(bars.pattern, surplus, strict=True)]
            count -= 1
            if any(pattern):
                kept.append(PatternUse(bars.source, pattern, 1))
        if count:
            kept.append(PatternUse(bars.source, bars.pattern, count))
    return kept


def _resource(instance: Instance, plan: Sequence[PatternUse]) -> list[PatternUse]:
    """Cut each set from the cheapest, then shortest, bar that serves; the fullest sets choose first.

    Of bars alike in both, one that lies on the rack goes before one that is bought: it is paid already.
    """
    left = [source.most for source in instance.sources]
    for bars in plan:
        left[bars.source] -= bars.count
    fills = [instance.fill(bars.pattern) for bars in plan]
    bought = [source.kind is not SourceKind.OFFCUT for source in instance.sources]
    choices: dict[Pattern, list[int]] = {}
    placed: dict[tuple[int, Pattern], int] = {}
    for k in sorted(range(len(plan)), key=lambda k: (-fills[k], k)):
        bars = plan[k]
        if bars.pattern not in choices:
            sources = enumerate(instance.sources)
            allowed = [i for i, s in sources if s.room >= fills[k] and instance.may_be_cut(i, bars.pattern)]
            costs = {i: instance.cost(i, bars.pattern) for i in allowed}
            choices[bars.pattern] = sorted(allowed, key=lambda i: (costs[i], instance.sources[i].room, bought[i], i))
        # Its own bars are free again, so that a set can always stay where it was.
        left[bars.source] += bars.count
        count = bars.count
        for i in choices[bars.pattern]:
            taken = min(count, left[i])
            if taken:
                left[i] -= taken
                count -= taken
                placed[i, bars.pattern] = placed.get((i, bars.pattern), 0) + taken
    return [PatternUse(source, pattern, count) for (source, pattern), count in sorted(placed.items())]
