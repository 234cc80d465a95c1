"""A sheet to fill in by hand and be read back: what is known stands in it, the rest is ruled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from openpyxl.utils import get_column_letter

from cutplan.problems import Problem, ProblemsFound, to_be_written
from cutplan.reports.workbook.cells import A4, LETTER, Book, Look, set_up_page
from cutplan.reports.workbook.page import LINE_POINTS, Field, fitting_width, lines_in

TITLE = Look(size=16, bold=True)
HINT = Look(size=9, wrap=True, valign="top")
HEADING = Look(size=9, bold=True, shade=True, border="tb", wrap=True)
FIELD = Look(border="lrb", wrap=True, indent=1)
WIDTH = 13.0
"""Of a column at least, so that there is room to write."""
SPARE_ROWS = 12
_NEW = "the name of a file that is not there yet, in a folder that can be written"


def write_form(
    path: Path, name: str, title: str, hint: str, headings: Sequence[str], rows: Sequence[Sequence[Any]], *, paper: str
) -> None:
    """Write a form of one sheet.

    Parameters
    ----------
    name, title
        Of the sheet, and what stands above it.
    rows
        What is known, cell by cell under ``headings``; a text stays a text whatever it begins with. Some ruled rows
        follow, for what nobody expected.
    paper
        ``A4`` or ``Letter``.

    Raises
    ------
    OSError
        When the file cannot be written.
    """
    book = Book(guarded=False)
    sheet = book.sheet(name)
    book.put(sheet, 1, 1, title, TITLE)
    book.put(sheet, 2, 1, hint, HINT)
    sheet.merge_cells(start_row=2, end_row=2, start_column=1, end_column=len(headings))
    sheet.row_dimensions[2].height = 28
    fields = [
        Field(head=heading, look=FIELD, width=max(WIDTH, fitting_width(heading, FIELD, [row[column] for row in rows])))
        for column, heading in enumerate(headings)
    ]
    for column, field in enumerate(fields, 1):
        book.put(sheet, 3, column, field.head, HEADING)
        sheet.column_dimensions[get_column_letter(column)].width = field.width
    sheet.row_dimensions[3].height = 4 + 12 * lines_in([replace(each, look=HEADING) for each in fields], headings)
    blank = [None] * len(headings)
    for place, row in enumerate([*rows, *[blank] * SPARE_ROWS], 4):
        for column, value in enumerate(row, 1):
            book.put(sheet, place, column, value, FIELD)
        sheet.row_dimensions[place].height = max(20.0, 4.5 + LINE_POINTS * lines_in(fields, row))
    set_up_page(
        sheet,
        job=title,
        paper=A4 if paper == "A4" else LETTER,
        landscape=True,
        last_row=3 + len(rows) + SPARE_ROWS,
        columns=len(headings),
        title_rows=3,
    )
    path.write_bytes(book.to_bytes())


class writing_to:  # noqa: N801 - reads as a clause
    """Turn what the system says of a file that cannot be written into a Problem."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def __enter__(self) -> None:
        if self.path.exists():
            raise ProblemsFound([self._problem("a file that is there already", _NEW, code="file.exists")])
        if self.path.suffix.lower() != ".xlsx":
            raise ProblemsFound(
                [
                    self._problem(
                        "a name that does not end in .xlsx", "a name that does, such as cut.xlsx", code="file.name"
                    )
                ]
            )

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, _: object) -> None:
        if isinstance(error, OSError):
            found, accepted = f"a file that cannot be written ({error.strerror})", to_be_written(error, _NEW)
            raise ProblemsFound([self._problem(found, accepted, code="file.unwritable")]) from error

    def _problem(self, found: str, accepted: str, *, code: str) -> Problem:
        return Problem(
            where=str(self.path),
            found=found,
            accepted=accepted,
            found_is_text=False,
            code=code,
        )
