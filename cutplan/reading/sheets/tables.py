"""From sheets to rows: which sheet, which row holds the headings, and each cell with its place.

What goes wrong is collected, never raised, so that one run shows everything.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache, partial
from typing import TypeVar

from cutplan.problems import Problem, ProblemsFound, Refused
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.headings import (
    MATERIAL,
    Heading,
    Kind,
    Recognised,
    heading_hint,
    heading_names,
    recognise,
)
from cutplan.reading.sheets.raw_cells import (
    MAX_ROWS,
    TITLE_ROWS,
    Cell,
    Position,
    RawFile,
    Sheet,
    cell_text,
    column_letter,
    is_date,
    read_sheets,
    refuse,
)
from cutplan.reading.sheets.texts import TEXT_FORMS, text_fault
from cutplan.reading.sheets.xlsx_scan import MAX_CELLS
from cutplan.units import (
    ASKED_ABOVE,
    LENGTH_FORMS,
    names_unit,
    parse_length,
    parse_quantity,
    stock_text,
    tidy_text,
    unit_length,
    with_point,
)

Value = TypeVar("Value")

MOST_NAMES = 10
"""Other spellings of a missing heading that a message names."""
NEIGHBOURS = 5
"""Bare lengths on either side that a bare length is compared with."""
OUT_OF_SCALE = 20
"""A bare length is warned about when it is more than this many times, or less than that part of, every neighbour
but one: the smallest slip of unit, inches for millimetres, is 25 times, and two slips may stand together."""


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
        if row in self.sheet.names:  # a section was typed once for several parts, and is told once
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
            if index in told_rows or any(i < width and not _blank(cells[i]) for i in indexes):
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
        """The cell as tidy text; blank, and the row not sound, where a problem with it was told already."""
        if self.told(heading):
            self.sound = False
            return ""
        cell = self.raw(heading)
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
            self.refuse(heading, text, refused.accepted, hint, code=refused.code)
            return blank


def _date(text: str, accepted: str) -> tuple[str, str, str]:
    hint = "the spreadsheet made a date of the entry: format the cell as text and type it again"
    return f"a date ({text})", accepted, hint


def _blank(cell: Cell) -> bool:
    return isinstance(cell, str) and not cell.strip()


quantity_of = lru_cache(maxsize=1000)(parse_quantity)
""":func:`cutplan.units.parse_quantity`, remembering what it has read."""


def length_reader(unit: str) -> Callable[[str], int]:
    """:func:`cutplan.units.parse_length` for one unit, remembering what it has read."""
    return lru_cache(maxsize=None)(partial(parse_length, default_unit=unit))


def read_table(file: RawFile, headings: Sequence[Heading], findings: Findings, decimal_sign: str = "") -> Table | None:
    """Find the table in a file.

    Parameters
    ----------
    file
        A csv text or a workbook.
    headings
        The columns the list may have.
    findings
        Gains what is wrong with the file, its headings, and cells that hold no value.
    decimal_sign
        What the workshop says it is; blank when it does not.

    Returns
    -------
    Table or None
        None when no rows can be read; then a problem has been noted.
    """
    try:
        sheet = _choose(file.name, sheets_of(file, headings, findings), headings, findings)
        findings.last_row = len(sheet.rows)
        return table_on(sheet, headings, findings, decimal_sign)
    except ProblemsFound as found:
        findings.add_all(found)
        return None


def sheets_of(file: RawFile, headings: Sequence[Heading], findings: Findings) -> list[Sheet]:
    """The sheets of a file; what is odd about how it was read is noted.

    Raises
    ------
    ProblemsFound
        When it cannot be read.
    """
    warnings: list[Problem] = []
    sheets = read_sheets(file, lambda rows: _best_row(rows, headings)[1], warnings)
    for warning in warnings:
        findings.warn(0, warning)
    return sheets


def has_headings(sheet: Sheet, headings: Sequence[Heading]) -> bool:
    """Does a sheet have all the headings that a list needs?"""
    return _best_row(sheet.rows, headings)[1] > len(headings) * len(_needed(headings))


def rows_below(sheet: Sheet, headings: Sequence[Heading]) -> bool | None:
    """Has a sheet anything below the headings that a list needs? None when it does not have them all."""
    if not has_headings(sheet, headings):
        return None
    row = _best_row(sheet.rows, headings)[0]
    known_as = meanings(sheet.rows[row], headings)
    return any(_filled(sheet, row, index) for index, known in known_as.items() if known.read)


def _needed(headings: Sequence[Heading]) -> list[str]:
    return [heading.name for heading in headings if heading.needed]


def meanings(cells: Sequence[Cell], headings: Sequence[Heading]) -> dict[int, Recognised]:
    """What each cell of a heading row means; ``material`` resolved."""
    found = {
        index: known
        for index, cell in enumerate(cells)
        if isinstance(cell, str) and cell.strip() and (known := recognise(cell, headings))
    }
    has_section = any(known.name == "Section" for known in found.values())
    return {
        index: Recognised("Grade" if has_section else "Section") if known.name == MATERIAL else known
        for index, known in found.items()
    }


def _best_row(rows: Sequence[Sequence[Cell]], headings: Sequence[Heading]) -> tuple[int, int]:
    """Row with the most different headings among the first, and how many; needed ones count first."""
    needed = set(_needed(headings))
    best = (0, 0)
    for index, cells in enumerate(rows[:TITLE_ROWS]):
        names = {known.name for known in meanings(cells, headings).values()}
        score = len(names) + len(headings) * len(names & needed)
        if score > best[1]:
            best = (index, score)
    return best


def headings_found(rows: Sequence[Sequence[Cell]], headings: Sequence[Heading]) -> int:
    """How many different headings of a list the best of the first rows holds."""
    row, score = _best_row(rows, headings)
    return len({known.name for known in meanings(rows[row], headings).values()}) if score else 0


def warn_of_hidden(sheets: Sequence[Sheet], headings: Sequence[Heading], findings: Findings) -> None:
    """Tell of hidden sheets that could be lists too."""
    for sheet in sheets:
        if sheet.hidden and has_headings(sheet, headings):
            found, accepted = "a hidden sheet with the headings; it was not read", "lists on visible sheets"
            findings.warn(
                0, Problem(where=sheet.place, found=found, accepted=accepted, found_is_text=False, code="sheet.hidden")
            )


def _choose(name: str, sheets: list[Sheet], headings: Sequence[Heading], findings: Findings) -> Sheet:
    """The one sheet with the headings."""
    full = len(headings) * len(_needed(headings))
    scores = [(_best_row(sheet.rows, headings)[1], sheet) for sheet in sheets]
    shown = [(score, sheet) for score, sheet in scores if not sheet.hidden]
    complete = [sheet for score, sheet in shown if score > full]
    if complete:
        warn_of_hidden(sheets, headings, findings)
    if len(complete) > 1:
        names = " and ".join(f'"{sheet.name}"' for sheet in complete)
        raise refuse(
            name,
            f"{len(complete)} sheets with the headings, {names}",
            "one such sheet",
            "keep one in the file",
            code="sheet.several",
        )
    if complete:
        return complete[0]
    best = max(shown, key=lambda pair: pair[0], default=None)
    if best is None or best[0] == 0:
        needed = ", ".join(_needed(headings))
        found = f"no headings in the first {TITLE_ROWS} rows"
        hidden = [sheet.name for score, sheet in scores if sheet.hidden and score > full]
        hint = f'sheet "{hidden[0]}" has them, but is hidden' if hidden else ""
        raise refuse(name, found, f"a row with the headings {needed}, in any order", hint, code="heading.none")
    return best[1]


def table_on(sheet: Sheet, headings: Sequence[Heading], findings: Findings, decimal_sign: str) -> Table:
    """The table of a sheet, headings and cells checked.

    Raises
    ------
    ProblemsFound
        When nothing can be read of it.
    """
    row = _best_row(sheet.rows, headings)[0]
    known_as = meanings(sheet.rows[row], headings)
    columns: dict[str, Column] = {}
    for index, known in known_as.items():
        if not known.read:
            continue
        typed = " ".join(cell_text(sheet.rows[row][index]).split())
        if known.name in columns:
            first = columns[known.name]
            if not _filled(sheet, row, index):
                continue
            if _filled(sheet, row, first.index):
                where = f"{sheet.place}, row {row + 1}, column {column_letter(index)}"
                also = f'"{first.typed}" in column {column_letter(first.index)}'
                findings.add(
                    row + 1,
                    Problem(
                        where=where,
                        found=typed,
                        accepted=f"one heading for {known.name}; {also} is one too",
                        code="heading.twice",
                    ),
                )
                continue
        columns[known.name] = Column(index, typed, known.unit)
    table = Table(
        sheet=sheet,
        heading_row=row,
        columns=columns,
        figures=frozenset(heading.name for heading in headings if heading.kind is not Kind.TEXT),
        decimal_sign=decimal_sign,
    )
    _check_strangers(table, known_as, headings, findings)
    missing = [heading for heading in headings if heading.needed and heading.name not in columns]
    for heading in missing:
        findings.add(
            row + 1,
            Problem(
                where=f"{sheet.place}, row {row + 1}",
                found=f"no heading for {heading.name}",
                accepted=f"a column headed {', '.join((heading.name, *heading.variants[:MOST_NAMES]))}",
                found_is_text=False,
                code="heading.missing",
            ),
        )
    if missing:
        raise ProblemsFound([])
    _check_size(table)
    _check_faults(table, findings)
    _check_merged(table, findings)
    _check_texts(table, findings)
    return table


def _filled(sheet: Sheet, heading_row: int, column: int) -> bool:
    return _first_filled(sheet, heading_row, column) is not None


def _first_filled(sheet: Sheet, heading_row: int, column: int) -> int | None:
    for index in range(heading_row + 1, len(sheet.rows)):
        cells = sheet.rows[index]
        if column < len(cells) and not _blank(cells[column]):
            return index
    return None


def _check_strangers(
    table: Table, known_as: dict[int, Recognised], headings: Sequence[Heading], findings: Findings
) -> None:
    """Columns with something in them whose heading is not known, or missing."""
    sheet, row = table.sheet, table.heading_row
    first_of: dict[int, int] = {}
    for number in range(row + 1, len(sheet.rows)):
        for index in range(len(sheet.rows[number])):
            if index not in first_of and index not in known_as and not _blank(sheet.rows[number][index]):
                first_of[index] = number
    for index, first in sorted(first_of.items()):
        cells = sheet.rows[row]
        typed = " ".join(cell_text(cells[index]).split()) if index < len(cells) else ""
        if typed:
            findings.add(
                row + 1,
                Problem(
                    where=f"{sheet.place}, row {row + 1}, column {column_letter(index)}",
                    found=typed,
                    accepted=f"the headings {heading_names(headings)}",
                    hint=heading_hint(typed, headings),
                    code="heading.unknown",
                ),
            )
        else:
            comma = "a comma splits cells in this file: write 1200, not 1,200" if sheet.delimiter == "," else ""
            findings.add(
                first + 1,
                Problem(
                    where=f"{sheet.place}, row {first + 1}, column {column_letter(index)}",
                    found=" ".join(cell_text(sheet.rows[first][index]).split()),
                    accepted=f"nothing in a column without a heading (headings are in row {row + 1})",
                    hint=comma,
                    code="heading.blank",
                ),
            )


def _check_size(table: Table) -> None:
    indexes = [column.index for column in table.columns.values()]
    limit = table.heading_row + MAX_ROWS
    for index in range(len(table.sheet.rows) - 1, limit, -1):
        cells = table.sheet.rows[index]
        if any(i < len(cells) and not _blank(cells[i]) for i in indexes):
            found = f"more than {MAX_ROWS} rows below the headings"
            raise refuse(
                table.sheet.place,
                found,
                f"at most {MAX_ROWS} rows",
                "split the list into several jobs",
                code="list.rows",
            )


def _cell_name(position: Position) -> str:
    return f"{column_letter(position[1])}{position[0] + 1}"


def _check_merged(table: Table, findings: Findings) -> None:
    headed = {column.index: column for column in table.columns.values()}
    covered = 0
    for (top, left), (bottom, right) in table.sheet.merged:
        touched = [index for index in headed if left <= index <= right]
        rows = table.sheet.rows
        filled = top < len(rows) and left < len(rows[top]) and not _blank(rows[top][left])
        if bottom < table.heading_row or not touched or not filled:
            continue
        column = headed[touched[0]]
        bottom_read = min(bottom, len(rows) - 1)
        covered += (bottom_read + 1 - top) * len(touched)
        if covered > MAX_CELLS:  # one over another, for a sheet has no more
            raise refuse(
                table.sheet.place,
                f"merged cells that cover more than {MAX_CELLS} cells",
                "every cell by itself",
                code="cell.merged",
            )
        where = f'{table.sheet.place}, row {top + 1}, column {column_letter(column.index)} "{column.typed}"'
        found = f"merged cells {_cell_name((top, left))}:{_cell_name((bottom, right))}"
        covered_cells = {(row, index) for row in range(top, bottom_read + 1) for index in touched} - {(top, left)}
        if (top, left) in table.told:
            table.told.update(covered_cells)
            continue
        if left == right and top > table.heading_row:
            value = rows[top][left]
            read = 1 + sum(_fill_down(rows[row], left, value, headed) for row in range(top + 1, bottom_read + 1))
            found += f", read as {' '.join(cell_text(value).split())} in {read} rows"
            accepted = "one value for all rows that the cell covers, or every cell by itself"
            findings.warn(top + 1, Problem(where=where, found=found, accepted=accepted, found_is_text=False,
                                           code="cell.merged_down"))  # fmt: skip
            continue
        table.told.update(covered_cells)
        findings.add_statement(
            top + 1, where, found, "every cell by itself", "unmerge them and fill each cell", code="cell.merged"
        )


def _fill_down(cells: list[Cell], index: int, value: Cell, headed: Mapping[int, Column]) -> bool:
    """Put the value of a merged cell into a row it covers, where anything else is in that row."""
    if not any(other < len(cells) and not _blank(cells[other]) for other in headed):
        return False
    cells.extend([""] * (index + 1 - len(cells)))
    cells[index] = value
    return True


def _check_faults(table: Table, findings: Findings) -> None:
    headed = {column.index: column for column in table.columns.values()}
    for (row, index), found in sorted(table.sheet.faults.items()):
        if row <= table.heading_row or index not in headed:
            continue
        column = headed[index]
        table.told.add((row, index))
        findings.add(
            row + 1,
            Problem(
                where=f'{table.sheet.place}, row {row + 1}, column {column_letter(index)} "{column.typed}"',
                found=found,
                accepted="a value",
                hint="open the file in the spreadsheet program, let it calculate, and save it",
                found_is_text=False,
                code="cell.error",
            ),
        )


def _check_texts(table: Table, findings: Findings) -> None:
    """Cells that could not be printed, or put into a workbook, as they stand."""
    headed = [(column.index, column) for column in table.columns.values()]
    for row in range(table.heading_row + 1, len(table.sheet.rows)):
        cells = table.sheet.rows[row]
        for index, column in headed:
            cell = cells[index] if index < len(cells) else ""
            fault = text_fault(cell) if isinstance(cell, str) else ""
            if fault:
                table.told.add((row, index))
                where = f'{table.sheet.place}, row {row + 1}, column {column_letter(index)} "{column.typed}"'
                findings.add_statement(row + 1, where, fault, TEXT_FORMS, code="cell.text")


def _units_in(text: str) -> set[int | None]:
    """Lengths of the units named in a length as typed."""
    return {unit_length(word) for word in re.findall(r"[A-Za-z]+|\"|'{1,2}", tidy_text(text))}


def warn_about_lengths(table: Table, lengths: Sequence[tuple[int, str, int]], default: str, findings: Findings) -> None:
    """Warn where bare numbers are mixed with other units, or are far out of scale, and of what is above 30 m.

    A length above 30 m is refused with a question unless it is typed in metres or feet; typed so it is meant, but still
    told, since nothing on sale may be so long.

    Parameters
    ----------
    table
        The list, which has a column Length.
    lengths
        Row, cell as typed and length [nm] of each length that could be read, in the list's order.
    default
        The workshop's unit.
    findings
        Gains the warnings.
    """
    bare_unit = table.columns["Length"].unit or default
    bare = [(row, text, length) for row, text, length in lengths if not names_unit(text)]
    size = unit_length(bare_unit)
    other = [(row, text) for row, text, _ in lengths if names_unit(text) and size not in _units_in(text)]
    if bare and other:
        row, text = other[0]
        count, first = len(bare), bare[0][0]
        findings.warn(
            row,
            Problem(
                where=table.place(row, "Length"),
                found=text,
                accepted=(
                    f"one unit in a list; the {count} bare numbers, first in {table.row_words(first)}, "
                    f"were read as {bare_unit}"
                ),
                code="length.mixed",
            ),
        )
    for at, (row, text, length) in enumerate(bare):
        around = sorted(near for _, _, near in bare[max(0, at - NEIGHBOURS) : at] + bare[at + 1 : at + 1 + NEIGHBOURS])
        if len(around) < 3:
            continue
        if length * OUT_OF_SCALE < around[1] or length > OUT_OF_SCALE * around[-2]:
            findings.warn(
                row,
                Problem(
                    where=table.place(row, "Length"),
                    found=text,
                    accepted=f"a length in the scale of its neighbours; it was read as {text} {bare_unit}",
                    hint="is another unit meant?",
                    code="length.scale",
                ),
            )
    for row, text, length in lengths:
        if length > ASKED_ABOVE:
            findings.warn(
                row,
                Problem(
                    where=table.place(row, "Length"),
                    found=text,
                    accepted=f"a length up to {stock_text(ASKED_ABOVE)}, or one that is sold and carried in one piece",
                    hint="is another unit meant?",
                    code="length.long",
                ),
            )


def currency_problem(table: Table, heading: str, named: str, currency: str) -> Problem | None:
    """A problem when the heading of amounts names another currency than the workshop's."""
    column = table.columns[heading]
    if not named or named.upper() == currency:
        return None
    return Problem(
        where=f"{table.sheet.place}, row {table.heading_row + 1}, column {column_letter(column.index)}",
        found=column.typed,
        accepted=f"amounts in {currency}, the currency of the workshop",
        code="money.currency",
    )
