"""How near holes come to ends, edges and one another: what a card cautions about.

Nothing here says that a hole may not be; common minima are named, and the designer decides.

References
----------
EN 1993-1-8, table 3.3, for bolts in clearance holes of d0: end and edge distance 1.2 d0, pitch along the force 2.2 d0;
as cited at ideastatica.com. Read as a common minimum for any hole.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import Enum
from typing import Annotated

from cutplan.fields import LENGTH, POSITIVE_LENGTH, said
from cutplan.model.faces import face_width, is_open, is_round, opposite, outline
from cutplan.model.holes import FACE, Hole, Wall, neighbours, walls
from cutplan.model.part import Part
from cutplan.sections.section import Family
from cutplan.units import Length

LEAST_EDGE = (6, 5)
"""Least distance from the middle of a hole to an end or a free edge, in diameters, as a fraction."""
LEAST_PITCH = (11, 5)
"""Least distance between middles, in diameters of the larger hole, as a fraction."""
MINIMA = "EN 1993-1-8, table 3.3"


class Near(Enum):
    """What a hole comes near to."""

    END_A = "end A"
    END_B = "end B"
    EDGE = "the edge"
    HOLE = "the next hole"
    CORNER = "the wall beside"
    CROSSING = "a hole across"


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeCaution:
    """Holes on one face that come near to one thing. Lengths in nm; of holes that are close the larger diameter.

    ``found`` is the least distance among them and ``least`` the common minimum; both are 0 for CORNER and CROSSING,
    where the drill reaches into what is named.
    """

    near: Annotated[Near, said("to what")]
    face: Annotated[int, FACE]
    diameter: Annotated[Length, POSITIVE_LENGTH("in mm")]
    positions: Annotated[tuple[Annotated[Length, LENGTH], ...], said("from end A, in mm")]
    found: Annotated[
        Length,
        LENGTH("least distance among them, in mm; 0 where the drill reaches into what is named"),
    ] = 0
    least: Annotated[Length, LENGTH("common minimum, in mm")] = 0


_FREE: dict[Family, dict[int, tuple[bool, bool]]] = {
    Family.EA: {1: (True, False), 2: (False, True)},
    Family.UA: {1: (True, False), 2: (False, True)},
    Family.CHANNEL: {1: (True, False), 2: (False, False), 3: (False, True)},
    Family.BEAM: {1: (True, True), 2: (False, False), 3: (True, True), 4: (False, False)},
    Family.TEE: {1: (True, True), 2: (False, True), 4: (True, False)},
    Family.SHS: dict.fromkeys((1, 2, 3, 4), (False, False)),
    Family.RHS: dict.fromkeys((1, 2, 3, 4), (False, False)),
}
"""Are the upper and the lower edge of a face as drawn free, or does a wall stand behind? Of solids all are free."""


def edge_cautions(part: Part) -> tuple[EdgeCaution, ...]:
    """What to look at in a part, holes that have the same fault together, by face."""
    found: dict[tuple[Near, int, Length], tuple[dict[Length, None], list[Length]]] = {}

    def note(near: Near, wall: Wall, distance: Length = 0, diameter: Length = 0) -> None:
        key = (near, wall.hole.face, diameter or wall.hole.diameter)
        positions, distances = found.setdefault(key, ({}, []))
        positions[wall.hole.position] = None
        distances.append(distance)

    pierced = [wall for hole in part.holes if not hole.landing for wall in walls(hole, part)]
    for wall in pierced:
        for near, distance in (*_to_ends(part, wall), *_to_edges(part, wall)):
            if distance * LEAST_EDGE[1] < wall.hole.diameter * LEAST_EDGE[0]:
                note(near, wall, distance)
        if _in_corner(part, wall):
            note(Near.CORNER, wall)
    for wall, other, distance in _close(pierced):
        larger = max(wall.hole.diameter, other.hole.diameter)
        for one in (other, wall):
            note(Near.HOLE, one, distance, larger)
    for hole in _crossing(part):
        note(Near.CROSSING, Wall(hole=hole, face=hole.face, down=hole.across))
    order = list(Near)
    return tuple(
        EdgeCaution(
            near=near,
            face=face,
            diameter=diameter,
            positions=tuple(positions),
            found=min(distances),
            least=_least(near, diameter),
        )
        for (near, face, diameter), (positions, distances) in sorted(
            found.items(), key=lambda item: (item[0][1], order.index(item[0][0]), item[0][2])
        )
    )


def _least(near: Near, diameter: Length) -> Length:
    if near in (Near.CORNER, Near.CROSSING):
        return 0
    over, under = LEAST_PITCH if near is Near.HOLE else LEAST_EDGE
    return diameter * over // under


def _to_ends(part: Part, wall: Wall) -> Iterator[tuple[Near, Length]]:
    """From the middle of a hole square to the line of either end, a fraction of a nanometre dropped."""
    width = face_width(part.section, wall.face)
    for near, (upper, lower) in zip((Near.END_A, Near.END_B), outline(part, wall.face), strict=True):
        run = lower - upper
        aside = abs((wall.hole.position - upper) * width - wall.down * run)
        yield near, math.isqrt(aside * aside // (width * width + run * run))


def _edges(part: Part, wall: Wall) -> tuple[tuple[bool, Length], ...]:
    """Upper and lower edge of the face: is it free, and how far is it?"""
    if is_round(part.section):
        return ()
    upper, lower = _FREE.get(part.section.family, {}).get(wall.face, (True, True))
    if part.opposite_hand and is_open(part.section):
        upper, lower = lower, upper
    return (upper, wall.down), (lower, face_width(part.section, wall.face) - wall.down)


def _to_edges(part: Part, wall: Wall) -> Iterator[tuple[Near, Length]]:
    return ((Near.EDGE, distance) for free, distance in _edges(part, wall) if free)


def _in_corner(part: Part, wall: Wall) -> bool:
    """Does the drill run into the wall that stands along an edge?"""
    reach = wall.hole.diameter + 2 * part.section.thickness
    return any(not free and 2 * distance < reach for free, distance in _edges(part, wall))


def _close(pierced: Iterable[Wall]) -> Iterator[tuple[Wall, Wall, Length]]:
    """Holes of one face nearer to one before them than the common pitch, that one, and how far apart they are."""
    over, under = LEAST_PITCH
    for wall, other in neighbours(pierced, lambda wall, along, widest: along * under < widest * over):
        apart = math.isqrt((wall.hole.position - other.hole.position) ** 2 + (wall.down - other.down) ** 2)
        larger = max(wall.hole.diameter, other.hole.diameter)
        if apart * under < larger * over:
            yield wall, other, apart


def _crossing(part: Part) -> Iterator[Hole]:
    """Through holes that another one meets inside the section, at a right angle."""
    if is_open(part.section):
        return
    through = [hole for hole in part.holes if hole.through and not hole.landing]
    for hole in through:
        for other in through:
            across = other.face not in (hole.face, opposite(hole.face))
            if across and 2 * abs(hole.position - other.position) < hole.diameter + other.diameter:
                yield hole
                break
