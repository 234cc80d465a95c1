"""The checks that a spreadsheet works out itself, worked out here by one: the formula is read, not run."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from cutplan.reading.whole_job import read_files
from cutplan.writing.listsheet import lines_of
from tests.input_files import write_csv
from tests.test_newbook import columns, filled, heading_row

GOOD = {"Mark": "A", "Quantity": 2, "Section": "SHS 40x40x3", "Length": 1200}


@pytest.mark.skipif(shutil.which("soffice") is None, reason="no spreadsheet program here")
@pytest.mark.slow
def test_a_spreadsheet_program_finds_what_is_missing(tmp_path: Path) -> None:
    rows: list[dict[str, Any]] = [
        GOOD,
        {**GOOD, "Mark": "B", "Quantity": "two"},
        {"Mark": "C", "Section": "RD 12", "Length": 3},
        {"Mark": "D", "Quantity": 1, "Section": "RD 12"},
        {"Mark": "E", "Quantity": 1, "Length": 12},
        {**GOOD},
        {"Mark": "F"},
        {"Mark": "Hinge", "Quantity": 2, "Section": "other"},
        {"Quantity": 3, "Section": "Assembly", "Assembly": "gate"},
    ]
    filled(tmp_path / "gate.xlsx", Parts=rows)
    out = tmp_path / "out"
    words = ["soffice", f"-env:UserInstallation=file://{tmp_path}/profile", "--headless"]
    command = [*words, "--convert-to", "xlsx", "--outdir", str(out), str(tmp_path / "gate.xlsx")]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    book = load_workbook(out / "gate.xlsx", data_only=True)
    sheet = book["Parts"]
    first, column = heading_row(sheet) + 1, columns(sheet)["Check"]
    assert [sheet.cell(first + number, column).value for number in range(len(rows))] == [
        "Mark is there twice",
        "Quantity: a number is expected",
        "Quantity is missing",
        "Length is missing",
        "Section is missing",
        "Mark is there twice",
        None,
        None,
        None,
    ]
    assert [row[1].value for row in book["Start"].iter_rows() if row[0].value == "Parts: rows to look at"] == [6]


def test_lines_of_a_list_keep_cells_units_and_what_stands_above(tmp_path: Path) -> None:
    rows = (("Trailer", ""), (), ("Qty", "Profile", "Cut length (cm)"), (2, "SHS 40x40x3", 120), ("", "", ""))
    table = read_files(write_csv(tmp_path / "t.csv", rows), stock=["6 m"]).tables["parts"]
    lines = lines_of(table)
    assert lines.headings == {"Quantity": "Quantity", "Section": "Section", "Length": "Cut length (cm)"}
    assert lines.rows == [{"Quantity": "2", "Section": "SHS 40x40x3", "Length": "120"}]
    assert lines.above == [["Trailer"]], "without the blank behind its last value"
