"""Sheets and rolls of labels: where each label lies, and which of its words have room there."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain, groupby
from pathlib import Path
from typing import Any

from cutplan.reports.lettering import POINT_MM, printable, text_mm
from cutplan.reports.paper.codes import Codes
from cutplan.reports.paper.joined_pdf import joined
from cutplan.reports.paper.press import typeset


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """Labels on a sheet, or one on a roll: sizes of paper and label, where the first lies, steps to the next. [mm]

    ``to_the_edge`` says why words may stand nearer the paper's edge than :data:`FROM_EDGE`; blank where they may not.
    """

    page: tuple[float, float]
    columns: int = 1
    rows: int = 1
    size: tuple[float, float]
    first: tuple[float, float] = (0, 0)
    step: tuple[float, float] = (0, 0)
    to_the_edge: str = ""

    @property
    def per_page(self) -> int:
        """Labels on a page."""
        return self.columns * self.rows


_A4, _LETTER = (210.0, 297.0), (215.9, 279.4)
_ROLL = "a roll printer prints the whole of its label"

SHEETS = {
    "70 x 37 mm": LabelSheet(page=_A4, columns=3, rows=8, size=(70, 37), first=(0, 0.5), step=(70, 37)),
    "63.5 x 38.1 mm": LabelSheet(
        page=_A4, columns=3, rows=7, size=(63.5, 38.1), first=(7.2, 15.15), step=(66.04, 38.1)
    ),
    "99.1 x 38.1 mm": LabelSheet(
        page=_A4, columns=2, rows=7, size=(99.1, 38.1), first=(4.65, 15.15), step=(101.6, 38.1)
    ),
    "105 x 57 mm": LabelSheet(page=_A4, columns=2, rows=5, size=(105, 57), first=(0, 6), step=(105, 57)),
    "2 5/8 x 1 in": LabelSheet(
        page=_LETTER, columns=3, rows=10, size=(66.675, 25.4), first=(4.7625, 12.7), step=(69.85, 25.4)
    ),
    "4 x 2 in": LabelSheet(
        page=_LETTER, columns=2, rows=5, size=(101.6, 50.8), first=(3.96875, 12.7), step=(106.3625, 50.8)
    ),
    "roll 57 x 32 mm": LabelSheet(page=(57, 32), size=(57, 32), to_the_edge=_ROLL),
    "roll 62 x 29 mm": LabelSheet(page=(62, 29), size=(62, 29), to_the_edge=_ROLL),
    "roll 2 1/4 x 1 1/4 in": LabelSheet(page=(57.15, 31.75), size=(57.15, 31.75), to_the_edge=_ROLL),
}
"""Sheets by the size of a label. Sizes and margins are common practice, no source: print one on plain paper and hold
it against the sheet."""

FROM_EDGE = 5.0
"""How near the paper's edge a printer of sheets prints. Common practice, no source. [mm]"""

DROPPED = ("heat number to write", "note", "job", "sawn", "heat number", "plan", "stamp", "ends", "copy")
"""Lines that a label gives up where it has no room for all in letters of :data:`SMALLEST`, the first of these first.
Mark, length and section stay."""

SMALLEST = 6.0
"""Letters below this are not read at arm's length; a text too wide even so goes down to 5, then loses its end. [pt]"""

_TOGETHER = 240
"""Labels that are typeset as one piece; what the typesetter holds grows with each."""
_CODE_MM = 21.0
_DOT_MM = 0.125
"""A dot of a common roll printer, 203 to the inch; modules of a code are whole dots, or they blur into one another."""
_EDGE = 2.5
_INSIDE = 1.0
_SIZES = ((24, 13, 9), (20, 12, 8), (17, 11, 7), (14, 10, SMALLEST))
"""Largest letters of mark, length and other lines, from what is tried first to what is tried last. [pt]"""
_LESS = (20, 17, 14, 12, 10, 9, 8, 7, 6, 5)
_LINE_HEIGHT = 1.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What stands on one label: the text of its code, blank for none; the mark, its length, and lines by field.

    A field is one of :data:`DROPPED`, or another name where the line always stays.
    """

    code: str
    mark: str
    length: str
    lines: tuple[tuple[str, str], ...]


def write_labels(labels: Iterable[Label], size: str, path: Path, title: str, *, start: int = 1) -> None:
    """Write labels of one size; an empty page where there are none.

    Parameters
    ----------
    start
        The place on the first sheet, counted along its rows from 1.

    Raises
    ------
    OSError
        When the file cannot be written.
    """
    sheet = SHEETS[size]
    head = _head(title, sheet)
    placed = _placed(labels, sheet, start)
    begun = next(placed, None)
    if begun is None:
        path.write_bytes(typeset("labels", head | {"labels": []}))
        return
    pages_together = max(1, _TOGETHER // sheet.per_page)
    pieces = groupby(chain([begun], placed), key=lambda label: label["page"] // pages_together)

    def pages() -> Iterator[bytes]:
        for piece, some in pieces:
            listed = [label | {"page": label["page"] - piece * pages_together} for label in some]
            yield typeset("labels", head | {"labels": listed})

    path.write_bytes(joined(pages()))


def label_data(labels: Iterable[Label], size: str, title: str, *, start: int = 1) -> dict[str, Any]:
    """What the template of labels is filled with; ``start`` as in :func:`write_labels`."""
    return _head(title, SHEETS[size]) | {"labels": list(_placed(labels, SHEETS[size], start))}


def _head(title: str, sheet: LabelSheet) -> dict[str, Any]:
    return {"title": f"Labels: {printable(title)}", "page": list(sheet.page), "size": list(sheet.size)}


def _placed(labels: Iterable[Label], sheet: LabelSheet, start: int) -> Iterator[dict[str, Any]]:
    """Each label in its place: its page counted from 0, and the words that have room there in the sizes at which
    they fit."""
    codes = Codes()
    for place, label in enumerate(labels, start - 1):
        row, column = divmod(place % sheet.per_page, sheet.columns)
        at = (sheet.first[0] + column * sheet.step[0], sheet.first[1] + row * sheet.step[1])
        left, top, right, bottom = inside = _inside(sheet, at)
        width, height = sheet.size[0] - left - right, sheet.size[1] - top - bottom
        code = min(_CODE_MM, height) if label.code else 0.0
        picture, modules = codes.svg(label.code) if label.code else ("", 1)
        dots = max(1, math.floor(code / modules / _DOT_MM))
        mark, lines = words_of(label, width - code - (_EDGE if code else 0), height)
        yield {
            "page": place // sheet.per_page,
            "x": at[0],
            "y": at[1],
            "inside": list(inside),
            "code": picture,
            "code-room": code,
            "code-size": modules * dots * _DOT_MM,
            "words": f"code {label.code}",
            "mark": mark,
            "lines": lines,
        }


def _inside(sheet: LabelSheet, at: tuple[float, float]) -> tuple[float, float, float, float]:
    """How far from its own left, top, right and lower edge a label is printed on. [mm]"""
    least = (_EDGE, _INSIDE, _INSIDE, _INSIDE)
    if sheet.to_the_edge:
        return least
    edges = (at[0], at[1], sheet.page[0] - at[0] - sheet.size[0], sheet.page[1] - at[1] - sheet.size[1])
    left, top, right, bottom = (max(own, FROM_EDGE - edge) for own, edge in zip(least, edges, strict=True))
    return left, top, right, bottom


def words_of(label: Label, width: float, height: float) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """The mark and the lines of a label in the room there is: smaller first, then fewer in the order of
    :data:`DROPPED`. [mm]"""
    lines = list(label.lines)
    for field in ("", *DROPPED):
        lines = [line for line in lines if line[0] != field]
        for sizes in _SIZES:
            mark, shown = _in_sizes(label, [text for _, text in lines], width, sizes)
            if sum(each["size"] for each in (mark, *shown)) * _LINE_HEIGHT * POINT_MM <= height:
                return mark, shown
    return mark, shown


def _in_sizes(
    label: Label, lines: Sequence[str], width: float, sizes: tuple[float, float, float]
) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    mark, length, rest = (tuple(dict.fromkeys((most, *(s for s in _LESS if s < most)))) for most in sizes)
    shown = [fitted(label.length, width, length, bold=True)] if label.length else []
    return fitted(label.mark, width, mark, bold=True), shown + [fitted(line, width, rest) for line in lines]


def fitted(text: str, room: float, sizes: tuple[float, ...], *, bold: bool = False) -> dict[str, Any]:
    """The text and the largest size at which it fits; shortened with an ellipsis where none does, in no figure."""
    shown, size = _fitted(text, room, sizes, bold)
    return {"text": shown, "size": size, "bold": bold}


@lru_cache(maxsize=1000)
def _fitted(text: str, room: float, sizes: tuple[float, ...], bold: bool) -> tuple[str, float]:
    text = printable(text)
    wide = text_mm(text, 1, bold=bold)
    for size in sizes:
        if wide * size <= room:
            return text, size
    longest = bisect_left(
        range(1, len(text) + 1), True, key=lambda n: text_mm(text[:n] + "…", sizes[-1], bold=bold) > room
    )
    shown, cut = text[:longest], text[:longest].rpartition(" ")[2] + text[longest:].partition(" ")[0]
    # Part of a figure, such as 54 of 54 57/64, reads as another.
    while " " in shown and any(letter.isdigit() for letter in cut):
        shown, _, _ = shown.rpartition(" ")
        cut = shown.rpartition(" ")[2]
    return f"{shown}…", sizes[-1]
