"""What became of many lists, as a csv, xlsx or JSON lines file."""

from __future__ import annotations

import json
from collections.abc import Sequence

from cutplan.reports.csv_text import csv_bytes
from cutplan.units import KG
from cutplan.words.batch_words import Row, row_values

HEADINGS = (
    "List",
    "Plan in",
    "Outcome",
    "Proof",
    "Stopped by",
    "To pay",
    "Currency",
    "Mass to buy, kg",
    "Bars to buy",
    "Parts",
    "Seconds",
    "Faults",
    "First fault",
    "All faults",
)

_LONGEST = 32_000
"""A cell of a spreadsheet holds 32,767 characters, and a csv file is opened in one too."""


def batch_csv(rows: Sequence[Row]) -> bytes:
    """A line for each list."""
    return csv_bytes([HEADINGS, *map(_cells, rows)])


def batch_lines(rows: Sequence[Row]) -> bytes:
    """A JSON object on a line for each list."""
    return "".join(json.dumps(row_values(row)) + "\n" for row in rows).encode()


def _cells(row: Row) -> tuple[str | int | float, ...]:
    """A row under the headings; a figure that does not exist is blank."""
    known: tuple[str | int | float, ...] = ("",) * 5
    if row.has_plan:
        money = "" if row.money is None else row.money / 1_000_000
        known = (money, row.currency, row.bought_mass / KG, row.bars_bought, row.pieces)
    place = (str(row.parts), str(row.folder), row.outcome, row.proof, row.stopped_by)
    return (
        *place,
        *known,
        round(row.seconds, 2),
        len(row.faults),
        row.faults[0] if row.faults else "",
        _all_of(row.faults),
    )


def _all_of(faults: Sequence[str]) -> str:
    """Faults below one another, so many as go into a cell, and how many more there are."""
    whole = "\n".join(faults)
    if len(whole) <= _LONGEST:
        return whole
    room, shown = _LONGEST - len(_more(len(faults))), 0
    while room > len(faults[shown]):
        room -= len(faults[shown]) + 1
        shown += 1
    return "\n".join([*faults[:shown], _more(len(faults) - shown)])


def _more(faults: int) -> str:
    return f"and {faults} more: --table FILE.jsonl holds all"


def batch_book(rows: Sequence[Row]) -> bytes:
    """A workbook of one sheet, a row for each list."""
    from cutplan.reports.workbook.cells import Book, Look

    book = Book()
    sheet = book.sheet("Batch")
    for place, cells in enumerate([HEADINGS, *map(_cells, rows)], 1):
        for column, value in enumerate(cells, 1):
            book.put(sheet, place, column, value, Look(bold=place == 1))
    for column, heading in enumerate(HEADINGS, 1):
        longest = max(len(str(value)) for value in [heading, *(_cells(row)[column - 1] for row in rows)])
        sheet.column_dimensions[sheet.cell(1, column).column_letter].width = min(longest + 2, 60)
    sheet.freeze_panes = "A2"
    return book.to_bytes()
