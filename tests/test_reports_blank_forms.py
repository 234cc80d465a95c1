"""Forms: what is known stands in them as text, and they are read back as they were written."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from cutplan.problems import ProblemsFound
from cutplan.reports.workbook.blank_forms import write_form, writing_to


def test_texts_stay_texts_and_rows_are_left_to_fill(tmp_path: Path) -> None:
    path = tmp_path / "form.xlsx"
    write_form(
        path, "Count", "Count of B2", "Fill in.", ["Mark", "Length"], [["=1+1", 1240.5], ["+A", None]], paper="A4"
    )
    sheet = openpyxl.load_workbook(path)["Count"]
    assert [cell.value for cell in sheet[3]] == ["Mark", "Length"]
    assert (sheet["A4"].value, sheet["A4"].data_type, sheet["B4"].value) == ("=1+1", "s", 1240.5)
    assert (sheet["A5"].value, sheet["A5"].data_type) == ("+A", "s")
    assert not sheet.protection.sheet, "a guarded sheet could not be filled in"
    assert sheet.page_setup.paperSize == 9
    assert sheet.max_row > 10


def test_headings_and_cells_are_seen_whole(tmp_path: Path) -> None:
    """Letters of 9 and 10 pt, on lines a fifth higher; a column unit is a digit of 10 pt, wider than most letters."""
    path = tmp_path / "form.xlsx"
    rows = [["A1", "SHS 40x40x3", None], ["A2", "RHS 120x60x6.3, galvanised after drilling, from the old gate", None]]
    write_form(path, "Count", "Count", "Fill in.", ["Mark", "Section", "Length as measured"], rows, paper="A4")
    sheet = openpyxl.load_workbook(path)["Count"]
    heights = {row: float(sheet.row_dimensions[row].height or 0) for row in (3, 4, 5)}
    assert heights[3] >= 2 * 9 * 1.2, "the heading takes two lines"
    assert heights[4] == 20
    assert heights[5] >= 2 * 10 * 1.2
    write_form(path, "Count", "Count", "Fill in.", ["Mark", "Section", "Length as measured"], rows[:1], paper="A4")
    width = openpyxl.load_workbook(path)["Count"].column_dimensions["B"].width
    assert len("SHS 40x40x3") + 2 < width < 20, "with the indent"


@pytest.mark.parametrize("name", ["form.csv", "form", "form.xlsx.txt"])
def test_a_workbook_is_written_under_the_name_of_one(tmp_path: Path, name: str) -> None:
    with pytest.raises(ProblemsFound) as refused, writing_to(tmp_path / name):
        raise AssertionError("not reached")
    assert str(refused.value.problems[0]) == (
        f"{tmp_path / name}: found a name that does not end in .xlsx.\nAccepted: a name that does, such as cut.xlsx."
    )
