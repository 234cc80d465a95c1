"""The marking cards of plan.pdf: every figure of the cards is on the page, no card divided."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader

from cutplan.reports.cards import card_rows
from cutplan.reports.paper.drill_sheets import marking_sheet
from cutplan.reports.paper.plan_pdf import plan_pdf
from cutplan.reports.rows import rows_of
from cutplan.units import MILLIMETRES
from tests.drilled import drilled, drilled_job, hole
from tests.effort import some_rows
from tests.test_reports_buying import words

PARTS = tuple(
    drilled(f"A{i}", hole(50 + i, size="M12 clear"), hole(300, 2, 15, "M8 tapped", through=False), length=1000 + i)
    for i in range(9)
)


def test_data_are_the_words_of_the_cards() -> None:
    job, plan = drilled_job(*PARTS[:2])
    rows = rows_of(job, plan)
    sheet = marking_sheet(rows.cards, MILLIMETRES, 186)
    assert [[mark["mark"] for mark in card["marks"]] for card in sheet["cards"]] == [["A0"], ["A1"]]
    first = sheet["cards"][0]
    assert [row["places"] for row in first["rows"]] == ["50", "300"]
    assert first["svg"].startswith("<svg")
    assert "Clamp the part" in sheet["safety"][0]
    where = "A0 1\N{NO-BREAK SPACE}x\N{NO-BREAK SPACE}1, A1 1\N{NO-BREAK SPACE}x\N{NO-BREAK SPACE}1"
    assert [[words(cell) for cell in row] for row in sheet["drills"]["rows"]] == [
        ["M12 clear, 13.5 mm", "2", where, "13.5 mm, exact; 17/32 in, 0.0002 in under", "5 to 6 mm"],
        [
            "M8x1.25 tapped, 6.8 mm",
            "2",
            where,
            "6.8 mm, exact; H (0.266 in), 0.0017 in under",
            "5 to 6 mm",
        ],
    ]


def test_parts_with_the_same_holes_share_a_card() -> None:
    twins = [drilled(mark, hole(50), hole(90), length=length) for mark, length in (("A", 500), ("B", 900))]
    parts = (*twins, drilled("C", hole(50), length=500), drilled("D", hole(50), hole(90), mitres=(45, 0)))
    job, plan = drilled_job(*parts)
    sheet = marking_sheet(rows_of(job, plan).cards, MILLIMETRES, 186)
    assert [[mark["mark"] for mark in card["marks"]] for card in sheet["cards"]] == [["A", "B"], ["C"], ["D"]]
    assert [mark["length"] for mark in sheet["cards"][0]["marks"]] == ["500 mm", "900 mm"]
    assert sheet["cards"][0]["jigs"] == ["Same holes from end A: one drilling jig serves them all."]


def test_few_pieces_have_a_box_each() -> None:
    job, plan = drilled_job(replace(drilled("A", hole(50)), quantity=3), replace(drilled("B", hole(60)), quantity=9))
    cards = marking_sheet(rows_of(job, plan).cards, MILLIMETRES, 186)["cards"]
    assert [(card["boxes"], card["pieces"]) for card in cards] == [(3, 3), (0, 9)]


@pytest.mark.parametrize(("paper", "unit"), some_rows([("A4", "mm"), ("Letter", "in")], ("Letter", "in")))
def test_every_figure_is_printed(paper: str, unit: str) -> None:
    job, plan = drilled_job(*PARTS)
    job = replace(job, workshop=replace(job.workshop, paper=paper, unit=unit))
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(plan_pdf(job, plan, "0a1b2c3d"))).pages]
    whole = " ".join("\n".join(pages).split())
    for card in rows_of(job, plan).cards:
        for row in card.marks:
            assert " ".join(row.places.split()) in whole
            assert row.across in whole
        for drill in card.drills:
            assert drill.hole in whole
            assert drill.metric in whole
            assert drill.inch in whole
        (page,) = [text for text in pages if f"{card.mark} 1 off" in " ".join(text.split())]
        assert all(" ".join(row.places.split()) in " ".join(page.split()) for row in card.marks), "on one page"


def test_many_places_get_the_width_of_the_card() -> None:
    many = drilled("A", *[hole(50 + 100 * i) for i in range(60)], length=8000)
    job = replace(drilled_job(drilled("B", hole(100)))[0], parts=(drilled("B", hole(100)), many))
    rows = [card["rows"][0]["long"] for card in marking_sheet(card_rows(job), MILLIMETRES, 186)["cards"]]
    assert rows == [False, True]


def test_without_holes_there_is_no_such_page() -> None:
    job, plan = drilled_job(drilled("A"))
    text = "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(plan_pdf(job, plan, "0a1b2c3d"))).pages)
    assert "Centre punch" not in text


def test_pilot_and_open_are_two_steps_each_with_its_boxes() -> None:
    job, _ = drilled_job(drilled("A", hole(70, size="13"), hole(200, size="5")))
    (card,) = marking_sheet(card_rows(job), MILLIMETRES, 180)["cards"]
    assert [row["steps"] for row in card["rows"]] == [["pilot", "open"], [""]]


def test_assembly_note_and_stamp_stand_on_the_card() -> None:
    part = replace(drilled("A", hole(70)), assembly="gate", note="hinge side", stamps=("RK",))
    job, _ = drilled_job(part)
    (card,) = marking_sheet(card_rows(job), MILLIMETRES, 180)["cards"]
    assert card["marks"][0]["about"] == "gate: hinge side. stamp RK"
