"""Roots and quotients of whole numbers, rounded once and in a known direction."""

from __future__ import annotations

import math
from fractions import Fraction

from cutplan.units import DEGREE, INCH, ROUNDED_UP_TO, Angle, Length, ceil_div, round_half_up

_ROUNDED_BEFORE: Length = 10


def nearest_root(value: int) -> int:
    """The whole number nearest to the square root of a whole number; exact, without floats."""
    root = math.isqrt(value)
    return root + (value > root * root + root)  # above (root + 1/2)^2 = root^2 + root + 1/4


def hypotenuse(run: Length, rise: Length) -> Length:
    """The third side of a right triangle, to the nearest nanometre."""
    return nearest_root(run * run + rise * rise)


def quotient(value: int, divisor: int) -> int:
    """A quotient to the nearest whole number, halves up."""
    return round_half_up(Fraction(value, divisor))


def saw_angle(run: Length, rise: Length) -> Angle:
    """The angle whose tangent is ``run / rise``, to a hundredth of a degree: no saw is set finer."""
    hundredth = DEGREE // 100
    return round(math.degrees(math.atan2(run, rise)) * 100) * hundredth


def to_saw_down(length: Length, unit: str) -> Length:
    """A length that was shared out, rounded down to what a saw can be set to: no gap is less than was asked. [nm]"""
    step = INCH // 64 if unit == "in" else ROUNDED_UP_TO
    return length // step * step


def to_saw_up(length: Length, unit: str) -> Length:
    """A length that a root or a tangent yields, rounded up to what a saw can be set to.

    A tenth of a millimetre, as everywhere in cutplan, or 1/64 in where the workshop counts in inches. The few
    nanometres by which the roots before it were rounded do not count. [nm]
    """
    step = INCH // 64 if unit == "in" else ROUNDED_UP_TO
    return ceil_div(length - _ROUNDED_BEFORE, step) * step
