"""A plan at the drill: a card for parts drilled alike, each piece once, each place whole."""

from __future__ import annotations

from dataclasses import replace

from cutplan.web.drill_view import drill_cards
from tests.drilled import drilled, drilled_job, hole


def test_parts_drilled_alike_share_a_card_and_each_piece_is_there_once() -> None:
    """Worked by hand: A and B have a hole 60 from end A, C has another; D has a landing alone, which nobody drills."""
    job, plan = drilled_job(
        drilled("A", hole(60), quantity=2),
        drilled("B", hole(60)),
        drilled("C", hole(960, size="13")),
        drilled("D", hole(60, size="")),
    )
    first, second = drill_cards(job, plan)
    assert [piece.key for piece in first.pieces] == ["A/1", "A/2", "B/1"]
    assert [(piece.copy, piece.copies) for piece in first.pieces] == [(1, 2), (2, 2), (1, 1)]
    (row,) = first.rows
    assert (row.places, row.from_b, row.count, row.across) == (("60",), (), 1, "centre")
    assert [piece.key for piece in second.pieces] == ["C/1"]
    (row,) = second.rows
    assert (row.places, row.from_b, row.pilot) == (("960",), ("40",), True)
    assert second.drills == ("13 mm: drill 13 mm, exact; 33/64 in, 0.0038 in over; pilot 5 to 6 mm",)
    assert (first.number, second.number) == (1, 2)


def test_a_figure_in_inches_is_one_place() -> None:
    job, plan = drilled_job(drilled("A", hole("650.875"), hole("666.75")))
    inch = replace(job, workshop=replace(job.workshop, unit="in"))
    (card,) = drill_cards(inch, plan)
    assert card.rows[0].places == ("25\N{NO-BREAK SPACE}5/8", "26\N{NO-BREAK SPACE}1/4")
