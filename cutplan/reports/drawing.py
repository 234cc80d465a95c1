"""One drawing of one bar: plain geometry, and its layout on a grid of columns.

:func:`draw` gives the geometry in bar coordinates. :func:`lay_out` puts it on
equal columns with every text in a place of its own; the workbook fills cells
from that and :func:`picture` fills characters. Nothing is told by colour.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise

from cutplan.model import CutBar, Fate, Part
from cutplan.units import Length, length_text, mitre_run


class Kind(Enum):
    """What a stretch of a bar is."""

    END_TRIM = "end trim"
    PART = "part"
    KERF = "kerf"
    KEEP = "left over: keep"
    SCRAP = "left over: scrap"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """One stretch of a bar, START first. Lengths in nm from START.

    ``run_start`` and ``run_end`` say how far a mitre leans in from either end;
    the long side lies at the bottom of the drawing. ``number`` counts the parts
    of the bar from 1; 0 for everything else.
    """

    kind: Kind
    start: Length
    end: Length
    label: str = ""
    short_label: str = ""
    run_start: Length = 0
    run_end: Length = 0
    number: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """A running dimension: distance from START and its text in the workshop's unit."""

    at: Length
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BarDrawing:
    """A bar to scale. ``stretches`` cover it from 0 to ``length`` without gap or overlap. [nm]"""

    length: Length
    stretches: tuple[Stretch, ...]
    dimensions: tuple[Dimension, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A stretch on the grid: columns ``first`` up to but without ``last``."""

    stretch: Stretch
    first: int
    last: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A text on the grid, ``columns`` wide from ``column``.

    Lane 0 is the bar itself, -1, -2 ... the rows above it, 1, 2 ... those below.
    Outside lane 0 a text begins at the column it speaks of.
    """

    text: str
    lane: int
    column: int
    columns: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A drawing on a grid: the bar fills ``bar_columns``, texts may use ``columns``."""

    columns: int
    bar_columns: int
    boxes: tuple[Box, ...]
    texts: tuple[Text, ...]

    @property
    def lanes(self) -> range:
        """Every lane in use, top to bottom, lane 0 always among them."""
        used = [0, *(text.lane for text in self.texts)]
        return range(min(used), max(used) + 1)

    def leaders(self, lane: int) -> tuple[int, ...]:
        """Columns along whose left edge a line leads through this lane, from the bar to a text beyond it.

        A line is broken where it would cross a text.
        """
        taken = [range(text.column, text.column + text.columns) for text in self.texts if text.lane == lane]
        beyond = {text.column for text in self.texts if text.lane < lane < 0 or text.lane > lane > 0}
        return tuple(sorted(column for column in beyond if not any(column in columns for columns in taken)))


def draw(bar: CutBar, parts: dict[str, Part], unit: str) -> BarDrawing:
    """The geometry of one bar.

    Parameters
    ----------
    parts
        Every part of the job by mark; the depth of a mitred part gives how far its ends lean.
    unit
        ``mm`` or ``in``, for the texts.
    """
    stretches: list[Stretch] = []
    dimensions: list[Dimension] = []
    if bar.start_trim:
        stretches.append(Stretch(kind=Kind.END_TRIM, start=0, end=bar.start_trim))
        dimensions.append(_dimension(bar.start_trim, unit))
    for number, cut in enumerate(bar.cuts, 1):
        depth = parts[cut.mark].depth
        stretches.append(
            Stretch(
                kind=Kind.PART,
                start=cut.start,
                end=cut.end,
                label=cut.mark,
                short_label=f"({number})",
                run_start=mitre_run(depth, cut.angle_a),
                run_end=mitre_run(depth, cut.angle_b),
                number=number,
            )
        )
        dimensions.append(_dimension(cut.end, unit))
        if cut.kerf:
            stretches.append(Stretch(kind=Kind.KERF, start=cut.end, end=cut.end + cut.kerf))
    if bar.drop.length:
        word = "keep" if bar.drop.fate is Fate.KEEP else "scrap"
        stretches.append(
            Stretch(
                kind=Kind.KEEP if bar.drop.fate is Fate.KEEP else Kind.SCRAP,
                start=bar.drop.start,
                end=bar.drop.end,
                label=f"{word} {length_text(bar.drop.length, unit)}",
                short_label=word,
            )
        )
    if dimensions[-1].at != bar.length:
        dimensions.append(_dimension(bar.length, unit))
    return BarDrawing(length=bar.length, stretches=tuple(stretches), dimensions=tuple(dimensions))


def _dimension(at: Length, unit: str) -> Dimension:
    return Dimension(at=at, text=length_text(at, unit, with_unit=False))


def lay_out(drawing: BarDrawing, bar_columns: int, margin: int, width_of: Callable[[str], int]) -> Layout:
    """Put a drawing on a grid of equal columns.

    Every stretch but a kerf gets at least one column. A label that does not fit
    into its box is moved to a row above the bar, a running dimension that does
    not fit beside its neighbour to a lower row below it.

    Parameters
    ----------
    bar_columns
        Columns the bar is stretched over, at least 8.
    margin
        Columns to the right of it that texts may use as well; wide enough for a
        running dimension and for ``(999)``.
    width_of
        Columns a text needs, rounded up.
    """
    columns = bar_columns + margin
    shown = _shown(drawing, bar_columns)
    boxes = _boxes(drawing, shown, bar_columns)
    inside: list[Text] = []
    moved: list[tuple[int, str]] = []
    for box in boxes:
        stretch = box.stretch
        if not stretch.label:
            continue
        room = box.last - box.first - 1 - (stretch.run_start > 0) - (stretch.run_end > 0)
        width = width_of(stretch.label)
        middle = (box.first + box.last) // 2
        if stretch.kind is Kind.PART and width <= room:
            left = box.first + (box.last - box.first - width + 1) // 2
            inside.append(Text(text=stretch.label, lane=0, column=left, columns=width))
        elif box.first + width <= columns:
            moved.append((max(box.first, min(middle, columns - width)), stretch.label))
        else:
            moved.append((min(middle, columns - width_of(stretch.short_label)), stretch.short_label))
    edge = {box.stretch.end: box.last for box in boxes}
    figures = [(edge[d.at], d.text) for d in drawing.dimensions if d.at in edge]
    return Layout(
        columns=columns,
        bar_columns=bar_columns,
        boxes=boxes,
        texts=(*inside, *_staircase(moved, width_of, -1), *_staircase(figures, width_of, 1)),
    )


def _shown(drawing: BarDrawing, bar_columns: int) -> list[Stretch]:
    """The stretches that get a box. Neighbouring parts share one where there are more than columns."""
    solid = [s for s in drawing.stretches if s.kind is not Kind.KERF]
    if len(solid) <= bar_columns:
        return solid
    parts = [s for s in solid if s.kind is Kind.PART]
    at_once = math.ceil(len(parts) / (bar_columns - 2))
    chunks = [parts[i : i + at_once] for i in range(0, len(parts), at_once)]
    merged = [_merged(chunk) for chunk in chunks]
    first = solid.index(parts[0])
    return [*solid[:first], *merged, *solid[first + len(parts) :]]


def _merged(chunk: Sequence[Stretch]) -> Stretch:
    first, last = chunk[0], chunk[-1]
    numbers = f"({first.number}-{last.number})"
    alike = len({s.label for s in chunk}) == 1
    return Stretch(
        kind=Kind.PART,
        start=first.start,
        end=last.end,
        label=f"{len(chunk)} x {first.label}" if alike else numbers,
        short_label=f"({first.number})",
        run_start=first.run_start,
        run_end=last.run_end,
        number=first.number,
    )


def _boxes(drawing: BarDrawing, shown: Sequence[Stretch], bar_columns: int) -> tuple[Box, ...]:
    edges = [0]
    for stretch in shown:
        edges.append(max(edges[-1] + 1, round(stretch.end * bar_columns / drawing.length)))
    edges[-1] = bar_columns
    for i in range(len(edges) - 2, 0, -1):
        edges[i] = min(edges[i], edges[i + 1] - 1)
    return tuple(
        Box(stretch=stretch, first=first, last=last)
        for stretch, (first, last) in zip(shown, pairwise(edges), strict=True)
    )


def _staircase(wanted: Iterable[tuple[int, str]], width_of: Callable[[str], int], step: int) -> list[Text]:
    """Give each (column, text) the first lane in which it meets no text, beginning at the right."""
    texts: list[Text] = []
    lane_starts: list[int] = []
    for column, text in sorted(wanted, key=lambda pair: pair[0], reverse=True):
        width = width_of(text)
        lane = next((i for i, start in enumerate(lane_starts) if column + width <= start), len(lane_starts))
        if lane == len(lane_starts):
            lane_starts.append(column)
        lane_starts[lane] = column
        texts.append(Text(text=text, lane=step * (lane + 1), column=column, columns=width))
    return texts[::-1]


def character_width(text: str) -> int:
    """Columns a text takes on a terminal: two for wide East Asian characters, none for combining ones."""
    return sum(
        0 if unicodedata.combining(char) else 2 if unicodedata.east_asian_width(char) in "WF" else 1 for char in text
    )


_FILLS = {Kind.END_TRIM: "#", Kind.PART: " ", Kind.KEEP: "/", Kind.SCRAP: "x"}
PICTURE_KEY = "# end trim, / left over to keep, x left over to scrap; figures run from START"


def picture(drawing: BarDrawing, width: int) -> str:
    """A bar in plain characters, at most ``width`` columns wide, 30 or more."""
    margin = 9
    layout = lay_out(drawing, max(width, 30) - margin, margin, lambda text: character_width(text) + 1)
    lines = []
    for lane in layout.lanes:
        cells = [" "] * (layout.columns + 1)
        if lane == 0:
            for box in layout.boxes:
                cells[box.first : box.last] = _FILLS[box.stretch.kind] * (box.last - box.first)
                if box.stretch.kind is not Kind.END_TRIM:
                    cells[box.first] = "/" if box.stretch.run_start else "|"
            for box in layout.boxes:
                if box.stretch.run_end and box.last - box.first > 1:
                    cells[box.last - 1] = "\\"
            cells[layout.bar_columns] = "|"
        for column in layout.leaders(lane):
            cells[column] = "|"
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
