"""A bar drawing on paper or on a page: every text placed by its true width, then written as SVG.

:func:`place` decides where everything goes, in millimetres of paper from the top
left corner; :func:`svg` only writes that down. Black, white and one grey: what
kind a stretch is shows by its fill (solid, hatched, crossed), never by a colour.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from xml.sax.saxutils import escape, quoteattr

from cutplan.reports.drawing import BarDrawing, Kind
from cutplan.reports.layout import Box, boxes_of
from cutplan.reports.lettering import CAPITAL, FAMILY, POINT_MM, STRETCH, printable, text_mm
from cutplan.units import DEGREE

BAR_HEIGHT = 11.0
FIGURE_POINTS = 11.0
"""Size of a running dimension: to be read at arm's length beside the saw."""
MARK_POINTS = (10.0, 9.0, 8.0)
ABOVE_POINTS = 8.0
NARROWEST = 100.0

_COLUMN = 0.05
_LEAST_BOX = 0.9
_TAB = 5.0
_EDGE = 0.3
_AIR = 1.4
_LEADER = 3.2
_LONGEST_LEADER = 22.0
_ABOVE_LETTER, _BELOW_LETTER = 0.76, 0.24
"""How far letters reach above and below their line, over the size of the font."""
_HATCH = 2.2

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lettering:
    """A text on the paper: ``x`` and ``y`` are where its line begins; ``turned`` reads from below to above. [mm]"""

    text: str
    x: float
    y: float
    points: float
    bold: bool = False
    turned: bool = False
    white: bool = False

    @property
    def width(self) -> float:
        return text_mm(self.text, self.points, bold=self.bold)

    @property
    def box(self) -> tuple[float, float, float, float]:
        """What it covers: left, top, right, bottom. [mm]"""
        size = self.points * POINT_MM
        above, below = _ABOVE_LETTER * size, _BELOW_LETTER * size
        if self.turned:
            return self.x - above, self.y - self.width, self.x + below, self.y
        return self.x, self.y - above, self.x + self.width, self.y + below


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """A line through some points, or with ``fill`` the area they enclose. [mm]"""

    points: tuple[Point, ...]
    thick: float = 0.16
    fill: str = ""
    dashed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A drawing in its place on paper; ``leaders`` join texts outside the bar to what they speak of. [mm]"""

    width: float
    height: float
    strokes: tuple[Stroke, ...]
    leaders: tuple[Stroke, ...]
    texts: tuple[Lettering, ...]


def svg(drawing: BarDrawing, width: float, *, keep_widths: bool = False) -> str:
    """The drawing as SVG, ``width`` millimetres wide.

    Parameters
    ----------
    width
        At least :data:`NARROWEST`. [mm]
    keep_widths
        States how wide each text is, for a reader that may lack the font and takes another.
    """
    return written(place(drawing, width), drawing.words, keep_widths=keep_widths)


def written(placed: Placed, words: str, *, keep_widths: bool = False) -> str:
    """A drawing in its place as SVG; ``words`` say what it shows."""
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_mm(placed.width)}mm" height="{_mm(placed.height)}mm" '
        f'viewBox="0 0 {_mm(placed.width)} {_mm(placed.height)}" role="img" aria-label={quoteattr(words)} '
        f'font-family="{FAMILY}, sans-serif" font-stretch="{STRETCH}%" font-kerning="none">'
    ]
    lines += [_lines(list(run)) for _, run in groupby((*placed.strokes, *placed.leaders), _pen)]
    lines += [_text(text, keep_widths) for text in placed.texts]
    return "\n".join([*lines, "</svg>"])


def place(drawing: BarDrawing, width: float) -> Placed:
    """Where every line and every text of a drawing goes."""
    left, right = _TAB + _EDGE, width - _EDGE
    columns = int((right - left) / _COLUMN)
    figure_pitch = _pitch(FIGURE_POINTS)
    boxes = boxes_of(drawing, columns, least=math.ceil(_LEAST_BOX / _COLUMN), most=int((width - 8) / figure_pitch * 2))

    def x(column: int) -> float:
        return left + column * (right - left) / columns

    inside, outside = _labels(boxes, x)
    above = _above(outside, width)
    top = above.depth
    bottom = top + BAR_HEIGHT
    edge = {box.stretch.end: box.last for box in boxes}
    figures = [(x(edge[d.at]), printable(d.text)) for d in drawing.dimensions if d.at in edge]
    below = figures_below(figures, width, bottom + 1.4)
    marks = [text for label in inside for text in label(top)]
    strokes = [
        Stroke(points=rectangle(0, top, _TAB, bottom), fill="#000"),
        Stroke(points=rectangle(left, top, right, bottom), fill="#bbb"),
        *(stroke for box in boxes for stroke in _box(box, drawing, x, top)),
        *(Stroke(points=_plate(text), fill="#fff") for text in marks),
        Stroke(points=(*rectangle(left, top, right, bottom), (left, top)), thick=0.5),
    ]
    for start, end in drawing.holds:
        ends = [left + at / drawing.length * (right - left) for at in (start, end)]
        strokes.append(Stroke(points=((ends[0], bottom + 0.85), (ends[1], bottom + 0.85)), thick=0.8, dashed=True))
    start_width = text_mm("START", 7, bold=True)
    tab = Lettering(
        text="START",
        x=(_TAB + 7 * POINT_MM * CAPITAL) / 2,
        y=bottom - (BAR_HEIGHT - start_width) / 2,
        points=7,
        bold=True,
        turned=True,
        white=True,
    )
    return Placed(
        width=width,
        height=below.depth + 0.3,
        strokes=tuple(strokes),
        leaders=(*above.leaders, *below.leaders),
        texts=(tab, *marks, *above.texts, *below.texts),
    )


# --- inside the bar ---------------------------------------------------------------------------------------------


def _leans(box: Box, width: float) -> tuple[float, float]:
    """How far the mitres lean in on paper: at their own angle, less steeply where the box is too narrow. [mm]"""
    start, end = (
        BAR_HEIGHT * math.tan(math.radians(angle / DEGREE))
        for angle in (box.stretch.angle_start, box.stretch.angle_end)
    )
    room = 0.8 * width
    shrink = room / (start + end) if start + end > room else 1.0
    return start * shrink, end * shrink


def _box(box: Box, drawing: BarDrawing, x: Callable[[int], float], top: float) -> Iterator[Stroke]:
    """Fill, outline, cut and holes of one stretch."""
    first, last, bottom = x(box.first), x(box.last), top + BAR_HEIGHT
    stretch = box.stretch
    if stretch.kind is Kind.END_TRIM:
        yield Stroke(points=rectangle(first, top, last, bottom), fill="#000")
        return
    lean_start, lean_end = _leans(box, last - first)
    far_top, far_bottom = (last, last - lean_end) if stretch.parallel else (last - lean_end, last)
    corners = ((first, bottom), (first + lean_start, top), (far_top, top), (far_bottom, bottom))
    yield Stroke(points=corners, fill="#fff")
    if stretch.kind is Kind.KEEP:
        yield from _hatching(first, top, last, bottom, rising=True)
    if stretch.kind is Kind.SCRAP:
        yield from _hatching(first, top, last, bottom, rising=True)
        yield from _hatching(first, top, last, bottom, rising=False)
    yield Stroke(points=(*corners, corners[0]), thick=0.25)
    if any(other.kind is Kind.KERF and other.start == stretch.end for other in drawing.stretches):
        yield Stroke(points=((far_bottom, bottom), (far_top, top)), thick=0.6)
    for hole in stretch.holes:
        at = first + (hole - stretch.start) / (stretch.end - stretch.start) * (last - first)
        yield Stroke(points=rectangle(at - 0.25, top + 0.4, at + 0.25, top + 1.5), fill="#000")


def _hatching(first: float, top: float, last: float, bottom: float, *, rising: bool) -> Iterator[Stroke]:
    """Strokes at 45 degrees, cut off at the sides of the box."""
    height = bottom - top
    at = first - height + _HATCH / 2
    while at < last:
        low, high = max(at, first), min(at + height, last)
        heights = (low - at, high - at)
        y = [bottom - h if rising else top + h for h in heights]
        if high > low:
            yield Stroke(points=((low, y[0]), (high, y[1])), thick=0.18)
        at += _HATCH


def _plate(text: Lettering) -> tuple[Point, ...]:
    """White behind a text, so that no hatching runs through it."""
    left, top, right, bottom = text.box
    return rectangle(left - 0.6, top, right + 0.6, bottom)


_Label = Callable[[float], list[Lettering]]
_Outside = tuple[float, float, int, tuple[str, ...]]
"""Left and right end of what a text above the bar speaks of, how many boxes that is, and its words, longest first."""


def _labels(boxes: Sequence[Box], x: Callable[[int], float]) -> tuple[list[_Label], list[_Outside]]:
    """Labels that fit into their boxes, and the others; neighbours alike share one of those."""
    inside: list[_Label] = []
    outside: list[_Outside] = []

    def key(box: Box) -> tuple[bool, str]:
        return bool(box.stretch.label) and _fitting(box, x) is None, box.stretch.label

    for (moved, label), run in groupby(boxes, key):
        alike = list(run)
        if not moved:
            inside += [found for box in alike if label and (found := _fitting(box, x)) is not None]
            continue
        stretch, last = alike[0].stretch, alike[-1].stretch
        pieces = sum(box.stretch.pieces for box in alike)
        times = f"{pieces} x " if pieces > 1 else ""
        short = stretch.short_label if last is stretch else f"({stretch.number}-{last.number})"
        words = [f"{times}{label}", short]
        if stretch.length_label and all(box.stretch.length_label == stretch.length_label for box in alike):
            words.insert(0, f"{times}{label}, {stretch.length_label}")
        outside.append((x(alike[0].first), x(alike[-1].last), len(alike), tuple(map(printable, words))))
    return inside, outside


def _fitting(box: Box, x: Callable[[int], float]) -> _Label | None:
    """The label of a box inside it, in the largest size that fits, its length below; None where none fits."""
    stretch = box.stretch
    first, last = x(box.first), x(box.last)
    lean_start, lean_end = _leans(box, last - first)
    left, right = first + lean_start, last - lean_end
    lines = [printable(text) for text in (stretch.text, stretch.length_label) if text]
    for points in MARK_POINTS:
        widths = [text_mm(text, points, bold=i == 0) for i, text in enumerate(lines)]
        if max(widths) + 2 * _AIR <= right - left:
            break
    else:
        return None
    bases = (0.44, 0.86) if len(lines) == 2 else (0.62,)

    def label(top: float) -> list[Lettering]:
        return [
            Lettering(
                text=text,
                x=(left + right - width) / 2,
                y=top + base * BAR_HEIGHT,
                points=points,
                bold=i == 0,
            )
            for i, (text, width, base) in enumerate(zip(lines, widths, bases, strict=True))
        ]

    return label


# --- above and below the bar ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Zone:
    """Texts on one side of the bar, how deep they reach, and the lines that lead to them. [mm]"""

    depth: float
    texts: tuple[Lettering, ...] = ()
    leaders: tuple[Stroke, ...] = ()


def _above(outside: Sequence[_Outside], width: float) -> Zone:
    """Labels that found no room in the bar: one line of them, the fullest wording that fits; else numbers, turned."""
    if not outside:
        return Zone(0.6)
    size = ABOVE_POINTS * POINT_MM
    middles = [(first + last) / 2 for first, last, _, _ in outside]
    for wording in range(3):
        words = [texts[min(wording, len(texts) - 1)] for *_, texts in outside]
        widths = [text_mm(text, ABOVE_POINTS, bold=True) + _AIR for text in words]
        spread = _spread(middles, widths, 0, width)
        if spread is not None and _farthest(spread, middles) < _LONGEST_LEADER:
            line = _ABOVE_LETTER * size
            foot = line + _BELOW_LETTER * size + 0.2
            texts = [
                Lettering(text=text, x=at - (wide - _AIR) / 2, y=line, points=ABOVE_POINTS, bold=True)
                for text, at, wide in zip(words, spread, widths, strict=True)
            ]
            top = foot + _LEADER
            return Zone(top, tuple(texts), tuple(_brackets(outside, spread, [foot] * len(words), top)))
    words = [texts[-1] for *_, texts in outside]
    pitch = _pitch(ABOVE_POINTS)
    at, rows = _turned_rows(middles, pitch, width)
    deep = max(text_mm(text, ABOVE_POINTS, bold=True) for text in words) + 0.6
    foot = deep * rows
    lines = [foot - deep * (i % rows) for i in range(len(words))]
    texts = [
        _turned(text, centre, line, ABOVE_POINTS, bold=True)
        for text, centre, line in zip(words, at, lines, strict=True)
    ]
    top = foot + 0.4 + _LEADER
    leads = [
        Stroke(points=((centre, line + 0.2), (centre, foot + 0.4))) for centre, line in zip(at, lines, strict=True)
    ]
    return Zone(top, tuple(texts), (*leads, *_brackets(outside, at, [foot + 0.4] * len(words), top)))


def _brackets(
    outside: Sequence[_Outside], spread: Sequence[float], feet: Sequence[float], top: float
) -> Iterator[Stroke]:
    """Lines from the texts above to their boxes; a bracket over boxes that share one."""
    for (first, last, boxes, _), at, foot in zip(outside, spread, feet, strict=True):
        middle = (first + last) / 2
        if boxes > 1:
            rail = top - 1.0
            yield Stroke(points=((first + 0.2, top), (first + 0.2, rail), (last - 0.2, rail), (last - 0.2, top)))
            yield Stroke(points=((middle, rail), (at, foot)))
        else:
            yield Stroke(points=((middle, top), (at, foot)))


def figures_below(figures: Sequence[tuple[float, str]], width: float, y: float) -> Zone:
    """Running dimensions below the bar: in one line where they fit, else turned, in two rows if need be."""
    size = FIGURE_POINTS * POINT_MM
    ticks = [at for at, _ in figures]
    widths = [text_mm(text, FIGURE_POINTS) + _AIR for _, text in figures]
    spread = _spread(ticks, widths, 0, width)
    if spread is not None and _farthest(spread, ticks) < _LONGEST_LEADER:
        head = y + _LEADER * 0.8
        line = head + 0.4 + _ABOVE_LETTER * size
        texts = [
            Lettering(text=text, x=at - (wide - _AIR) / 2, y=line, points=FIGURE_POINTS)
            for (_, text), at, wide in zip(figures, spread, widths, strict=True)
        ]
        leaders = [
            Stroke(points=((tick, y - 1.4), (tick, y), (at, head))) for tick, at in zip(ticks, spread, strict=True)
        ]
        return Zone(line + _BELOW_LETTER * size, tuple(texts), tuple(leaders))
    at, rows = _turned_rows(ticks, _pitch(FIGURE_POINTS), width)
    deep = max(widths) - _AIR + 0.6
    head = y + _LEADER
    texts, leaders = [], []
    for i, ((tick, text), centre) in enumerate(zip(figures, at, strict=True)):
        start = head + deep * (i % rows)
        foot = start + 0.4 + text_mm(text, FIGURE_POINTS)
        texts.append(_turned(text, centre, foot, FIGURE_POINTS))
        leaders.append(Stroke(points=((tick, y - 1.4), (tick, y), (centre, head), (centre, start))))
    return Zone(head + deep * rows + 0.4, tuple(texts), tuple(leaders))


def _turned(text: str, centre: float, y: float, points: float, *, bold: bool = False) -> Lettering:
    """A text that reads upwards from ``y``, its letters around ``centre``."""
    shift = (_ABOVE_LETTER - _BELOW_LETTER) / 2 * points * POINT_MM
    return Lettering(text=text, x=centre + shift, y=y, points=points, bold=bold, turned=True)


def _pitch(points: float) -> float:
    """Distance of turned texts that stand in one row. [mm]"""
    return (_ABOVE_LETTER + _BELOW_LETTER) * points * POINT_MM + 0.4


def _turned_rows(wanted: Sequence[float], pitch: float, width: float) -> tuple[list[float], int]:
    """Where turned texts stand, in one row or, each second one lower, in two, with room for a leader between two."""
    for rows in (1, 2):
        edge = (pitch - pitch / rows) / 2
        spread = _spread(wanted, [pitch / rows] * len(wanted), edge, width - edge)
        if spread is not None:
            return spread, rows
    raise ValueError("more texts than two rows hold")


def _farthest(placed: Sequence[float], wanted: Sequence[float]) -> float:
    return max(abs(at - want) for at, want in zip(placed, wanted, strict=True))


def _spread(wanted: Sequence[float], widths: Sequence[float], low: float, high: float) -> list[float] | None:
    """Centres in the wanted order, as near to the wanted ones as leaves each its width; None without room for all.

    References
    ----------
    Pooling of adjacent violators: M. Ayer and others, An empirical distribution function for sampling with
    incomplete information, Annals of Mathematical Statistics 26 (1955) 641-647.
    """
    if sum(widths) > high - low:
        return None
    offsets, reached = [], 0.0
    for wide in widths:
        offsets.append(reached + wide / 2)
        reached += wide
    pools: list[tuple[float, int]] = []
    for want, offset in zip(wanted, offsets, strict=True):
        mean, count = want - offset, 1
        while pools and pools[-1][0] > mean:
            before, members = pools.pop()
            mean = (before * members + mean * count) / (members + count)
            count += members
        pools.append((mean, count))
    starts = [min(max(mean, low), high - reached) for mean, count in pools for _ in range(count)]
    return [start + offset for start, offset in zip(starts, offsets, strict=True)]


# --- writing it down --------------------------------------------------------------------------------------------


def rectangle(left: float, top: float, right: float, bottom: float) -> tuple[Point, ...]:
    return (left, top), (right, top), (right, bottom), (left, bottom)


def _mm(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")


def _pen(stroke: Stroke) -> tuple[str, float, bool]:
    """What strokes have in common that are written as one: a hatching is then one element, not one for each line."""
    return stroke.fill, stroke.thick, stroke.dashed


def _lines(strokes: Sequence[Stroke]) -> str:
    fill, thick, dashed = _pen(strokes[0])
    paths = ("M" + "L".join(f"{_mm(x)} {_mm(y)}" for x, y in stroke.points) for stroke in strokes)
    if fill:
        return "\n".join(f'<path d="{path}Z" fill="{fill}"/>' for path in paths)
    dashes = ' stroke-dasharray="0.8 0.6"' if dashed else ""
    return f'<path d="{"".join(paths)}" fill="none" stroke="#000" stroke-width="{_mm(thick)}"{dashes}/>'


def _text(text: Lettering, keep_widths: bool) -> str:
    x, y = _mm(text.x), _mm(text.y)
    look = ' font-weight="bold"' if text.bold else ""
    look += ' fill="#fff"' if text.white else ""
    look += f' transform="rotate(-90 {x} {y})"' if text.turned else ""
    look += f' textLength="{_mm(text.width)}" lengthAdjust="spacingAndGlyphs"' if keep_widths else ""
    return f'<text x="{x}" y="{y}" font-size="{_mm(text.points * POINT_MM)}"{look}>{escape(text.text)}</text>'
