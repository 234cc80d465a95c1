"""Rows of a list that are no line of it: totals, headings printed again, notes. Each is passed over, and said."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from cutplan.problems import Problem
from cutplan.reading.lists.part_columns import PARTS
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.headings import recognise
from cutplan.reading.sheets.raw_cells import cell_text
from cutplan.reading.sheets.table_search import meanings
from cutplan.reading.sheets.tables import Row, Table

_TOTAL = re.compile(r"(?:grand |sub[ -]?)?totals?\b|sums?\b|together\b", re.IGNORECASE)
NOTE_WORDS = 3
"""A cell of fewer words standing alone may be the mark of a line that was left unfinished."""


def lines_of(table: Table, findings: Findings) -> list[Row]:
    """The rows of a parts list that are lines of it.

    A warning says what each of the others was taken for. A second table is refused, and nothing is read of it.
    """
    lines = []
    for row in table.rows(findings):
        section = row.text("Section")
        if section and _is_heading(section) and _are_headings(row):
            if not _same_columns(row):
                where = table.place(row.number)
                accepted = "one table to a sheet; put this one on a sheet, or in a file, of its own"
                findings.add_statement(
                    row.number, where, "the headings of a second table", accepted, code="list.second_table"
                )
                break
            _pass_over(row, "the headings again")
        elif what := "" if row.text("Length") or (section and not _TOTAL.match(section)) else _aside(row):
            _pass_over(row, what)
        else:
            lines.append(row)
    _warn_of_hidden_rows(lines, findings)
    return lines


def _aside(row: Row) -> str:
    """What a row without section and length is; blank when it may be a line."""
    filled = [text for cell in row.cells if (text := " ".join(cell_text(cell).split()))]
    if any(_TOTAL.match(text) for text in filled):
        return "a row of totals"
    if len(filled) == 1 and len(filled[0].split()) >= NOTE_WORDS:
        return "a note"
    return ""


@lru_cache(maxsize=4096)
def _is_heading(text: str) -> bool:
    """Is this cell a heading, and no section?"""
    return recognise(text, PARTS) is not None


def _known(row: Row) -> dict[int, str]:
    return {index: meaning.name for index, meaning in meanings(row.cells, PARTS).items()}


def _are_headings(row: Row) -> bool:
    return {heading.name for heading in PARTS if heading.needed} <= set(_known(row).values())


def _same_columns(row: Row) -> bool:
    columns = {column.index: name for name, column in row.table.columns.items()}
    return all(columns.get(index) == name for index, name in _known(row).items())


def _pass_over(row: Row, what: str) -> None:
    found = f"{what}; it was passed over"
    where = row.table.place(row.number)
    problem = Problem(
        where=where, found=found, accepted="one line for each part", found_is_text=False, code="list.aside"
    )
    row.findings.warn(row.number, problem)


def _warn_of_hidden_rows(rows: Sequence[Row], findings: Findings) -> None:
    """Say which rows were read although the spreadsheet does not show them."""
    hidden = [row for row in rows if row.number - 1 in row.table.sheet.hidden_rows]
    if not hidden:
        return
    numbers = ", ".join(row.table.row_words(row.number).removeprefix("row ") for row in hidden[:10])
    more = f" and {len(hidden) - 10} more" if len(hidden) > 10 else ""
    where = hidden[0].table.place(hidden[0].number)
    found = f"hidden rows, which were read: {numbers}{more}"
    problem = Problem(
        where=where,
        found=found,
        accepted="rows that are shown, or deleted",
        found_is_text=False,
        code="list.hidden_rows",
    )
    findings.warn(hidden[0].number, problem)
