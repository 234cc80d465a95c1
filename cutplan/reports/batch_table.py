"""What became of many lists, as a csv, xlsx or JSON lines file."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace

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
    """A workbook of one sheet, a row for each list; all faults stand beside what is printed."""
    from cutplan.reports.workbook.cells import A4, Book, set_up_page
    from cutplan.reports.workbook.page import (
        COUNT_CELL,
        HEAD_CELL,
        LINE_POINTS,
        MASS_CELL,
        MONEY_CELL,
        TEXT_CELL,
        Field,
        fitting_width,
        lines_in,
        narrowed,
    )

    lines = [_cells(row) for row in rows]
    figures = {"To pay": MONEY_CELL, "Mass to buy, kg": MASS_CELL, "Seconds": MONEY_CELL}
    figures |= dict.fromkeys(("Bars to buy", "Parts", "Faults"), COUNT_CELL)
    looks = [replace(figures.get(head, TEXT_CELL), valign="top") for head in HEADINGS]
    fields = [
        Field(head=head, look=look, width=fitting_width(head, look, [_shown(line[column]) for line in lines]))
        for column, (head, look) in enumerate(zip(HEADINGS, looks, strict=True))
    ]
    printed = narrowed(fields[:-1], A4, landscape=True)
    fields = [*printed, replace(fields[-1], look=replace(looks[-1], wrap=False))]

    book = Book()
    sheet = book.sheet("Batch")
    for place, line in enumerate([HEADINGS, *lines], 1):
        for column, (field, value) in enumerate(zip(fields, line, strict=True), 1):
            head = replace(HEAD_CELL, align=field.look.align, indent=field.look.indent)
            book.put(sheet, place, column, value, head if place == 1 else field.look)
        sheet.row_dimensions[place].height = 4.5 + LINE_POINTS * lines_in(printed, line[:-1])
    for column, field in enumerate(fields, 1):
        sheet.column_dimensions[sheet.cell(1, column).column_letter].width = field.width
    sheet.freeze_panes = "B2"
    set_up_page(sheet, job="", paper=A4, landscape=True, last_row=len(lines) + 1, columns=len(printed), title_rows=1)
    return book.to_bytes()


def _shown(value: str | float) -> str:
    """A cell as it is seen; a figure with two decimals, which is as wide as any."""
    return value if isinstance(value, str) else f"{value:,.2f}"
