"""The cut record is read back from the workbook, and a protected workbook leaves open what is filled in by hand."""

from __future__ import annotations

import io
import math
from pathlib import Path

import pytest
from openpyxl import load_workbook

from cutplan.problems import ProblemsFound
from cutplan.reading.forms.cut_record import CUT_RECORD, read_cut_record
from cutplan.reports.workbook.cells import COLUMN_UNIT_MM, text_mm
from cutplan.reports.workbook.plan_xlsx import workbook_bytes
from cutplan.reports.workbook.recordsheet import HEADS, TITLE
from tests import builders
from tests.hand_plans import hand_plan
from tests.workbooks import LONG, book, row_of, trailer


def test_the_headings_are_those_that_are_read() -> None:
    assert tuple(heading.name for heading in CUT_RECORD) == HEADS
    sheet = book(*trailer())[TITLE]
    assert [cell.value for cell in sheet[1]] == list(HEADS)
    assert [sheet.cell(row, 1).value for row in range(2, sheet.max_row + 1)] == [1, 2, 3, 4]


def test_a_filled_record_is_read_back(tmp_path: Path) -> None:
    job, plan = trailer()
    filled = load_workbook(io.BytesIO(workbook_bytes(job, plan)))
    sheet = filled[TITLE]
    left = [bar.drop.length for bar in plan.bars]
    for row in range(2, 6):
        sheet.cell(row, 4).value = "yes"
    sheet.cell(2, 5).value = round(left[0] / 1_000_000) - 2
    sheet.cell(3, 6).value = f"{LONG} = 0"
    sheet.cell(5, 4).value = "no"
    sheet.cell(5, 7).value = "=bent near the end"
    sheet.cell(5, 7).data_type = "s"
    filled.save(tmp_path / "plan.xlsx")
    facts = read_cut_record(tmp_path / "plan.xlsx", plan, job.workshop)
    assert sorted(facts) == [1, 2, 3, 4]
    assert [spoiled.mark for spoiled in facts[2].spoiled] == [LONG]
    assert facts[4].note == "=bent near the end"


def test_an_empty_record_is_not_taken_for_cut(tmp_path: Path) -> None:
    job, plan = trailer()
    (tmp_path / "plan.xlsx").write_bytes(workbook_bytes(job, plan))
    with pytest.raises(ProblemsFound) as caught:
        read_cut_record(tmp_path / "plan.xlsx", plan, job.workshop)
    [problem] = caught.value.problems
    assert problem.where.startswith('plan.xlsx, sheet "Cut record", row 2, column')
    assert "here and in 3 more rows" in problem.found, "of four bars no row says how much was cut"


def test_a_long_section_is_not_clipped() -> None:
    typed = "HSS 2 x 2 x 1/8 as the drawing has it, cold formed"
    job = builders.job([builders.part("A", 1, 900, typed_section=typed)], [builders.offer("O", 1000, 1)])
    sheet = book(job, hand_plan(job, ("O", ["A"])))[TITLE]
    assert len(sheet.cell(2, 3).value) > 80
    assert sheet.row_dimensions[2].height >= 3 * 13.5


def test_every_sheet_is_guarded_without_a_password() -> None:
    for sheet in book(*trailer()):
        assert sheet.protection.sheet, sheet.title
        assert not sheet.protection.password
        assert not sheet.protection.formatColumns, "columns can be made wider"


def test_what_is_filled_in_by_hand_is_open_and_nothing_else() -> None:
    job, plan = trailer()
    found = book(job, plan)

    def opened(title: str) -> set[str]:
        return {cell.coordinate for row in found[title].iter_rows() for cell in row if not cell.protection.locked}

    first = row_of(found["Buy"], "price of a length") + 1
    assert {f"A{first}", f"F{first}"} <= opened("Buy")
    assert f"G{first}" not in opened("Buy"), "sums stay closed"
    assert opened(TITLE) == {f"{column}{row}" for column in "DEFG" for row in range(2, 6)}
    assert opened("Cut"), "tick boxes and measured left overs"
    assert opened("Put away")
    for title in ("Mass and cost", "Parts", "Notes"):
        assert opened(title) == set(), title
    for title in found.sheetnames:
        for row in found[title].iter_rows():
            for cell in row:
                if isinstance(cell.value, str) and cell.value.startswith("="):
                    assert cell.protection.locked, f"{title} {cell.coordinate}"


@pytest.mark.thorough
def test_five_hundred_bars_have_a_row_each() -> None:
    job = builders.job([builders.part(f"P{i}", 1, 900 + i % 7) for i in range(500)], [builders.offer("O", 1000, 1)])
    sheet = book(job, hand_plan(job, *(("O", [f"P{i}"]) for i in range(500))))[TITLE]
    assert [sheet.cell(row, 1).value for row in range(2, sheet.max_row + 1)] == list(range(1, 501))


def test_a_row_is_as_high_as_the_longer_of_its_texts() -> None:
    job = builders.job(
        [builders.part("P", 1, 900)], [builders.offer("O", 6000, 9, merchant="A merchant of many words")]
    )
    sheet = book(job, hand_plan(job, ("O", ["P"])))[TITLE]
    width = sheet.column_dimensions["B"].width * COLUMN_UNIT_MM
    lines = math.ceil(text_mm(sheet["B2"].value, 10) / width)
    assert lines > 1
    assert sheet.row_dimensions[2].height >= lines * 10 * 1.15
