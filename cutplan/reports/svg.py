"""Lines and texts in their places on paper, every text by its true width, and how they are written as SVG.

Millimetres of paper from the top left corner; black, white and one grey.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from xml.sax.saxutils import escape, quoteattr

from cutplan.reports.lettering import FAMILY, POINT_MM, STRETCH, text_mm

FIGURE_POINTS = 11.0
"""Size of a running dimension: to be read at arm's length beside the saw."""

UPRIGHT = 1.0
"""How far a leader leads straight down before it may bend. [mm]"""
_LEADER, _STRAIGHT = 3.2, 0.3
"""How far a leader reaches that bends, and by how much a text may stand aside before its leader does. [mm]"""
_LONGEST_LEADER = 22.0
_ABOVE_LETTER, _BELOW_LETTER = 0.76, 0.24
"""How far letters reach above and below their line, over the size of the font."""

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


@dataclass(frozen=True, slots=True)
class Zone:
    """Texts on one side of the bar, how deep they reach, and the lines that lead to them. [mm]"""

    depth: float
    texts: tuple[Lettering, ...] = ()
    leaders: tuple[Stroke, ...] = ()


def figures_below(figures: Sequence[tuple[float, str]], width: float, y: float) -> Zone:
    """Running dimensions below the bar: in one line where they fit, else turned, in two rows if need be."""
    size = FIGURE_POINTS * POINT_MM
    ticks = [at for at, _ in figures]
    # A digit's width lies between two figures; where one has a space in it, twice that.
    air = text_mm("0", FIGURE_POINTS) * (2 if any(" " in text for _, text in figures) else 1)
    widths = [text_mm(text, FIGURE_POINTS) + air for _, text in figures]
    placed = spread(ticks, widths, 0, width)
    if placed is not None and _farthest(placed, ticks) < _LONGEST_LEADER:
        head = y + (_LEADER * 0.8 if _farthest(placed, ticks) > _STRAIGHT else 0)
        line = head + 0.4 + _ABOVE_LETTER * size
        texts = [
            Lettering(text=text, x=at - (wide - air) / 2, y=line, points=FIGURE_POINTS)
            for (_, text), at, wide in zip(figures, placed, widths, strict=True)
        ]
        leaders = [
            Stroke(points=((tick, y - UPRIGHT), (tick, y), (at, head))) for tick, at in zip(ticks, placed, strict=True)
        ]
        return Zone(line + _BELOW_LETTER * size, tuple(texts), tuple(leaders))
    at, rows = _turned_rows(ticks, _pitch(FIGURE_POINTS), width)
    deep = max(widths) - air + 0.6
    head = y + _LEADER
    texts, leaders = [], []
    for i, ((tick, text), centre) in enumerate(zip(figures, at, strict=True)):
        start = head + deep * (i % rows)
        foot = start + 0.4 + text_mm(text, FIGURE_POINTS)
        texts.append(_turned(text, centre, foot, FIGURE_POINTS))
        leaders.append(Stroke(points=((tick, y - UPRIGHT), (tick, y), (centre, head), (centre, start))))
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
        placed = spread(wanted, [pitch / rows] * len(wanted), edge, width - edge)
        if placed is not None:
            return placed, rows
    raise ValueError("more texts than two rows hold")


def _farthest(placed: Sequence[float], wanted: Sequence[float]) -> float:
    return max(abs(at - want) for at, want in zip(placed, wanted, strict=True))


def spread(wanted: Sequence[float], widths: Sequence[float], low: float, high: float) -> list[float] | None:
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
