"""The faces of a card in characters: holes to scale, every figure below its hole, none over another."""

from __future__ import annotations

import pytest

from cutplan.drilling.marking import Card, cards_of
from cutplan.model import Part
from cutplan.reports.workbook.faceline import face_lines
from cutplan.units import USUAL, length_text
from tests.drilled import drilled, drilled_job, hole
from tests.test_reports_elevation import NASTY


def card_of(part: Part) -> Card:
    (card,) = cards_of(drilled_job(part)[0])
    return card


def lines(part: Part, width: int, unit: str = "mm") -> tuple[str, ...]:
    return face_lines(card_of(part), USUAL[unit], width)


def test_holes_landings_and_where_a_hole_comes_out() -> None:
    part = drilled("A", hole(100), hole(500, 2, size=""), hole(750, through=False))
    assert lines(part, 60) == (
        "face 1  |---o-------------------------o---------|",
        "            100                       750       1000",
        "face 2  |-------------------!-------------------|",
        "                            500                 1000",
        "face 3  |---+-----------------------------------|",
        "            100                                 1000",
    )


def test_a_slanted_end_leans_as_it_is_seen_from_outside() -> None:
    part = drilled("A", hole(200, 1), hole(500, 2), section="RHS 60x40x3", mitres=(45, 45))
    ends = [(line[8], line[48]) for line in lines(part, 60) if line.startswith("face")]
    assert ends == [("/", "\\"), ("|", "|"), ("\\", "/"), ("|", "|")]


def test_a_figure_that_meets_its_neighbour_goes_one_line_down() -> None:
    part = drilled("A", hole(100), hole(120), section="FL 50x6")
    assert lines(part, 60) == (
        "face 1  |---o-----------------------------------|",
        "            100                                 1000",
        "            120",
    )


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("name", NASTY)
def test_every_figure_stands_whole_below_its_hole(name: str, unit: str) -> None:
    card, how = card_of(NASTY[name]), USUAL[unit]
    drawn = face_lines(card, how, 118)
    assert all(len(line) <= 118 for line in drawn)
    heads = [i for i, line in enumerate(drawn) if line.startswith(("face", "leg"))]
    for (_, walls), first, end in zip(card.faces, heads, [*heads[1:], len(drawn)], strict=True):
        for at in {card.part.finished, *(wall.hole.position for wall in walls)}:
            column, text = 8 + at * 98 // card.part.finished, length_text(at, how, with_unit=False)
            held = [line for line in drawn[first + 1 : end] if line[column:].split("  ")[0] == text]
            assert len(held) == 1, (text, drawn[first:end])
            assert not held[0][column - 1].strip(), "nothing joined to it on the left"
