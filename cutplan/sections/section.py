"""What a section is: one cross-section as sold, to one standard."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Annotated

from cutplan.fields import DECIMAL, MASS, NAME, POSITIVE_COUNT, POSITIVE_LENGTH, reference, said
from cutplan.units import Length, Mass


class Family(Enum):
    """A family of sections.

    The value is the word that a workshop file knows it by. A designation starts with it, except that channels, beams
    and tees are called by their series: UPN 100, IPE 100.
    """

    SHS = "SHS"
    RHS = "RHS"
    CHS = "CHS"
    PIPE = "PIPE"
    EA = "EA"
    UA = "UA"
    FLAT = "FL"
    SQUARE = "SQ"
    ROUND = "RD"
    HEXAGON = "HEX"
    CHANNEL = "CHANNEL"
    BEAM = "BEAM"
    TEE = "TEE"
    OWN = "OWN"

    @property
    def title(self) -> str:
        """The family in words, for headings."""
        return _TITLES[self]


_TITLES = {
    Family.SHS: "square hollow section",
    Family.RHS: "rectangular hollow section",
    Family.CHS: "circular hollow section",
    Family.PIPE: "pipe by nominal bore",
    Family.EA: "equal angle",
    Family.UA: "unequal angle",
    Family.FLAT: "flat bar",
    Family.SQUARE: "square bar",
    Family.ROUND: "round bar",
    Family.HEXAGON: "hexagon bar",
    Family.CHANNEL: "channel",
    Family.BEAM: "beam",
    Family.TEE: "tee cut from a beam",
    Family.OWN: "section of one's own",
}

ROLLED = (Family.CHANNEL, Family.BEAM, Family.TEE)
"""Families whose dimensions only a table can tell."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A cross-section to one standard; the pair (designation, standard) is its identity.

    Parameters
    ----------
    family
        One of :class:`Family`.
    designation
        Canonical spelling, e.g. ``SHS 40x40x3``; dimensions in mm.
    standard
        E.g. ``EN 10219-2``.
    height, width
        Outside dimensions, height >= width; both the diameter for round sections and the size across flats for a
        hexagon, legs for angles, wide side and thickness for a flat; of channel, beam and tee the height and the
        flange width, whichever is larger. [nm]
    thickness
        Wall or leg or flat thickness, web of channel, beam and tee; equal to the height for solid bar. [nm]
    area_um2
        Cross-section area. [square micrometres]
    mass_per_metre
        [mg/m]
    surface_mm2_per_metre
        Outside surface to be painted. [square millimetres per metre of length]
    density
        The density the mass was computed with. [kg/m3]
    source
        Where the numbers come from, in words: formula and radii, or table.
    listed
        False when no table here lists the size and only the formula stands behind it.
    """

    family: Family
    designation: Annotated[str, NAME]
    standard: Annotated[str, NAME]
    height: Annotated[Length, POSITIVE_LENGTH("outside height, diameter, longer leg or wide side, in mm")]
    width: Annotated[Length, POSITIVE_LENGTH("outside width, diameter, shorter leg or thickness, in mm")]
    thickness: Annotated[Length, POSITIVE_LENGTH("wall, leg or flat thickness in mm")]
    area_um2: Annotated[int, DECIMAL("cross-section area in mm2", key="area")]
    mass_per_metre: Annotated[Mass, MASS("mass per metre in kg/m")]
    surface_mm2_per_metre: Annotated[int, DECIMAL("outside surface in m2 per metre", key="surface_per_metre")]
    density: Annotated[int, POSITIVE_COUNT("density in kg/m3 that the mass was worked out with")]
    source: Annotated[str, said("where the figures come from")]
    listed: Annotated[bool, said("false when only the formula stands behind the size")] = True

    def __post_init__(self) -> None:
        if not 0 < self.thickness <= min(self.width, self.height) or (
            self.width > self.height and self.family not in (*ROLLED, Family.OWN)
        ):
            raise ValueError(f"{self.designation}: dimensions out of order")
        if self.area_um2 <= 0 or self.mass_per_metre <= 0 or self.surface_mm2_per_metre <= 0:
            raise ValueError(f"{self.designation}: area, mass and surface are more than 0")

    @property
    def key(
        self,
    ) -> Annotated[str, NAME("designation and standard; what parts, offers and offcuts name", before="family")]:
        """Designation with its standard, as groups are keyed and sheets are headed."""
        return f"{self.designation} to {self.standard}"

    @property
    def mitre_depths(self) -> tuple[Length, ...]:
        """The depths a mitre can run across: one for square and round sections, else both, the wide side first. [nm]"""
        return tuple(sorted({self.height, self.width}, reverse=True))

    def mass_of(self, length: Length) -> Mass:
        """Mass of a piece, rounded to the nearest milligram."""
        return (self.mass_per_metre * length + 500_000_000) // 1_000_000_000


SECTION = reference("key")("key of a section")
"""How a field that names a section is written."""
