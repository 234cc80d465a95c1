"""Angles of end cuts, counted from square, and what they cost along the bar."""

from __future__ import annotations

import math
import re
from fractions import Fraction

from cutplan.problems import Refused
from cutplan.units.notation import FIGURES, LONGEST_NUMBER, NUMBER, fraction_of, tidy_text, unsaid_comma
from cutplan.units.quantities import DEGREE, UM, Angle, Length, ceil_div, plain_text

ANGLE_FORMS = "degrees from square, 0 to 75, such as 45 or 22.5; blank is square"
MAX_MITRE: Angle = 75 * DEGREE

ROUNDED_UP_TO: Length = 100 * UM
"""Lengths that trigonometry yields are rounded up to a tenth of a millimetre: no saw works finer."""


_DEGREES = re.compile(rf"{NUMBER}\s*(?:°|deg\.?|degrees?)?", re.IGNORECASE)
_MINUTES = re.compile(
    r"(?P<degrees>\d+)\s*(?:°|deg\.?|degrees?)\s*(?P<minutes>[0-5]?\d)\s*(?:'|min)(?:\s*(?P<seconds>[0-5]?\d)\s*(?:\"|''|sec))?",
    re.IGNORECASE,
)
_RATIO = rf"(?P<rise>{FIGURES})\s*(?::|\bin\b)\s*(?P<run>{FIGURES})"
_SLOPE = re.compile(
    rf"slope\s+{_RATIO}|{_RATIO.replace('rise', 'rise2').replace('run', 'run2')}\s+slope", re.IGNORECASE
)
_INCLUDED = re.compile(
    rf"included\s+(?P<angle>{FIGURES})\s*(?:°|deg\.?|degrees?)?|(?P<angle2>{FIGURES})\s*(?:°|deg\.?|degrees?)?\s+included",
    re.IGNORECASE,
)


def parse_angle(text: str) -> Angle:
    """Read the angle of an end cut, counted from square.

    Parameters
    ----------
    text
        ``45``, ``22 1/2``, ``22.5°``, ``22° 30'``. Only where it is so named another angle: ``slope 3:12``, the cut
        that lies along a rise of 3 in 12, or ``included 90``, the corner that two mitres of one angle make.

    Returns
    -------
    Angle
        0 to 75 degrees; of a slope the nearest millionth of a degree.

    Raises
    ------
    Refused
        When the text is no angle, is 90 (a square end is 0 here), or is steeper than 75 degrees.
    """
    tidy = tidy_text(text)
    value = _angle(text, tidy) if len(tidy) <= LONGEST_NUMBER else None
    if value is None:
        hint = unsaid_comma(tidy)
        if re.fullmatch(_RATIO, tidy):
            hint = f"is a slope meant? write slope {tidy}"
        raise Refused(text, ANGLE_FORMS, hint, code="angle.unreadable")
    if value == 90 * DEGREE:
        raise Refused(
            text,
            ANGLE_FORMS,
            "is a square end meant? angles count from square: write 0 or leave it blank",
            code="angle.square",
        )
    if not 0 <= value <= MAX_MITRE or value.denominator != 1:
        corner = _DEGREES.fullmatch(tidy) and 90 * DEGREE < value < 180 * DEGREE
        hint = f"is the corner of two mitres meant? write included {tidy}" if corner else ""
        raise Refused(text, ANGLE_FORMS, hint, code="angle.steep")
    return int(value)


def _angle(text: str, tidy: str) -> Fraction | None:
    """Millionths of a degree from square; None when the text is no angle."""
    if match := _MINUTES.fullmatch(tidy):
        seconds = int(match["minutes"]) * 60 + int(match["seconds"] or 0)
        return (int(match["degrees"]) + Fraction(seconds, 3600)) * DEGREE
    if match := _SLOPE.fullmatch(tidy):
        rise, run = Fraction(match["rise"] or match["rise2"]), Fraction(match["run"] or match["run2"])
        if not run:
            raise Refused(text, ANGLE_FORMS, "a slope with nothing to run over", code="angle.slope")
        return 45 * DEGREE * Fraction(1) if rise == run else Fraction(round(_degrees(rise / run) * DEGREE))
    if match := _INCLUDED.fullmatch(tidy):
        return (180 - Fraction(match["angle"] or match["angle2"])) * DEGREE / 2
    try:
        return fraction_of(match) * DEGREE if (match := _DEGREES.fullmatch(tidy)) else None
    except ZeroDivisionError:
        raise Refused(text, ANGLE_FORMS, "a fraction with nothing below the line", code="number.fraction") from None


def _degrees(tangent: Fraction) -> float:
    return math.degrees(math.atan(tangent))


def kerf_along(kerf: Length, angle: Angle) -> Length:
    """What a blade of width ``kerf`` takes along the bar at a cut ``angle`` from square.

    kerf / cos(angle), rounded up to 0.1 mm; exactly ``kerf`` for a square cut. [nm]
    """
    if angle == 0:
        return kerf
    exact = kerf / math.cos(math.radians(angle / DEGREE))
    return ceil_div(math.ceil(exact - 0.01), ROUNDED_UP_TO) * ROUNDED_UP_TO


def mitre_run(depth: Length, angle: Angle) -> Length:
    """Long point less short point of one mitred end: depth x tan(angle).

    Exact at 45 degrees, rounded up to 0.1 mm otherwise. [nm]
    """
    if angle == 0:
        return 0
    if angle == 45 * DEGREE:
        return depth
    exact = depth * math.tan(math.radians(angle / DEGREE))
    return ceil_div(math.ceil(exact - 0.01), ROUNDED_UP_TO) * ROUNDED_UP_TO


def mitre_saving(depth: Length, angle: Angle) -> Length:
    """How far two mitres reach into one another where one cut parts them: the same, rounded down to 0.1 mm.

    Rounded up it would be taken from what the blade needs. [nm]
    """
    exact = depth * math.tan(math.radians(angle / DEGREE))
    return depth if angle == 45 * DEGREE else math.floor(exact + 0.01) // ROUNDED_UP_TO * ROUNDED_UP_TO


def angle_text(angle: Angle) -> str:
    """Degrees as a plain decimal: ``22.5``."""
    return plain_text(Fraction(angle, DEGREE))
