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
class Lying:
    """A part as it lies on a bar, by its ends: with end A towards START, or ``turned`` end for end."""

    ends: Ends
    turned: bool = False

    @property
    def near(self) -> Fraction:
        return self.ends[1] if self.turned else self.ends[0]

    @property
    def far(self) -> Fraction:
        return self.ends[0] if self.turned else self.ends[1]


@dataclass(frozen=True)
class Saw:
    """What is lost between two ends: the kerf of a square cut, the depth of a mitre, and whether mitres share cuts.

    Every section here looks the same end for end and rolled half over, so that any two mitres of one angle can be
    brought together: by the manual, nothing else decides whether they share.
    """

    kerf: int
    depth: int
    share: bool

    def between(self, one: Fraction, other: Fraction) -> tuple[int, int]:
        """What is lost and the strokes made between the far end of a part and the near end of the next, at best."""
        if self.share and one == other and one:
            return kerf_at(self.kerf, one) - overlap(self.depth, one), 1
        return max(kerf_at(self.kerf, one), kerf_at(self.kerf, other)), 1 if not one and not other else 2


@cache
def overlap(depth: int, angle: Fraction) -> int:
    """By how much the long points of two parts pass one another that share a cut: depth x tan, down to 0.1 mm."""
    up = slant(depth, angle)
    return up if angle == 45 else up - MM // 10


@dataclass(frozen=True)
class Order:
    """What an order of parts comes to: its outer parts as they lie, what is lost and the strokes between neighbours."""

    first: Lying
    last: Lying
    before_last: Lying | None
    lost: int
    strokes: int


@cache
def orders(saw: Saw, ends: tuple[tuple[Ends, int], ...]) -> frozenset[Order]:
    """Every order of so many parts with these ends, turned or not, as far as they differ in what they come to."""
    found = set()
    for place, (kind, count) in enumerate(ends):
        if not kind[2] and any(other[2] for other, _ in ends):
            continue  # what is cut to fit comes last
        rest = (*ends[:place], *([(kind, count - 1)] if count > 1 else []), *ends[place + 1 :])
        for last in (Lying(kind), Lying(kind, True)) if saw.share and kind[0] != kind[1] else (Lying(kind),):
            if not rest:
                found.add(Order(last, last, None, 0, 0))
                continue
            for order in orders(saw, rest):
                lost, strokes = saw.between(order.last.far, last.near)
                found.add(Order(order.first, last, order.last, order.lost + lost, order.strokes + strokes))
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


def saw_of(shop: Shop, section: str) -> Saw:
    """The shop's saw at a section."""
    return Saw(shop.kerf, SECTIONS[section][1], shop.share)


def ways(shop: Shop, supply: Supply, chosen: Sequence[tuple[Part, int]]) -> Iterator[Laid]:
    """Every way to lay so many of each part on a bar, that fits and can be held."""
    if not all(serves(supply.grade, part.grade) for part, _ in chosen):
        return
    start, far = shop.trims(supply)
    lengths = sum(part.length * count for part, count in chosen)
    saw = saw_of(shop, supply.section)
    by_ends: dict[Ends, int] = {}
    grips: dict[Ends, int] = {}
    for part, count in chosen:
        ends = (*part.ends, part.to_fit)
        by_ends[ends] = by_ends.get(ends, 0) + count
        grips[ends] = max(grips.get(ends, 0), short_point(part))
    for order in orders(saw, tuple(sorted(by_ends.items()))):
        beyond = supply.length - start - lengths - order.lost
        if beyond < far:
            continue
        last_stroke = strokes_at_end(far, order.last.far, beyond)
        strokes = strokes_at_start(start, order.first.near) + order.strokes + last_stroke
        left = max(0, beyond - (kerf_at(shop.kerf, order.last.far)))
        held = not strokes or left >= shop.hold or grips[order.last.ends] >= shop.hold
        if not last_stroke and order.before_last is not None:
            # The last cut is the one before the last part.
            held = held or grips[order.before_last.ends] >= shop.hold
        if held:
            yield Laid(strokes, left)


def set_ups(parts: Sequence[Part]) -> int:
    """How many different parts: length and ends."""
    return len({(part.length, part.ends) for part in parts})
