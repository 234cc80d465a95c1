"""Words that name a unit of length. The only user of pint.

pint is loaded only for a word outside the everyday few, and gives the size of one unit, never of a text: it reads
``1 5/8 in`` as 15.875 mm and works out ``2**3**9 m``.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from cutplan.units.quantities import FOOT, INCH, METRE, MM, Length

if TYPE_CHECKING:
    import pint

EVERYDAY_UNITS: dict[str, Length] = {
    "mm": MM,
    "cm": 10 * MM,
    "m": METRE,
    "in": INCH,
    "ft": FOOT,
}
"""Unit words resolved without loading pint; a test holds them equal to pint's."""

_SAME_UNIT = {
    '"': "in",
    "''": "in",
    "inch": "in",
    "inches": "in",
    "'": "ft",
    "foot": "ft",
    "feet": "ft",
    "ins": "in",
    "mtr": "m",
    "mtrs": "m",
    "metre": "m",
    "metres": "m",
    "meter": "m",
    "meters": "m",
    "millimetre": "mm",
    "millimetres": "mm",
    "millimeter": "mm",
    "millimeters": "mm",
}


@lru_cache(maxsize=1024)
def unit_length(word: str) -> Length | None:
    """Length of one unit named ``word``; None when the word names no length unit that is exact in nanometres."""
    name = _SAME_UNIT.get(word.lower(), word.lower())
    if name in EVERYDAY_UNITS:
        return EVERYDAY_UNITS[name]
    import pint

    try:
        size = Fraction(_registry().Quantity(Fraction(1), name).to("nanometer").magnitude)
    except (pint.PintError, AttributeError, TypeError, ValueError, AssertionError):
        return None
    return int(size) if size.denominator == 1 and size > 0 else None


@cache
def _registry() -> pint.UnitRegistry[Fraction]:
    # Kept, because pint takes a fifth of a second to read its definitions.
    import pint

    return pint.UnitRegistry(non_int_type=Fraction)
