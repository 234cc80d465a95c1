"""Area, mass and outside surface of a section from its dimensions, by formula.

Everything is exact fractions of millimetres; pi and the root of 3 are the only
approximations and are carried to 30 digits. Nothing is rounded here.

A tube is never computed with square corners (20x20x2 would come out 7.7 % too
heavy), and the corner depends on the standard. The radii below are those that
reproduce the published tables, not the limits the standards allow.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from cutplan.problems import Refused
from cutplan.sections.listed_sizes import angle_radii, pipe_names, pipe_size
from cutplan.sections.section import Family
from cutplan.sections.standards import (
    AS_HOLLOW,
    AS_ROLLED,
    EN_COLD,
    EN_HOT,
    EXTRUDED,
    IS_HOLLOW,
    US_HOLLOW,
    US_PIPE,
    US_ROLLED,
)
from cutplan.sections.values import CORNER, PI, Detail, Figures, in_mm
from cutplan.units import MM, mm_text

ROOT_OF_3 = Fraction("1.73205080756887729352744634151")

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
    EN_COLD: (_corner(6, "2", "1"), _corner(10, "2.5", "1.5"), _corner(_ANY, "3", "2")),
    EN_HOT: (_corner(_ANY, "1.5", "1"),),
    AS_HOLLOW: (_corner(3, "2", "1"), _corner(_ANY, "2.5", "1.5")),
    IS_HOLLOW: (_corner(_ANY, "2", "1"),),
    US_HOLLOW: (_corner(_ANY, "2", "1"),),
    EXTRUDED: (_corner(_ANY, "0", "0"),),
}

CORNER_SOURCES = {
    EN_COLD: "outside radius: SSAB, Structural hollow sections, table 1, and the Blue Book of the UK, "
    "tolerances CFSHS; inside radius: with it 233 rows of the UK tables agree within rounding",
    EN_HOT: "derived: 284 rows of the UK tables agree within 0.44 %; an inside radius of 0.5 t would be 1.1 % low",
    AS_HOLLOW: "outside radius: hollow-section table of steelas 0.2.0; inside radius: one wall less",
    IS_HOLLOW: "derived: 17 of 18 masses of IS 4923:1997 as printed by a tube merchant agree, the other is a misprint",
    US_HOLLOW: "outside radius: AISC text on HSS; all 525 rectangular rows of AISC v16 agree within 0.39 %",
    EXTRUDED: "sharp corners: US tables of extruded aluminium tube agree within 0.25 %",
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

AS_THICKNESS_SOURCE = "InfraBuild hot-rolled catalogue 2019, tables 19 and 21"


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
            code="section.corners",
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
    formula = "2t(h + b - 2t) - (4 - pi)(ro2 - ri2)"
    return Figures(
        area=area,
        mass_area=mass_area,
        outline=outline,
        height=height,
        width=width,
        thickness=wall,
        basis=basis,
        details=(
            *_sides(("height", height), ("width", width), ("wall", wall)),
            Detail("outside corner", in_mm(outside), f"{_text(corner.outside)} t; {CORNER_SOURCES[standard]}"),
            Detail("inside corner", in_mm(inside), f"{_text(corner.inside)} t; as the outside corner"),
            *_results(standard, formula, "2(h + b) - (8 - 2 pi) ro"),
        ),
    )


def round_tube(diameter: Fraction, _: Fraction, wall: Fraction, standard: str) -> Figures:
    """A circular hollow section; dimensions in mm."""
    area = mass_area = PI * (diameter - wall) * wall
    basis = "formula of the ring"
    if standard in (US_HOLLOW, US_PIPE):
        design = US_DESIGN_WALL * wall
        area = PI * (diameter - design) * design
        basis = f"{basis}; mass from the nominal wall, area from the design wall 0.93 t"
    return Figures(
        area=area,
        mass_area=mass_area,
        outline=PI * diameter,
        height=diameter,
        width=diameter,
        thickness=wall,
        basis=basis,
        details=(
            *_sides(("outside diameter", diameter), ("wall", wall)),
            *_results(standard, "pi (d - t) t", "pi d"),
        ),
    )


def pipe_figures(designation: str, standard: str) -> Figures:
    """A pipe by its bore; the table gives outside diameter and wall.

    Raises
    ------
    Refused
        When the standard has no such size.
    """
    size = pipe_size(designation, standard)
    if size is None:
        raise Refused(
            f"{designation} to {standard}",
            f"a size of {standard}, such as {' or '.join(_near_pipes(designation, standard))}",
            code="section.size",
        )
    ring = round_tube(size.diameter, size.diameter, size.wall, standard)
    return replace(
        ring,
        size_source=size.source,
        details=(
            Detail("outside diameter", in_mm(size.diameter), size.source),
            Detail("wall", in_mm(size.wall), size.source),
            *ring.details[2:],
        ),
    )


def _near_pipes(designation: str, standard: str) -> list[str]:
    """Pipes of the standard with the same bore; any three when it has none."""
    named = pipe_names(standard)
    bore = designation.rpartition(" ")[0].removesuffix(" Sch")
    return [name for name in named if name.startswith(f"{bore} ")][:3] or list(named[:3])


def _sides(*sides: tuple[str, Fraction]) -> tuple[Detail, ...]:
    return tuple(Detail(what, in_mm(value), "the name") for what, value in sides)


def _results(standard: str, area: str, outline: str) -> tuple[Detail, ...]:
    """Where area, mass and surface of a formula come from."""
    design = standard in (US_HOLLOW, US_PIPE)
    mass = f"{area} with the nominal wall, x density" if design else "area x density"
    note = " with the design wall 0.93 t" if design else ""
    surface = f"{outline}, ro 2.25 design walls" if standard == US_HOLLOW and "ro" in outline else outline
    return (
        Detail("area", "", f"{area}{note}"),
        Detail("mass", "", mass),
        Detail("surface", "", surface),
    )


def _radii(long_leg: Fraction, short_leg: Fraction, standard: str) -> tuple[Fraction, Fraction, bool, str]:
    """Root and toe radius in mm, whether the table lists them for these legs, and their source.

    Legs that the table does not hold borrow from the largest equal angle whose
    leg is at most their mean (the smallest one when none is): a radius 1 mm out
    changes the mass of a 50x50x5 by 0.3 %.
    """
    table = angle_radii(standard)
    if (long_leg, short_leg) in table:
        found = table[long_leg, short_leg]
        return found.root, found.toe, True, found.source
    equal = sorted(legs[0] for legs in table if legs[0] == legs[1])
    leg = max((leg for leg in equal if 2 * leg <= long_leg + short_leg), default=equal[0])
    found = table[leg, leg]
    return found.root, found.toe, False, found.source


def angle(long_leg: Fraction, short_leg: Fraction, thickness: Fraction, standard: str) -> Figures:
    """An equal or unequal angle; dimensions in mm, the thickness as in the name."""
    named = thickness
    if standard in (US_ROLLED, EXTRUDED):
        root = toe = Fraction(0)
        listed = True
        basis = "formula with square corners"
        radii_from = "no radii are common to the mills; AISC areas are met within 1.4 %"
    else:
        root, toe, listed, radii_from = _radii(long_leg, short_leg, standard)
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
        radii_from = "the radii for these legs do not fit the thickness"
    elif not listed:
        basis = f"{basis}, borrowed from a neighbouring size"
        radii_from = f"{radii_from}, borrowed from a neighbouring size"
    area = thickness * (long_leg + short_leg - thickness) + CORNER * (root**2 - 2 * toe**2)
    return Figures(
        area=area,
        mass_area=area,
        outline=2 * (long_leg + short_leg) - (2 - PI / 2) * (root + 2 * toe),
        height=long_leg,
        width=short_leg,
        thickness=thickness,
        basis=basis,
        radii_listed=listed,
        details=(
            *_sides(("leg", long_leg), ("leg", short_leg)),
            Detail("thickness", in_mm(thickness), "the name" if thickness == named else AS_THICKNESS_SOURCE),
            *(Detail(what, in_mm(value), radii_from) for what, value in (("root radius", root), ("toe radius", toe))),
            *_results(standard, "t(a + b - t) + (1 - pi/4)(r1^2 - 2 r2^2)", "2(a + b) - (2 - pi/2)(r1 + 2 r2)"),
        ),
    )


def rectangle(height: Fraction, width: Fraction, _: Fraction, __: str) -> Figures:
    """A flat or a square bar with sharp edges; dimensions in mm.

    Squares may have edge radii up to 1 to 2.5 mm (bssa.org.uk, EN 10059 article); nominal masses leave them out.
    """
    area = height * width
    sides = (("width", height), ("thickness", width)) if height != width else (("side", height),)
    return Figures(
        area=area,
        mass_area=area,
        outline=2 * (height + width),
        height=height,
        width=width,
        thickness=width,
        basis="formula, sharp edges",
        details=(*_sides(*sides), *_results("", "width x thickness, sharp edges", "twice both sides")),
    )


def disc(diameter: Fraction, _: Fraction, __: Fraction, ___: str) -> Figures:
    """A round bar; dimensions in mm."""
    area = PI * diameter**2 / 4
    return Figures(
        area=area,
        mass_area=area,
        outline=PI * diameter,
        height=diameter,
        width=diameter,
        thickness=diameter,
        basis="formula of the circle",
        details=(*_sides(("diameter", diameter)), *_results("", "pi d^2 / 4", "pi d")),
    )


def hexagon(across: Fraction, _: Fraction, __: Fraction, ___: str) -> Figures:
    """A hexagon bar with sharp edges; its size across flats in mm."""
    area = ROOT_OF_3 / 2 * across**2
    return Figures(
        area=area,
        mass_area=area,
        outline=2 * ROOT_OF_3 * across,
        height=across,
        width=across,
        thickness=across,
        basis="formula, sharp edges",
        details=(
            *_sides(("across flats", across)),
            *_results("", "s^2 x half the root of 3, sharp edges", "2 s x the root of 3"),
        ),
    )


_FORMULAS: dict[Family, Callable[[Fraction, Fraction, Fraction, str], Figures]] = {
    Family.SHS: hollow,
    Family.RHS: hollow,
    Family.CHS: round_tube,
    Family.EA: angle,
    Family.UA: angle,
    Family.FLAT: rectangle,
    Family.SQUARE: rectangle,
    Family.ROUND: disc,
    Family.HEXAGON: hexagon,
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
