"""What the parts of one bar take at least, whatever order they are laid in, added up part by part.

A bar has a gap before its first part, between neighbours and after its last part. Each inner gap is as wide as the
wider kerf of the two ends in it, and takes a stroke for each mitre in it and one for square ends. Given to the part
after it, an inner gap is at least the kerf of that part's end A; given to the part before it, at least that of its end
B. Either way adds up, short of the first or the last part. Where both ends of every part are alike, gaps can be given
towards the part of the least kerf, and only that one goes without.

References
----------
Worked out here; ``tests/test_checking_reckoning.py`` holds it to trying every order.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cutplan.checking.sources import Source
from cutplan.model import Part
from cutplan.units import Length, kerf_along


@dataclass(frozen=True, slots=True, kw_only=True)
class Reckoning:
    """One way to add up, of sets of the parts at some places of the group.

    Parameters
    ----------
    places
        Which parts a set may hold.
    weights
        What one of each part is reckoned to take. [nm]
    strokes
        How many strokes one of each part is reckoned with.
    spare
        By how much a set may take less than its weights. [nm]
    more_left
        By how much more may be left of a bar than its weights leave. [nm]
    least
        Strokes of a bar beyond those of its parts, at least, by (is START trimmed, does the far end need no trim).
    """

    places: frozenset[int]
    weights: tuple[Length, ...]
    strokes: tuple[int, ...]
    spare: Length
    more_left: Length
    least: dict[tuple[bool, bool], int]

    def room(self, source: Source) -> Length:
        """What the weights of a set in a bar may come to. [nm]"""
        return source.length - source.start_trim - source.far_trim + self.spare + source.more_room

    def open_length(self, source: Source) -> Length:
        """What is left of a bar with no part in it. [nm]"""
        return source.length - source.start_trim + self.more_left + source.more_left

    def price(self, source: Source) -> int:
        """What a bar costs at least, strokes of its parts and set-ups left aside. [cost unit]"""
        return source.price + source.per_cut * self.least[source.start_trim > 0, source.far_trim == 0]


def reckonings(parts: Sequence[Part], kerf: Length) -> tuple[tuple[Reckoning, ...], ...]:
    """Ways to reckon: each a number of reckonings of which every set falls under one, so that their least holds.

    What any of the ways shows is true, so that the most of them may be taken.
    """
    a = [kerf_along(kerf, part.end_a.angle) for part in parts]
    b = [kerf_along(kerf, part.end_b.angle) for part in parts]
    mitred_a = [part.end_a.angle > 0 for part in parts]
    mitred_b = [part.end_b.angle > 0 for part in parts]
    if a == b and mitred_a == mitred_b:
        return (tuple(_alike(parts, a, mitred_a, level) for level in sorted(set(zip(mitred_a, a, strict=True)))),)
    return (_by_end(parts, a, b, mitred_a, mitred_b, first=True),), (
        _by_end(parts, a, b, mitred_a, mitred_b, first=False),
    )


_CASES = [(trimmed, open_end) for trimmed in (False, True) for open_end in (False, True)]


def _alike(parts: Sequence[Part], kerfs: list[Length], mitred: list[bool], level: tuple[bool, Length]) -> Reckoning:
    """Sets whose least kerf is that of one level: the part of it goes without its kerf and without its strokes."""
    places = frozenset(i for i, end in enumerate(zip(mitred, kerfs, strict=True)) if end >= level)
    square = not level[0]
    # Two gaps remain, at START and at the far end: a mitre takes a stroke in either, a square end where it must.
    least = {
        (trimmed, open_end): (int(trimmed) + int(not open_end) - 1) if square else 0 for trimmed, open_end in _CASES
    }
    return Reckoning(
        places=places,
        weights=tuple(part.length + kerf for part, kerf in zip(parts, kerfs, strict=True)),
        strokes=tuple(2 if mitre else 1 for mitre in mitred),
        spare=level[1],
        more_left=0,
        least=least,
    )


def _by_end(
    parts: Sequence[Part], a: list[Length], b: list[Length], mitred_a: list[bool], mitred_b: list[bool], *, first: bool
) -> Reckoning:
    """Each gap given to the part after it (``first``: the first part goes without), or to the one before it."""
    given, mitred = (a, mitred_a) if first else (b, mitred_b)
    least = {}
    for trimmed, open_end in _CASES:
        # The gaps at both ends, less the strokes of the part that has no inner gap.
        at_start = [1 if mitre or trimmed else 0 for mitre in mitred_a]
        at_end = [1 if mitre or not open_end else 0 for mitre in mitred_b]
        without = [1 + mitre for mitre in mitred]
        if first:
            at_start = [n - w for n, w in zip(at_start, without, strict=True)]
        else:
            at_end = [n - w for n, w in zip(at_end, without, strict=True)]
        # First and last part may be any two, so that the least of each is added.
        least[trimmed, open_end] = min(at_start) + min(at_end)
    return Reckoning(
        places=frozenset(range(len(parts))),
        weights=tuple(part.length + kerf for part, kerf in zip(parts, given, strict=True)),
        strokes=tuple(1 + mitre for mitre in mitred),
        spare=max(given),
        # With gaps given to the part after, a kerf before the first part is counted and not cut, and the one after the
        # last part is cut and not counted.
        more_left=max(a) - min(b) if first else 0,
        least=least,
    )
