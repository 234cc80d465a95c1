"""Area, mass and outside surface of a section from its dimensions, by formula.

Everything is exact fractions of millimetres; pi is the one approximation and
is carried to 30 digits. Nothing is rounded here.

A tube is never computed with square corners (20x20x2 would come out 7.7 % too
heavy), and the corner depends on the standard. The radii below are those that
reproduce the published tables, not the limits the standards allow.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from cutplan.problems import Refused
from cutplan.sections.listing import angle_radii
from cutplan.sections.section import Family
from cutplan.sections.standards import AS_HOLLOW, AS_ROLLED, EN_COLD, EN_HOT, IS_HOLLOW, US_HOLLOW, US_ROLLED
from cutplan.units import MM, mm_text

PI = Fraction("3.14159265358979323846264338328")
CORNER = 1 - PI / 4
"""Area between a square corner of side 1 and the quarter circle in it."""

US_DESIGN_WALL = Fraction(93, 100)
"""Design wall over nominal wall of a tube to ASTM A500 (AISC Manual); areas are printed for the one, weights for the
other."""


@dataclass(frozen=True, slots=True)
class Corner:
    """Outside and inside corner radius of a hollow section in walls, for walls up to ``wall_up_to`` mm."""

    wall_up_to: Fraction
    outside: Fraction
    inside: Fraction


def _corner(wall_up_to: int, outside: str, inside: str) -> Corner:
    return Corner(Fraction(wall_up_to), Fraction(outside), Fraction(inside))


_ANY = 1000

CORNERS: dict[str, tuple[Corner, ...]] = {
    # Outside radii read: SSAB structural hollow sections, table 1; steelforlifebluebook.co.uk, tolerances CFSHS.
    # With these inside radii 233 rows of the UK tables agree within rounding.
    EN_COLD: (_corner(6, "2", "1"), _corner(10, "2.5", "1.5"), _corner(_ANY, "3", "2")),
    # Derived: 284 rows of the UK tables agree within 0.44 %; an inside radius of 0.5 t would be 1.1 % low.
    EN_HOT: (_corner(_ANY, "1.5", "1"),),
    # Outside radius from the hollow-section table of steelas 0.2.0.
    AS_HOLLOW: (_corner(3, "2", "1"), _corner(_ANY, "2.5", "1.5")),
    # Derived: 17 of 18 masses printed at shahsteeltubes.com/is4923.html agree, the other is a misprint.
    IS_HOLLOW: (_corner(_ANY, "2", "1"),),
    # Outside radius 2 t read: AISC text on HSS; all 525 rectangular rows of AISC v16 agree within 0.39 %.
    US_HOLLOW: (_corner(_ANY, "2", "1"),),
}

_COMMON_WALLS = tuple(Fraction(wall) for wall in ("6", "5", "4", "3", "2.5", "2", "1.6", "1.2", "1", "0.8", "0.6"))
"""Walls offered, in mm, where the one typed is too thick for its corners."""

_US_SURFACE_CORNER = Fraction("2.25")
"""Outside radius in design walls that US tables use for the surface; from memory."""

AS_ACTUAL_THICKNESS = {
    Fraction(5): Fraction("4.6"),
    Fraction(8): Fraction("7.8"),
    Fraction(10): Fraction("9.5"),
    Fraction(16): Fraction("15.8"),
}
"""Angles to AS/NZS 3679.1 are thinner than their name, in mm; 3, 6 and 12 are true.

InfraBuild hot-rolled catalogue 2019, tables 19 and 21."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What the geometry of a section yields.

    Parameters
    ----------
    area
        Cross-section area. [mm2]
    mass_area
        The area that the mass belongs to; differs from ``area`` where a standard prints the one for the design wall
        and the other for the nominal wall. [mm2]
    outline
        Length of the outside outline. [mm]
    thickness
        True thickness; differs from the name for some angles. [mm]
    basis
        In words, how the figures were found.
    radii_listed
        False when a radius had to be borrowed from a neighbouring size.
    """

    area: Fraction
    mass_area: Fraction
    outline: Fraction
    thickness: Fraction
    basis: str
    radii_listed: bool = True


def _corner_of(standard: str, wall: Fraction) -> Corner:
    return next(corner for corner in CORNERS[standard] if wall <= corner.wall_up_to)


def _rectangular_tube(
    height: Fraction, width: Fraction, wall: Fraction, outside: Fraction, inside: Fraction
) -> Fraction:
    """Area of a rectangular tube with the given corner radii, all in mm."""
    return 2 * wall * (height + width - 2 * wall) - 4 * CORNER * (outside**2 - inside**2)


def hollow(height: Fraction, width: Fraction, wall: Fraction, standard: str) -> Figures:
    """A square or rectangular hollow section; dimensions in mm.

    Raises
    ------
    Refused
        When the outside corners of the standard do not fit on the narrow side.
    """
    corner = _corner_of(standard, wall)
    outside, inside = corner.outside * wall, corner.inside * wall
    if 2 * outside > width:
        fits = next(wall for wall in _COMMON_WALLS if 2 * _corner_of(standard, wall).outside * wall <= width)
        sides = f"{_text(height)}x{_text(width)}"
        raise Refused(
            f"a wall of {_text(wall)} on sides of {sides}",
            f"a wall that leaves room for the corners, {_text(corner.outside)} walls each in {standard}, "
            f"such as {'SHS' if height == width else 'RHS'} {sides}x{_text(fits)}",
        )
    radii = f"corner radii {_text(corner.outside)} t outside and {_text(corner.inside)} t inside"
    area = mass_area = _rectangular_tube(height, width, wall, outside, inside)
    outline_corner = outside
    basis = f"formula with {radii}"
    if standard == US_HOLLOW:
        design = US_DESIGN_WALL * wall
        area = _rectangular_tube(height, width, design, corner.outside * design, corner.inside * design)
        outline_corner = _US_SURFACE_CORNER * design
        basis = f"{basis}; mass from the nominal wall, area from the design wall 0.93 t"
    outline = 2 * (height + width) - (8 - 2 * PI) * outline_corner
    return Figures(area=area, mass_area=mass_area, outline=outline, thickness=wall, basis=basis)


def round_tube(diameter: Fraction, _: Fraction, wall: Fraction, standard: str) -> Figures:
    """A circular hollow section; dimensions in mm."""
    area = mass_area = PI * (diameter - wall) * wall
    basis = "formula of the ring"
    if standard == US_HOLLOW:
        design = US_DESIGN_WALL * wall
        area = PI * (diameter - design) * design
        basis = f"{basis}; mass from the nominal wall, area from the design wall 0.93 t"
    return Figures(area=area, mass_area=mass_area, outline=PI * diameter, thickness=wall, basis=basis)


def _radii(long_leg: Fraction, short_leg: Fraction, standard: str) -> tuple[Fraction, Fraction, bool]:
    """Root and toe radius in mm, and whether the table lists them for these legs.

    Legs that the table does not hold borrow from the largest equal angle whose
    leg is at most their mean (the smallest one when none is): a radius 1 mm out
    changes the mass of a 50x50x5 by 0.3 %.
    """
    table = angle_radii(standard)
    if (long_leg, short_leg) in table:
        return *table[long_leg, short_leg], True
    equal = sorted(legs[0] for legs in table if legs[0] == legs[1])
    leg = max((leg for leg in equal if 2 * leg <= long_leg + short_leg), default=equal[0])
    return *table[leg, leg], False


def angle(long_leg: Fraction, short_leg: Fraction, thickness: Fraction, standard: str) -> Figures:
    """An equal or unequal angle; dimensions in mm, the thickness as in the name."""
    if standard == US_ROLLED:
        # No radii are common to the US mills; AISC areas are met within 1.4 %.
        root = toe = Fraction(0)
        listed = True
        basis = "formula with square corners"
    else:
        root, toe, listed = _radii(long_leg, short_leg, standard)
        basis = f"formula with root radius {_text(root)} mm and toe radius {_text(toe)} mm"
    if standard == AS_ROLLED and thickness in AS_ACTUAL_THICKNESS:
        actual = AS_ACTUAL_THICKNESS[thickness]
        basis = f"{basis}; {_text(thickness)} in the name is {_text(actual)} mm"
        thickness = actual
    # A toe may be a little rounder than the leg is thick (75x75x5 to AS/NZS 3679.1: 5 on 4.6), no more.
    if 4 * toe > 5 * thickness or root + toe > short_leg - thickness:
        root = toe = Fraction(0)
        listed = False
        basis = "formula with square corners, because the radii for these legs do not fit the thickness"
    elif not listed:
        basis = f"{basis}, borrowed from a neighbouring size"
    area = thickness * (long_leg + short_leg - thickness) + CORNER * (root**2 - 2 * toe**2)
    return Figures(
        area=area,
        mass_area=area,
        outline=2 * (long_leg + short_leg) - (2 - PI / 2) * (root + 2 * toe),
        thickness=thickness,
        basis=basis,
        radii_listed=listed,
    )


def rectangle(height: Fraction, width: Fraction, _: Fraction, __: str) -> Figures:
    """A flat or a square bar with sharp edges; dimensions in mm.

    Squares may have edge radii up to 1 to 2.5 mm (bssa.org.uk, EN 10059 article); nominal masses leave them out.
    """
    area = height * width
    return Figures(
        area=area, mass_area=area, outline=2 * (height + width), thickness=width, basis="formula, sharp edges"
    )


def disc(diameter: Fraction, _: Fraction, __: Fraction, ___: str) -> Figures:
    """A round bar; dimensions in mm."""
    area = PI * diameter**2 / 4
    return Figures(area=area, mass_area=area, outline=PI * diameter, thickness=diameter, basis="formula of the circle")


_FORMULAS: dict[Family, Callable[[Fraction, Fraction, Fraction, str], Figures]] = {
    Family.SHS: hollow,
    Family.RHS: hollow,
    Family.CHS: round_tube,
    Family.EA: angle,
    Family.UA: angle,
    Family.FLAT: rectangle,
    Family.SQUARE: rectangle,
    Family.ROUND: disc,
}


def figures(family: Family, height: Fraction, width: Fraction, thickness: Fraction, standard: str) -> Figures:
    """Area, mass area and outline of a section.

    Parameters
    ----------
    height, width, thickness
        As in the name, height >= width > 0, thickness at most half the width for tube and angle. [mm]
    standard
        Canonical name, one of those known for the family.

    Raises
    ------
    Refused
        When the standard's corners do not fit the sides.
    """
    return _FORMULAS[family](height, width, thickness, standard)


def _text(value: Fraction) -> str:
    return mm_text(int(value * MM))
