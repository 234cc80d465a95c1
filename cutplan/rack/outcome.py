"""What came of recording a plan."""

from __future__ import annotations

from dataclasses import dataclass

from cutplan.rack.pieces import Material
from cutplan.units import Length, Mass


@dataclass(frozen=True, slots=True, kw_only=True)
class NowThere:
    """A piece that is on the rack after a plan was recorded; ``printed`` is the mark the plan had for it. [nm]"""

    bar: int
    mark: str
    printed: str
    material: Material
    length: Length
    quantity: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """What came of recording a plan.

    Parameters
    ----------
    made, spoiled
        Part marks and how many.
    missing
        Parts of the plan that are still to be cut.
    kept, uncut
        What entered the rack as left over; full lengths that were not cut.
    received
        Was noted before what the merchant gave; else what was bought is taken to be there as ordered.
    used
        Marks of the pieces of the rack that were cut up, or began to be.
    scrap, scrap_mass, kerf_and_trim
        [nm], [mg]
    """

    made: tuple[tuple[str, int], ...]
    spoiled: tuple[tuple[str, int], ...]
    missing: tuple[tuple[str, int], ...]
    kept: tuple[NowThere, ...]
    uncut: tuple[NowThere, ...]
    received: bool
    used: tuple[str, ...]
    scrap: Length
    scrap_mass: Mass
    kerf_and_trim: Length
