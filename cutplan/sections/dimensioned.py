"""Families whose names hold their dimensions: from a typed name to a :class:`~cutplan.sections.names.Name`.

A family is added by one function here and its words in the table at the end of this file.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from cutplan.sections.names import FILLERS, FINISHES, Name, meant_diameter
from cutplan.sections.section import Family
from cutplan.sections.standards import IS_ANGLE, US_HOLLOW
from cutplan.sections.typed import GAUGE_WORDS, LENGTH_ELSEWHERE, SAME_WORD, Typed
from cutplan.units import INCH, MM, Length, mm_text

THINNEST: Length = 400_000
THICKEST: Length = 100 * MM
SMALLEST_SIDE: Length = 5 * MM
SMALLEST_SOLID: Length = 3 * MM
LARGEST_SOLID: Length = 500 * MM
LARGEST_SIDE: Length = 2500 * MM
"""The largest round tube of EN 10210-2 and EN 10219-2, from memory."""


class NotRead(Exception):
    """Dimensions that make no section of their family, with readings to offer where they prove sound."""

    def __init__(self, accepted: str, *readings: str, hint: str = "", code: str) -> None:
        super().__init__(accepted)
        self.accepted = accepted
        self.readings = readings
        self.hint = hint
        self.code = code


def _x(word: str, *sizes: str) -> str:
    return f"{word} {'x'.join(sizes)}"


def _check_wall(typed: Typed, smaller_side: Length, thickness: Length, *families: str) -> None:
    """Refuse a side or wall that no tube or angle has; offers the same figures turned round or another wall."""
    *sides, _ = typed.shown
    readings = [_x(family, *shown) for family in families for shown in (typed.shown[::-1], (*sides, typed.wall))]
    hint = ""
    if not typed.inches and max(typed.sizes) < INCH and (thickness < THINNEST or smaller_side < SMALLEST_SIDE):
        hint = 'are inches meant? mark them: 2"x2"x1/8"'
    if thickness < THINNEST or thickness > THICKEST:
        raise NotRead("a thickness from 0.4 to 100 mm", *readings, hint=hint, code="section.wall")
    if 2 * thickness >= smaller_side:
        raise NotRead("a thickness below half the side, written last", *readings, hint=hint, code="section.wall")
    if smaller_side < SMALLEST_SIDE or max(typed.sizes) > LARGEST_SIDE:
        raise NotRead("sides from 5 to 2500 mm", *readings, hint=hint, code="section.sides")


def _refuse_more_than(typed: Typed, most: int, *families: str) -> None:
    if len(typed.sizes) > most:
        raise NotRead(
            f"{most} dimension{'s' if most > 1 else ''}",
            *(_x(family, *typed.shown[:most]) for family in families),
            hint=LENGTH_ELSEWHERE,
            code="section.dimensions",
        )


def _square_tube(typed: Typed) -> Name:
    _refuse_more_than(typed, 3, "SHS")
    if len(typed.sizes) == 3 and typed.sizes[0] != typed.sizes[1]:
        raise NotRead(
            "a square tube has two equal sides: RHS for a rectangular one",
            _x("RHS", *typed.shown),
            _x("SHS", *typed.shown[::-1]),
            code="section.sides",
        )
    return _tube(typed)


def _rectangular_tube(typed: Typed) -> Name:
    _refuse_more_than(typed, 3, "RHS")
    if len(typed.sizes) < 3:
        raise NotRead("two sides and the wall", _x("RHS", *typed.shown, typed.wall), code="section.dimensions")
    if typed.sizes[0] == typed.sizes[1]:
        raise NotRead(
            "a rectangular tube has two different sides: SHS for a square one",
            _x("SHS", *typed.shown),
            code="section.sides",
        )
    return _tube(typed)


def _sides_and_wall(typed: Typed, equal: str, unequal: str, missing: str) -> tuple[Length, Length, Length]:
    """Longer side, shorter side and wall of a name with three sizes, or with two where the side is given once.

    ``equal`` and ``unequal`` are the family words of the reading offered, and ``missing`` says what a name lacks.
    """
    if len(typed.sizes) == 3:
        return max(typed.sizes[:2]), min(typed.sizes[:2]), typed.sizes[2]
    if len(typed.sizes) == 2 and 2 * typed.sizes[1] < typed.sizes[0]:
        return typed.sizes[0], typed.sizes[0], typed.sizes[1]
    first, last = typed.shown[0], typed.shown[-1]
    raise NotRead(missing, _x(equal if first == last else unequal, first, last, typed.wall), code="section.dimensions")


def _tube(typed: Typed) -> Name:
    """Square or rectangular as the sides say; two dimensions are a square side and its wall."""
    _refuse_more_than(typed, 3, "SHS", "RHS")
    height, width, wall = _sides_and_wall(typed, "SHS", "RHS", "the sides and the wall")
    _check_wall(typed, width, wall, "SHS", "RHS")
    return typed.named(Family.SHS if height == width else Family.RHS, height, width, wall)


def _round_tube(typed: Typed) -> Name:
    _refuse_more_than(typed, 2, "CHS")
    if len(typed.sizes) < 2:
        raise NotRead(
            "the outside diameter and the wall", _x("CHS", typed.shown[0], typed.wall), code="section.dimensions"
        )
    diameter, wall = typed.sizes
    _check_wall(typed, diameter, wall, "CHS")
    meant = 0 if typed.inches else meant_diameter(diameter)
    if meant and not re.search(rf"(?<![\d.]){diameter // MM}\.0", typed.capitals):
        raise NotRead(
            f"the exact outside diameter: {mm_text(meant)} is a listed one",
            _x("CHS", mm_text(meant), typed.shown[1]),
            _x("CHS", f"{typed.shown[0]}.0", typed.shown[1]),
            code="section.diameter",
        )
    return typed.named(Family.CHS, diameter, diameter, wall)


def _any_tube(typed: Typed) -> Name:
    """The bare word tube: three dimensions can only be sides and a wall, fewer are open."""
    if len(typed.sizes) >= 3:
        return _tube(typed)
    side = typed.shown[0]
    wall = typed.shown[1:] or (typed.wall,)
    raise NotRead(
        "square or round, with its wall", _x("SHS", side, side, *wall), _x("CHS", side, *wall), code="section.family"
    )


def _us_tube(typed: Typed) -> Name:
    """HSS, always inches: two dimensions are a diameter and a wall, three are sides and a wall."""
    _refuse_more_than(typed, 3, "HSS")
    if len(typed.sizes) == 2:
        diameter, wall = typed.sizes
        _check_wall(typed, diameter, wall, "HSS")
        return typed.named(Family.CHS, diameter, diameter, wall, US_HOLLOW)
    if len(typed.sizes) == 1:
        raise NotRead(
            "the sides or diameter and the wall", _x("HSS", *typed.shown * 2, '1/8"'), code="section.dimensions"
        )
    name = _tube(typed)
    return typed.named(name.family, name.height, name.width, name.thickness, US_HOLLOW)


def _angle(typed: Typed) -> Name:
    _refuse_more_than(typed, 3, "EA", "UA")
    standard = IS_ANGLE if "ISA" in typed.words else ""
    long_leg, short_leg, thickness = _sides_and_wall(typed, "EA", "UA", "both legs and the thickness")
    _check_wall(typed, short_leg, thickness, "EA", "UA")
    return typed.named(Family.EA if long_leg == short_leg else Family.UA, long_leg, short_leg, thickness, standard)


def _equal_angle(typed: Typed) -> Name:
    name = _angle(typed)
    if name.family is not Family.EA:
        raise NotRead(
            "an equal angle has two equal legs: UA for unequal ones", _x("UA", *typed.shown), code="section.sides"
        )
    return name


def _unequal_angle(typed: Typed) -> Name:
    if len(typed.sizes) == 2:
        raise NotRead("both legs and the thickness", _x("UA", *typed.shown, typed.wall), code="section.dimensions")
    name = _angle(typed)
    if name.family is not Family.UA:
        raise NotRead(
            "an unequal angle has two different legs: EA for equal ones", _x("EA", *typed.shown), code="section.sides"
        )
    return name


def _flat(typed: Typed) -> Name:
    _refuse_more_than(typed, 2, "FL")
    if len(typed.sizes) < 2:
        raise NotRead("width and thickness", _x("FL", typed.shown[0], typed.wall), code="section.dimensions")
    width, thickness = max(typed.sizes), min(typed.sizes)
    if width == thickness:
        raise NotRead(
            "two different sides for a flat, one for a square bar", _x("SQ", typed.shown[0]), code="section.sides"
        )
    if not THINNEST <= thickness <= THICKEST or not SMALLEST_SIDE <= width <= LARGEST_SIDE:
        hint = 'are inches meant? mark them: 2"x1/4"' if not typed.inches and width < SMALLEST_SIDE else ""
        raise NotRead(
            "a flat from 5 to 2500 mm wide and from 0.4 to 100 mm thick", "FL 50x6", hint=hint, code="section.sides"
        )
    return typed.named(Family.FLAT, width, thickness, thickness)


def _solid(typed: Typed, family: Family) -> Name:
    size = typed.sizes[0]
    if not SMALLEST_SOLID <= size <= LARGEST_SOLID:
        marked = f'{typed.shown[0]}"'
        hint = f"are inches meant? mark them: {marked}" if not typed.inches and size < SMALLEST_SOLID else ""
        raise NotRead("a bar from 3 to 500 mm", _x(family.value, "16"), hint=hint, code="section.sides")
    return typed.named(family, size, size, size)


def _square_bar(typed: Typed) -> Name:
    """One side, or the same side twice."""
    if len(typed.sizes) == 1 or (len(typed.sizes) == 2 and typed.sizes[0] == typed.sizes[1]):
        return _solid(typed, Family.SQUARE)
    side, *rest = typed.shown
    raise NotRead(
        "one side for a square bar, a family word for tube and flat",
        _x("SQ", side),
        _x("SHS", *((side, *rest) if len(rest) == 2 else (side, side, *rest))),
        *([_x("FL", *typed.shown)] if len(rest) == 1 else []),
        code="section.family",
    )


def _hexagon_bar(typed: Typed) -> Name:
    _refuse_more_than(typed, 1, "HEX")
    return _solid(typed, Family.HEXAGON)


def _round_bar(typed: Typed) -> Name:
    if len(typed.sizes) == 1:
        return _solid(typed, Family.ROUND)
    raise NotRead(
        "one diameter for a round bar, diameter and wall for a round tube",
        _x("RD", typed.shown[0]),
        _x("CHS", *typed.shown[:2]),
        hint=LENGTH_ELSEWHERE if typed.sizes[1] > typed.sizes[0] else "",
        code="section.family",
    )


def no_family(typed: Typed) -> NotRead:
    """The readings of dimensions that several families share."""
    shown = typed.shown[:3]
    families = (("SQ", "RD"), ("SHS", "CHS", "EA", "FL"), ("SHS", "EA") if shown[:1] == shown[1:2] else ("RHS", "UA"))
    readings = [_x(family, *shown) for family in families[len(shown) - 1]]
    why = "no word says which family" if not typed.words else "the words do not say which family"
    return NotRead("the family too", *readings, hint=why, code="section.family")


_READERS: dict[Callable[[Typed], Name], str] = {
    _square_tube: "SHS, SHS TUBE, SQUARE TUBE, SQUARE HOLLOW, SQUARE HOLLOW SECTION, SQUARE BOX, SQUARE BOX SECTION",
    _rectangular_tube: "RHS, RHS TUBE, RECTANGULAR TUBE, RECTANGULAR HOLLOW, RECTANGULAR HOLLOW SECTION, "
    "RECTANGULAR BOX, RECTANGULAR BOX SECTION",
    _tube: "BOX, BOX TUBE, BOX SECTION",
    _any_tube: "TUBE",
    _us_tube: "HSS, HSS TUBE",
    _round_tube: "CHS, CHS TUBE, ROUND TUBE, CIRCULAR HOLLOW SECTION, CIRCULAR TUBE, TUBE DIA, CHS DIA, ROUND TUBE DIA",
    _angle: "ANGLE, ISA, ISA ANGLE",
    _equal_angle: "EA, EA ANGLE, EQUAL ANGLE",
    _unequal_angle: "UA, UA ANGLE, UNEQUAL ANGLE",
    _flat: "FLAT, FLAT BAR",
    _square_bar: "SQUARE, SQUARE BAR, SQUARE ROD",
    _hexagon_bar: "HEXAGON, HEXAGON BAR, HEXAGON ROD",
    _round_bar: "ROUND, ROUND BAR, ROUND ROD, ROD, SHAFT, ROUND SHAFT, "
    "ROUND DIA, ROUND BAR DIA, BAR DIA, ROD DIA, SHAFT DIA",
}
"""Which sets of words name a family, in any order, after the synonyms above."""

BY_WORDS = {frozenset(words.split()): reader for reader, sets in _READERS.items() for words in sets.split(",")}
VOCABULARY = frozenset(word for words in BY_WORDS for word in words) | FINISHES.keys() | FILLERS | GAUGE_WORDS.keys()
HINTS = sorted(VOCABULARY | SAME_WORD.keys())
