"""Holes in a part and landings on it: which walls they pierce, and whether they can be drilled.

Which face is which stands in :mod:`cutplan.model.faces`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Annotated

from cutplan.fields import COUNT, LENGTH, Kind, said
from cutplan.model.faces import (
    Shape,
    down_from_edge,
    face_numbers,
    face_width,
    is_open,
    opposite,
    outline,
    slanted_face,
)
from cutplan.units import Length

MOST_HOLES = 1000
"""Holes and landings in one part; more is a slip."""


FACE = Kind(
    name="face",
    schema={
        "description": "1 to 4, clockwise from the top looking from end A; of an angle 1 or 2",
        "enum": [1, 2, 3, 4],
    },
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """One hole, or with a diameter of 0 one place where another part lands. Lengths in nm.

    Parameters
    ----------
    position
        From end A, of a mitred end from its long point, to the middle of the hole.
    face
        Face, or leg of an angle, on which it is marked out.
    across
        As :func:`cutplan.model.faces.down_from_edge` counts it.
    diameter
        What is drilled; 0 for a landing.
    through
        Drilled through to the far side; false for one wall of a tube.
    name
        Of a bolt and its hole, e.g. ``M12 clear``; blank for a plain diameter.
    standard
        Where the diameter of a named hole comes from.
    pattern
        Name of the pattern it was given by; may be blank.
    row
        Row of the list it stands in.
    """

    position: Annotated[Length, LENGTH("from end A to its middle, of a mitred end from the long point, in mm")]
    face: Annotated[int, FACE]
    across: Annotated[
        Length, LENGTH("from the edge shared with the face before, in a leg of an angle from the heel, in mm")
    ]
    diameter: Annotated[Length, LENGTH("what is drilled, in mm; 0 for a landing")] = 0
    through: Annotated[bool, said("false for one wall of a tube")] = True
    name: Annotated[str, said("bolt and purpose, such as M12 clear; blank for a plain diameter")] = ""
    standard: Annotated[str, said("where the diameter of a named hole comes from")] = ""
    note: str = ""
    pattern: Annotated[str, said("the pattern it was given by; may be blank")] = ""
    row: Annotated[int, COUNT("row of the list it stands in; 0 when there is none")] = 0

    def __post_init__(self) -> None:
        if self.position < 0 or self.across < 0 or self.diameter < 0 or self.face < 1:
            raise ValueError("a hole has a position, a distance across and a diameter that are not negative")

    @property
    def landing(self) -> bool:
        """True when nothing is drilled."""
        return self.diameter == 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """A hole where it pierces one face as drawn. ``down`` counts from the upper edge. [nm]

    ``far`` is true on the far side of a hole that is marked out on another face.
    """

    hole: Hole
    face: int
    down: Length
    far: bool = False


@dataclass(frozen=True, slots=True)
class Fault:
    """Why a hole cannot be drilled as asked, in words without its figures' unit."""

    hole: Hole
    what: str
    other: Hole | None = None


OUTSIDE = "it reaches beyond the part"
BEYOND_EDGE = "it reaches beyond the edge"
ACROSS_MITRE = "it lies across the mitre"
OVERLAPS = "it overlaps another hole"
NO_FACE = "the section has no such face"


def walls(hole: Hole, part: Shape) -> tuple[Wall, ...]:
    """Every face that a hole pierces, the one it is marked out on first; of a landing that one alone."""
    near = Wall(hole=hole, face=hole.face, down=down_from_edge(part, hole.face, hole.across))
    if hole.landing or not hole.through or is_open(part.section):
        return (near,)
    down = face_width(part.section, hole.face) - near.down
    return (near, Wall(hole=hole, face=opposite(hole.face), down=down, far=True))


def hole_faults(part: Shape, holes: Sequence[Hole]) -> Iterator[Fault]:
    """What cannot be drilled: holes beyond the part, across a mitre, or into one another.

    Parameters
    ----------
    part
        Its own holes are not looked at.
    holes
        Those to be drilled in it.
    """
    numbers = face_numbers(part.section)
    sound: list[Wall] = []
    for hole in holes:
        what = NO_FACE if hole.face not in numbers else _fit_fault(hole, part)
        if what:
            yield Fault(hole, what)
        elif not hole.landing:
            sound.extend(walls(hole, part))
    yield from _overlaps(sound)


def _fit_fault(hole: Hole, part: Shape) -> str:
    """Blank when every wall that the hole pierces holds it whole."""
    if hole.landing:
        if hole.across > face_width(part.section, hole.face):
            return BEYOND_EDGE
        return OUTSIDE if hole.position > part.finished else ""
    across_mitre = ""
    for wall in walls(hole, part):
        width = face_width(part.section, wall.face)
        if not hole.diameter <= 2 * wall.down <= 2 * width - hole.diameter:
            return BEYOND_EDGE
        for end, (upper, lower) in zip("AB", outline(part, wall.face), strict=True):
            if not _clear_of_end(hole, wall.down, width, end, upper, lower):
                if upper == lower and not part.mitred:
                    return OUTSIDE
                across_mitre = ACROSS_MITRE
    if across_mitre and not hole.diameter <= 2 * hole.position <= 2 * part.finished - hole.diameter:
        return OUTSIDE
    return across_mitre


def _clear_of_end(hole: Hole, down: Length, width: Length, end: str, upper: Length, lower: Length) -> bool:
    """Does the circle keep clear of the line of an end? Compared as squares, in whole numbers."""
    run = lower - upper
    aside = (hole.position - upper) * width - down * run
    if end == "B":
        aside = -aside
    return aside >= 0 and 4 * aside * aside >= hole.diameter * hole.diameter * (width * width + run * run)


def _overlaps(pierced: Iterable[Wall]) -> Iterator[Fault]:
    """Each hole that shares metal with one before it, once."""
    told: set[int] = set()
    for wall, other in neighbours(pierced, lambda wall, along, widest: 2 * along < wall.hole.diameter + widest):
        apart = (wall.hole.position - other.hole.position) ** 2 + (wall.down - other.down) ** 2
        if 4 * apart < (wall.hole.diameter + other.hole.diameter) ** 2 and id(wall.hole) not in told:
            told.add(id(wall.hole))
            yield Fault(wall.hole, OVERLAPS, other.hole)


def neighbours(pierced: Iterable[Wall], within: Callable[[Wall, Length, Length], bool]) -> Iterator[tuple[Wall, Wall]]:
    """Holes of one face, each with those before it that may come near, the nearest along the part first.

    ``within`` is asked with a hole, how far another lies before it along the part and the widest diameter on that face;
    where it says no, none further away is looked at.
    """
    by_face: dict[int, list[Wall]] = {}
    for wall in pierced:
        by_face.setdefault(wall.face, []).append(wall)
    for on_face in by_face.values():
        on_face.sort(key=lambda wall: wall.hole.position)
        widest = max(wall.hole.diameter for wall in on_face)
        for place, wall in enumerate(on_face):
            for other in reversed(on_face[:place]):
                if not within(wall, wall.hole.position - other.hole.position, widest):
                    break
                yield wall, other


def in_order(holes: Iterable[Hole]) -> tuple[Hole, ...]:
    """By face, position and distance across, as a card shows them."""
    return tuple(sorted(holes, key=lambda hole: (hole.face, hole.position, hole.across, hole.diameter)))


def opposite_hand(holes: Iterable[Hole], part: Shape) -> tuple[Hole, ...]:
    """The holes of a part for its mirror image.

    The two faces that show a mitre change places (1 and 3 where there is none),
    and every distance across counts from the other edge; so the ends stay as they are.
    Open sections keep their figures: it is the drawing that changes sides.
    """
    section = part.section
    if is_open(section):
        return in_order(holes)
    swapped = slanted_face(part) % 2
    return in_order(
        replace(
            hole,
            face=opposite(hole.face) if hole.face % 2 == swapped else hole.face,
            across=face_width(section, hole.face) - hole.across,
        )
        for hole in holes
    )
