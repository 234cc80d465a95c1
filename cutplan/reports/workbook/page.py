"""One sheet of the workbook filled from the top: a title, then lines and tables with rows as high as their texts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from openpyxl.utils import get_column_letter

from cutplan.reports.rows import Rows
from cutplan.reports.workbook.cells import (
    COLUMN_UNIT_MM,
    MONEY,
    WEIGHT,
    Book,
    Look,
    length_cell,
    length_form,
    lines_needed,
    pages_wide,
    set_up_page,
    text_mm,
)
from cutplan.units import FOOT, METRE, Length, Printing

BUY, FETCH, SORT, DRILL, PUT_AWAY = "Buy", "Fetch", "Sort by job", "Drill", "Put away"
COST, PARTS, UNITS, NOTES = "Mass and cost", "Parts", "Units", "Notes"
_NO_MONEY = (FETCH, SORT, DRILL, PARTS, UNITS)

PLAIN_CELL = Look()
TEXT_CELL = Look(border="b", wrap=True, indent=1)
BOLD_CELL = Look(border="b", wrap=True, bold=True, indent=1)
COUNT_CELL = Look(border="b", align="right", form="0")
MASS_CELL = Look(border="b", align="right", form=WEIGHT)
MONEY_CELL = Look(border="b", align="right", form=MONEY)
TICK_CELL = Look(border="ltrb", indent=1, open=True)
HEAD_CELL = Look(size=9, bold=True, shade=True, border="tb", wrap=True)
LINE_POINTS = 13.5
"""Height of a line of text in a cell."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A column of a table: heading, width in column units, look of its cells."""

    head: str
    width: float
    look: Look = TEXT_CELL


class Page:
    """One sheet filled from the top: its title, by its name where that is not another, then lines and tables."""

    def __init__(
        self, book: Book, rows: Rows, name: str, widths: Sequence[float], *, priced: bool = True, title: str = ""
    ) -> None:
        self.book, self.rows, self.widths = book, rows, tuple(widths)
        self.sheet: Any = book.sheet(name)
        for column, width in enumerate(widths, 1):
            self.sheet.column_dimensions[get_column_letter(column)].width = width
        self.row = 1
        self.line(f"{title or name}: {rows.job_name}", Look(size=16, bold=True), 24)
        money = "" if name in _NO_MONEY or not priced else f"amounts in {rows.workshop.currency}{_tax_words(rows)}"
        self.line(", ".join(text for text in (rows.workshop.name, money) if text), Look(size=9), 14)

    def line(self, text: str, look: Look = PLAIN_CELL, height: float = 15) -> None:
        """A sentence over the whole width, wrapped where it must be."""
        room = sum(self.widths) * COLUMN_UNIT_MM - 4
        lines = lines_needed(text, room, look.size, bold=look.bold)
        self.sheet.merge_cells(start_row=self.row, end_row=self.row, start_column=1, end_column=len(self.widths))
        self.book.put(self.sheet, self.row, 1, text, replace(look, wrap=True))
        self.sheet.row_dimensions[self.row].height = height + (lines - 1) * (look.size * 1.35)
        self.row += 1

    def drawn(self, lines: Sequence[str], size: int) -> None:
        """Lines of characters that stand in columns, never wrapped."""
        for text in lines:
            self.book.put(self.sheet, self.row, 1, text, Look(size=size, even=True))
            self.sheet.row_dimensions[self.row].height = 1.25 * size
            self.row += 1

    def gap(self) -> None:
        self.sheet.row_dimensions[self.row].height = 8
        self.row += 1

    def heads(self, fields: Sequence[Field]) -> None:
        """The headings of a table."""
        lines = 1
        for column, each in enumerate(fields, 1):
            self.book.put(
                self.sheet,
                self.row,
                column,
                each.head,
                replace(HEAD_CELL, align=each.look.align, indent=each.look.indent),
            )
            lines = max(lines, lines_needed(each.head, _room(each), HEAD_CELL.size, bold=True))
        self.sheet.row_dimensions[self.row].height = 4 + 12 * lines
        self.row += 1

    def cells(self, fields: Sequence[Field], values: Sequence[Any], *, bold: bool = False) -> int:
        """One row of a table, as high as its texts need; returns its number. A pair is a value with its own form."""
        lines = 1
        for column, (each, value) in enumerate(zip(fields, values, strict=True), 1):
            look = replace(each.look, bold=True) if bold else each.look
            if isinstance(value, tuple):
                value, form = value
                look = replace(look, form=form)
            if isinstance(value, str):
                lines = max(lines, lines_needed(value, _room(each), look.size, bold=look.bold))
            self.book.put(self.sheet, self.row, column, value, look)
        self.sheet.row_dimensions[self.row].height = max(18.0, 4.5 + LINE_POINTS * lines)
        self.row += 1
        return self.row - 1

    def height(self, first: int, end: int) -> float:
        """Height of the rows from ``first`` up to but without ``end``, all written. [points]"""
        return sum((float(self.sheet.row_dimensions[row].height) for row in range(first, end)), 0.0)

    def finish(self, paper: int, *, landscape: bool, title_rows: int = 2, scale: int = 0) -> None:
        set_up_page(
            self.sheet,
            job=self.rows.job_name,
            paper=paper,
            landscape=landscape,
            last_row=self.row - 1,
            columns=len(self.widths),
            title_rows=title_rows,
            scale=scale,
        )


def _tax_words(rows: Rows) -> str:
    shop = rows.workshop
    if not shop.tax_millionths:
        return ""
    return ", tax included in prices" if shop.prices_include_tax else ", prices without tax"


def _room(column: Field) -> float:
    """Width that a text finds in a column, its indent and the cell's own margins taken off. [mm]"""
    return column.width * COLUMN_UNIT_MM - 2 - 2.5 * column.look.indent


def lines_in(fields: Sequence[Field], values: Sequence[Any]) -> int:
    """Lines of the highest cell of a row, of which the texts may have line feeds."""
    texts = [
        (each, value.splitlines() or [""]) for each, value in zip(fields, values, strict=True) if isinstance(value, str)
    ]
    return max(
        (
            sum(lines_needed(line, _room(each), each.look.size, bold=each.look.bold) for line in lines)
            for each, lines in texts
        ),
        default=1,
    )


def widths_of(fields: Sequence[Field]) -> list[float]:
    return [each.width for each in fields]


def total_length(length: Length, how: Printing) -> float:
    """A length summed up, in metres or feet."""
    return length / (METRE if how.unit == "mm" else FOOT)


def total_head(text: str, how: Printing) -> str:
    return f"{text}, {'m' if how.unit == 'mm' else 'ft'}"


def length_value(length: Length | None, how: Printing) -> Any:
    value = length_cell(length, how)
    return (value, length_form(length, how)) if how.unit == "mm" and value is not None else value


_NARROWEST, _WIDEST = 7.0, 36.0
_NARROWED = 16
"""Column width below which texts would be wrapped into too many lines for the sake of one page."""


def fitting_width(head: str, look: Look, values: Sequence[Any]) -> float:
    """Column width that suits what stands in it; longer texts are wrapped."""
    texts = [value for value in values if isinstance(value, str)] or ["00000.0"]
    widest = max(text_mm(text, look.size, bold=look.bold) for text in texts)
    word = max(text_mm(word, HEAD_CELL.size, bold=True) for word in head.split(" "))
    return min(_WIDEST, max(_NARROWEST, (max(widest, word) + 2.5 + 2.5 * look.indent) / COLUMN_UNIT_MM))


def narrowed(fields: Sequence[Field], paper: int, *, landscape: bool) -> list[Field]:
    """The columns of a table, the widest made so narrow that all stand on one page; as they are where that is too much.

    On a second page beside the first the title would be cut off, and a row torn in two.
    """
    for most in range(int(_WIDEST), _NARROWED - 1, -1):
        narrow = [replace(each, width=min(each.width, most)) for each in fields]
        if pages_wide(widths_of(narrow), paper, landscape=landscape) == 1:
            return narrow
    return list(fields)
