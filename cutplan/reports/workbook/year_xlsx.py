"""Jobs held against their quotes as a workbook, their sums by formula."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from openpyxl.utils import get_column_letter

from cutplan.costing.cost_figures import MINUTE
from cutplan.model import Workshop
from cutplan.reports.workbook.cells import A4, LETTER, Book, Formula, Look, money_number, set_up_page
from cutplan.reports.workbook.page import BOLD_CELL, HEAD_CELL, MONEY_CELL, TEXT_CELL
from cutplan.words.outcome_words import HEADINGS, YearRow

JOBS = "Jobs"
_TITLE, _FIRST = Look(size=16, bold=True), 4
_TEXTS = 5
"""Columns of texts; amounts and minutes follow."""


def year_book(rows: Sequence[YearRow], workshop: Workshop) -> bytes:
    """A row for each job; what is not known is left blank and is in no sum."""
    book = Book()
    sheet = book.sheet(JOBS)
    book.put(sheet, 1, 1, f"Jobs: {workshop.name}" if workshop.name else JOBS, _TITLE)
    book.put(sheet, 2, 1, f"Amounts in {workshop.currency}, without tax", Look(size=9))
    for column, head in enumerate(HEADINGS, 1):
        book.put(sheet, _FIRST - 1, column, head, replace(HEAD_CELL, align="left" if column <= _TEXTS else "right"))
        sheet.column_dimensions[get_column_letter(column)].width = 22 if column in (1, 4) else 13
    sheet.row_dimensions[_FIRST - 1].height = 28
    for line, row in enumerate(rows, _FIRST):
        for column, value in enumerate(_values(row), 1):
            look = BOLD_CELL if column == 1 else TEXT_CELL if column <= _TEXTS else MONEY_CELL
            book.put(sheet, line, column, value, look)
    last = _FIRST + len(rows)
    book.put(sheet, last, 1, "total", BOLD_CELL)
    for column in range(_TEXTS + 1, len(HEADINGS) + 1):
        letter = get_column_letter(column)
        now = sum(_values(row)[column - 1] or 0 for row in rows)
        formula = Formula(f"SUM({letter}{_FIRST}:{letter}{last - 1})" if rows else "0", now)
        book.put(sheet, last, column, formula, MONEY_CELL)
    sheet.freeze_panes = f"B{_FIRST}"
    paper = A4 if workshop.paper == "A4" else LETTER
    set_up_page(
        sheet, job=JOBS, paper=paper, landscape=True, last_row=last, columns=len(HEADINGS), title_rows=_FIRST - 1
    )
    return book.to_bytes()


def _values(row: YearRow) -> list[Any]:
    amounts = (row.price, row.quoted_cost, row.materials, row.cost, row.left)
    return [
        *(row.job, row.stage, row.day, row.customer, row.number),
        *(None if amount is None else money_number(amount) for amount in amounts),
        *(None if each is None else each / MINUTE for each in (row.quoted_minutes, row.minutes)),
    ]
