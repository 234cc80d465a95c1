"""Sheets that are tables and sentences, as plain data: a cell is words, or something to tick or to write into."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from cutplan.reports.lettering import printable, text_mm

_HEAD_POINTS, _CELL_POINTS = 8, 9.5
_INSET, _TICK_PITCH, _TALLY = 2.8, 5.3, 24.0
"""Air on both sides of a cell, room of one box to tick, and of a space for strokes. [mm]"""

_LEAST_ROOM = 186.0
"""Between the margins of the narrower paper. [mm]"""

_LEAST_HALVED, _MOST_HALVED = 4, 40
"""Rows of a table that may stand in two halves: more of them would be long on one page."""
HALVES_APART, _TWO_LINES = 6.0, 1.7
"""Room between two halves of a table, as in the template; widths of a cell that two lines fill. [mm]"""

Cell = str | dict[str, Any]

MOST_TICKS = 8
"""Boxes for the pieces of a part; for more there is a space for strokes."""
TICK: Cell = {"kind": "tick"}
BLANK: Cell = {"kind": "blank"}


def strong(text: str, size: float = 10.5) -> Cell:
    """Words that stand out."""
    return {"kind": "text", "text": printable(text), "size": size, "bold": True}


def lesser(text: str) -> Cell:
    """Words that are looked up, in the smallest letters."""
    return {"kind": "text", "text": printable(text), "size": 8, "bold": False}


def ticks(count: int, most: int = MOST_TICKS) -> Cell:
    """A box for each of so many pieces; beyond ``most`` a space for strokes."""
    return {"kind": "ticks", "count": count} if count <= most else {"kind": "tally", "count": count}


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: its heading, its width in mm (0 shares what is left), and its side.

    A ``snug`` column is only as wide as what stands in it, at most ``width``.
    """

    head: str
    width: float = 0
    side: str = "left"
    snug: bool = False


@dataclass(slots=True)
class Part:
    """A titled table with sentences before and after it; any of them may be missing.

    One that goes on below another has ``heads`` false: the columns are named above. Rows of one that is ``looked_up``,
    with nothing to tick or to write into, stand close together. One that is ``halved`` stands in two halves side by
    side, on one page. ``picture`` is an SVG below the sentences before, and ``shows`` says what is seen on it.
    """

    title: str = ""
    columns: Sequence[Column] = ()
    rows: list[list[Cell]] = field(default_factory=list)
    before: list[str] = field(default_factory=list)
    after: list[str] = field(default_factory=list)
    heads: bool = True
    looked_up: bool = False
    halved: bool = False
    picture: str = ""
    shows: str = ""

    def data(self, widths: Sequence[float]) -> dict[str, Any]:
        """As plain data, with the widths of its columns. [mm]"""
        return {
            "title": printable(self.title),
            "before": [printable(line) for line in self.before],
            "after": [printable(line) for line in self.after],
            "columns": list(widths),
            "sides": [column.side for column in self.columns],
            "heads": [column.head for column in self.columns],
            "headed": self.heads,
            "looked-up": self.looked_up,
            "halved": self.halved,
            "picture": self.picture,
            "shows": self.shows,
            "rows": [[printable(cell) if isinstance(cell, str) else cell for cell in row] for row in self.rows],
        }


def alone(part: Part) -> dict[str, Any]:
    """A part by itself as plain data."""
    return part.data(_widths([part]))


def fits_halved(part: Part, width: float) -> bool:
    """Whether two halves of a table stand side by side in ``width`` millimetres with two lines in a cell at most."""
    widths = _widths([part])
    room = (width - HALVES_APART) / 2 - sum(widths)
    shared = [column for column, wide in zip(zip(*part.rows, strict=True), widths, strict=True) if not wide]
    return _LEAST_HALVED <= len(part.rows) <= _MOST_HALVED and all(
        _cell_mm(cell) <= _TWO_LINES * room / len(shared) for cells in shared for cell in cells
    )


def _widths(alike: Sequence[Part]) -> list[float]:
    """Widths of the columns: headings in one line where that leaves room for every cell to stand in one."""
    columns = [
        (column, max((_cell_mm(row[place]) for part in alike for row in part.rows), default=0.0))
        for place, column in enumerate(alike[0].columns)
    ]
    widths = [_width(column, cells, lines=1) for column, cells in columns]
    shared = [cells for column, cells in columns if not column.width]
    if shared and len(shared) * (max(shared) + _INSET) > _LEAST_ROOM - sum(widths):
        return [_width(column, cells, lines=2) for column, cells in columns]
    return widths


def _width(column: Column, cells: float, *, lines: int) -> float:
    if not column.snug:
        return column.width
    return min(column.width, math.ceil(max(cells, _head_mm(column.head, lines)) + _INSET))


def _head_mm(head: str, lines: int) -> float:
    """How wide a heading is in so many lines, one or two. [mm]"""
    words = head.split(" ")
    ways = [(head, ""), *((" ".join(words[:cut]), " ".join(words[cut:])) for cut in range(1, len(words)))]
    return min(
        max(text_mm(line, _HEAD_POINTS, bold=True) for line in way) for way in ways[: len(ways) if lines > 1 else 1]
    )


def _cell_mm(cell: Cell) -> float:
    """How wide a cell is when nothing in it is wrapped. [mm]"""
    if isinstance(cell, str):
        return text_mm(cell, _CELL_POINTS)
    if cell["kind"] == "text":
        return text_mm(cell["text"], cell["size"], bold=cell["bold"])
    if cell["kind"] == "ticks":
        return float(cell["count"]) * _TICK_PITCH
    return _TALLY


def sheet(title: str, lines: Sequence[str], parts: Sequence[Part]) -> dict[str, Any]:
    """A sheet of the plan; its place in the day is filled in by whoever lists the sheets.

    Parts that have the same columns have them as wide as one another.
    """
    alike: dict[int, list[Part]] = {}
    for part in parts:
        alike.setdefault(id(part.columns), []).append(part)
    widths = {key: _widths(same) for key, same in alike.items()}
    return {
        "kind": "listing",
        "step": "",
        "anchor": "",
        "title": title,
        "lines": [printable(line) for line in lines],
        "parts": [part.data(widths[id(part.columns)]) for part in parts],
    }
