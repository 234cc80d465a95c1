"""The sheet of assemblies as lines of the parts list."""

from __future__ import annotations

from pathlib import Path

from cutplan.reading.lists.part_columns import PARTS
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.raw_cells import Cell, load_file
from cutplan.reading.sheets.table_search import read_table
from cutplan.writing.assemblies import with_assemblies
from tests.input_files import write_csv


def test_a_column_that_is_missing_is_put_behind_the_last(tmp_path: Path) -> None:
    listed = (
        ("Gate", "", "", "", "as drawn"),
        ("Qty", "Assy", "Section", "Length"),
        (1, "leaf", "RD 12", 300),
        (1, "post", "RD 12", 400),
    )
    parts = write_csv(tmp_path / "parts.csv", listed)
    made = write_csv(tmp_path / "made.csv", (("Name", "Make", "Spares"), ("leaf", 2, ""), ("post", 3, "1 bought")))
    table = read_table(load_file(parts), PARTS, Findings())
    assert table is not None
    wider = with_assemblies(table, load_file(made))
    added: list[list[Cell]] = [["2", "leaf", "assembly"], ["3", "post", "assembly", "", "", "1 bought"]]
    assert wider.sheet.rows[-2:] == added
    assert wider.sheet.rows[1] == ["Qty", "Assy", "Section", "Length", "", "Spares"]
    assert wider.columns["Spares"].index == 5
