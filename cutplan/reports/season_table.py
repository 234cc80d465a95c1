"""A season under several sets of keys as csv and as a picture: what was paid, and how full the rack was job by job."""

from __future__ import annotations

from fractions import Fraction

from cutplan.reports.csv_text import csv_bytes
from cutplan.reports.svg import Lettering, Placed, Stroke, rectangle, written
from cutplan.units import counted
from cutplan.words.season_words import COLUMNS, Season, Tried, draw_values, paid_heading, paid_range, season_text

_WIDTH, _NAMES = 180.0, 62.0
_TOP, _ROW, _CHART = 18.0, 28.0, 20.0
"""Of the picture: its width, room for the words of a row; height of its head, of a row and of the chart in it. [mm]"""


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
    """A row for each set of keys: what it came to, and the pieces on the rack after each job, all to one scale.

    The line is the mean over the draws, the grey field reaches from the draw with fewest pieces to that with most.
    """
    most = max((draw.most_pieces for tried in season.tried for draw in tried.draws), default=0) or 1
    draws = len(season.tried[0].draws)
    heading = paid_heading(season)
    texts = [
        Lettering(text=f"{heading[0].upper()}{heading[1:]}, and pieces on the rack", x=2, y=6, points=11, bold=True),
        Lettering(text=_how(season, draws), x=2, y=11.5, points=8),
    ]
    strokes: list[Stroke] = []
    for place, tried in enumerate(season.tried):
        foot = _TOP + place * _ROW + _CHART
        texts += _row_words(season, tried, foot - _CHART)
        texts.append(Lettering(text=str(most), x=_NAMES - 7, y=foot - _CHART + 2.8, points=8))
        texts.append(Lettering(text="0", x=_NAMES - 7, y=foot, points=8))
        strokes += _chart(tried, foot, most)
    height = _TOP + len(season.tried) * _ROW
    texts.append(Lettering(text=f"job 1 to {season.jobs}", x=_NAMES, y=height - 3, points=8))
    placed = Placed(width=_WIDTH, height=height, strokes=tuple(strokes), leaders=(), texts=tuple(texts))
    return written(placed, " ".join(season_text(season).split()), keep_widths=True).encode()


def _how(season: Season, draws: int) -> str:
    over = counted(season.jobs, "job") + " one after another"
    if draws == 1:
        return f"{over}; line: pieces after each job"
    return f"{over}, drawn {draws} times; line: mean of the pieces after each job; grey: from fewest to most"


def _row_words(season: Season, tried: Tried, top: float) -> list[Lettering]:
    lines = [tried.words if len(tried.words) <= 30 else f"{tried.words[:29]}…", *paid_range(season, tried)]
    return [
        Lettering(text=line, x=2, y=top + 4 + 5 * number, points=9, bold=not number)
        for number, line in enumerate(lines)
    ]


def _chart(tried: Tried, foot: float, most: int) -> list[Stroke]:
    counts = list(zip(*(draw.over_time for draw in tried.draws), strict=True))
    right = _WIDTH - 2
    step = (right - _NAMES) / max(1, len(counts))

    def height(pieces: int | Fraction) -> float:
        return foot - _CHART * float(pieces) / most

    # After a job the rack stays as it is until the next: a stair, not a slope.
    def stair(levels: list[float]) -> list[tuple[float, float]]:
        return [(_NAMES + step * edge, level) for place, level in enumerate(levels) for edge in (place, place + 1)]

    highest = stair([height(max(each)) for each in counts])
    lowest = stair([height(min(each)) for each in counts])
    means = stair([height(Fraction(sum(each), len(each))) for each in counts])
    frame = rectangle(_NAMES, foot - _CHART, right, foot)
    grey = [Stroke(points=(*highest, *reversed(lowest)), fill="#c8c8c8")] if highest != lowest else []
    return [*grey, Stroke(points=(*frame, frame[0]), thick=0.16), Stroke(points=tuple(means), thick=0.5)]
