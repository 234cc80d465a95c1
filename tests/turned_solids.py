"""How parts of handed sections lie in a bar, from the drawing of their faces: solids that are turned, rolled, mirrored.

A second way to what the package says of sides and hands: a part is a few lines along the bar, one at each corner of
its section, each from where it begins to where it ends. It is turned about two axes, and lies where its section then
covers that of the bar. Nothing is known here of angles of an end; two faces are one cut where they lie together.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from cutplan.model import Heel, Part
from cutplan.model.faces import face_numbers, is_angle, outline
from cutplan.sections.section import Family
from cutplan.units import MM

Picture = tuple[str, ...]

PICTURES: dict[Family, Picture] = {
    Family.EA: ("###", "  #", "  #"),
    Family.UA: ("####", "   #", "   #"),
    Family.CHANNEL: ("###", "  #", "  #", "  #", "###"),
    Family.TEE: ("#####", "  #  ", "  #  "),
}
"""Handed sections as seen from end A of the part drawn, as the manual shows them."""

SECTIONS = [
    ("L 40x40x4", 40), ("L 60x40x5", 60), ("L 60x40x5", 40), ("UPN 100", 50), ("UPN 100", 100), ("T from IPE 100", 50),
    ("T from IPE 100", 55),
]  # fmt: skip
"""Handed sections as they are sold, each with a depth that a mitre may run across. [mm]"""

_CORNERS = {1: ((-1, 1), (1, 1)), 2: ((1, 1), (1, -1)), 3: ((1, -1), (-1, -1)), 4: ((-1, -1), (-1, 1))}
"""Where the upper and the lower edge of a face lie, seen from end A: across to the right, and up."""

Corners = dict[tuple[int, int], int]
"""How far a face lies behind the long point, at every corner of the section. [nm]"""


class Solid(NamedTuple):
    """A part as it lies: its section seen from START, and both its ends, the one at START first."""

    picture: Picture
    near: Corners
    far: Corners


def in_some_form(part: Part, depth: int, draw: random.Random) -> Part:
    """A mitred part with its heel on one side or the other, of either hand; a square one as it is. [mm]"""
    if not part.mitred:
        return part
    heels = [Heel.LONG_POINT, Heel.SHORT_POINT] if is_angle(part.section) else [Heel.NOT_ASKED]
    return replace(part, depth=depth * MM, heel=draw.choice(heels), opposite_hand=draw.random() < 0.3)


def drawn(part: Part) -> Solid:
    """The part as its faces are drawn; of the opposite hand, as a mirror shows that."""
    near: Corners = {}
    far: Corners = {}
    plain = replace(part, opposite_hand=False)
    for face in face_numbers(part.section):
        ends = outline(plain, face)
        for (x, y), begins, stops in zip(_CORNERS[face], *ends, strict=True):
            # Either side of the stem of a tee is in its middle.
            corner = (0, y) if part.section.family is Family.TEE and face in (2, 4) else (x, y)
            near[corner], far[corner] = begins, part.finished - stops
    solid = Solid(PICTURES[part.section.family], near, far)
    return _mirrored(solid) if part.opposite_hand else solid


def _mirrored(solid: Solid) -> Solid:
    """Left for right."""
    picture = tuple(row[::-1] for row in solid.picture)
    near, far = ({(-x, y): back for (x, y), back in end.items()} for end in (solid.near, solid.far))
    return Solid(picture, near, far)


def _end_for_end(solid: Solid) -> Solid:
    """Half a turn about the upright axis: left comes to lie at the right, and the far end at START."""
    mirrored = _mirrored(solid)
    return Solid(mirrored.picture, mirrored.far, mirrored.near)


def _quarter(solid: Solid) -> Solid:
    """Rolled by a quarter, clockwise seen from START: what was up is at the right."""
    picture = tuple("".join(column) for column in zip(*solid.picture[::-1], strict=True))
    near, far = ({(y, -x): back for (x, y), back in end.items()} for end in (solid.near, solid.far))
    return Solid(picture, near, far)


def lying_in_every_way(part: Part) -> Iterator[tuple[bool, int, Solid]]:
    """Each way in which a part fills the space of its bar: is it turned end for end, rolled by how many quarters?"""
    for turned in (False, True):
        solid = _end_for_end(drawn(part)) if turned else drawn(part)
        for rolled in range(4):
            if solid.picture == PICTURES[part.section.family]:
                yield turned, rolled, solid
            solid = _quarter(solid)


def lie_together(far: Corners, near: Corners) -> bool:
    """Is the face of one part as far behind its long point everywhere as that of the next is before it?"""
    return any(far.values()) and len({far[corner] + near[corner] for corner in far}) == 1
