"""A bar in characters, for a terminal or a plain text."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

from cutplan.reports.drawing import BarDrawing, Kind
from cutplan.reports.layout import lay_out


def character_width(text: str) -> int:
    """Columns a text takes on a terminal: two for wide East Asian characters, none for combining ones."""
    return sum(
        0 if unicodedata.combining(char) else 2 if unicodedata.east_asian_width(char) in "WF" else 1 for char in text
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """The characters a bar is drawn with."""

    trim: str
    keep: str
    scrap: str
    side: str
    rising: str
    falling: str
    hole: str

    def key(self, *, holes: bool) -> str:
        """What they mean, in a line; ``holes`` says that some part has any."""
        drilled = f", {self.hole} holes, where there is room" if holes else ""
        left_over = f"{self.keep} left over to keep, {self.scrap} left over to scrap"
        return f"{self.trim} end trim, {left_over}{drilled}; figures run from START"


PLAIN = Ink(trim="#", keep="/", scrap="x", side="|", rising="/", falling="\\", hole="o")
"""For a file, a pipe, or a person who asks for no more."""
BOXED = Ink(trim="█", keep="░", scrap="╳", side="│", rising="╱", falling="╲", hole="•")
"""For a terminal; all are one column wide."""


def picture(drawing: BarDrawing, width: int, ink: Ink = PLAIN) -> str:
    """A bar in characters, at most ``width`` columns wide, 30 or more."""
    fills = {Kind.END_TRIM: ink.trim, Kind.PART: " ", Kind.KEEP: ink.keep, Kind.SCRAP: ink.scrap}
    margin = 9
    layout = lay_out(drawing, max(width, 30) - margin, margin, lambda text: character_width(text) + 1)
    lines = []
    for lane in layout.lanes:
        cells = [" "] * (layout.columns + 1)
        if lane == 0:
            for box in layout.boxes:
                cells[box.first : box.last] = fills[box.stretch.kind] * (box.last - box.first)
                if box.stretch.kind is not Kind.END_TRIM:
                    near = ink.falling if box.stretch.start_up else ink.rising
                    # A shared cut is one line, drawn with the part before it.
                    cells[box.first] = " " if box.stretch.over_start else near if box.stretch.run_start else ink.side
            for box in layout.boxes:
                if box.stretch.run_end and box.last - box.first > 1:
                    cells[box.last - 1] = ink.rising if box.stretch.end_up else ink.falling
            for column in layout.holes:
                cells[column] = ink.hole
            cells[layout.bar_columns] = ink.side
        for column in layout.leaders(lane):
            cells[column] = ink.side
        for text in layout.texts:
            if text.lane == lane:
                _write(cells, text.column if lane else text.column + 1, text.text)
        lines.append("".join(cells).rstrip())
    return "\n".join(lines)


def _write(cells: list[str], column: int, text: str) -> None:
    for char in text:
        if unicodedata.combining(char):
            cells[column - 1] += char
            continue
        cells[column] = char
        column += 1
        if unicodedata.east_asian_width(char) in "WF":
            cells[column] = ""
            column += 1
