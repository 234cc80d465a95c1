"""What a marking card says of a part: its faces, what is drilled with which drill, and which parts share a jig."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Annotated, Any

from cutplan.drilling import Drill, nearest_inch, nearest_metric
from cutplan.drilling.edges import EdgeCaution, edge_cautions
from cutplan.fields import NAME, one_of, said
from cutplan.model.faces import is_hollow, is_open
from cutplan.model.holes import Hole, Wall, walls
from cutplan.model.job import Job
from cutplan.model.part import Part
from cutplan.units import INCH, Length

PILOT_ABOVE: Length = INCH // 4
"""Holes wider than this are drilled in two steps, the first 3/16 to 1/4 in. therangerstation.com, thread 71843."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillLine:
    """One size of hole in a part.

    ``each`` counts the holes of one piece and ``walls`` the walls they pierce; ``metric`` and ``inch`` are the nearest
    drills, None where none is near. ``pilot`` says that a smaller hole goes first.
    """

    diameter: Length
    name: str
    standard: str
    each: int
    walls: int
    metric: Drill | None
    inch: Drill | None

    @property
    def pilot(self) -> bool:
        """Is it wide enough for a pilot hole first?"""
        return self.diameter > PILOT_ABOVE


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One part to mark out. ``faces`` are those with something on them, each with what pierces or lands there."""

    part: Part
    faces: tuple[tuple[int, tuple[Wall, ...]], ...]
    drills: tuple[DrillLine, ...]
    cautions: tuple[EdgeCaution, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Jig:
    """Parts with the same holes at the same distances from the end named, whatever their lengths."""

    marks: Annotated[tuple[Annotated[str, NAME], ...], said("marks of parts")]
    stop: Annotated[str, one_of("A", "B")("the end the distances count from")]


def cards_of(job: Job) -> tuple[Card, ...]:
    """A card for every part with holes or landings, in the order of the list."""
    return tuple(card_of(part) for part in job.parts if part.holes)


def card_of(part: Part) -> Card:
    """The card of a part; one without holes has no faces."""
    by_face: dict[int, list[Wall]] = {}
    for hole in part.holes:
        near, *far = walls(hole, part)
        by_face.setdefault(near.face, []).append(near)
        if is_hollow(part.section):
            for wall in far:
                by_face.setdefault(wall.face, []).append(wall)
    order = sorted(by_face)
    if is_open(part.section) and part.opposite_hand:
        order.reverse()  # drawn as a mirror shows them, so that neighbours still share an edge
    return Card(
        part=part,
        faces=tuple(
            (face, tuple(sorted(by_face[face], key=lambda wall: (wall.hole.position, wall.down)))) for face in order
        ),
        drills=_drills(part),
        cautions=edge_cautions(part),
    )


def _drills(part: Part) -> tuple[DrillLine, ...]:
    """Sizes, largest first: the drill is changed as seldom as can be."""
    sizes: dict[tuple[Length, str, str], list[Hole]] = {}
    for hole in part.holes:
        if not hole.landing:
            sizes.setdefault((hole.diameter, hole.name, hole.standard), []).append(hole)
    return tuple(
        DrillLine(
            diameter=diameter,
            name=name,
            standard=standard,
            each=len(holes),
            walls=sum(len(walls(hole, part)) if is_hollow(part.section) else 1 for hole in holes),
            metric=nearest_metric(diameter),
            inch=nearest_inch(diameter),
        )
        for (diameter, name, standard), holes in sorted(sizes.items(), reverse=True)
    )


def jigs_of(parts: Iterable[Part]) -> tuple[Jig, ...]:
    """Which parts one drilling jig serves: same holes, same sides of the section, same cut at the end of the stop.

    A jig for end B is named where it serves parts that one for end A does not.
    """
    jigs: list[Jig] = []
    drilled = [part for part in parts if any(not hole.landing for hole in part.holes)]
    for stop in ("A", "B"):
        alike: dict[object, list[str]] = {}
        for part in drilled:
            alike.setdefault(_pattern(part, stop), []).append(part.mark)
        served = [set(jig.marks) for jig in jigs]
        jigs += [
            Jig(marks=tuple(marks), stop=stop)
            for marks in alike.values()
            if len(marks) > 1 and not any(set(marks) <= others for others in served)
        ]
    return tuple(jigs)


@dataclass(frozen=True, slots=True, kw_only=True)
class MoreHoles:
    """A part that has all holes of another one, at the same distances from end A, and ``count`` more."""

    mark: str
    of: str
    count: int


def more_holes(parts: Iterable[Part]) -> tuple[MoreHoles, ...]:
    """For each part whose jig can be that of another one before the rest is drilled: the one with the most holes."""
    drilled = [part for part in parts if any(not hole.landing for hole in part.holes)]
    by_shape: dict[object, list[tuple[Part, frozenset[object]]]] = {}
    for part in drilled:
        *shape, holes = _pattern(part, "A")
        by_shape.setdefault(tuple(shape), []).append((part, frozenset(holes)))
    found = []
    for alike in by_shape.values():
        for part, holes in alike:
            within = [(len(fewer), other.mark) for other, fewer in alike if fewer < holes]
            if within:
                count, mark = max(within, key=lambda one: one[0])
                found.append(MoreHoles(mark=part.mark, of=mark, count=len(holes) - count))
    return tuple(found)


def _pattern(part: Part, stop: str) -> tuple[Any, ...]:
    """What two parts must share for one jig with its stop at this end; their holes come last."""
    section = part.section
    end = part.end_a if stop == "A" else part.end_b
    holes = sorted(
        (
            hole.face,
            hole.position if stop == "A" else part.finished - hole.position,
            hole.across,
            hole.diameter,
            hole.through,
        )
        for hole in part.holes
        if not hole.landing
    )
    hand = part.opposite_hand and is_open(section)
    return section.family, section.height, section.width, end, part.depth if end.angle else 0, hand, tuple(holes)
