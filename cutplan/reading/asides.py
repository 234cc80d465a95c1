"""Rows of a list that are no line of it: totals, headings printed again, notes. Each is passed over, and said."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from cutplan.problems import Problem
from cutplan.reading.headings import MATERIAL, PARTS, recognise
from cutplan.reading.sheets import cell_text
from cutplan.reading.tables import Findings, Row, meanings

_TOTAL = re.compile(r"(?:grand |sub[ -]?)?totals?\b|sums?\b|together\b", re.IGNORECASE)
NOTE_WORDS = 3
"""A cell of fewer words standing alone may be the mark of a line that was left unfinished."""


def is_aside(row: Row) -> bool:
    """Is this row no line of the parts list? A warning says what it was taken for; a second table is refused."""
    section = row.text("Section")
    if section:
        return _names_section(section) and _is_headings(row)
    if row.text("Length"):
        return False
    filled = [text for cell in row.cells if (text := " ".join(cell_text(cell).split()))]
    if any(_TOTAL.match(text) for text in filled):
        return _passed_over(row, "a row of totals")
    if len(filled) == 1 and len(filled[0].split()) >= NOTE_WORDS:
        return _passed_over(row, "a note")
    return False


@lru_cache(maxsize=4096)
def _names_section(text: str) -> bool:
    """Is this cell the heading of the column Section, and no section?"""
    known = recognise(text, PARTS)
    return known is not None and known.name in ("Section", MATERIAL)


def _is_headings(row: Row) -> bool:
    """Are the cells headings again? Another order of them begins another table, which is refused."""
    known = {index: meaning.name for index, meaning in meanings(row.cells, PARTS).items()}
    needed = {heading.name for heading in PARTS if heading.needed}
    if not needed <= set(known.values()):
        return False
    columns = {column.index: name for name, column in row.table.columns.items()}
    if all(columns.get(index) == name for index, name in known.items()):
        _passed_over(row, "the headings again")
    else:
        where = row.table.place(row.number)
        accepted = "one table to a sheet; put this one on a sheet, or in a file, of its own"
        row.findings.add_statement(row.number, where, "the headings of a second table", accepted)
    return True


def _passed_over(row: Row, what: str) -> bool:
    where = row.table.place(row.number)
    found = f"{what}; it was passed over"
    row.findings.warn(
        row.number, Problem(where=where, found=found, accepted="one line for each part", found_is_text=False)
    )
    return True


def warn_of_hidden_rows(rows: Sequence[Row], findings: Findings) -> None:
    """Say which rows were read although the spreadsheet does not show them."""
    hidden = [row for row in rows if row.number - 1 in row.table.sheet.hidden_rows]
    if not hidden:
        return
    numbers = ", ".join(str(row.number) for row in hidden[:10])
    more = f" and {len(hidden) - 10} more" if len(hidden) > 10 else ""
    where = hidden[0].table.place(hidden[0].number)
    found = f"hidden rows, which were read: {numbers}{more}"
    problem = Problem(where=where, found=found, accepted="rows that are shown, or deleted", found_is_text=False)
    findings.warn(hidden[0].number, problem)
