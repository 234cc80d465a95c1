"""Second goals, once the money is as low as it gets: to leave as little as can be lying on the rack, then fewer bars,
fewer set-ups of the saw, one long left over.

Nothing here is called optimal. Pairs of bars exchange parts, and bars give parts to pieces of the rack, as long as
that makes the plan better in this order and never dearer; a counter ends it.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from cutplan.solving.instance import Instance
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse
from cutplan.solving.solver_pieces import BarPattern, BarPatterns, Pattern
from cutplan.solving.using_up import left_lying, onto_rack, unused, using_up
from cutplan.units import MM


def improved(
    instance: Instance, plan: Sequence[PatternUse], stopped: Callable[[], bool], parameters: Parameters
) -> list[PatternUse]:
    """A plan that costs no more and is better by the second goals, as far as exchanges find one.

    Where the number of left overs to keep is limited, bars cannot be judged by themselves and the plan stays as it is.
    """
    if instance.kept_counts:
        return list(plan)
    patterns: BarPatterns = Counter()
    for bars in plan:
        patterns[bars.source, bars.pattern] += bars.count
    most = parameters.exchanges * parameters.exchange_pieces // max(parameters.exchange_pieces, len(instance.pieces))
    tries, on_rack = (itertools.takewhile(lambda _: not stopped(), range(most)) for _ in range(2))
    better: BarPatterns | None = patterns
    while better is not None:
        while better is not None:
            patterns, better = better, _better(instance, better, tries)
        better = _onto_rack(instance, patterns, parameters.shared_by, on_rack)
    return [PatternUse(source, pattern, count) for (source, pattern), count in sorted(patterns.items())]


def _onto_rack(instance: Instance, patterns: BarPatterns, most_pieces: int, tries: Iterator[int]) -> BarPatterns | None:
    """The plan when parts of bars have gone onto pieces left lying, where fewer are left then; None where none can."""
    found = None
    for bar in sorted(patterns):
        lying = unused(instance, found or patterns)
        if not lying:
            break
        least = instance.cost(*bar), left_lying(instance, *bar)
        for after in onto_rack(instance, bar, lying, most_pieces, tries):
            cost = sum(count * instance.cost(*kind) for kind, count in after.items())
            if (cost, sum(count * left_lying(instance, *kind) for kind, count in after.items())) < least:
                found = (found or patterns) - Counter([bar]) + after
                break
    return found


def _better(instance: Instance, patterns: BarPatterns, tries: Iterator[int]) -> BarPatterns | None:
    """The first better plan that an exchange between two bars gives; None when there is none, or no try left."""
    names = sorted(patterns)
    for place, first in enumerate(names):
        for second in names[place:]:
            # Two bars cut alike may exchange too, if there are two of them.
            before: BarPatterns = Counter([first, second])
            if before[first] > patterns[first]:
                continue
            if next(tries, None) is None:
                return None

            def is_cut(kind: BarPattern, before: BarPatterns = before) -> bool:
                return patterns[kind] > before[kind]

            least = score(instance, before, is_cut)
            for after in exchanges(instance, first, second):
                if next(tries, None) is None:
                    return None
                if score(instance, after, is_cut) < least:
                    return patterns - before + after
            for after in using_up(instance, first, second, tries):
                if score(instance, after, is_cut) < least:
                    return patterns - before + after
    return None


def score(
    instance: Instance, patterns: BarPatterns, is_cut: Callable[[BarPattern], bool]
) -> tuple[int, int, int, int, int]:
    """What some bars add to others, the least being best.

    Cost, pieces that lie on the rack afterwards, bars, set-ups, left overs squared, negative. Each different part of a
    pattern is one set-up, unless a bar of the others ``is_cut`` to it already.
    """
    cost = sum(count * instance.cost(source, pattern) for (source, pattern), count in patterns.items())
    setups = sum(sum(n > 0 for n in pattern) for source, pattern in patterns if not is_cut((source, pattern)))
    # With the same bars and parts, left overs add up to about as much: their squares are most where one is long.
    squares = sum(count * _left(instance, *kind) ** 2 for kind, count in patterns.items())
    lying = sum(count * left_lying(instance, *kind) for kind, count in patterns.items())
    return cost, lying, patterns.total(), setups, -squares


def _left(instance: Instance, source: int, pattern: Pattern) -> int:
    """What a bar leaves, in whole millimetres."""
    return instance.left(source, pattern) // MM


def exchanges(instance: Instance, first: BarPattern, second: BarPattern) -> Iterator[BarPatterns]:
    """What two bars can become: a part moved over, two parts swapped, or all on the shorter bar that holds them."""
    (source, pattern), (other_source, other) = first, second
    whole = tuple(n + m for n, m in zip(pattern, other, strict=True))
    mine = [i for i, n in enumerate(pattern) if n]
    theirs = [i for i, n in enumerate(other) if n]
    takes = [piece.take for piece in instance.pieces]
    slack = instance.sources[source].room - instance.fill(pattern)
    other_slack = instance.sources[other_source].room - instance.fill(other)
    gives: list[tuple[int | None, int | None]] = [(i, None) for i in mine] + [(None, j) for j in theirs]
    gives += [(i, j) for i in mine for j in theirs if i != j]
    for give, get in gives:
        gain = (0 if get is None else takes[get]) - (0 if give is None else takes[give])
        if gain <= slack and -gain <= other_slack:
            mixed = _exchanged(pattern, give, get)
            rest = tuple(n - m for n, m in zip(whole, mixed, strict=True))
            if _may_be(instance, source, mixed) and _may_be(instance, other_source, rest):
                yield Counter(kind for kind in ((source, mixed), (other_source, rest)) if any(kind[1]))
    for one in sorted((source, other_source), key=lambda one: instance.sources[one].room):
        if instance.fill(whole) <= instance.sources[one].room and instance.allowed(one, whole):
            yield Counter([(one, whole)])


def _exchanged(pattern: Pattern, give: int | None, get: int | None) -> Pattern:
    counts = list(pattern)
    if give is not None:
        counts[give] -= 1
    if get is not None:
        counts[get] += 1
    return tuple(counts)


def _may_be(instance: Instance, source: int, pattern: Pattern) -> bool:
    """Is the bar left out, or may it be cut so?"""
    return not any(pattern) or instance.allowed(source, pattern)
