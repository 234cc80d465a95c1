"""A bar on paper or on a page, to scale in its length: mitres run as far along the bar as they do in steel.

What kind a stretch is shows by its fill (solid, hatched, crossed), never by a colour. The figures stand in the lines
below the drawing and not in it, so that none of them crowds another.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from cutplan.reports.drawing import BarDrawing, Kind, Stretch
from cutplan.reports.lettering import POINT_MM, printable, text_mm
from cutplan.reports.svg import Lettering, Placed, Stroke, rectangle, spread, written

BAR_HEIGHT = 6.4
LABEL_POINTS = (10.0, 9.0, 8.0)
NARROWEST = 87.0
"""At this width the smallest letters are still 12 pixels high on a telephone 390 wide. [mm]"""

_EDGE, _START = 0.8, 1.6
"""Air at both ends of the bar, and thickness of the line at START. [mm]"""
_AIR = 1.2
_HATCH = 2.2
_LEADER, _LONGEST_LEADER = 1.8, 22.0
_PLATE = 0.5

Along = Callable[[float], float]


def bar_svg(drawing: BarDrawing, width: float, *, keep_widths: bool = False) -> str:
    """The drawing as SVG, ``width`` millimetres wide.

    Parameters
    ----------
    width
        At least :data:`NARROWEST`. [mm]
    keep_widths
        States how wide each text is, for a reader that may lack the font and takes another.
    """
    return written(place(drawing, width), drawing.words, keep_widths=keep_widths)


def place(drawing: BarDrawing, width: float) -> Placed:
    """Where every line and every text of a drawing goes."""
    left, right = _EDGE, width - _EDGE

    def x(at: float) -> float:
        return left + at / drawing.length * (right - left)

    inside, outside = _labels(drawing, x)
    above = _above(outside, width)
    top = above.depth
    bottom = top + BAR_HEIGHT
    outline = rectangle(left, top, right, bottom)
    start: tuple[tuple[float, float], ...] = ((left, top - 0.4), (left, bottom + 1.2))
    if drawing.on_slant:
        lower, upper, _, _ = _corners(drawing.stretches[0], x, top)
        outline, start = (upper, (right, top), (right, bottom), lower), (lower, upper)
    texts = [Lettering(text=one.text, x=one.x, y=top + one.y, points=one.points, bold=True) for one in inside]
    strokes = [
        Stroke(points=outline, fill="#bbb"),
        *(stroke for stretch in drawing.stretches for stroke in _stretch(stretch, x, top)),
        *_cuts(drawing, x, top),
        *(Stroke(points=_plate(text), fill="#fff") for text in texts),
        Stroke(points=(*outline, outline[0]), thick=0.4),
        Stroke(points=start, thick=_START),
        *(_hold(x(start), x(end), bottom) for start, end in drawing.holds),
    ]
    return Placed(
        width=width,
        height=bottom + 1.5,
        strokes=tuple(strokes),
        leaders=above.leaders,
        texts=(*texts, *above.texts),
    )


def _hold(start: float, end: float, bottom: float) -> Stroke:
    return Stroke(points=((start, bottom + 0.9), (end, bottom + 0.9)), thick=0.8, dashed=True)


# --- inside the bar ---------------------------------------------------------------------------------------------


def _stretch(stretch: Stretch, x: Along, top: float) -> Iterator[Stroke]:
    """Fill and holes of one stretch."""
    first, last, bottom = x(stretch.start), x(stretch.end), top + BAR_HEIGHT
    if stretch.kind is Kind.KERF:
        return
    if stretch.kind is Kind.END_TRIM:
        yield Stroke(points=rectangle(first, top, last, bottom), fill="#000")
        return
    yield Stroke(points=_corners(stretch, x, top), fill="#fff")
    if stretch.kind in (Kind.KEEP, Kind.SCRAP):
        yield from _hatching(first, top, last, bottom, rising=True)
    if stretch.kind is Kind.SCRAP:
        yield from _hatching(first, top, last, bottom, rising=False)
    for hole in stretch.holes:
        yield Stroke(points=rectangle(x(hole) - 0.25, top + 0.3, x(hole) + 0.25, top + 1.4), fill="#000")


def _corners(stretch: Stretch, x: Along, top: float) -> tuple[tuple[float, float], ...]:
    """Lower left, upper left, upper right, lower right."""
    bottom, (start, end) = top + BAR_HEIGHT, stretch.long_points
    far_top, far_bottom = (end, end - stretch.run_end) if stretch.end_up else (end - stretch.run_end, end)
    near_top, near_bottom = (start, start + stretch.run_start)[:: 1 if stretch.start_up else -1]
    return (x(near_bottom), bottom), (x(near_top), top), (x(far_top), top), (x(far_bottom), bottom)


def _cuts(drawing: BarDrawing, x: Along, top: float) -> Iterator[Stroke]:
    """A line at both ends of every part, where it is sawn or where the bar ends."""
    for stretch in drawing.stretches:
        if stretch.kind is Kind.PART:
            lower, upper, far_upper, far_lower = _corners(stretch, x, top)
            yield Stroke(points=(lower, upper), thick=0.35)
            yield Stroke(points=(far_upper, far_lower), thick=0.35)


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


def _plate(text: Lettering) -> tuple[tuple[float, float], ...]:
    """White behind a text, so that no line runs through it."""
    left, top, right, bottom = text.box
    return rectangle(left - _PLATE, top, right + _PLATE, bottom)


# --- labels -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Outside:
    """What found no room in the bar: from where to where it is, and its words. [mm]"""

    first: float
    last: float
    text: str


def _labels(drawing: BarDrawing, x: Along) -> tuple[list[Lettering], list[_Outside]]:
    """A label in every part that has room for one; else one for a run of parts alike, in it or above the bar."""
    inside: list[Lettering] = []
    outside: list[_Outside] = []
    shown = [stretch for stretch in drawing.stretches if stretch.label]
    for label, run in groupby(shown, key=lambda stretch: stretch.label):
        alike = list(run)
        each = [_fitting(label, *map(x, _both_sides(one))) for one in alike]
        fitted = [one for one in each if one is not None]
        if len(fitted) == len(alike):
            inside += fitted
            continue
        first, last = x(alike[0].start), x(alike[-1].end)
        text = f"{len(alike)} x {label}" if len(alike) > 1 else label
        whole = _fitting(text, first, last) if len(alike) > 1 else None
        if whole is not None:
            inside.append(whole)
        elif alike[0].kind is Kind.PART:
            outside.append(_Outside(first, last, printable(text)))
    return inside, outside


def _both_sides(stretch: Stretch) -> tuple[float, float]:
    """From where to where both its sides are there."""
    start, end = stretch.long_points
    return start + stretch.run_start, end - stretch.run_end


def _fitting(label: str, left: float, right: float) -> Lettering | None:
    """The label in the middle of a stretch in the largest size that fits, from the top of the bar; None where none."""
    text = printable(label)
    for points in LABEL_POINTS:
        wide = text_mm(text, points, bold=True)
        if wide + 2 * _AIR <= right - left:
            y = BAR_HEIGHT / 2 + 0.36 * points * POINT_MM
            return Lettering(text=text, x=(left + right - wide) / 2, y=y, points=points, bold=True)
    return None


@dataclass(frozen=True, slots=True)
class _Zone:
    """Texts above the bar, how much height they take, and the lines that lead from them. [mm]"""

    depth: float
    texts: tuple[Lettering, ...] = ()
    leaders: tuple[Stroke, ...] = ()


def _above(outside: Sequence[_Outside], width: float) -> _Zone:
    """One line of labels above the bar; none where they have no room, because the lines below name every part."""
    points = LABEL_POINTS[-1]
    widths = [text_mm(one.text, points, bold=True) + 2 * _AIR for one in outside]
    middles = [(one.first + one.last) / 2 for one in outside]
    placed = spread(middles, widths, 0, width) if outside else None
    if placed is None or max(abs(at - middle) for at, middle in zip(placed, middles, strict=True)) > _LONGEST_LEADER:
        return _Zone(0.6)
    line = 0.8 * points * POINT_MM
    foot = line + 0.3 * points * POINT_MM
    top = foot + _LEADER
    texts = [
        Lettering(text=one.text, x=at - wide / 2 + _AIR, y=line, points=points, bold=True)
        for one, at, wide in zip(outside, placed, widths, strict=True)
    ]
    leaders = [
        Stroke(points=((middle, top + 0.8), (middle, top), (at, foot)))
        for middle, at in zip(middles, placed, strict=True)
    ]
    return _Zone(top, tuple(texts), tuple(leaders))
