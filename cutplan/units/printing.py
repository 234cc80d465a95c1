"""Lengths and masses as the workshop reads them."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from cutplan.units.quantities import INCH, KG, METRE, MM, Length, Mass, fixed_text, plain_text, round_half_up


def mm_text(length: Length) -> str:
    """Exact millimetres as a plain decimal, as written into plan.json: ``1200.5``."""
    return plain_text(Fraction(length, MM))


def length_text(length: Length, unit: str = "mm", *, with_unit: bool = True) -> str:
    """A length as the workshop reads it: ``1200.5 mm``, ``6.5 m``, ``47 1/4 in``, ``3 ft 11 1/4 in``.

    Millimetres are rounded to 0.1 and metres to 0.001 for reading; inches show the nearest
    1/64 and carry ``~`` in front when that is not exact. plan.json keeps the exact value.
    """
    if unit == "mm":
        text = plain_text(Decimal(round_half_up(Fraction(length * 10, MM))) / 10)
    elif unit == "m":
        text = plain_text(Decimal(round_half_up(Fraction(length * 1000, METRE))) / 1000)
    elif unit == "in":
        return _inch_text(length, with_unit)
    elif unit == "ft":
        return _feet_text(length)
    else:
        raise ValueError(f"no notation for the unit {unit!r}")
    return f"{text} {unit}" if with_unit else text


def typed_length(length: Length, unit: str = "mm") -> str:
    """A length as a list may hold it, exact and with its unit: ``1250.1 mm``, or ``47 1/4 in`` where that is exact."""
    return length_text(length, "in") if unit == "in" and length * 64 % INCH == 0 else f"{mm_text(length)} mm"


def _sixtyfourths(length: Length) -> tuple[str, int]:
    """What stands in front (``~`` when rounded, then the sign) and the nearest number of 1/64 in."""
    exact = Fraction(abs(length) * 64, INCH)
    return ("" if exact.denominator == 1 else "~") + ("-" if length < 0 else ""), round_half_up(exact)


def _inches(sixtyfourths: int) -> str:
    whole, part = divmod(sixtyfourths, 64)
    fraction = Fraction(part, 64)
    return f"{whole} {fraction}" if whole and part else str(fraction if part else whole)


def _inch_text(length: Length, with_unit: bool) -> str:
    front, sixtyfourths = _sixtyfourths(length)
    return f"{front}{_inches(sixtyfourths)}{' in' if with_unit else ''}"


def _feet_text(length: Length) -> str:
    front, sixtyfourths = _sixtyfourths(length)
    feet, rest = divmod(sixtyfourths, 12 * 64)
    if not feet:
        return f"{front}{_inches(rest)} in"
    return f"{front}{feet} ft {_inches(rest)} in" if rest else f"{front}{feet} ft"


def kg_text(mass: Mass, places: int = 1) -> str:
    """Kilograms with a fixed number of decimals: ``27.6``."""
    return fixed_text(Fraction(mass, KG), places)
