"""From sheets to rows: which sheet, which row holds the headings, and each cell with its place.

What goes wrong is collected, never raised, so that one run shows everything.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Callable, Iterator, Sized
from dataclasses import dataclass, field
from functools import lru_cache, partial
from typing import TypeVar

from cutplan.problems import Problem, Refused
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.raw_cells import Cell, Position, Sheet, cell_text, column_letter, is_date
from cutplan.units import LENGTH_FORMS, parse_length, parse_quantity, with_point

Value = TypeVar("Value")

FORMULA_ERROR = "mend the formula in the spreadsheet program, or write the value in its place"
_ERROR = re.compile(r"#(?:REF!|N/A|DIV/0!|VALUE!|NAME\?|NUM!|NULL!|SPILL!|CALC!)|Err:\d{3}")
"""What spreadsheet programs leave where a formula has no result; in a csv file that is text."""


@dataclass(frozen=True, slots=True)
class Column:
    """Where a heading stands, counted from 0, as typed, and the unit in it."""

    index: int
    typed: str
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """The rows below the headings of one sheet.

    ``heading_row`` is counted from 0. ``told`` are cells without a value of their own, merged ones among them,
    whose problem has been noted; ``repeated`` are cells filled with what stands above them, but for merged ones.
    ``figures`` are the headings of columns that hold numbers, typed with ``decimal_sign``; that is blank as long as
    nobody has said which sign it is. ``stacked`` are the tables of several sheets that were put together as one, each
    with how many rows more the whole counts than its sheet does.
    """

    sheet: Sheet
    heading_row: int
    columns: dict[str, Column]
    told: set[Position] = field(default_factory=set)
    figures: frozenset[str] = frozenset()
    decimal_sign: str = ""
    repeated: set[Position] = field(default_factory=set)
    stacked: tuple[tuple[int, Table], ...] = ()

    def own(self, row: int) -> tuple[Table, int]:
        """The table of the sheet that a row stands on, and the row as it is counted there."""
        if not self.stacked:
            return self, row
        begins = [above + table.heading_row + 1 for above, table in self.stacked]
        above, table = self.stacked[max(0, bisect_left(begins, row) - 1)]
        return table, max(row - above, table.heading_row + 1)

    def row_words(self, row: int) -> str:
        """A row as a message about another one names it."""
        table, there = self.own(row)
        return f'row {there} of sheet "{table.sheet.name}"' if self.stacked else f"row {there}"

    def place(self, row: int, heading: str = "") -> str:
        """Where a cell is, in the words a spreadsheet shows; ``row`` counts from 1."""
        if self.stacked:
            table, there = self.own(row)
            return table.place(there, heading)
        if row in self.sheet.names:  # a section was typed once for several parts, and is reported once
            return self.sheet.place if heading == "Section" else f"{self.sheet.place}, {self.sheet.names[row]}"
        column = self.columns.get(heading)
        where = f"{self.sheet.place}, row {row}"
        return f'{where}, column {column_letter(column.index)} "{column.typed}"' if column else where

    def rows(self, findings: Findings) -> Iterator[Row]:
        """The rows that hold anything in a column with a heading."""
        indexes = [column.index for column in self.columns.values()]
        told_rows = {row for row, _ in self.told}
        for index in range(self.heading_row + 1, len(self.sheet.rows)):
            cells = self.sheet.rows[index]
            width = len(cells)
            if index in told_rows or any(i < width and not is_blank(cells[i]) for i in indexes):
                yield Row(table=self, number=index + 1, cells=cells, findings=findings)


@dataclass(slots=True)
class Row:
    """One row being read; ``sound`` turns false with the first problem in it."""

    table: Table
    number: int
    cells: list[Cell]
    findings: Findings
    sound: bool = True

    def raw(self, heading: str) -> Cell:
        """The cell under a heading; blank when the list has no such column."""
        column = self.table.columns.get(heading)
        return self.cells[column.index] if column and column.index < len(self.cells) else ""

    def text(self, heading: str) -> str:
        """The cell as tidy text; blank, and the row not sound, where a problem with it was reported before."""
        column = self.table.columns.get(heading)
        if column is None:  # as for most columns that are asked for
            return ""
        if self.told(heading):
            self.sound = False
            return ""
        cell = self.cells[column.index] if column.index < len(self.cells) else ""
        text = " ".join(cell_text(cell).split())
        if isinstance(cell, float) and self.table.decimal_sign == "," and heading in self.table.figures:
            return text.replace(".", ",")  # as the spreadsheet shows it
        return text

    def told(self, heading: str) -> bool:
        """Was the cell found to have no value of its own?"""
        if not self.table.told:
            return False
        column = self.table.columns.get(heading)
        return column is not None and (self.number - 1, column.index) in self.table.told

    def refuse(self, heading: str, found: str, accepted: str, hint: str = "", *, typed: bool = True, code: str) -> None:
        """Note a problem with the cell under a heading."""
        self.sound = False
        where = self.table.place(self.number, heading)
        self.findings.add(
            self.number, Problem(where=where, found=found, accepted=accepted, hint=hint, found_is_text=typed, code=code)
        )

    def put(self, heading: str, text: str) -> None:
        """Fill the cell under a heading that the list has."""
        index = self.table.columns[heading].index
        self.cells.extend([""] * (index + 1 - len(self.cells)))
        self.cells[index] = text

    def words(self, heading: str) -> str:
        """The cell as text, refused when the spreadsheet made a date of it."""
        text = self.text(heading)
        if text and is_date(self.raw(heading)):
            self.refuse(heading, *_date(text, "the words or number meant"), typed=False, code="cell.date")
            return ""
        return text

    def needed(self, heading: str, parse: Callable[[str], Value], accepted: str) -> Value | None:
        """The value of a cell that must be filled; None with a problem noted otherwise."""
        if self.told(heading):
            self.sound = False
            return None
        if not self.text(heading):
            self.refuse(heading, "a blank cell", accepted, typed=False, code="cell.blank")
            return None
        return self.parse(heading, parse, None, accepted)

    def parse(
        self,
        heading: str,
        parse: Callable[[str], Value],
        blank: Value,
        accepted: str = LENGTH_FORMS,
        *,
        as_typed: bool = False,
    ) -> Value:
        """The value of a cell, ``blank`` when it is empty or a problem was noted.

        ``parse`` gets numbers with a point, or the text ``as_typed`` where it minds the decimal sign itself.
        """
        text = self.text(heading)
        if not text:
            return blank
        if is_date(self.raw(heading)):
            self.refuse(heading, *_date(text, accepted), typed=False, code="cell.date")
            return blank
        try:
            if self.table.decimal_sign and heading in self.table.figures and not as_typed:
                return parse(with_point(text, self.table.decimal_sign, accepted))
            return parse(text)
        except Refused as refused:
            hint = refused.hint
            if text.startswith("="):
                hint = "a formula written as text is not worked out: write its result"
            elif _ERROR.fullmatch(text):
                hint = FORMULA_ERROR
            self.refuse(heading, text, refused.accepted, hint, code=refused.code)
            return blank


def _date(text: str, accepted: str) -> tuple[str, str, str]:
    hint = "the spreadsheet made a date of the entry: format the cell as text and type it again"
    return f"a date ({text})", accepted, hint


def and_more(rows: Sized) -> str:
    """Words for the rows of which the same is to be said as of the first."""
    if len(rows) == 1:
        return ""
    return f", here and in {len(rows) - 1} more {'row' if len(rows) == 2 else 'rows'}"


def is_blank(cell: Cell) -> bool:
    return isinstance(cell, str) and not cell.strip()


quantity_of = lru_cache(maxsize=1000)(parse_quantity)
""":func:`cutplan.units.parse_quantity`, remembering what it has read."""


def length_reader(unit: str) -> Callable[[str], int]:
    """:func:`cutplan.units.parse_length` for one unit, remembering what it has read."""
    return lru_cache(maxsize=None)(partial(parse_length, default_unit=unit))
