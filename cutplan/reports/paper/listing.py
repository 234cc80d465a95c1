"""Sheets that are tables and sentences, as plain data: a cell is words, or something to tick or to write into."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from cutplan.reports.lettering import printable

Cell = str | dict[str, Any]

TICK: Cell = {"kind": "tick"}
BLANK: Cell = {"kind": "blank"}


def strong(text: str, size: float = 10.5) -> Cell:
    """Words that stand out."""
    return {"kind": "text", "text": printable(text), "size": size, "bold": True}


def ticks(count: int, most: int = 8) -> Cell:
    """A box for each of so many pieces; beyond ``most`` a space for strokes."""
    return {"kind": "ticks", "count": count} if count <= most else {"kind": "tally", "count": count}


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: its heading, its width in mm (0 shares what is left), and its side."""

    head: str
    width: float = 0
    side: str = "left"


@dataclass(slots=True)
class Part:
    """A titled table with sentences before and after it; any of them may be missing."""

    title: str = ""
    columns: Sequence[Column] = ()
    rows: list[list[Cell]] = field(default_factory=list)
    before: list[str] = field(default_factory=list)
    after: list[str] = field(default_factory=list)

    def data(self) -> dict[str, Any]:
        return {
            "title": printable(self.title),
            "before": [printable(line) for line in self.before],
            "after": [printable(line) for line in self.after],
            "columns": [column.width for column in self.columns],
            "sides": [column.side for column in self.columns],
            "heads": [column.head for column in self.columns],
            "rows": [[printable(cell) if isinstance(cell, str) else cell for cell in row] for row in self.rows],
        }


def sheet(title: str, lines: Sequence[str], parts: Sequence[Part], *, new_page: bool = True) -> dict[str, Any]:
    """A sheet of the plan; its place in the day is filled in by whoever lists the sheets."""
    return {
        "kind": "listing",
        "new-page": new_page,
        "step": "",
        "title": title,
        "lines": [printable(line) for line in lines],
        "parts": [part.data() for part in parts],
    }
