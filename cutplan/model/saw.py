"""A saw: what it takes off a bar, how it holds it, and which parts it takes where a workshop has several."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Annotated

from cutplan.fields import ANGLE, LENGTH, one_of, said
from cutplan.sections.section import Family, Section
from cutplan.units import DEGREE, MAX_MITRE, MM, Angle, Length

SQUARE_READS: tuple[Angle, ...] = (0, 90 * DEGREE)
"""What the scale of a saw reads at a square cut: most count from square, some from the length of the bar."""


class Clamp(Enum):
    """Which side of a cut the workshop's vice can hold."""

    BAR_SIDE = "bar side"
    EITHER_SIDE = "either side"


class Swings(Enum):
    """Which way the saw swings out of square."""

    ONE_WAY = "one way"
    BOTH_WAYS = "both ways"


@dataclass(frozen=True, slots=True, kw_only=True)
class Saw:
    """The saw and how a bar end is treated before the first part. Lengths in nm.

    ``end_trim`` is what a mill end loses before use; with
    ``end_trim_includes_cut`` the squaring cut's kerf is part of it, otherwise
    the kerf comes on top. ``safe_hold`` is the shortest length the vice may
    hold while cutting (0: no limit). ``square_reads`` is what its scale reads
    at a square cut, one of :data:`SQUARE_READS`; angles are counted from square
    all the same. ``share_mitres`` lets one cut part the mitres of neighbours;
    where the saw ``swings`` one way only, the bar is rolled for a mitre that
    slants the other way. Of several saws each has a ``name`` and says what it
    takes: ``families``, none for all; the ``largest`` side of a section, 0 for
    any; the ``steepest`` angle from square.
    """

    name: Annotated[str, said("what it is called, where there are several", rare=True)] = ""
    families: Annotated[tuple[Family, ...], said("families that it takes; none is all", rare=True)] = ()
    largest: Annotated[Length, LENGTH("largest side of a section that it takes, in mm; 0 is any", rare=True)] = 0
    steepest: Annotated[Angle, ANGLE("steepest angle from square that it cuts", rare=True)] = MAX_MITRE

    kerf: Annotated[Length, LENGTH] = 2_500_000
    end_trim: Annotated[Length, LENGTH("what a mill end loses, in mm")] = 10 * MM
    end_trim_includes_cut: bool = True
    mill_ends_accepted: bool = False
    safe_hold: Annotated[Length, LENGTH("shortest length that may be held, in mm; 0 is no limit")] = 120 * MM
    clamp: Clamp = Clamp.BAR_SIDE
    square_reads: Annotated[
        Angle, one_of("0", "90", decimals=True)("what its scale reads at a square cut, in degrees")
    ] = 0
    share_mitres: Annotated[bool, said("may one cut part the mitres of two neighbours", rare=True)] = True
    swings: Annotated[Swings, said("which way the saw swings out of square", rare=True)] = Swings.ONE_WAY

    def __post_init__(self) -> None:
        if self.kerf < 0 or self.end_trim < 0 or self.safe_hold < 0:
            raise ValueError("kerf, end trim and safe hold are not negative")
        if self.end_trim_includes_cut and 0 < self.end_trim < self.kerf:
            raise ValueError("an end trim that includes its cut is at least one kerf, or 0")
        if self.square_reads not in SQUARE_READS:
            raise ValueError("the scale of the saw reads 0 or 90 at a square cut")
        if self.largest < 0 or not 0 <= self.steepest <= MAX_MITRE:
            raise ValueError("a saw takes sections of some size, and cuts at an angle that is known")

    @property
    def mill_trim(self) -> Length:
        """What comes off a mill end before use, its squaring cut with it; 0 where mill ends are used as they come."""
        if self.mill_ends_accepted or self.end_trim == 0:
            return 0
        return self.squaring

    @property
    def squaring(self) -> Length:
        """What an end loses that is squared, its cut with it. [nm]"""
        return self.end_trim + (0 if self.end_trim_includes_cut or not self.end_trim else self.kerf)

    def reading(self, angle: Angle) -> Angle:
        """What the scale reads at a cut ``angle`` from square."""
        return abs(self.square_reads - angle)

    def fits_family(self, section: Section) -> bool:
        """Does it take sections of this family?"""
        return not self.families or section.family in self.families

    def fits_size(self, section: Section) -> bool:
        """Does the larger side of a section go into it?"""
        return not self.largest or max(section.height, section.width) <= self.largest

    def takes(self, section: Section, angle: Angle) -> bool:
        """Can a part of a section be cut on it, at the steeper of its angles?"""
        return self.fits_family(section) and self.fits_size(section) and angle <= self.steepest
