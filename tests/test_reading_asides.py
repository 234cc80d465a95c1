"""Rows that are no line of a list."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.input_files import job_of, refusal, write_xlsx

H = ("Mark", "Quantity", "Section", "Length", "Note")
SHS = "SHS 40x40x3"
PART = ("A", 2, SHS, 1200, "")


def warnings(folder: Path, *rows: tuple[Any, ...]) -> list[str]:
    job = job_of(folder, (H, PART, *rows))
    assert [part.mark for part in job.parts] == ["A"]
    return [warning.found for warning in job.warnings]


@pytest.mark.parametrize(
    ("row", "found"),
    [
        (("Total", 2), "a row of totals"),
        (("", 2, "", "", "TOTALS:"), "a row of totals"),
        (("Sum", "2.4"), "a row of totals"),
        (("Grand total", 2), "a row of totals"),
        (("", 2, "Total"), "a row of totals"),
        (("All dimensions in mm, weld all round.",), "a note"),
        (("", "", "", "", "check sizes on site"), "a note"),
        (H, "the headings again"),
        (("MARK", "Quantity", "SECTION", "Length", ""), "the headings again"),
    ],
)
def test_what_is_passed_over_is_said(row: tuple[Any, ...], found: str, tmp_path: Path) -> None:
    assert warnings(tmp_path, row) == [f"{found}; it was passed over"]


@pytest.mark.parametrize(
    ("row", "message"),
    [
        # A mark alone may be a line that was left unfinished.
        (("B7",), 'row 3, column B "Quantity": found a blank cell'),
        (("Side rail",), 'row 3, column B "Quantity": found a blank cell'),
        (("Total", 2, "", 900), 'row 3, column C "Section": found a blank cell'),
        (
            ("Quantity", "Mark", "Section", "Length"),
            "row 3: found the headings of a second table.\nAccepted: one table",
        ),
    ],
)
def test_what_may_be_a_line_is_not_passed_over(row: tuple[Any, ...], message: str, tmp_path: Path) -> None:
    assert message in refusal(tmp_path, (H, PART, row))


def test_hidden_rows_are_read_and_said(tmp_path: Path) -> None:
    def hide(book: Any) -> None:
        book.active.row_dimensions[3].hidden = True

    path = write_xlsx(tmp_path / "gate.xlsx", hide, Parts=[H, PART, ("B", 1, SHS, 700, "")])
    job = job_of(tmp_path, path)
    assert [part.mark for part in job.parts] == ["A", "B"]
    assert [(w.where, w.found) for w in job.warnings] == [
        ('gate.xlsx, sheet "Parts", row 3', "hidden rows, which were read: 3")
    ]
