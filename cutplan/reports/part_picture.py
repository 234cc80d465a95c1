"""A part as it will look, small enough to stand beside its row of the list: mitres at their angles, holes in place.

The faces that have something to show stand one below the other, end A to the left. Their widths are in proportion;
a part that is too long for its picture is shortened between its mitres.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from cutplan.drilling.marking import card_of
from cutplan.model import Part
from cutplan.model.faces import face_numbers, face_width, face_word, outline
from cutplan.model.holes import Wall
from cutplan.reports.elevation import face_strokes
from cutplan.reports.svg import Lettering, Placed, Stroke, written
from cutplan.units import Length, Printing, length_text
from cutplan.words.cutting import end_text

_WIDE, _LEFT, _RIGHT = 100.0, 8.0, 4.5
"""Width of the picture; room for the number of a face and for the name of end B. [mm]"""
_FACE, _LEAST, _GAP = 9.0, 4.0, 1.8
"""Height of the widest face, of any face at least, and of what parts two. [mm]"""
_POINTS, _MIDDLE = 11.0, 1.4
_SHARE = 0.3
"""The most of the length that a mitre takes in the picture."""

Faces = Sequence[tuple[int, Sequence[Wall]]]


def part_picture(part: Part, how: Printing) -> str:
    """The picture as SVG; blank for a part that is cut square and has no holes."""
    faces = shown_faces(part)
    return written(placed(part, faces), _words(part, faces, how)) if faces else ""


def placed(part: Part, faces: Faces) -> Placed:
    """The picture of one face or more."""
    across = _FACE / max(face_width(part.section, face) for face, _ in faces)
    x = _along(part, [face for face, _ in faces], across)
    strokes: list[Stroke] = []
    texts: list[Lettering] = []
    top = 0.5
    for face, walls in faces:
        bottom = top + max(_LEAST, face_width(part.section, face) * across)
        strokes += face_strokes(part, face, walls, (top, bottom), x, across)
        line = (top + bottom) / 2 + _MIDDLE
        texts.append(Lettering(text=f"{face}", x=0, y=line, points=_POINTS, bold=True))
        texts.append(Lettering(text="A", x=_LEFT - 3.6, y=line, points=_POINTS))
        texts.append(Lettering(text="B", x=x(part.finished) + 1.2, y=line, points=_POINTS))
        top = bottom + _GAP
    return Placed(width=_WIDE, height=top - _GAP + 0.5, strokes=tuple(strokes), leaders=(), texts=tuple(texts))


def shown_faces(part: Part) -> Faces:
    """The faces with holes or landings, and one that shows the mitres."""
    faces = [(face, walls) for face, walls in card_of(part).faces if not all(wall.far for wall in walls)]
    if part.mitred and not any(_slanted(part, face) for face, _ in faces):
        faces += [(face, ()) for face in face_numbers(part.section) if _slanted(part, face)][:1]
    return sorted(faces, key=lambda each: each[0])


def _slanted(part: Part, face: int) -> bool:
    start, end = outline(part, face)
    return start[0] != start[1] or end[0] != end[1]


def _along(part: Part, faces: Sequence[int], across: float) -> Callable[[Length], float]:
    """From a distance from end A to its place in the picture: true where a mitre runs, shortened between them."""
    whole, room = part.finished, _WIDE - _LEFT - _RIGHT
    if whole * across <= room:
        return lambda at: _LEFT + at * across
    near = max(max(outline(part, face)[0]) for face in faces)
    far = min(min(outline(part, face)[1]) for face in faces)
    if near >= far:
        return lambda at: _LEFT + at * room / whole
    start, end = (min(run * across, _SHARE * room) for run in (near, whole - far))

    def x(at: Length) -> float:
        if at < near:
            return _LEFT + at * start / near
        if at > far:
            return _LEFT + room - (whole - at) * end / (whole - far)
        return _LEFT + start + (at - near) * (room - start - end) / (far - near)

    return x


def _words(part: Part, faces: Faces, how: Printing) -> str:
    """What the picture shows, for somebody who does not see it."""
    told = [f"cut {end} {end_text(cut.angle)}" for end, cut in (("A", part.end_a), ("B", part.end_b)) if cut.angle]
    for face, walls in faces:
        places = ", ".join(dict.fromkeys(length_text(wall.hole.position, how, with_unit=False) for wall in walls))
        if places:
            told.append(f"{face_word(part.section)} {face}: {places} from end A")
    return f"{part.mark} seen from outside, end A to the left; {'; '.join(told)}"
