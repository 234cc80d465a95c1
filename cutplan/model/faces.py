"""The faces of a part: how they are numbered, how wide they are, and where its ends lie on each.

A part is looked at from end A along its length. Its faces are numbered
clockwise from the top: 1 on top, 2 to the right, 3 below, 4 to the left; the
wider side of a section is face 1 and 3. Of a round section, and of a hexagon,
the faces are the four lines at a quarter turn. An angle has its heel at the top
right, leg 1, the longer one, on top and leg 2 hanging down. Channel, beam and
tee stand on their web: faces 1 and 3 are the flanges, 2 and 4 the sides of the
web; a channel has its web at the right, a tee its flange on top.

Every face is drawn as seen from outside with end A at the left. Its upper edge
is then the one it shares with the face numbered before it, its lower edge the
one it shares with the next: the drawings of the faces, one below the other, are
the section unrolled. A mitre shows on faces 1 and 3, or on 2 and 4, whichever
is as wide as its depth. The long point of end A lies at the lower edge of the
first of them; of an angle it lies at the heel, where its line says nothing else.

Open sections (angle, channel, beam, tee) of the opposite hand keep all figures
and are drawn as a mirror shows them, upper edge and lower edge exchanged.
"""

from __future__ import annotations

from typing import Protocol

from cutplan.model.ends import Heel, Lean
from cutplan.sections.section import ROLLED, Family, Section
from cutplan.units import Length

Ends = tuple[tuple[Length, Length], tuple[Length, Length]]
"""For end A and for end B, where it lies at the upper and at the lower edge of a face. [nm]"""


class Shape(Protocol):
    """What of a part its faces and the place of its holes follow from; :class:`cutplan.model.Part` has it all."""

    @property
    def section(self) -> Section: ...
    @property
    def depth(self) -> Length: ...
    @property
    def heel(self) -> Heel: ...
    @property
    def lean(self) -> Lean: ...
    @property
    def opposite_hand(self) -> bool: ...
    @property
    def mitred(self) -> bool: ...
    @property
    def finished(self) -> Length: ...
    @property
    def runs(self) -> tuple[Length, Length]: ...


_ANGLES = (Family.EA, Family.UA)
_ROUNDS = (Family.CHS, Family.PIPE, Family.ROUND, Family.HEXAGON)
_HOLLOW = (Family.SHS, Family.RHS, Family.CHS, Family.PIPE)
_NUMBERS = {Family.EA: (1, 2), Family.UA: (1, 2), Family.CHANNEL: (1, 2, 3), Family.TEE: (1, 2, 4)}


def is_angle(section: Section) -> bool:
    """Has the section legs, not faces?"""
    return section.family in _ANGLES


def lies_half_over(section: Section) -> bool:
    """Does a bar lie on the table as well when it is rolled half over? An angle or a tee on its flange does not."""
    return section.family not in (*_ANGLES, Family.TEE)


def is_open(section: Section) -> bool:
    """Is there one wall behind every face, and nothing across from it?"""
    return section.family in _ANGLES or section.family in ROLLED


def is_round(section: Section) -> bool:
    """Are holes only drilled through its middle?"""
    return section.family in _ROUNDS


def is_hollow(section: Section) -> bool:
    """Has the section a wall on either side of a hole?"""
    return section.family in _HOLLOW


def face_word(section: Section) -> str:
    """What the sides of a section are called: ``face``, or ``leg``."""
    return "leg" if is_angle(section) else "face"


def face_numbers(section: Section) -> tuple[int, ...]:
    """The faces of a section, or its legs."""
    return _NUMBERS.get(section.family, (1, 2, 3, 4))


def face_width(section: Section, face: int) -> Length:
    """How wide a face is across the part. [nm]"""
    odd = bool(face % 2) != (section.family in ROLLED)
    return section.height if odd else section.width


def opposite(face: int) -> int:
    """The face on the far side."""
    return (face + 1) % 4 + 1


def faces_differ(section: Section) -> bool:
    """Must a hole say its face, because they are not all alike? Of a flat bar the wide side is meant."""
    return section.family in (Family.RHS, Family.UA, *ROLLED)


def down_from_edge(part: Shape, face: int, across: Length) -> Length:
    """A distance across as it is given, turned into one from the upper edge of the face as drawn. [nm]

    It is given from the upper edge; in a leg of an angle from the heel, in a flange of a channel from the back of the
    web, in the web of a channel, beam or tee from the outside of the upper flange.
    """
    section, width = part.section, face_width(part.section, face)
    from_lower = face == 1 and section.family in (*_ANGLES, Family.CHANNEL)
    from_lower = from_lower or (face == 4 and section.family in ROLLED)
    return width - across if from_lower != _turned(part) else across


def _turned(part: Shape) -> bool:
    """Is the part drawn as a mirror shows it?"""
    return part.opposite_hand and is_open(part.section)


def outline(part: Shape, face: int) -> Ends:
    """Where the ends of a finished part lie on a face as drawn, from the long point of end A. [nm]"""
    (run_a, run_b), end = part.runs, part.finished
    below, above = (0, end), (run_a, end - run_b)
    if part.lean is Lean.PARALLEL:
        below, above = (0, end - run_b), (run_a, end)
    if part.heel is Heel.SHORT_POINT:
        below, above = above, below
    upper, lower = _edges(part, face, above, below)
    if _turned(part):
        upper, lower = lower, upper
    return (upper[0], lower[0]), (upper[1], lower[1])


_Stretch = tuple[Length, Length]


def _edges(part: Shape, face: int, above: _Stretch, below: _Stretch) -> tuple[_Stretch, _Stretch]:
    """From where to where the upper and the lower edge of a face reach.

    ``above`` and ``below`` are the upper and lower edges of the first face that shows the mitres.
    """
    section, first = part.section, slanted_face(part)
    if is_angle(section):
        # The other leg stands up along the heel, which is the lower edge of leg 1 and the upper edge of leg 2.
        toe = above if face == first else below
        return (toe, below) if face == 1 else (below, toe)
    if face == first:
        return above, below
    if face == opposite(first):
        return below, above
    if section.family in (Family.BEAM, Family.TEE) and first == 1:
        web = ((above[0] + below[0]) // 2, (above[1] + below[1]) // 2)
        return web, web
    side = below if face == first + 1 else above
    return side, side


def slanted_face(part: Shape) -> int:
    """The first face on which a mitre shows; 1 where both ends are square."""
    return 1 if part.depth in (0, face_width(part.section, 1)) else 2
