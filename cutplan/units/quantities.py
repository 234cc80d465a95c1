"""What the whole numbers of the program stand for, how they are rounded and written as plain decimals.

A length is a whole number of nanometres, which holds 0.001 mm and 1/64 in
exactly; an angle of millionths of a degree; a mass of milligrams; money of
millionths of the currency.

References
----------
International yard and pound agreement of 1959: 1 in = 25.4 mm,
1 lb = 0.45359237 kg, exactly.
"""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from typing import TypeAlias

Length: TypeAlias = int
"""Whole nanometres."""
Angle: TypeAlias = int
"""Whole millionths of a degree, counted from square."""
Mass: TypeAlias = int
"""Whole milligrams."""
Money: TypeAlias = int
"""Whole millionths of the currency."""

UM: Length = 1_000
MM: Length = 1_000_000
METRE: Length = 1_000 * MM
INCH: Length = 25_400_000
FOOT: Length = 12 * INCH
DEGREE: Angle = 1_000_000
KG: Mass = 1_000_000
TONNE: Mass = 1_000 * KG
POUND_IN_KG = Fraction(45359237, 100_000_000)
CURRENCY: Money = 1_000_000


def round_half_up(value: Fraction) -> int:
    """Nearest whole number, halves away from zero for positive values."""
    return math.floor(value + Fraction(1, 2))


def ceil_div(value: int, step: int) -> int:
    """``value / step`` rounded up."""
    return -(-value // step)


def plain_text(value: Fraction | Decimal) -> str:
    """The shortest decimal of a value that has one: ``22.5``."""
    number = Decimal(value.numerator) / Decimal(value.denominator) if isinstance(value, Fraction) else value
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def fixed_text(value: Fraction, places: int) -> str:
    """A value with a fixed number of decimals, halves away from zero: ``31.50``."""
    scaled = round_half_up(abs(value) * 10**places)
    sign = "-" if value < 0 and scaled else ""
    whole, part = divmod(scaled, 10**places)
    return f"{sign}{whole}.{part:0{places}d}" if places else f"{sign}{whole}"
