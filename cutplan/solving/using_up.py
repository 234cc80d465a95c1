"""Exchanges that use up pieces of the rack: parts of a bar go onto pieces that the plan leaves lying.

What is used up is a piece that is cut and leaves nothing to keep. One that leaves something, or is not cut at all, is
a piece on the rack afterwards.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping
from operator import add, sub

from cutplan.model import SourceKind
from cutplan.solving.instance import Instance
from cutplan.solving.solver_pieces import BarPattern, BarPatterns, Pattern
from cutplan.units import Length


def left_lying(instance: Instance, source: int, pattern: Pattern) -> int:
    """How many more pieces lie on the rack once a bar of a source is cut: -1 is a piece of it used up.

    What a length that is bought leaves is not counted: where it is kept it is of use, and no piece was there before.
    """
    if instance.sources[source].kind is not SourceKind.OFFCUT:
        return 0
    left = instance.left(source, pattern)
    return int(left > 0 and left >= instance.keep) - 1


def unused(instance: Instance, patterns: Mapping[BarPattern, int]) -> dict[int, int]:
    """How many of each piece of the rack a plan leaves lying; of pieces that are alike the first stands for all."""
    left = {i: source.most for i, source in enumerate(instance.sources) if source.kind is SourceKind.OFFCUT}
    for (source, _), count in patterns.items():
        if source in left:
            left[source] -= count
    first: dict[Hashable, int] = {}
    for i, count in left.items():
        if count > 0:
            s = instance.sources[i]
            first.setdefault((s.length, s.start_trim, s.slant, s.far_trim, s.bare, s.rate, instance.served[i]), i)
    return {i: left[i] for i in first.values()}


def onto_rack(
    instance: Instance, bar: BarPattern, lying: Mapping[int, int], most_pieces: int, tries: Iterator[int]
) -> Iterator[BarPatterns]:
    """What a bar can become when parts of it, or all, go onto pieces that lie unused, each used up but the last.

    What stays is cut from the bar as before. At most ``most_pieces`` share the parts of a bar.
    """
    source, pattern = bar
    most = instance.cost(source, pattern)

    def spread(rest: Pattern, used: tuple[BarPattern, ...], cost: int) -> Iterator[tuple[BarPattern, ...]]:
        had = Counter(each for each, _ in used)
        for piece, count in lying.items():
            # In rising order of pieces, so that none of their combinations comes twice.
            if had[piece] >= count or (used and piece < used[-1][0]):
                continue
            sets: Iterable[Pattern] = _sets_for(instance, piece, rest, tries)
            if used and instance.fill(rest) <= instance.sources[piece].room and instance.allowed(piece, rest):
                sets = itertools.chain(sets, [rest])
            for taken in sets:
                more = cost + instance.cost(piece, taken)
                if more > most:
                    continue
                after = tuple(map(sub, rest, taken))
                kinds = (*used, (piece, taken))
                if not any(after):
                    yield kinds
                    continue
                if instance.allowed(source, after):
                    yield (*kinds, (source, after))
                if len(kinds) < most_pieces:
                    yield from spread(after, kinds, more)

    yield from map(Counter, spread(pattern, (), 0))


def using_up(instance: Instance, first: BarPattern, second: BarPattern, tries: Iterator[int]) -> Iterator[BarPatterns]:
    """What two bars can become when one of them, a piece of the rack that leaves something to keep, is used up."""
    for bar, other in ((first, second), (second, first)):
        if instance.sources[bar[0]].kind is SourceKind.OFFCUT and left_lying(instance, *bar) == 0:
            whole = tuple(map(add, first[1], second[1]))
            for taken in _sets_for(instance, bar[0], whole, tries):
                rest = tuple(map(sub, whole, taken))
                if any(rest) and instance.allowed(other[0], rest):
                    yield Counter([(bar[0], taken), (other[0], rest)])


def _sets_for(instance: Instance, source: int, wanted: Pattern, tries: Iterator[int]) -> Iterator[Pattern]:
    """The sets of some parts wanted that use a piece of the rack up, until ``tries`` end."""
    piece, takes = instance.sources[source], instance.takes
    # Where takes do not add up, a set may use up more than it is counted with.
    least = piece.reach - instance.keep if instance.space.adds_up else 0
    if instance.fill(wanted) < least:
        return
    order = sorted((i for i, n in enumerate(wanted) if n and takes[i] <= piece.room), key=lambda i: -takes[i])
    beyond = [sum(wanted[i] * takes[i] for i in order[k:]) for k in range(len(order) + 1)]
    counts = [0] * len(wanted)

    def grown(k: int, fill: Length) -> Iterator[Pattern]:
        if fill + beyond[k] < least:
            return
        if k < len(order):
            i = order[k]
            for n in range(min(wanted[i], (piece.room - fill) // takes[i]), -1, -1):
                counts[i] = n
                yield from grown(k + 1, fill + n * takes[i])
            counts[i] = 0
        elif next(tries, None) is not None:
            pattern = tuple(counts)
            if any(pattern) and instance.allowed(source, pattern) and left_lying(instance, source, pattern) < 0:
                yield pattern

    yield from grown(0, 0)
