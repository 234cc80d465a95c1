"""A bar drawing on a grid of equal columns, every text in a place of its own.

The workbook fills cells from it, :mod:`cutplan.reports.terminal.picture` fills characters;
the drawing on paper takes its boxes from here.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from cutplan.reports.drawing import BarDrawing, Kind, Stretch


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
    """A drawing on a grid: the bar fills ``bar_columns``, texts may use ``columns``.

    ``holes`` are columns of the bar with one hole or more, those under a text or at a cut left out.
    """

    columns: int
    bar_columns: int
    boxes: tuple[Box, ...]
    texts: tuple[Text, ...]
    holes: tuple[int, ...] = ()

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
    boxes = boxes_of(drawing, bar_columns)
    inside: list[Text] = []
    moved: list[tuple[int, str]] = []
    for box in boxes:
        stretch = box.stretch
        if not stretch.label:
            continue
        room = box.last - box.first - 1 - (stretch.run_start > 0) - (stretch.run_end > 0)
        width = width_of(stretch.text)
        middle = (box.first + box.last) // 2
        if stretch.kind is Kind.PART and width <= room:
            left = box.first + (box.last - box.first - width + 1) // 2
            inside.append(Text(text=stretch.text, lane=0, column=left, columns=width))
        elif box.first + width <= columns:
            moved.append((max(box.first, min(middle, columns - width)), stretch.text))
        else:
            moved.append((min(middle, columns - width_of(stretch.short_label)), stretch.short_label))
    edge = {box.stretch.end: box.last for box in boxes}
    figures = [(edge[d.at], d.text) for d in drawing.dimensions if d.at in edge]
    return Layout(
        columns=columns,
        bar_columns=bar_columns,
        boxes=boxes,
        texts=(*inside, *staircase(moved, width_of, -1), *staircase(figures, width_of, 1)),
        holes=_holes(boxes, inside),
    )


def _holes(boxes: Iterable[Box], inside: Iterable[Text]) -> tuple[int, ...]:
    taken = {column for text in inside for column in range(text.column, text.column + text.columns)}
    found = set()
    for box in boxes:
        stretch, room = box.stretch, box.last - box.first
        free = range(box.first + 1, box.last - (stretch.run_end > 0))
        for hole in stretch.holes:
            column = box.first + (hole - stretch.start) * room // (stretch.end - stretch.start)
            if column in free:
                found.add(column)
    return tuple(sorted(found - taken))


def boxes_of(drawing: BarDrawing, bar_columns: int, least: int = 1, most: int | None = None) -> tuple[Box, ...]:
    """The boxes of a bar, START first, each at least ``least`` columns wide; a kerf has none.

    Neighbouring parts share one where there would be more than ``most``, which
    is as many as have room unless given; ``most`` times ``least`` may not exceed ``bar_columns``.
    """
    return _boxes(drawing, _shown(drawing, most or bar_columns // least), bar_columns, least)


def _shown(drawing: BarDrawing, most: int) -> list[Stretch]:
    solid = [s for s in drawing.stretches if s.kind is not Kind.KERF]
    if len(solid) <= most:
        return solid
    parts = [s for s in solid if s.kind is Kind.PART]
    at_once = math.ceil(len(parts) / (most - 2))
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
        label=first.label if alike else numbers,
        pieces=len(chunk) if alike else 1,
        short_label=f"({first.number})",
        length_label=first.length_label if alike else "",
        run_start=first.run_start,
        run_end=last.run_end,
        angle_start=first.angle_start,
        angle_end=last.angle_end,
        start_up=first.start_up,
        end_up=last.end_up,
        over_start=first.over_start,
        over_end=last.over_end,
        number=first.number,
        holes=tuple(hole for stretch in chunk for hole in stretch.holes),
    )


def _boxes(drawing: BarDrawing, shown: Sequence[Stretch], bar_columns: int, least: int) -> tuple[Box, ...]:
    edges = [0]
    for stretch in shown:
        edges.append(max(edges[-1] + least, round(stretch.end * bar_columns / drawing.length)))
    edges[-1] = bar_columns
    for i in range(len(edges) - 2, 0, -1):
        edges[i] = min(edges[i], edges[i + 1] - least)
    return tuple(
        Box(stretch=stretch, first=first, last=last)
        for stretch, (first, last) in zip(shown, pairwise(edges), strict=True)
    )


def staircase(wanted: Iterable[tuple[int, str]], width_of: Callable[[str], int], step: int) -> list[Text]:
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
