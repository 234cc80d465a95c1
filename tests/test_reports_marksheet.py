"""The sheet Drill of the workbook says what the cards say."""

from __future__ import annotations

from typing import Any

import pytest

from cutplan.reports.cards import CAUTION
from cutplan.reports.rows import rows_of
from cutplan.reports.workbook.cells import CELL_MARGINS_MM, COLUMN_UNIT_MM, POINT_MM, text_mm
from cutplan.reports.workbook.marksheet import PAGE_POINTS, TITLE_ROWS
from tests.drilled import drilled, drilled_job, hole
from tests.effort import THOROUGH
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


def test_pilot_and_open_stand_within_their_cell() -> None:
    sheet = book(*drilled_job(*PARTS))["Drill"]
    cell = sheet.cell(row_of(sheet, "50 · 125"), 7)
    assert cell.value.split() == ["pilot", "open"]
    assert text_mm(cell.value, 10) + CELL_MARGINS_MM <= sheet.column_dimensions["G"].width * COLUMN_UNIT_MM


def pages(sheet: Any) -> list[range]:
    """The rows of each page below the repeated title."""
    breaks = [brk.id for brk in sheet.row_breaks.brk]
    return [range(a + 1, b + 1) for a, b in zip([TITLE_ROWS, *breaks], [*breaks, sheet.max_row], strict=True)]


@pytest.mark.thorough
def test_no_card_is_divided_by_a_page_and_every_page_fits() -> None:
    job, plan = drilled_job(*(drilled(f"P{i}", hole(50 + i), hole(400 + i, 2)) for i in range(9)))
    sheet = book(job, plan)["Drill"]
    cards = [row for row in range(1, sheet.max_row + 1) if str(sheet.cell(row, 1).value).startswith("P")]
    firsts = [page[0] for page in pages(sheet)]
    assert 2 < len(firsts) < 9
    assert all(first + 1 in cards for first in firsts[1:]), "a page begins with the gap above a card"
    head = sum(sheet.row_dimensions[row].height for row in range(1, TITLE_ROWS + 1))
    for page in pages(sheet):
        assert head + sum(sheet.row_dimensions[row].height for row in page) <= PAGE_POINTS


@pytest.mark.thorough
def test_a_table_is_never_parted_from_its_head() -> None:
    for count in range(28, 44, 1 if THOROUGH else 3):
        many = [hole(100 + 20 * i, size=str(5 + i / 10)) for i in range(count)]
        sheet = book(*drilled_job(drilled("A", *many)))["Drill"]
        assert len(pages(sheet)) > 2, "a card longer than a page"
        for page in pages(sheet)[:-1]:
            assert sheet.cell(page[-1], 1).value not in ("side", "each"), "no head at the foot of a page"


def test_the_faces_are_drawn_in_letters_of_one_width() -> None:
    job, plan = drilled_job(*PARTS)
    sheet = book(job, plan)["Drill"]
    lines = [cell for cell in sheet["A"] if cell.font.name == "Courier New"]
    assert [line.value.split()[0] for line in lines if line.value.startswith("face")] == ["face", "face", "face"]
    wide = sum(sheet.column_dimensions[letter].width for letter in "ABCDEFG") * COLUMN_UNIT_MM
    for line in lines:
        assert len(line.value) * 0.6 * line.font.size * POINT_MM < wide, "0.6 em a letter"


def test_a_plan_without_holes_has_no_such_sheet() -> None:
    job, plan = drilled_job(drilled("A"))
    assert "Drill" not in book(job, plan).sheetnames


def test_it_stands_behind_the_cuts() -> None:
    names = book(*drilled_job(*PARTS)).sheetnames
    assert names.index("Drill") == names.index("Cut") + 1
