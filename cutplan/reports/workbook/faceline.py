"""The faces of a marking card in plain characters: where the holes are, and the running dimensions below them."""

from __future__ import annotations

from collections.abc import Sequence

from cutplan.drilling.marking import Card
from cutplan.model import Part
from cutplan.model.faces import face_word, outline
from cutplan.model.holes import Wall
from cutplan.reports.layout import staircase
from cutplan.units import Length, Printing, length_text

KEY = "o: hole. +: a hole comes out here. !: another part lands here. Not to scale across; figures run from end A."
_LEFT, _RIGHT = 8, 12
"""Columns before end A for the name of the face, and behind end B for the last figure."""


def face_lines(card: Card, how: Printing, width: int) -> tuple[str, ...]:
    """Every marked face as a line to scale with its figures on the lines below, at most ``width`` columns wide.

    End A is to the left; a slanted end leans as it does seen from outside.
    """
    lines: list[str] = []
    for face, walls in card.faces:
        lines += _face(card.part, face, walls, how, width - _LEFT - _RIGHT)
    return tuple(lines)


def _face(part: Part, face: int, walls: Sequence[Wall], how: Printing, columns: int) -> list[str]:
    def column(at: Length) -> int:
        return _LEFT + at * columns // part.finished

    far_end = column(part.finished)
    bar = [*f"{face_word(part.section)} {face}".ljust(_LEFT), *"-" * columns, " "]
    for wall in sorted(walls, key=lambda wall: not wall.far):
        bar[column(wall.hole.position)] = "!" if wall.hole.landing else "+" if wall.far else "o"
    (a_upper, a_lower), (b_upper, b_lower) = outline(part, face)
    bar[_LEFT], bar[far_end] = _end(a_lower, a_upper), _end(b_lower, b_upper)
    places = dict.fromkeys((*(wall.hole.position for wall in walls), part.finished))
    figures = [(column(at), length_text(at, how, with_unit=False)) for at in places]
    texts = staircase(figures, lambda text: len(text) + 2, 1)
    rows = ["".join(bar)]
    for lane in range(1, max(text.lane for text in texts) + 1):
        row = [" "] * (far_end + _RIGHT)
        for text in (text for text in texts if text.lane == lane):
            row[text.column : text.column + len(text.text)] = text.text
        rows.append("".join(row).rstrip())
    return rows


def _end(lower: Length, upper: Length) -> str:
    """How an end leans, from its lower corner to its upper."""
    return "|" if lower == upper else "/" if upper > lower else "\\"
