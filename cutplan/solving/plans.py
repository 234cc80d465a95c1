"""Whole plans: what they cost, whether they hold, and the tidying of any plan found."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from cutplan.model import SourceKind
from cutplan.solving.instance import Instance
from cutplan.solving.solver_pieces import Pattern
from cutplan.units import Length


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

    Never dearer than the plan given: cost does not rise when a part is taken off.
    """
    return moved(instance, without_surplus(instance, plan))


def moved(instance: Instance, plan: list[PatternUse]) -> list[PatternUse]:
    """Cut each set of a plan from the cheapest, then shortest, bar that serves.

    A set moves only to a bar that costs no more. Where few left overs may be kept, bars are not judged one by one, so
    there the better of both is taken.
    """
    return min([_resource(instance, plan), plan], key=lambda plan: total_cost(instance, plan))


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
    sources = instance.sources
    left = [source.most for source in sources]
    for bars in plan:
        left[bars.source] -= bars.count
    fills = [instance.fill(bars.pattern) for bars in plan]
    ranked = sorted(range(len(sources)), key=lambda i: (sources[i].room, sources[i].kind is not SourceKind.OFFCUT, i))
    if instance.flat:
        # A bar costs the same whatever is cut from it.
        ranked.sort(key=lambda i: sources[i].price)

    def cheapest_first(pattern: Pattern, fill: Length) -> Iterable[int]:
        serving = (i for i in ranked if sources[i].room >= fill and instance.may_be_cut(i, pattern))
        return serving if instance.flat else sorted(serving, key=lambda i: instance.cost(i, pattern))

    placed: dict[tuple[int, Pattern], int] = {}
    for k in sorted(range(len(plan)), key=lambda k: (-fills[k], k)):
        bars = plan[k]
        # Its own bars are free again, so that a set can always stay where it was.
        left[bars.source] += bars.count
        count = bars.count
        for i in cheapest_first(bars.pattern, fills[k]):
            taken = min(count, left[i])
            if taken:
                left[i] -= taken
                count -= taken
                placed[i, bars.pattern] = placed.get((i, bars.pattern), 0) + taken
            if not count:
                break
    return [PatternUse(source, pattern, count) for (source, pattern), count in sorted(placed.items())]
