"""labels.pdf: one label for each piece and each left over to keep, with a code that a phone can read.

The text of a code is a URI, every value percent-encoded as UTF-8 (RFC 3986):
``cutplan:part?plan=0a1b2c3d&mark=T1&copy=2`` names one piece of a part,
``cutplan:offcut?plan=0a1b2c3d&bar=6&mark=K7`` a left over; ``mark`` is missing
there while none is reserved. ``plan`` is the fingerprint on every sheet.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain, groupby, islice
from pathlib import Path
from typing import Any
from urllib.parse import quote

from cutplan.model import Fate, Job, Plan, SourceKind
from cutplan.reports import extent
from cutplan.reports.lettering import POINT_MM, printable, text_mm
from cutplan.reports.paper.codes import Codes
from cutplan.reports.paper.joined_pdf import joined
from cutplan.reports.paper.press import typeset
from cutplan.units import length_text
from cutplan.words.naming import section_names
from cutplan.words.part_words import sawn_words


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """Labels on a sheet, or one on a roll: sizes of paper and label, where the first lies, steps to the next. [mm]"""

    page: tuple[float, float]
    columns: int = 1
    rows: int = 1
    size: tuple[float, float]
    first: tuple[float, float] = (0, 0)
    step: tuple[float, float] = (0, 0)


_A4, _LETTER = (210.0, 297.0), (215.9, 279.4)

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
    "roll 57 x 32 mm": LabelSheet(page=(57, 32), size=(57, 32)),
    "roll 62 x 29 mm": LabelSheet(page=(62, 29), size=(62, 29)),
    "roll 2 1/4 x 1 1/4 in": LabelSheet(page=(57.15, 31.75), size=(57.15, 31.75)),
}
"""Sheets by the size of a label. Sizes and margins are common practice, no source: print one on plain paper and hold
it against the sheet."""

_TOGETHER = 240
"""Labels that are typeset as one piece; what the typesetter holds grows with each."""
_CODE_MM = 21.0
_DOT_MM = 0.125
"""A dot of a common roll printer, 203 to the inch; modules of a code are whole dots, or they blur into one another."""
_EDGE = 2.5
_MARK_SIZES = (24, 20, 17, 14, 12, 10, 8.5, 7, 6, 5)
_LINE_SIZES = (9, 8, 7, 6, 5)
_LINE_HEIGHT = 1.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What stands on one label: the text of its code, the mark, and lines in smaller type."""

    code: str
    mark: str
    length: str
    lines: tuple[str, ...]


def labels_of(job: Job, plan: Plan, fingerprint: str, skip: Collection[int] = ()) -> Iterator[Label]:
    """A label for each piece in the order in which they leave the saw, each bar's left over to keep behind them.

    ``skip`` are numbers of bars whose labels are left out.
    """
    parts = {part.mark: part for part in job.parts}
    offcuts = {offcut.mark: offcut for offcut in job.offcuts}
    names, printing = section_names(job), job.workshop.printing
    for group in plan.groups:
        for bar in group.bars:
            if bar.number in skip:
                continue
            heat = offcuts[bar.source].heat_number if bar.kind is SourceKind.OFFCUT else ""
            for cut in bar.cuts:
                part = parts[cut.mark]
                yield Label(
                    code=_uri("part", plan=fingerprint, mark=cut.mark, copy=str(cut.copy)),
                    mark=cut.mark,
                    length=length_text(part.finished, printing),
                    lines=(
                        names[part.section.key],
                        ", ".join(text for text in (job.name, part.assembly) if text),
                        f"piece {cut.copy}, bar {bar.number}",
                        *((", ".join(sawn),) if (sawn := sawn_words(part, printing)) else ()),
                        _heat(heat),
                    ),
                )
            if bar.drop.fate is Fate.KEEP:
                mark = bar.drop.mark
                section = names[parts[bar.cuts[0].mark].section.key]
                yield Label(
                    code=_uri("offcut", plan=fingerprint, bar=str(bar.number), mark=mark),
                    mark=mark or f"left over {bar.number}",
                    length=length_text(bar.drop.length, printing),
                    lines=(section, f"{job.name}, left over of bar {bar.number}", _heat(heat)),
                )


def _heat(heat_number: str) -> str:
    return f"heat number {heat_number or '. . . . . . . . . .'}"


def _uri(kind: str, **values: str) -> str:
    return f"cutplan:{kind}?" + "&".join(f"{name}={quote(value, safe='')}" for name, value in values.items() if value)


def write_labels_pdf(
    job: Job,
    plan: Plan,
    path: Path,
    fingerprint: str,
    *,
    size: str = "",
    start: int = 1,
    first: int = 1,
    skip: Collection[int] = (),
) -> None:
    """Write labels, at most :data:`~cutplan.reports.extent.MOST_LABELS`; an empty page where there is none to print.

    Parameters
    ----------
    size
        Blank is the workshop's.
    start
        The place on the first sheet, counted along its rows from 1.
    first
        The label to begin with, counted from 1 over the whole plan.
    skip
        Numbers of bars whose labels are not printed.

    Raises
    ------
    OSError
        When the file cannot be written.
    """
    sheet = SHEETS[size or job.workshop.labels]
    chosen: Iterator[Label] = islice(labels_of(job, plan, fingerprint, skip), first - 1, first - 1 + extent.MOST_LABELS)
    begun = next(chosen, None)
    if begun is None:
        path.write_bytes(typeset("labels", _head(job, sheet) | {"labels": []}))
        return
    chosen = chain([begun], chosen)
    per_page = sheet.columns * sheet.rows
    pages_together = max(1, _TOGETHER // per_page)
    placed = _placed(chosen, sheet, start)
    pieces = groupby(placed, key=lambda label: label["page"] // pages_together)
    head = _head(job, sheet)

    def pages() -> Iterator[bytes]:
        for piece, labels in pieces:
            listed = [label | {"page": label["page"] - piece * pages_together} for label in labels]
            yield typeset("labels", head | {"labels": listed})

    path.write_bytes(joined(pages()))


def labels_data(job: Job, plan: Plan, fingerprint: str, *, size: str, start: int = 1) -> dict[str, Any]:
    """What the template of labels is filled with; ``start`` counts along the rows of the first sheet, from 1."""
    placed = _placed(labels_of(job, plan, fingerprint), SHEETS[size], start)
    return _head(job, SHEETS[size]) | {"labels": list(placed)}


def _code_mm(sheet: LabelSheet) -> float:
    return min(_CODE_MM, sheet.size[1] - 2)


def _head(job: Job, sheet: LabelSheet) -> dict[str, Any]:
    return {
        "title": f"Labels: {printable(job.name)}",
        "page": list(sheet.page),
        "size": list(sheet.size),
        "code": _code_mm(sheet),
        "edge": _EDGE,
    }


def _placed(labels: Iterable[Label], sheet: LabelSheet, start: int) -> Iterator[dict[str, Any]]:
    """Each label in its place: its page counted from 0, its words in the sizes at which they fit."""
    width, height = sheet.size
    code = _code_mm(sheet)
    room = width - code - 2 * _EDGE
    per_page = sheet.columns * sheet.rows
    codes = Codes()
    for place, label in enumerate(labels, start - 1):
        row, column = divmod(place % per_page, sheet.columns)
        picture, modules = codes.svg(label.code)
        dots = max(1, math.floor(code / modules / _DOT_MM))
        mark = fitted(label.mark, room, _MARK_SIZES, bold=True)
        lines = [
            fitted(line, room, _LINE_SIZES if i else (13, *_LINE_SIZES), bold=i == 0)
            for i, line in enumerate((label.length, *label.lines))
        ]
        _lower(mark, lines, height - 2)
        yield {
            "page": place // per_page,
            "x": sheet.first[0] + column * sheet.step[0],
            "y": sheet.first[1] + row * sheet.step[1],
            "code": picture,
            "code-size": modules * dots * _DOT_MM,
            "words": f"code {label.code}",
            "mark": mark,
            "lines": lines,
        }


def fitted(text: str, room: float, sizes: tuple[float, ...], *, bold: bool = False) -> dict[str, Any]:
    """The text and the largest size at which it fits; shortened with an ellipsis where none does."""
    shown, size = _fitted(text, room, sizes, bold)
    return {"text": shown, "size": size}


@lru_cache(maxsize=1000)
def _fitted(text: str, room: float, sizes: tuple[float, ...], bold: bool) -> tuple[str, float]:
    text = printable(text)
    wide = text_mm(text, 1, bold=bold)
    for size in sizes:
        if wide * size <= room:
            return text, size
    while text and text_mm(text + "…", sizes[-1], bold=bold) > room:
        text = text[:-1]
    return text + "…", sizes[-1]


def _lower(mark: dict[str, Any], lines: list[dict[str, Any]], height: float) -> None:
    """Smaller letters where all lines together would be higher than their label. [mm]"""
    needed = sum(line["size"] for line in (mark, *lines)) * _LINE_HEIGHT * POINT_MM
    if needed > height:
        for line in (mark, *lines):
            line["size"] = math.floor(line["size"] * height / needed * 10) / 10
