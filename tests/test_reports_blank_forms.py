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


@pytest.mark.parametrize("name", ["form.csv", "form", "form.xlsx.txt"])
def test_a_workbook_is_written_under_the_name_of_one(tmp_path: Path, name: str) -> None:
    with pytest.raises(ProblemsFound) as refused, writing_to(tmp_path / name):
        raise AssertionError("not reached")
    assert str(refused.value.problems[0]) == (
        f"{tmp_path / name}: found a name that does not end in .xlsx.\nAccepted: a name that does, such as cut.xlsx."
    )
