"""Channels and beams: their sizes from tables, their area and outline from dimensions, tees cut from them.

A table holds what a standard says of a size: dimensions, and area, mass or surface where no formula reaches them
(flanges with a taper, the fillets of American mills). Everything else is computed from the dimensions.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from cutplan.sections.listed_sizes import rows_of
from cutplan.sections.section import Family
from cutplan.sections.values import CARBON_STEEL_DENSITY, PI, Detail, Figures, in_mm

TEE = "T from "
"""What the designation of a tee puts before that of its beam."""

_TABLES = {Family.CHANNEL: "rolled_channels.csv", Family.BEAM: "rolled_beams.csv"}

SERIES = {
    Family.CHANNEL: ("PFC", "UPN", "UPE", "C", "MC", "ISMC"),
    Family.BEAM: ("IPE", "HEA", "HEB", "HEM", "UB", "UC", "W", "S", "ISMB"),
}
"""The series in the tables, by family."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A channel or beam as its standard describes it; dimensions in mm.

    Parameters
    ----------
    web, flange
        Thicknesses; of a taper flange the one at ``flange_at``.
    flange_at
        Distance from the web face at which a taper flange is as thick as ``flange``.
    root_radius, toe_radius
        0 where the mills differ and no radius is common.
    taper
        Slope of the inner flange face against the outer one; 0 for parallel flanges.
    area, mass, surface
        As tabulated, in mm2, kg/m of carbon steel and m2/m; 0 where the dimensions give it.
    """

    family: Family
    series: str
    designation: str
    standard: str
    height: Fraction
    width: Fraction
    web: Fraction
    flange: Fraction
    flange_at: Fraction
    root_radius: Fraction
    toe_radius: Fraction
    taper: Fraction
    area: Fraction
    mass: Fraction
    surface: Fraction
    source: str


@cache
def shapes(family: Family) -> dict[str, Shape]:
    """Every channel or beam in the tables, by its designation without blanks and with bare numbers."""

    def number(row: dict[str, str], column: str) -> Fraction:
        return Fraction(row[column] or 0)

    found = {}
    for row in rows_of(_TABLES[family]):
        shape = Shape(
            family=family,
            series=row["series"],
            designation=row["designation"],
            standard=row["standard"],
            height=number(row, "height"),
            width=number(row, "width"),
            web=number(row, "web"),
            flange=number(row, "flange"),
            flange_at=_flange_at(row),
            root_radius=number(row, "root_radius"),
            toe_radius=number(row, "toe_radius"),
            taper=number(row, "taper"),
            area=number(row, "area"),
            mass=number(row, "mass"),
            surface=number(row, "surface"),
            source=row["source"],
        )
        found[bare(shape.designation)] = shape
    return found


def _flange_at(row: dict[str, str]) -> Fraction:
    """As the table says, else half way between web and toe."""
    if row["flange_at"]:
        return Fraction(row["flange_at"])
    reach = Fraction(row["width"]) - Fraction(row["web"])
    return reach / (2 if row["series"] in SERIES[Family.CHANNEL] else 4)


def bare(designation: str) -> str:
    """A designation as the tables are searched for it: capitals, no blanks, ``14.0`` as ``14``."""
    compact = re.sub(r"\s", "", designation.upper())
    return re.sub(r"\d+\.\d+", lambda match: match[0].rstrip("0").rstrip("."), compact)


def find(designation: str) -> Shape | None:
    """The channel or beam of a designation; None when no table has it."""
    key = bare(designation)
    return shapes(Family.BEAM).get(key) or shapes(Family.CHANNEL).get(key)


def parent_of(designation: str) -> str:
    """The beam that a tee is cut from: ``T from IPE 100`` gives ``IPE 100``."""
    return designation.removeprefix(TEE)


def _square_root(value: Fraction) -> Fraction:
    """To 20 digits."""
    from math import isqrt

    scale = 10**20
    return Fraction(isqrt(value.numerator * scale**2 // value.denominator), scale)


def _arc_tangent(slope: Fraction) -> Fraction:
    """To 20 digits, for slopes below 0.2."""
    total, power, odd = Fraction(0), slope, 1
    while abs(power) > Fraction(1, 10**20):
        total += power / odd if odd % 4 == 1 else -power / odd
        power, odd = power * slope**2, odd + 2
    return total


def _outline(shape: Shape) -> tuple[Fraction, Fraction]:
    """Area and length of the outline, in mm2 and mm, from the dimensions.

    A root fillet and a toe rounding both turn by 90 degrees less the slope.
    """
    sides = 2 if shape.family is Family.CHANNEL else 4
    reach = (shape.width - shape.web) / (1 if sides == 2 else 2)
    at_web = shape.flange + shape.taper * shape.flange_at
    at_toe = at_web - shape.taper * reach
    secant = _square_root(1 + shape.taper**2)
    turn = PI / 2 - _arc_tangent(shape.taper)
    # tan(turn / 2) for a turn of 90 degrees less the slope.
    tangent = secant - shape.taper
    radii = shape.root_radius, shape.toe_radius
    root, toe = (radius**2 * (tangent - turn / 2) for radius in radii)
    area = shape.height * shape.web + sides * (reach * (at_web + at_toe) / 2 + root - toe)
    webs = 1 if sides == 2 else 2
    backs = shape.height if sides == 2 else Fraction(0)
    outline = backs + 2 * shape.width + webs * (shape.height - 2 * at_web) + sides * (reach * secant + at_toe)
    outline -= sides * sum(radii) * (2 * tangent - turn)
    return area, outline


def rolled_figures(designation: str) -> Figures:
    """Area, mass area and outline of a channel, a beam or a tee.

    Parameters
    ----------
    designation
        As the tables spell it; a tee with :data:`TEE` before the beam's.
    """
    parent = parent_of(designation)
    shape = find(parent)
    if shape is None:
        raise ValueError(f"{designation} is in no table")
    area, outline = _outline(shape)
    flanges = "taper flanges" if shape.taper else "parallel flanges"
    drawn = f"outline with {flanges}, root radius {in_mm(shape.root_radius)}"
    if shape.toe_radius:
        drawn += f" and toe radius {in_mm(shape.toe_radius)}"
    area_from = surface_from = drawn
    if shape.area:
        area, area_from = shape.area, "table"
    mass_from = "area x density"
    mass_area = area
    if shape.mass:
        # A mass in the table is of carbon steel; the area that stands for it gives back the very figure.
        mass_area, mass_from = shape.mass * 1_000_000 / CARBON_STEEL_DENSITY, "table"
    if shape.surface:
        outline, surface_from = shape.surface * 1000, "table"
    height = shape.height
    if parent != designation:
        half = "half of its beam, the saw's cut not taken off"
        area, mass_area, height = area / 2, mass_area / 2, height / 2
        outline = outline / 2 + shape.web
        area_from, surface_from = (f"{half}: {of}" for of in (area_from, surface_from))
        mass_from = f"{half}: {mass_from}" if mass_from == "table" else mass_from
    dimensions = (
        ("height", height),
        ("flange width", shape.width),
        ("web thickness", shape.web),
        ("flange thickness", shape.flange),
        ("root radius", shape.root_radius),
        ("toe radius", shape.toe_radius),
    )
    basis = f"area: {area_from}"
    if mass_from == "table":
        basis += f"; mass: {mass_from}"
    if surface_from != area_from:
        basis += f"; surface: {surface_from}"
    return Figures(
        area=area,
        mass_area=mass_area,
        outline=outline,
        height=height,
        width=shape.width,
        thickness=shape.web,
        basis=basis,
        size_source=shape.source,
        details=(
            *(Detail(what, in_mm(value), shape.source) for what, value in dimensions if value),
            Detail("area", "", area_from if area_from != "table" else shape.source),
            Detail("mass", "", mass_from if mass_from != "table" else shape.source),
            Detail("surface", "", surface_from if surface_from != "table" else shape.source),
        ),
    )
