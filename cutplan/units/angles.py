"""Angles of end cuts, counted from square, and what they cost along the bar."""

from __future__ import annotations

import math
import re
from fractions import Fraction

from cutplan.problems import Refused
from cutplan.units.notation import LONGEST_NUMBER, NUMBER, fraction_of, tidy_text
from cutplan.units.quantities import DEGREE, UM, Angle, Length, ceil_div, plain_text

ANGLE_FORMS = "degrees from square, 0 to 75, such as 45 or 22.5; blank is square"
MAX_MITRE: Angle = 75 * DEGREE

ROUNDED_UP_TO: Length = 100 * UM
"""Lengths that trigonometry yields are rounded up to a tenth of a millimetre: no saw works finer."""


def parse_angle(text: str) -> Angle:
    """Degrees from square, 0 to 75; 90 is asked about because a square end is 0 here.

    Raises
    ------
    Refused
        When the text is no number, is 90, or is steeper than 75 degrees.
    """
    tidy = re.sub(r"\s*(°|deg|degrees?)$", "", tidy_text(text), flags=re.IGNORECASE)
    match = re.fullmatch(NUMBER, tidy) if len(tidy) <= LONGEST_NUMBER else None
    if match is None:
        raise Refused(text, ANGLE_FORMS)
    try:
        value = fraction_of(match) * DEGREE
    except ZeroDivisionError:
        raise Refused(text, ANGLE_FORMS) from None
    if value == 90 * DEGREE:
        raise Refused(text, ANGLE_FORMS, "is a square end meant? angles count from square: write 0 or leave it blank")
    if value > MAX_MITRE or value.denominator != 1:
        raise Refused(text, ANGLE_FORMS)
    return int(value)


def kerf_along(kerf: Length, angle: Angle) -> Length:
    """What a blade of width ``kerf`` takes along the bar at a cut ``angle`` from square.

    kerf / cos(angle), rounded up to 0.1 mm; exactly ``kerf`` for a square cut.
    """
    if angle == 0:
        return kerf
    exact = kerf / math.cos(math.radians(angle / DEGREE))
    return ceil_div(math.ceil(exact - 0.01), ROUNDED_UP_TO) * ROUNDED_UP_TO


def mitre_run(depth: Length, angle: Angle) -> Length:
    """Long point less short point of one mitred end: depth x tan(angle).

    Exact at 45 degrees, rounded up to 0.1 mm otherwise.
    """
    if angle == 0:
        return 0
    if angle == 45 * DEGREE:
        return depth
    exact = depth * math.tan(math.radians(angle / DEGREE))
    return ceil_div(math.ceil(exact - 0.01), ROUNDED_UP_TO) * ROUNDED_UP_TO


def angle_text(angle: Angle) -> str:
    """Degrees as a plain decimal: ``22.5``."""
    return plain_text(Fraction(angle, DEGREE))
