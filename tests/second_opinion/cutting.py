"""How a set of parts lies on a bar, what the saw takes, and which cuts the vice can hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal, localcontext
from fractions import Fraction
from functools import cache

from tests.second_opinion.shop import MM, SECTIONS, Part, Shop, Supply

HALF, THREE_QUARTERS = Decimal("0.5"), Decimal("0.75")


def _cosine_squared(angle: Fraction) -> Decimal:
    """Of the angles the jobs are made of; half angles by (1 + cos 2a) / 2."""
    return {
        Fraction(0): Decimal(1),
        Fraction(15): (1 + THREE_QUARTERS.sqrt()) / 2,
        Fraction(45, 2): (1 + HALF.sqrt()) / 2,
        Fraction(30): THREE_QUARTERS,
        Fraction(45): HALF,
        Fraction(60): Decimal("0.25"),
    }[angle]


def _up(nanometres: Decimal) -> int:
    """Up to a tenth of a millimetre."""
    tenth = MM // 10
    return int((nanometres / tenth).to_integral_value(ROUND_CEILING)) * tenth


@cache
def kerf_at(kerf: int, angle: Fraction) -> int:
    """What a cut at an angle takes along the bar: kerf / cos, rounded up to 0.1 mm where it is slanted."""
    if not angle:
        return kerf
    with localcontext() as exact:
        exact.prec = 60
        return _up((Decimal(kerf) ** 2 / _cosine_squared(angle)).sqrt())


@cache
def slant(depth: int, angle: Fraction) -> int:
    """From long point to short point: depth x tan, rounded up to 0.1 mm where it is not 45 degrees."""
    if angle in (0, 45):
        return depth if angle else 0
    with localcontext() as exact:
        exact.prec = 60
        return _up(Decimal(depth) * (1 / _cosine_squared(angle) - 1).sqrt())


def short_point(part: Part) -> int:
    """The shortest line along a part: what a vice can hold of it."""
    depth = SECTIONS[part.section][1]
    return part.length - slant(depth, part.angle_a) - slant(depth, part.angle_b)


Ends = tuple[Fraction, Fraction, bool]
"""Angles of a part's ends A and B, and whether it is cut to fit."""


@dataclass(frozen=True)
class Order:
    """What an order of parts comes to: its outer parts by their ends, kerfs and strokes between neighbours."""

    first: Ends
    last: Ends
    before_last: Ends | None
    kerfs: int
    strokes: int


def between(kerf: int, b: Fraction, a: Fraction) -> tuple[int, int]:
    """Kerf lost and strokes made between a part's end B and the next one's end A."""
    return max(kerf_at(kerf, b), kerf_at(kerf, a)), 1 if not b and not a else 2


@cache
def orders(kerf: int, ends: tuple[tuple[Ends, int], ...]) -> frozenset[Order]:
    """Every order of so many parts with these ends, as far as they differ in what they come to."""
    found = set()
    for place, (last, count) in enumerate(ends):
        if not last[2] and any(other[2] for other, _ in ends):
            continue  # what is cut to fit comes last
        rest = (*ends[:place], *([(last, count - 1)] if count > 1 else []), *ends[place + 1 :])
        if not rest:
            found.add(Order(last, last, None, 0, 0))
            continue
        for order in orders(kerf, rest):
            lost, strokes = between(kerf, order.last[1], last[0])
            found.add(Order(order.first, last, order.last, order.kerfs + lost, order.strokes + strokes))
    return frozenset(found)


@dataclass(frozen=True)
class Laid:
    """A bar as it can be laid: strokes of the saw and what is left past the last kerf."""

    strokes: int
    left: int


def serves(bar_grade: str, part_grade: str) -> bool:
    """A part that states no grade may come from any bar; any other only from a bar of its grade."""
    return not part_grade or bar_grade.casefold() == part_grade.casefold()


def strokes_at_start(trim: int, a: Fraction) -> int:
    """Squaring a trimmed START makes a square end A; a slanted end A is one stroke either way."""
    return 1 if trim or a else 0


def strokes_at_end(far_trim: int, b: Fraction, left: int) -> int:
    """None where a square end B is the end of the bar as it comes. ``left``: from end B to the end of the bar."""
    return 0 if not b and not left and not far_trim else 1


def ways(shop: Shop, supply: Supply, chosen: Sequence[tuple[Part, int]]) -> Iterator[Laid]:
    """Every way to lay so many of each part on a bar, that fits and can be held."""
    if not all(serves(supply.grade, part.grade) for part, _ in chosen):
        return
    start, far = shop.trims(supply)
    lengths = sum(part.length * count for part, count in chosen)
    if lengths > supply.length - start - far:
        return
    by_ends: dict[Ends, int] = {}
    grips: dict[Ends, int] = {}
    for part, count in chosen:
        ends = (*part.ends, part.to_fit)
        by_ends[ends] = by_ends.get(ends, 0) + count
        grips[ends] = max(grips.get(ends, 0), short_point(part))
    for order in orders(shop.kerf, tuple(sorted(by_ends.items()))):
        beyond = supply.length - start - lengths - order.kerfs
        if beyond < far:
            continue
        last_stroke = strokes_at_end(far, order.last[1], beyond)
        strokes = strokes_at_start(start, order.first[0]) + order.strokes + last_stroke
        left = max(0, beyond - (kerf_at(shop.kerf, order.last[1])))
        held = not strokes or left >= shop.hold or grips[order.last] >= shop.hold
        if not last_stroke and order.before_last is not None:
            # The last cut is the one before the last part.
            held = held or grips[order.before_last] >= shop.hold
        if held:
            yield Laid(strokes, left)


def set_ups(parts: Sequence[Part]) -> int:
    """How many different parts: length and ends."""
    return len({(part.length, part.ends) for part in parts})
