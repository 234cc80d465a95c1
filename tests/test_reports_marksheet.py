"""The sheet Drill of the workbook says what the cards say."""

from __future__ import annotations

from cutplan.reports.cards import CAUTION
from cutplan.reports.rows import rows_of
from tests.drilled import drilled, drilled_job, hole
from tests.workbooks import book, row_of, texts

PARTS = (
    drilled("=A", hole(50, size="M12 clear", note="+rail"), hole(125, size="M12 clear", note="+rail")),
    drilled("B", hole(5, across=25), section="FL 50x6"),
)


def test_everything_on_the_cards_is_on_the_sheet() -> None:
    job, plan = drilled_job(*PARTS)
    found = texts(book(job, plan)["Drill"])
    for card in rows_of(job, plan).cards:
        assert any(text.startswith(f"{card.mark}: 1 off") for text in found)
        for row in card.marks:
            assert {row.face, row.places, row.across, row.hole} <= set(found)
        for drill in card.drills:
            assert {drill.hole, drill.metric, drill.inch, drill.standard} <= set(found)
    assert "Look: Face 1, 10 mm at 5: 5 mm to end A, common minimum 12 mm." in found
    assert CAUTION in found


def test_counts_are_numbers_and_texts_are_no_formulas() -> None:
    job, plan = drilled_job(*PARTS)
    sheet = book(job, plan)["Drill"]
    row = row_of(sheet, "50 · 125")
    assert sheet.cell(row, 2).value == 2
    note = sheet.cell(row, 6)
    assert (note.value, note.data_type) == ("+rail", "s")


def test_a_plan_without_holes_has_no_such_sheet() -> None:
    job, plan = drilled_job(drilled("A"))
    assert "Drill" not in book(job, plan).sheetnames


def test_it_stands_behind_the_cuts() -> None:
    names = book(*drilled_job(*PARTS)).sheetnames
    assert names.index("Drill") == names.index("Cut") + 1
