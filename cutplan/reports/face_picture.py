"""How the faces of a section are numbered, as a small picture of it seen from end A."""

from __future__ import annotations

import math
from collections.abc import Iterable

from cutplan.model import Part
from cutplan.model.faces import face_numbers, face_word, is_angle, is_round
from cutplan.reports.lettering import POINT_MM, text_mm
from cutplan.reports.svg import Lettering, Placed, Point, Stroke, written
from cutplan.sections.inch_names import inch_family
from cutplan.sections.section import Family
from cutplan.units import Printing

_SIDE, _WALL, _MARGIN = 8.0, 1.2, 4.0
"""Size of the section on paper, thickness of its walls, room for the numbers around it. [mm]"""
_POINTS = 9.0
_NAMES = {1: (0.5, 0.0), 2: (1.0, 0.5), 3: (0.5, 1.0), 4: (0.0, 0.5)}
"""Where the middle of each face lies: across and down, of a section 1 wide and 1 high."""


def face_pictures(parts: Iterable[Part], how: Printing) -> list[dict[str, str]]:
    """One picture for each kind of section: its SVG, what it shows in words, and the sections it holds of."""
    kinds: dict[str, list[Part]] = {}
    called = inch_family if how.unit == "in" else str
    for part in parts:
        kinds.setdefault(_kind(part), []).append(part)
    return [
        {
            "svg": written(_picture(kind, parts[0]), _words(parts[0])),
            "words": _words(parts[0]),
            "names": ", ".join(dict.fromkeys(called(part.section.family.value) for part in parts)),
        }
        for kind, parts in kinds.items()
    ]


def _kind(part: Part) -> str:
    family = part.section.family
    if is_angle(part.section):
        return "angle, opposite hand" if part.opposite_hand else "angle"
    if is_round(part.section):
        return "round"
    if family in (Family.CHANNEL, Family.BEAM, Family.TEE):
        return f"{family.value}{', opposite hand' if part.opposite_hand else ''}"
    return "flat" if family is Family.FLAT else "box"


def _words(part: Part) -> str:
    word = face_word(part.section)
    faces = ", ".join(f"{word} {face}" for face in face_numbers(part.section))
    return f"Seen from end A: {faces}, clockwise from the top"


def _picture(kind: str, part: Part) -> Placed:
    height = _SIDE * (0.45 if kind == "flat" else 1.0)
    strokes = [Stroke(points=_scaled(line, height), thick=0.5) for line in _lines(kind)]
    texts = []
    for face in face_numbers(part.section):
        across, down = _NAMES[face]
        if part.opposite_hand and kind.endswith("opposite hand"):
            across = 1.0 - across
        text = str(face)
        wide, size = text_mm(text, _POINTS, bold=True), _POINTS * POINT_MM
        x = _MARGIN + across * _SIDE + (across - 0.5) * 4.4
        y = _MARGIN + down * height + (down - 0.5) * 5.2
        texts.append(Lettering(text=text, x=x - wide / 2, y=y + 0.36 * size, points=_POINTS, bold=True))
    return Placed(
        width=_SIDE + 2 * _MARGIN,
        height=height + 2 * _MARGIN,
        strokes=tuple(strokes),
        leaders=(),
        texts=tuple(texts),
    )


def _scaled(line: Iterable[Point], height: float) -> tuple[Point, ...]:
    return tuple((_MARGIN + x * _SIDE, _MARGIN + y * height) for x, y in line)


def _lines(kind: str) -> list[list[Point]]:
    """The outline of a section 1 wide and 1 high, seen from end A."""
    wall = _WALL / _SIDE
    square: list[Point] = [(0, 0), (1, 0), (1, 1), (0, 1), (0, 0)]
    if kind == "round":
        turns = (2 * math.pi * step / 36 for step in range(37))
        return [[(0.5 + 0.5 * math.sin(turn), 0.5 - 0.5 * math.cos(turn)) for turn in turns]]
    if kind == "flat":
        return [square]
    if kind == "box":
        return [square, [(wall if x == 0 else 1 - wall, wall if y == 0 else 1 - wall) for x, y in square]]
    shapes: dict[str, list[Point]] = {
        "angle": [(0, 0), (1, 0), (1, 1), (1 - wall, 1), (1 - wall, wall), (0, wall), (0, 0)],
        Family.CHANNEL.value: [
            *((0, 0), (1, 0), (1, 1), (0, 1), (0, 1 - wall), (1 - wall, 1 - wall), (1 - wall, wall), (0, wall), (0, 0)),
        ],
        Family.BEAM.value: [
            *((0, 0), (1, 0), (1, wall), (0.5 + wall / 2, wall), (0.5 + wall / 2, 1 - wall), (1, 1 - wall), (1, 1)),
            *((0, 1), (0, 1 - wall), (0.5 - wall / 2, 1 - wall), (0.5 - wall / 2, wall), (0, wall), (0, 0)),
        ],
        Family.TEE.value: [
            *((0, 0), (1, 0), (1, wall), (0.5 + wall / 2, wall), (0.5 + wall / 2, 1), (0.5 - wall / 2, 1)),
            *((0.5 - wall / 2, wall), (0, wall), (0, 0)),
        ],
    }
    name, _, hand = kind.partition(", ")
    line = shapes[name]
    return [[(1 - x, y) for x, y in line] if hand else line]
