"""Positions along a part in workshop notation: ``50, 6 @ 75``; ``12 equal between 50 and 950``."""

from __future__ import annotations

import re
from fractions import Fraction

from cutplan.problems import Refused
from cutplan.units import (
    INCHES,
    MILLIMETRES,
    Length,
    length_text,
    names_unit,
    parse_length_or_zero,
    round_half_up,
    tidy_text,
    unit_length,
)

POSITION_FORMS = "distances from end A such as 50, or 50, 6 @ 75, or 12 equal between 50 and 950"
MOST_POSITIONS = 1000
"""Positions in one cell; more is a slip."""

_STEPS = re.compile(
    r"(?P<count>\d+)\s*(?:holes\s*|spaces\s*)?(?:@|at\b)\s*(?P<pitch>[^=]+?)(?:\s*=\s*(?P<sum>.+))?", re.I
)
_EQUAL = re.compile(
    r"(?P<count>\d+)\s*(?:holes\s+)?eq(?:ual(?:ly)?)?\.?\s*(?P<spaces>spaces\s*)?(?:spaced\s*)?"
    r"(?:between|from)\s+(?P<first>.+?)\s+(?:and|to)\s+(?P<last>.+)",
    re.I,
)


def parse_positions(text: str, default_unit: str = "mm") -> tuple[Length, ...]:
    """Distances from end A, in the order typed.

    Parameters
    ----------
    text
        Terms with commas between them. A length is a place by itself, counted from end A. ``6 @ 75`` is six more,
        each 75 on from the one before, the first of all from end A; ``6 @ 75 = 450`` is checked. ``12 equal between 50
        and 950`` is twelve, the first at 50 and the last at 950; ``12 equal spaces between ...`` is one more. The
        number in front counts holes unless it says spaces.
    default_unit
        Unit of bare numbers.

    Returns
    -------
    tuple
        At least one. Each figure of an equal division is rounded to a nanometre by itself, so that errors do not
        add up. [nm]

    Raises
    ------
    Refused
        When a term is none of these, one figure has a unit that the bare ones have not, or there are too many.
    """
    tidy = tidy_text(text)
    if re.search(r"\d,\d", tidy):
        raise Refused(
            text,
            POSITION_FORMS,
            "a comma needs a blank behind it: 50, 125; and no thousands separator",
            code="position.unreadable",
        )
    figures: list[str] = []
    found: list[Length] = []

    def length(figure: str) -> Length:
        figures.append(figure)
        try:
            return parse_length_or_zero(figure, default_unit)
        except Refused as refused:
            raise Refused(text, POSITION_FORMS, refused.hint, code=refused.code) from None

    def number(count: str) -> int:
        if len(found) + int(count[:7]) > MOST_POSITIONS:
            raise Refused(text, f"at most {MOST_POSITIONS} holes in a row", code="position.most")
        return int(count)

    for term in re.split(r"\s*,\s*", tidy):
        if match := _EQUAL.fullmatch(term):
            first, last = length(match["first"]), length(match["last"])
            spaces = number(match["count"]) - (0 if match["spaces"] else 1)
            if spaces < 1 or first >= last:
                raise Refused(
                    text,
                    POSITION_FORMS,
                    "equal division needs two holes or more, the nearer end first",
                    code="position.division",
                )
            found.extend(first + round_half_up(Fraction((last - first) * i, spaces)) for i in range(spaces + 1))
        elif match := _STEPS.fullmatch(term):
            before, pitch, count = found[-1] if found else 0, length(match["pitch"]), number(match["count"])
            if not pitch or not count:
                raise Refused(
                    text, POSITION_FORMS, "a pitch and a number of holes are more than 0", code="position.pitch"
                )
            if match["sum"] and length(match["sum"]) != pitch * count:
                product = length_text(pitch * count, INCHES if default_unit in ("in", "ft") else MILLIMETRES)
                raise Refused(
                    text,
                    POSITION_FORMS,
                    f"{match['count']} @ {match['pitch']} comes to {product}",
                    code="position.product",
                )
            found.extend(before + pitch * i for i in range(1, count + 1))
        else:
            found.append(length(term))
        if len(found) > MOST_POSITIONS:
            raise Refused(text, f"at most {MOST_POSITIONS} holes in a row", code="position.most")
    _check_units(text, figures, default_unit)
    return tuple(found)


def _check_units(text: str, figures: list[str], default_unit: str) -> None:
    """Refuse a cell in which some figures have a unit and the bare ones would be read in another."""
    named = {word.lower() for figure in figures for word in re.findall(r"[A-Za-z]+|\"|'{1,2}", figure)}
    bare = any(not names_unit(figure) for figure in figures)
    if bare and any(unit_length(word) != unit_length(default_unit) for word in named):
        raise Refused(
            text,
            POSITION_FORMS,
            f"a unit at every figure, or at none: bare numbers are {default_unit}",
            code="position.units",
        )
