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

PARTS = tuple(
    drilled(f"A{i}", hole(50 + i, size="M12 clear"), hole(300, 2, 15, "M8 tapped", through=False), length=1000 + i)
    for i in range(9)
)


def test_data_are_the_words_of_the_cards() -> None:
    job, plan = drilled_job(*PARTS[:2])
    rows = rows_of(job, plan)
    sheet = marking_sheet(rows.cards, MILLIMETRES, 186)
    assert [card["mark"] for card in sheet["cards"]] == ["A0", "A1"]
    first = sheet["cards"][0]
    assert [row["places"] for row in first["marks"]] == ["50", "300"]
    assert first["svg"].startswith("<svg")
    assert "Clamp the part" in sheet["lines"][-2]
    assert sheet["lines"][-1] == "Holes in all: 2 x M12 clear, 13.5 mm; 2 x M8x1.25 tapped, 6.8 mm."


@pytest.mark.parametrize(("paper", "unit"), [("A4", "mm"), ("Letter", "in")])
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
        assert all(drill.inch in " ".join(page.split()) for drill in card.drills), "a card is not divided"


def test_many_places_get_the_width_of_the_card() -> None:
    many = drilled("A", *[hole(50 + 100 * i) for i in range(60)], length=8000)
    job = replace(drilled_job(drilled("B", hole(100)))[0], parts=(drilled("B", hole(100)), many))
    rows = [card["marks"][0]["long"] for card in marking_sheet(card_rows(job), MILLIMETRES, 186)["cards"]]
    assert rows == [False, True]


def test_without_holes_there_is_no_such_page() -> None:
    job, plan = drilled_job(drilled("A"))
    text = "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(plan_pdf(job, plan, "0a1b2c3d"))).pages)
    assert "Centre punch" not in text
