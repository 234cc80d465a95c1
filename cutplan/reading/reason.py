"""What is within reason: limits beyond which a figure is a slip of the hand, all in one place.

Each refuses what no workshop can mean, or asks for a word more where it could be meant. Own choice, from what the
trade buys and cuts, no source, unless one is named.
"""

from __future__ import annotations

from fractions import Fraction

from cutplan.problems import Refused
from cutplan.units import KG, MM, Length, Mass, Money, Printing, length_text, mm_text

SMALLEST_HOLE: Length = MM // 2
"""Diameter. ISO 235 stub drills begin here (from memory)."""
HEAVIEST_METRE: Mass = 2_000 * KG
"""Half as much again as the heaviest rolled beam, of 1299 kg (HD 400, from memory)."""
OVER_SOLID = Fraction(21, 20)
"""How much heavier than solid material a section may be said to be: standards allow masses of a few percent more."""
WALL_SHARE = (Fraction(1, 2), Fraction(3, 2))
"""A wall as measured over the nominal one; EN 10219-2 allows 10 percent."""
UNCUT_SHARE = Fraction(9, 10)
"""A bar that was not cut, as measured, over the length it was counted on."""
DELIVERED_SHARE = (Fraction(1, 4), Fraction(2))
"""A length as delivered over the one ordered: a merchant may cut it so that it can be carried, or give a longer one."""
CORRECTED_SHARE = 2
"""Longer or shorter by more than this, a piece is another one."""
MOST_MARKS = 1_000
"""Offcuts put on the rack at once: each is given a mark of its own, which somebody paints."""
MOST_ALIKE = 100_000
"""Full lengths put on the rack under one mark."""
DEAREST_KG = 100
"""Currency units a kilogram, of :data:`UNITS_OF_NOTE`: ten times the price of stainless tube."""
DEAR_HINT = "is it in cents, or for another quantity than it says?"
UNITS_OF_NOTE = ("AUD", "CAD", "CHF", "EUR", "GBP", "NZD", "USD")
"""Currencies of which one buys about as much as one euro does, within a factor of two."""


def hole_fault(diameter: Length) -> str:
    """What would be accepted in place of a hole too small to be drilled; blank when it is not."""
    return f"a hole of {mm_text(SMALLEST_HOLE)} mm or more" if diameter < SMALLEST_HOLE else ""


def allowances_fault(added: Length, length: Length, how: Printing) -> str:
    """The same for allowances that add more to a part than it has."""
    return f"allowances of less together than the part, {length_text(length, how)}" if added >= length else ""


def mass_fault(mass: Mass, height: Length, width: Length, density: int) -> str:
    """The same for a mass per metre that is more than that of solid material, or of any section. [mg; nm; kg/m3]"""
    solid = Fraction(height * width, MM * MM) * density / 1000 * KG / 1000
    most = min(HEAVIEST_METRE, int(solid * OVER_SOLID))
    if mass <= most:
        return ""
    return f"at most {most / KG:.6g} kg a metre, what solid material of these outside dimensions weighs"


def wall_fault(wall: Length, nominal: Length) -> str:
    """The same for a wall as measured that is none of its section."""
    least, most = (int(share * nominal) for share in WALL_SHARE)
    return (
        "" if least <= wall <= most else f"a wall of {mm_text(least)} to {mm_text(most)} mm, as this section may have"
    )


def uncut_fault(measured: Length, counted: Length, how: Printing) -> str:
    """The same for a bar that was not cut and is said to be much shorter than it was."""
    least = int(counted * UNCUT_SHARE)
    return "" if measured >= least else f"at least {length_text(least, how)} of a bar that was not cut"


def delivered_fault(measured: Length, ordered: Length, how: Printing) -> str:
    """The same for a length as delivered that is none of its order line."""
    least, most = (int(share * ordered) for share in DELIVERED_SHARE)
    if least <= measured <= most:
        return ""
    return f"{length_text(least, how)} to {length_text(most, how)}, as {length_text(ordered, how)} was ordered"


def check_correction(after: Length, before: Length, how: Printing) -> None:
    """Refuse a corrected length that makes another piece of it; raises Refused."""
    if before <= after * CORRECTED_SHARE and after <= before * CORRECTED_SHARE:
        return
    raise Refused(
        length_text(after, how),
        f"a length from {length_text(before // CORRECTED_SHARE, how)} to {length_text(before * CORRECTED_SHARE, how)}, "
        f"as the piece is {length_text(before, how)}",
        "with --reason any length is taken; a piece that is another one is added, and this one scrapped",
        code="rack.correction",
    )


def price_fault(bar_price: Money, mass: Mass, currency: str) -> str:
    """What would be usual in place of a price or a value that no steel has; blank when it may be one."""
    if currency not in UNITS_OF_NOTE or bar_price * KG <= DEAREST_KG * 1_000_000 * mass:
        return ""
    return f"less than {DEAREST_KG} {currency} a kg"
