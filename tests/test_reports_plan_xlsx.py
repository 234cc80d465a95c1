"""The workbook read back holds the plan's numbers, and it prints as meant."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

from openpyxl import load_workbook

from cutplan.model import Earlier
from cutplan.reports.rows import rows_of
from cutplan.reports.saw_steps import Change, steps_of
from cutplan.reports.workbook.plan_xlsx import workbook_bytes, write_workbook
from cutplan.units import MILLIMETRES
from tests import builders
from tests.hand_plans import hand_plan
from tests.workbooks import FORMULA_LIKE, LONG, UNICODE, book, row_of, texts, trailer


def test_sheets_stand_in_the_order_of_the_day() -> None:
    names = book(*trailer()).sheetnames
    assert names == ["Buy", "Fetch", "Cut", "Put away", "Cut record", "Mass and cost", "Parts", "Notes"]


def test_sheets_with_nothing_to_say_are_left_out() -> None:
    job = builders.job([builders.part("A", 1, 1000)], [builders.offer("P1", 1000, 5)])
    names = book(job, hand_plan(job, ("P1", ["A"]))).sheetnames
    assert names == ["Buy", "Cut", "Cut record", "Mass and cost", "Parts", "Notes"]


def test_cells_read_back_equal_the_plan() -> None:
    job, plan = trailer()
    sheet = book(job, plan)["Cut"]
    for block in rows_of(job, plan).blocks:
        title = f"{block.title}: {block.what}"
        first = row_of(sheet, title)
        head = next(row for row in range(first, first + 30) if sheet.cell(row, 4).value == "Part mark")
        row = head
        for step in steps_of(block.cuts, MILLIMETRES):
            if isinstance(step, Change):
                # What is changed before a part stands above it in one line.
                assert f"{step.what}: {step.how}" in sheet.cell(row + 1, 4).value
                continue
            row += sheet.cell(row + 1, 1).value is None
            for cut in step.cuts:
                row += 1
                assert sheet.cell(row, 4).value == cut.mark
                assert round(sheet.cell(row, 32).value * 1_000_000) == cut.length
                assert round(sheet.cell(row, 44).value * 1_000_000) == cut.running
                # Between the figure, which ends at the right of its cells, and the ends is air.
                assert f"AR{row}:AZ{row}" in sheet.merged_cells
                assert sheet.cell(row, 53).value is None
                assert sheet.cell(row, 54).value
        assert sheet.cell(row + 1, 1).value == block.left_over


def test_the_piece_length_is_the_largest_figure() -> None:
    sheet = book(*trailer())["Cut"]
    row = row_of(sheet, "Part mark") + 1
    sizes = {cell.coordinate: cell.font.size for cell in sheet[row] if cell.value is not None}
    length, running = sizes.pop(f"AF{row}"), sizes.pop(f"AR{row}")
    assert length > running > max(size for cell, size in sizes.items() if not cell.startswith("D"))


def test_text_is_never_a_formula() -> None:
    found = book(*trailer())
    for sheet in found:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.value in (FORMULA_LIKE, "+note", "-box", "@side"):
                    assert cell.data_type == "s", f"{sheet.title} {cell.coordinate}"
                    assert cell.quotePrefix
    assert FORMULA_LIKE in texts(found["Parts"])
    assert FORMULA_LIKE in texts(found["Cut"])


def test_hard_marks_are_written_whole() -> None:
    found = book(*trailer())
    for name in ("Cut", "Parts"):
        assert {LONG, UNICODE} <= set(texts(found[name]))


def test_same_bytes_twice() -> None:
    assert workbook_bytes(*trailer()) == workbook_bytes(*trailer())


def test_pages_are_set_up_for_the_workshop() -> None:
    for name, paper in (("A4", 9), ("Letter", 1)):
        for sheet in book(*trailer(paper=name)):
            setup = sheet.page_setup
            assert int(setup.paperSize) == paper
            assert setup.orientation == ("portrait" if sheet.title in ("Buy", "Notes") else "landscape")
            assert sheet.print_area
            assert sheet.print_title_rows.startswith("$1:$")
            assert sheet.oddFooter.center.text == "page &P of &N"
            assert sheet.oddFooter.left.text == "tiny"
            fits = sheet.title != "Cut"
            assert bool(sheet.sheet_properties.pageSetUpPr.fitToPage) is fits
            assert (setup.fitToHeight == 0) is fits


def test_an_ampersand_in_the_job_name_is_no_code_in_the_footer() -> None:
    job, plan = trailer()
    job = replace(job, name="Bed & deck")
    assert book(job, plan)["Buy"].oddFooter.left.text == "Bed && deck"


def test_every_sheet_says_of_which_plan_it_is(tmp_path: Path) -> None:
    write_workbook(*trailer(), tmp_path / "plan.xlsx", "0a1b2c3d")
    for sheet in load_workbook(tmp_path / "plan.xlsx"):
        assert sheet.oddFooter.center.text == "plan 0a1b2c3d, page &P of &N"


def test_no_macro_and_no_time_of_day(tmp_path: Path) -> None:
    job, plan = trailer()
    write_workbook(job, plan, tmp_path / "plan.xlsx")
    found = load_workbook(tmp_path / "plan.xlsx", keep_vba=True)
    assert found.vba_archive is not None, "which is every entry of the file where macros are kept"
    with found.vba_archive as entries:  # which openpyxl leaves open, and nobody may close once its bytes are gone
        assert not any("vba" in name for name in entries.namelist())
    assert found.properties.created == found.properties.modified


def test_units_of_an_assembly_have_a_sheet() -> None:
    """Two stools of two legs and a seat; the bench is made once. In the rest of a plan nobody knows the units."""
    parts = [
        builders.part("Seat", 2, 300, assembly="stool", assemblies=2),
        builders.part("Leg", 4, 400, assembly="stool", assemblies=2),
        builders.part("Frame", 2, 700, assembly="bench"),
    ]
    job = builders.job(parts, [builders.offer("O", 20000, 9)])
    plan = hand_plan(job, ("O", ["Seat"] * 2), ("O", ["Leg"] * 4), ("O", ["Frame"] * 2))
    sheet = load_workbook(io.BytesIO(workbook_bytes(job, plan)))["Units"]
    rows = [row[1:5] for row in sheet.iter_rows(min_row=5, values_only=True) if row[3]]
    assert rows == [("stool", 1, "Seat", 1), ("stool", 1, "Leg", 2), ("stool", 2, "Seat", 1), ("stool", 2, "Leg", 2)]
    rest = replace(job, earlier=Earlier(bars=3))
    assert "Units" not in load_workbook(io.BytesIO(workbook_bytes(rest, plan))).sheetnames
