"""Diagonals to check a frame by, before it is welded: worked out where the parts list tells a rectangle."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import groupby

from cutplan.model import Lean, Part
from cutplan.units import DEGREE, Length, Printing, length_text


def diagonal(one: Length, other: Length) -> Length:
    """Corner to corner of a rectangle, rounded to the nearest nanometre. [nm]"""
    square = one * one + other * other
    root = math.isqrt(square)
    return root + (square - root * root > root)


def frame_words(parts: Sequence[Part], how: Printing) -> list[str]:
    """A sentence for each rectangle that the parts of one assembly make.

    A rectangle is told by parts of one section, both ends cut at 45 degrees leaning opposite ways, of two lengths as
    often as one another, or of one length four times. Lengths are outside, long point to long point.
    """
    words = []
    sides = [part for part in parts if _is_side(part)]
    for _, members in groupby(sorted(sides, key=lambda part: part.section.key), key=lambda part: part.section.key):
        counts: dict[Length, int] = {}
        marks: dict[Length, list[str]] = {}
        for part in members:
            counts[part.finished] = counts.get(part.finished, 0) + part.quantity
            marks.setdefault(part.finished, []).append(part.mark)
        lengths = sorted(counts, reverse=True)
        if len(lengths) == 1 and counts[lengths[0]] % 4 == 0:
            lengths = lengths * 2
        if len(lengths) != 2 or counts[lengths[0]] != counts[lengths[1]] or counts[lengths[0]] % 2:
            continue
        long, short = lengths
        named = " and ".join(dict.fromkeys("/".join(marks[length]) for length in lengths))
        size = f"{length_text(long, how, with_unit=False)} x {length_text(short, how)}"
        words.append(
            f"Frame of {named}, {size} outside: both diagonals {length_text(diagonal(long, short), how)}, "
            "corner to corner outside."
        )
    return words


def _is_side(part: Part) -> bool:
    return part.end_a.angle == part.end_b.angle == 45 * DEGREE and part.lean is not Lean.PARALLEL
