"""What became of many lists, as a csv, xlsx or JSON lines file."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from pathlib import Path

from cutplan.units import KG
from cutplan.words.batch_words import Row, row_values

ENDINGS = (".csv", ".xlsx", ".jsonl")
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
)


def write_table(rows: Sequence[Row], path: Path) -> None:
    """Write the rows to a file whose ending says its form.

    Raises
    ------
    OSError
        When it cannot be written.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    ending = path.suffix.lower()
    if ending == ".xlsx":
        path.write_bytes(_book(rows))
    elif ending == ".csv":
        text = io.StringIO()
        csv.writer(text, lineterminator="\n").writerows([HEADINGS, *map(_cells, rows)])
        path.write_text(text.getvalue(), encoding="utf-8", newline="")
    else:
        path.write_text("".join(json.dumps(row_values(row)) + "\n" for row in rows), encoding="utf-8")


def _cells(row: Row) -> tuple[str | int | float, ...]:
    """A row under the headings; a figure that does not exist is blank."""
    known: tuple[str | int | float, ...] = ("",) * 5
    if row.has_plan:
        money = "" if row.money is None else row.money / 1_000_000
        known = (money, row.currency, row.bought_mass / KG, row.bars_bought, row.pieces)
    place = (str(row.parts), str(row.folder), row.outcome, row.proof, row.stopped_by)
    return (*place, *known, round(row.seconds, 2), len(row.faults), row.faults[0] if row.faults else "")


def _book(rows: Sequence[Row]) -> bytes:
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
