"""A season under several sets of keys as csv and as pictures: what was paid and scrapped so far and how full the rack
was, job by job.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from itertools import accumulate

from cutplan.reports.csv_text import csv_bytes
from cutplan.reports.svg import Lettering, Placed, Stroke, rectangle, written
from cutplan.units import counted, mass_figure, money_text
from cutplan.words.season_words import (
    COLUMNS,
    Draw,
    Season,
    Tried,
    draw_values,
    paid_heading,
    paid_range,
    priced,
    season_text,
    spent_by_job,
)

_WIDTH, _NAMES = 180.0, 62.0
_TOP, _HEADING, _ROW, _CHART = 18.0, 7.0, 28.0, 20.0
"""Of the picture: its width, room for the words of a row; height of its head, of the heading in it, of a row and of the
chart in that. [mm]
"""

_ON_A_PAGE = 7
"""Rows that with the head of the picture and the heading above it are not longer than a page of either paper."""

_PIECES = "pieces on the rack"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Scale:
    """What of a draw is drawn after each job, what its axis is called, and how its figures are written."""

    axis: str
    levels: Callable[[Draw], Sequence[int]]
    shown: Callable[[int], str]


def season_csv(season: Season) -> bytes:
    """A line for each set of keys and draw; money as exact decimals, masses in kg, lengths in mm."""
    lines = [["keys", "draw", *COLUMNS]]
    for tried in season.tried:
        for number, draw in enumerate(tried.draws, 1):
            values = draw_values(draw)
            cells = ("" if values[name] is None else str(values[name]) for name in COLUMNS)
            lines.append([tried.words, str(number), *cells])
    return csv_bytes(lines)


def season_picture(season: Season) -> bytes:
    """A row for each set of keys: what it came to, and the pieces on the rack after each job, all to one scale."""
    scale = _Scale(axis=_PIECES, levels=lambda draw: draw.over_time, shown=str)
    heading = f"{_capital(paid_heading(season))}, and {_PIECES}"
    return _picture(season, season.tried, heading, scale, partial(paid_range, season))


def season_pictures(season: Season) -> tuple[tuple[str, str], ...]:
    """Pieces on the rack, what was paid and what was scrapped so far, each with what its heading is to be.

    Of many sets of keys each of the three is in several pictures, to one scale, that fit on a page each.
    """
    how = season.workshop.printing

    def spent(draw: Draw) -> tuple[int, ...]:
        return tuple(accumulate(spent_by_job(season, draw)))

    def scrapped(draw: Draw) -> tuple[int, ...]:
        return tuple(accumulate(draw.scrapped))

    def mass(amount: int) -> str:
        return mass_figure(amount, how)

    money = money_text if priced(season) else mass
    what, unit = paid_heading(season).rsplit(" ", 1)
    scales = (
        _Scale(axis=_PIECES, levels=lambda draw: draw.over_time, shown=str),
        _Scale(axis=f"{what} so far, {unit}", levels=spent, shown=money),
        _Scale(axis=f"scrap so far, {how.mass_unit}", levels=scrapped, shown=mass),
    )
    pages = [season.tried[begin : begin + _ON_A_PAGE] for begin in range(0, len(season.tried), _ON_A_PAGE)]
    return tuple(
        (
            _capital(scale.axis) + (f", {number} of {len(pages)}" if len(pages) > 1 else ""),
            _picture(season, rows, "", scale, partial(_in_the_end, scale)).decode(),
        )
        for scale in scales
        for number, rows in enumerate(pages, 1)
    )


def _in_the_end(scale: _Scale, tried: Tried) -> list[str]:
    """What stands after the last job, and from the least to the most among several draws."""
    last = [scale.levels(draw)[-1] for draw in tried.draws]
    lines = [f"in the end {scale.shown(round(Fraction(sum(last), len(last))))}"]
    return lines + [f"from {scale.shown(min(last))} to {scale.shown(max(last))}"] * (len(last) > 1)


def _capital(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}"


def _picture(
    season: Season,
    rows: Sequence[Tried],
    heading: str,
    scale: _Scale,
    beside: Callable[[Tried], list[str]],
) -> bytes:
    """A row for each of some sets of keys, with words ``beside`` a chart of something after each job, to one scale.

    Where ``heading`` is blank it stands above the picture.

    The line is the mean over the draws, the grey field reaches from the draw with least to that with most.
    """
    most = max((max(scale.levels(draw)) for tried in season.tried for draw in tried.draws), default=0) or 1
    draws = len(season.tried[0].draws)
    top = _TOP if heading else _TOP - _HEADING
    texts = [
        Lettering(text=_how(season, draws), x=2, y=top - 6.5, points=8),
        Lettering(text=scale.axis, x=_NAMES, y=top - 1.2, points=8),
    ]
    if heading:
        texts.append(Lettering(text=heading, x=2, y=6, points=11, bold=True))
    strokes: list[Stroke] = []
    for place, tried in enumerate(rows):
        foot = top + place * _ROW + _CHART
        figures = [
            Lettering(text=scale.shown(number) if number else "0", x=0, y=y, points=8)
            for number, y in ((most, foot - _CHART + 2.8), (0, foot))
        ]
        texts += [replace(figure, x=_NAMES - 1 - figure.width) for figure in figures]
        room = _NAMES - 4 - max(figure.width for figure in figures)
        texts += _row_words(tried, beside(tried), foot - _CHART, room)
        strokes += _chart([scale.levels(draw) for draw in tried.draws], foot, most)
    height = top + len(rows) * _ROW
    texts.append(Lettering(text=_job(season, 1), x=_NAMES, y=height - 4, points=8))
    if season.jobs > 1:
        last = Lettering(text=_job(season, season.jobs), x=0, y=height - 4, points=8)
        texts.append(replace(last, x=_WIDTH - 2 - last.width))
    placed = Placed(width=_WIDTH, height=height, strokes=tuple(strokes), leaders=(), texts=tuple(texts))
    return written(placed, " ".join(season_text(season).split()), keep_widths=True).encode()


def _job(season: Season, number: int) -> str:
    return f"job {number}, {season.days[number - 1]}" if season.days else f"job {number}"


def _how(season: Season, draws: int) -> str:
    over = counted(season.jobs, "job") + " one after another"
    if draws == 1:
        return f"{over}; line: after each job"
    return f"{over}, drawn {draws} times; line: mean after each job; grey: from least to most"


def _row_words(tried: Tried, below: Sequence[str], top: float, room: float) -> list[Lettering]:
    """Words beside a chart, the keys as far as two lines have room for them. [mm]"""
    lines = [(line, True) for line in _folded(tried.words, room - 2)] + [(line, False) for line in below]
    return [
        Lettering(text=text, x=2, y=top + 4 + 5 * place, points=9, bold=bold)
        for place, (text, bold) in enumerate(lines)
    ]


def _folded(words: str, room: float) -> list[str]:
    """Words in one line or two, what is too much for these left out. [mm]"""

    def fits(text: str) -> bool:
        return Lettering(text=text, x=0, y=0, points=9, bold=True).width <= room

    if fits(words):
        return [words]
    shown = max(number for number in range(len(words)) if fits(words[:number]))
    first = words[: words.rfind(" ", 0, shown + 1)] if " " in words[: shown + 1] else words[:shown]
    second = words[len(first) :].lstrip()
    if not fits(second):
        second = max((f"{second[:number]}…" for number in range(len(second)) if fits(f"{second[:number]}…")), key=len)
    return [first, second]


def _chart(draws: Sequence[Sequence[int]], foot: float, most: int) -> list[Stroke]:
    counts = list(zip(*draws, strict=True))
    right = _WIDTH - 2
    step = (right - _NAMES) / max(1, len(counts))

    def height(level: int | Fraction) -> float:
        return foot - _CHART * float(level) / most

    # After a job all stays as it is until the next: a stair, not a slope.
    def stair(levels: list[float]) -> list[tuple[float, float]]:
        return [(_NAMES + step * edge, level) for place, level in enumerate(levels) for edge in (place, place + 1)]

    highest = stair([height(max(each)) for each in counts])
    lowest = stair([height(min(each)) for each in counts])
    means = stair([height(Fraction(sum(each), len(each))) for each in counts])
    frame = rectangle(_NAMES, foot - _CHART, right, foot)
    grey = [Stroke(points=(*highest, *reversed(lowest)), fill="#c8c8c8")] if highest != lowest else []
    return [*grey, Stroke(points=(*frame, frame[0]), thick=0.16), Stroke(points=tuple(means), thick=0.5)]
