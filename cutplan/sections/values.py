"""What the geometry of a section yields, and the numbers that all of it rests on."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from cutplan.units import MM, mm_text

PI = Fraction("3.14159265358979323846264338328")
CORNER = 1 - PI / 4
"""Area between a square corner of side 1 and the quarter circle in it."""

CARBON_STEEL_DENSITY = 7850
"""In kg/m3: SSAB structural hollow sections; Tata steel blue book, general notes."""


@dataclass(frozen=True, slots=True)
class Detail:
    """One number of a section: what it is, its value in words (blank for area, mass, surface) and where it is from."""

    what: str
    value: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What the geometry of a section yields.

    Parameters
    ----------
    area
        Cross-section area. [mm2]
    mass_area
        The area that the mass belongs to; differs from ``area`` where a standard prints the one for the design wall
        and the other for the nominal wall, or prints a mass of its own. [mm2]
    outline
        Length of the outside outline. [mm]
    height, width, thickness
        True dimensions; the thickness differs from the name for some angles. [mm]
    basis
        In words, how the figures were found.
    size_source
        Where a table that the figures rest on lists the size; blank where they rest on the name alone.
    radii_listed
        False when a radius had to be borrowed from a neighbouring size.
    mass
        Mass per metre as stated, where it does not follow from area and density; else 0. [mg/m]
    material
        The material that goes with the figures; blank where the name says it.
    details
        Every number with its source.
    """

    area: Fraction
    mass_area: Fraction
    outline: Fraction
    height: Fraction
    width: Fraction
    thickness: Fraction
    basis: str
    size_source: str = ""
    radii_listed: bool = True
    mass: int = 0
    material: str = ""
    details: tuple[Detail, ...] = ()


def in_mm(value: Fraction) -> str:
    """A dimension in words: ``2.5 mm``."""
    return f"{mm_text(int(value * MM))} mm"
