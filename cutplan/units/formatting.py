"""Lengths and masses as the workshop reads them.

What is rounded for reading says so: ``~`` stands in front. plan.json keeps the exact values.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from cutplan.units.quantities import (
    FOOT,
    INCH,
    KG,
    METRE,
    MM,
    POUND_IN_KG,
    UM,
    Length,
    Mass,
    fixed_text,
    plain_text,
    round_half_up,
)

PRINTED_TO: dict[str, dict[str, Length]] = {
    "mm": {"0.1 mm": 100 * UM, "0.5 mm": 500 * UM, "1 mm": MM},
    "in": {"1/64 in": INCH // 64, "1/32 in": INCH // 32, "1/16 in": INCH // 16, "1/8 in": INCH // 8},
}
"""What a length may be printed to, by unit, the usual one first. 1/64 in is the finest that a tape or rule shows."""

MASS_UNITS: dict[str, Fraction] = {"kg": Fraction(KG), "lb": POUND_IN_KG * KG}
"""Milligrams in a unit that masses are printed in."""


@dataclass(frozen=True, slots=True)
class Printing:
    """How a workshop wants lengths and masses printed.

    Parameters
    ----------
    unit
        ``mm`` (long lengths in metres) or ``in`` (long lengths in feet and inches).
    finest
        The step lengths are rounded to, one of :data:`PRINTED_TO`. [nm]
    mass_unit
        ``kg`` or ``lb``.
    """

    unit: str = "mm"
    finest: Length = 100 * UM
    mass_unit: str = "kg"

    def __post_init__(self) -> None:
        if self.unit not in PRINTED_TO or self.finest not in PRINTED_TO[self.unit].values():
            raise ValueError(f"no lengths are printed to {self.finest} nm in {self.unit!r}")
        if self.mass_unit not in MASS_UNITS:
            raise ValueError(f"no masses are printed in {self.mass_unit!r}")

    @property
    def fine(self) -> Printing:
        """The same at the usual finest step: a kerf is not told to the nearest sixteenth."""
        return replace(self, finest=USUAL[self.unit].finest)

    @property
    def measured_off(self) -> Length:
        """The step of lengths that somebody else is to measure off: a millimetre, or a sixteenth of an inch. [nm]"""
        return max(self.finest, MM if self.unit == "mm" else INCH // 16)


MILLIMETRES = Printing()
INCHES = Printing("in", INCH // 64, "lb")
USUAL: dict[str, Printing] = {"mm": MILLIMETRES, "in": INCHES}
"""What a workshop of this unit is taken to want unless it says otherwise."""


def mm_text(length: Length) -> str:
    """Exact millimetres as a plain decimal, as written into plan.json: ``1200.5``."""
    return plain_text(Fraction(length, MM))


@lru_cache(maxsize=16_384)  # a part's length stands on every sheet, and on each some times
def length_text(length: Length, how: Printing = MILLIMETRES, *, with_unit: bool = True) -> str:
    """A length as the workshop reads it: ``1200.5 mm``, ``47 1/4 in``; ``~1200.5 mm`` when that is rounded."""
    steps = round_half_up(Fraction(abs(length), how.finest))
    front = ("" if steps * how.finest == abs(length) else "~") + ("-" if length < 0 and steps else "")
    shown = steps * how.finest
    text = mm_text(shown) if how.unit == "mm" else _inches(shown)
    return f"{front}{text} {how.unit}" if with_unit else f"{front}{text}"


def stock_text(length: Length, how: Printing = MILLIMETRES) -> str:
    """A long length as merchants say it: ``6.5 m`` to a millimetre, or ``20 ft 4 1/8 in``."""
    finest = MM if how.unit == "mm" else how.finest
    steps = round_half_up(Fraction(abs(length), finest))
    front = ("" if steps * finest == abs(length) else "~") + ("-" if length < 0 and steps else "")
    if how.unit == "mm":
        return f"{front}{plain_text(Fraction(steps * finest, METRE))} m"
    feet, rest = divmod(steps * finest, FOOT)
    if not feet:
        return f"{front}{_inches(rest)} in"
    return f"{front}{feet} ft {_inches(rest)} in" if rest else f"{front}{feet} ft"


def typed_length(length: Length, unit: str = "mm") -> str:
    """A length as a list may hold it, exact and with its unit: ``1250.1 mm``, or ``47 1/4 in`` where that is exact."""
    exact_inches = unit == "in" and length % INCHES.finest == 0
    return length_text(length, INCHES) if exact_inches else f"{mm_text(length)} mm"


def rounded_down(length: Length, how: Printing) -> str:
    """A length that must not look larger than it is: down to what lengths are printed to."""
    return length_text(length // how.finest * how.finest, how)


def _inches(length: Length) -> str:
    whole, part = divmod(length, INCH)
    fraction = Fraction(part, INCH)
    return f"{whole} {fraction}" if whole and part else str(fraction if part else whole)


def kg_text(mass: Mass, places: int = 1) -> str:
    """Kilograms with a fixed number of decimals, as JSON carries them: ``27.6``."""
    return mass_figure(mass, MILLIMETRES, places)


def mass_figure(mass: Mass, how: Printing, places: int = 1) -> str:
    """A mass in the workshop's unit without its name, with a fixed number of decimals: ``27.6``."""
    return fixed_text(mass / MASS_UNITS[how.mass_unit], places)


def mass_text(mass: Mass, how: Printing, places: int = 1) -> str:
    """A mass as the workshop reads it: ``27.6 kg``, ``60.9 lb``."""
    return f"{mass_figure(mass, how, places)} {how.mass_unit}"


def density_text(density: int, how: Printing) -> str:
    """A density as the workshop reads it: ``7850 kg per cubic metre``, ``490.1 lb per cubic foot``. [kg/m3 given]"""
    if how.mass_unit == "kg":
        return f"{density} kg per cubic metre"
    return f"{fixed_text(density * Fraction(FOOT, METRE) ** 3 / POUND_IN_KG, 1)} lb per cubic foot"
