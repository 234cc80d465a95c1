"""Cells that hold no value of their own."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.input_files import job_of, refusal, write_xlsx
from tests.sized_lists import ONE, H, lengths


def merged(folder: Path, cells: str, *rows: tuple[object, ...]) -> Path:
    return write_xlsx(folder / "parts.xlsx", lambda book: book["Parts"].merge_cells(cells), Parts=rows)


def test_a_cell_merged_down_is_the_value_of_every_row_it_covers(tmp_path: Path) -> None:
    path = merged(tmp_path, "B2:B4", H, ONE, (1, None, 900), (2, None, 300), (4, "SHS 40x40x3", 250))
    job = job_of(tmp_path, path)
    assert [(part.typed_section, part.quantity) for part in job.parts] == [("SHS 40x40x3", n) for n in (1, 1, 2, 4)]
    (warning,) = job.warnings
    assert (warning.where, warning.code) == ('parts.xlsx, sheet "Parts", row 2, column B "Section"', "cell.merged_down")
    assert warning.found == "merged cells B2:B4, read as SHS 40x40x3 in 3 rows"


def test_a_merged_cell_makes_no_part_of_an_empty_row(tmp_path: Path) -> None:
    path = merged(tmp_path, "B2:B4", H, ONE, (None, None, None), (1, None, 900))
    assert lengths(job_of(tmp_path, path)) == [1200, 900]


@pytest.mark.parametrize("cells", ["A2:B2", "B2:C3", "B1:B2"])
def test_cells_merged_across_or_with_a_heading_are_one_problem(tmp_path: Path, cells: str) -> None:
    path = merged(tmp_path, cells, H, ONE, (1, "SHS 40x40x3", 900))
    assert refusal(tmp_path, path).count(": found") == 1


@pytest.mark.parametrize("cells", ["B1:C1", "B1:D1"])
def test_a_heading_merged_over_columns_is_the_cause_that_is_named(cells: str, tmp_path: Path) -> None:
    """The column it covers has no heading, and is nothing that a comma split."""
    path = merged(tmp_path, cells, H, ONE, (1, "SHS 40x40x3", 900))
    told = refusal(tmp_path, path)
    assert f'parts.xlsx, sheet "Parts", row 1, column B "Section": found merged cells {cells}.' in told
    assert "hint: unmerge them and give each column its heading" in told
    assert "nothing in a column without a heading" not in told
    extra = merged(tmp_path, "C1:D1", (*H, None), (*ONE, "aside"))
    assert refusal(tmp_path, extra).count(": found") == 1


@pytest.mark.thorough
def test_a_million_blank_rows_are_no_list(tmp_path: Path) -> None:
    path = tmp_path / "parts.csv"
    path.write_text("Quantity,Section,Length\n1,SHS 40x40x3,1200\n" + ",,\n" * 150_000, encoding="utf-8")
    assert lengths(job_of(tmp_path, path)) == [1200]
