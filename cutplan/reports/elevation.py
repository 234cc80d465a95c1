"""The elevation of a part for its marking card: every face that is marked out, to scale, with running dimensions.

A face on which holes only come out is not drawn: they are drilled through, as the line of the hole says.

The faces stand one below the other as the section unrolls, end A to the left.
All is to scale, but that faces too narrow to read are drawn wider, all of a part
in one proportion.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from cutplan.drilling.marking import Card
from cutplan.model import Part
from cutplan.model.faces import face_width, face_word, is_angle, outline
from cutplan.model.holes import Wall
from cutplan.reports.lettering import POINT_MM
from cutplan.reports.svg import FIGURE_POINTS, UPRIGHT, Lettering, Placed, Point, Stroke, figures_below
from cutplan.units import Length, Printing, length_text

_LEFT, _RIGHT = 14.0, 8.0
_LEAST_WIDEST, _MOST_WIDEST, _LEAST = 7.0, 8.0, 4.0
"""Height on paper of the widest face, at least and at most, and of any face at least. [mm]"""
_CIRCLE = 24
_LEAST_RADIUS = 0.7
_CROSS = 0.8
_THREAD = 0.6
_GAP = 1.6
_SMALL, _HEEL = 8.0, 8.0


def elevation(card: Card, how: Printing, width: float) -> Placed:
    """The faces of a card, ``width`` millimetres wide, 87 or more."""
    part = card.part
    faces = [(face, walls) for face, walls in card.faces if not all(wall.far for wall in walls)]
    widest = max(face_width(part.section, face) for face, _ in faces)
    scale = min((width - _LEFT - _RIGHT) / part.finished, _MOST_WIDEST / widest)
    across = max(scale, _LEAST_WIDEST / widest)
    strokes: list[Stroke] = []
    leaders: list[Stroke] = []
    texts: list[Lettering] = []
    top = 0.5
    for face, walls in faces:
        bottom = top + max(_LEAST, face_width(part.section, face) * across)
        strokes += face_strokes(part, face, walls, (top, bottom), lambda at: _LEFT + at * scale, scale)
        texts += _names(part, face, (top, bottom), _LEFT + part.finished * scale)
        figures = _figures(part, walls, scale, how, width)
        below = figures_below(figures, width, bottom + UPRIGHT)
        leaders += below.leaders
        texts += below.texts
        top = below.depth + _GAP
    return Placed(
        width=width, height=top - _GAP + 0.3, strokes=tuple(strokes), leaders=tuple(leaders), texts=tuple(texts)
    )


def words(card: Card, how: Printing) -> str:
    """What the elevation shows, for somebody who does not see it."""
    part = card.part
    told = []
    for face, walls in card.faces:
        places = ", ".join(dict.fromkeys(length_text(wall.hole.position, how, with_unit=False) for wall in walls))
        told.append(f"{face_word(part.section)} {face}: {places}")
    return f"{part.mark} seen from outside, end A to the left; from end A, {'; '.join(told)}"


def face_strokes(
    part: Part,
    face: int,
    walls: Sequence[Wall],
    rows: tuple[float, float],
    x: Callable[[Length], float],
    hole_scale: float,
) -> Iterator[Stroke]:
    """A face with what pierces it or lands there.

    Parameters
    ----------
    rows
        Where its upper and its lower edge lie. [mm of paper]
    x
        From a distance from end A to where it lies on the paper. [nm to mm]
    hole_scale
        What the diameter of a hole is drawn by, as far as it can still be seen and fits the face. [mm per nm]
    """
    top, bottom = rows
    (a_upper, a_lower), (b_upper, b_lower) = outline(part, face)
    corners = ((x(a_upper), top), (x(b_upper), top), (x(b_lower), bottom), (x(a_lower), bottom))
    yield Stroke(points=corners, fill="#fff")
    yield Stroke(points=(*corners, corners[0]), thick=0.4)
    heel = _heel(part, face)
    if heel:
        edge = corners[2:] if heel == "lower" else corners[:2]
        yield Stroke(points=edge, thick=1.1)
    for wall in walls:
        down = top + (bottom - top) * wall.down / face_width(part.section, face)
        centre = (x(wall.hole.position), down)
        if wall.hole.landing:
            yield Stroke(points=((centre[0], top), (centre[0], bottom)), thick=0.7, dashed=True)
            continue
        radius = max(_LEAST_RADIUS, wall.hole.diameter * hole_scale / 2)
        radius = min(radius, (bottom - top) / 2)
        yield from _hole(centre, radius, far=wall.far, thread="tapped" in wall.hole.name)


def _hole(centre: Point, radius: float, *, far: bool, thread: bool) -> Iterator[Stroke]:
    """A circle with its centre lines; dashed and without them where a hole from another face comes out."""
    yield Stroke(points=_circle(centre, radius), fill="#fff")
    yield Stroke(points=_circle(centre, radius), thick=0.25 if far else 0.35, dashed=far)
    if thread:
        yield Stroke(points=_circle(centre, radius + _THREAD)[: _CIRCLE * 3 // 4 + 1], thick=0.16)
    if not far:
        reach = radius + _CROSS
        x, y = centre
        yield Stroke(points=((x - reach, y), (x + reach, y)), thick=0.16)
        yield Stroke(points=((x, y - reach), (x, y + reach)), thick=0.16)


def _circle(centre: Point, radius: float) -> tuple[Point, ...]:
    turns = (2 * math.pi * i / _CIRCLE for i in range(_CIRCLE + 1))
    return tuple((centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn)) for turn in turns)


def _heel(part: Part, face: int) -> str:
    """Which edge of a leg is the heel; blank for other sections."""
    if not is_angle(part.section):
        return ""
    return "lower" if (face == 1) != part.opposite_hand else "upper"


def _names(part: Part, face: int, rows: tuple[float, float], right: float) -> Iterator[Lettering]:
    """The face and both ends, and the heel of a leg."""
    (top, bottom), size = rows, _SMALL * POINT_MM
    middle = (top + bottom) / 2
    yield Lettering(text=f"{face_word(part.section)} {face}", x=0, y=middle - 0.2 * size, points=_SMALL, bold=True)
    yield Lettering(text="end A", x=0, y=middle + 0.9 * size, points=_SMALL)
    yield Lettering(text="B", x=right + 1.4, y=middle + 0.35 * size, points=_SMALL)
    heel = _heel(part, face)
    if heel:
        line = bottom + 0.2 * size if heel == "lower" else top + 0.55 * size
        yield Lettering(text="heel", x=right + 1.4, y=line, points=_HEEL)


def _figures(part: Part, walls: Sequence[Wall], scale: float, how: Printing, width: float) -> list[tuple[float, str]]:
    """Running dimensions of a face, the whole length last; thinned out where there is no room for all."""
    places = list(dict.fromkeys(wall.hole.position for wall in walls))
    room = int(2 * width / (FIGURE_POINTS * POINT_MM + 0.4)) - 2
    if len(places) > room:
        step = math.ceil(len(places) / room)
        places = places[::step]
    if part.finished not in places:
        places.append(part.finished)
    return [(_LEFT + place * scale, length_text(place, how, with_unit=False)) for place in places]
