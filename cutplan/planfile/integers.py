"""The whole numbers a group is solved in: w of each part, W of each source, their divisor.

Written into plan.json so that another program can recheck bars and proof
without knowing how trims and kerfs come together.
"""

from __future__ import annotations

import math

from cutplan.model import EndState, Group, Offcut, Part, Saw
from cutplan.units import Length, kerf_along


def part_width(part: Part, saw: Saw) -> Length:
    """w: a part with the kerf of its end A, which is no more than lies before it. [nm]"""
    return part.length + kerf_along(saw.kerf, part.end_a.angle)


def divisor(group: Group, saw: Saw) -> Length:
    """The greatest common divisor of the w of a group. [nm]"""
    return math.gcd(*(part_width(part, saw) for part in group.parts))


def end_trims(saw: Saw, source: Offcut | None) -> tuple[Length, Length]:
    """Trims at START and at the far end of a stock length (None) or an offcut. [nm]

    START is the sawn end of an offcut that has one.
    """
    mill = saw.end_trim if saw.end_trim_includes_cut else saw.end_trim + saw.kerf
    if saw.mill_ends_accepted or saw.end_trim == 0:
        mill = 0
    if source is None:
        return mill, mill
    first, second = sorted(mill if end is EndState.MILL else 0 for end in (source.end_a, source.end_b))
    return first, second


def room(group: Group, length: Length, trims: tuple[Length, Length], saw: Saw) -> Length:
    """W: how much of a bar the w of its parts may add up to at most; before the first part there is no kerf. [nm]"""
    return length - sum(trims) + max(kerf_along(saw.kerf, part.end_a.angle) for part in group.parts)
