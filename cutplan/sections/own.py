"""Sections that no standard makes: a workshop's own, by mass or area as stated, or drawn from a folded strip."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from cutplan.fields import DECIMAL, MASS, NAME, POSITIVE_LENGTH, said
from cutplan.problems import Refused
from cutplan.sections.values import PI, Detail, Figures, in_mm
from cutplan.units import MM, Length, Mass, round_half_up

OWN_STANDARD = "own drawing"
"""What stands in place of a standard."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnSection:
    """A section of the workshop's own.

    Parameters
    ----------
    name
        As the workshop spells it; case and blanks do not count when it is typed.
    height, width, thickness
        Outside dimensions and wall. [nm]
    area_um2
        Cross-section area. [square micrometres]
    mass_per_metre
        As the supplier says; 0 where it follows from area and density. [mg/m]
    surface_mm2_per_metre
        Outside surface. [square millimetres per metre of length]
    material
        One of :data:`cutplan.sections.materials.MATERIALS` or of the workshop's; blank for carbon steel.
    basis
        In words, where the figures come from.
    """

    name: Annotated[str, NAME]
    height: Annotated[Length, POSITIVE_LENGTH]
    width: Annotated[Length, POSITIVE_LENGTH]
    thickness: Annotated[Length, POSITIVE_LENGTH]
    area_um2: Annotated[int, DECIMAL(key="area")]
    mass_per_metre: Annotated[Mass, MASS("kg/m as stated; 0 where it follows from area and density")] = 0
    surface_mm2_per_metre: Annotated[int, DECIMAL(key="surface_per_metre")]
    material: Annotated[str, said("blank for carbon steel")] = ""
    basis: str

    def __post_init__(self) -> None:
        if not 0 < self.thickness <= min(self.height, self.width):
            raise ValueError(f"{self.name}: dimensions out of order")
        if min(self.area_um2, self.surface_mm2_per_metre) <= 0 or self.mass_per_metre < 0:
            raise ValueError(f"{self.name}: area and surface are more than 0")


def own_figures(own: OwnSection) -> Figures:
    """The figures of an own section as they were stated."""
    area = Fraction(own.area_um2, 1_000_000)
    stated = "the workshop file"
    return Figures(
        area=area,
        mass_area=area,
        mass=own.mass_per_metre,
        material=own.material,
        outline=Fraction(own.surface_mm2_per_metre, 1000),
        height=Fraction(own.height, MM),
        width=Fraction(own.width, MM),
        thickness=Fraction(own.thickness, MM),
        basis=own.basis,
        size_source=stated,
        details=(
            *(
                Detail(what, in_mm(Fraction(length, MM)), stated)
                for what, length in (("height", own.height), ("width", own.width), ("wall", own.thickness))
            ),
            *(Detail(what, "", own.basis) for what in ("area", "mass", "surface")),
        ),
    )


def same_name(text: str) -> str:
    """A name as own sections are found by it."""
    return "".join(text.casefold().split())


def folded_strip(legs: Sequence[Length], thickness: Length, inside_radius: Length) -> tuple[int, int]:
    """Area and surface of a strip bent at right angles.

    Parameters
    ----------
    legs
        Outside dimensions of the flat parts, from one edge of the strip to the other, bends included. [nm]
    thickness, inside_radius
        Of the strip, and of every bend on its inner side. [nm]

    Returns
    -------
    tuple
        Area in square micrometres, and surface of both faces and the two edges in square millimetres a metre.

    Raises
    ------
    Refused
        When a leg is too short for the bends at its ends.
    """
    outside = thickness + inside_radius
    straight = 0
    for number, leg in enumerate(legs):
        bends = (number > 0) + (number < len(legs) - 1)
        if leg <= bends * outside:
            raise Refused(
                f"a leg of {Fraction(leg, MM)} mm",
                "legs longer than the bends at their ends, outside to outside",
                code="own_section.legs",
            )
        straight += leg - bends * outside
    bent = len(legs) - 1
    ring = PI / 4 * (Fraction(outside, MM) ** 2 - Fraction(inside_radius, MM) ** 2)
    area = Fraction(straight, MM) * Fraction(thickness, MM) + bent * ring
    arcs = bent * PI / 2 * (Fraction(outside, MM) + Fraction(inside_radius, MM))
    surface = 2 * Fraction(straight, MM) + arcs + 2 * Fraction(thickness, MM)
    return round_half_up(area * 1_000_000), round_half_up(surface * 1000)
