"""Jobs held against their quotes as csv and as a picture: what was quoted beside what it came to."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cutplan.costing.cost_figures import MINUTE
from cutplan.model import Workshop
from cutplan.reports.csv_text import csv_bytes
from cutplan.reports.svg import Lettering, Placed, Stroke, rectangle, written
from cutplan.units import Money, money_text
from cutplan.units.quantities import plain_text
from cutplan.words.outcome_words import HEADINGS, YearRow

_WIDTH, _NAMES, _AMOUNTS = 180.0, 52.0, 26.0
_BAR, _ROW, _TOP = 4.0, 14.0, 16.0
"""Of the picture: its width, room for names and amounts, height of a bar and of a job, room for its head. [mm]"""


def cells_of(row: YearRow) -> list[str]:
    """A job as texts, amounts and minutes as plain decimals."""
    amounts = (row.price, row.quoted_cost, row.materials, row.cost, row.left)
    texts = [row.job, row.stage, row.day, row.customer, row.number]
    minutes = (row.quoted_minutes, row.minutes)
    return [
        *texts,
        *("" if amount is None else money_text(amount) for amount in amounts),
        *("" if each is None else plain_text(Fraction(each, MINUTE)) for each in minutes),
    ]


def year_csv(rows: Sequence[YearRow], workshop: Workshop) -> bytes:
    """A line for each job; amounts in the workshop's currency without tax, minutes exact."""
    heads = [f"{head} {workshop.currency}" if 5 <= place <= 9 else head for place, head in enumerate(HEADINGS)]
    return csv_bytes([heads, *map(cells_of, rows)])


def year_picture(rows: Sequence[YearRow], workshop: Workshop) -> bytes:
    """Two bars for each quoted job, the price in outline and what it came to filled, to one scale; one that is not
    recorded yet has only the first.
    """
    quoted = [row for row in rows if row.price is not None]
    most = max((max(row.price or 0, row.cost or 0) for row in quoted), default=0) or 1
    room = _WIDTH - _NAMES - _AMOUNTS
    texts = [
        Lettering(text=f"Quoted and come to, {workshop.currency} without tax", x=2, y=6, points=11, bold=True),
        Lettering(text="outline: price; filled: what it came to", x=2, y=11, points=8),
    ]
    strokes = []
    for place, row in enumerate(quoted):
        top = _TOP + place * _ROW
        texts.append(Lettering(text=_shortened(row.job), x=2, y=top + _BAR, points=9, bold=True))
        texts.append(Lettering(text=" ".join(filter(None, (row.number, row.day))), x=2, y=top + 2 * _BAR, points=7))
        bars = [(row.price or 0, "")]
        if row.cost is None:
            texts.append(Lettering(text="not recorded yet", x=_NAMES + 1.5, y=top + 2 * _BAR + 0.4, points=8))
        else:
            bars.append((max(0, row.cost), "#404040"))
        for line, (amount, fill) in enumerate(bars):
            y = top + line * (_BAR + 1)
            right = _NAMES + room * amount / most
            corners = rectangle(_NAMES, y, right, y + _BAR)
            strokes.append(Stroke(points=(*corners, corners[0]), thick=0.3, fill=fill))
            texts.append(Lettering(text=money_text(amount), x=right + 1.5, y=y + _BAR - 0.6, points=8))
    if not quoted:
        texts.append(Lettering(text="no job is quoted", x=2, y=_TOP + _BAR, points=9))
    height = _TOP + max(1, len(quoted)) * _ROW
    placed = Placed(width=_WIDTH, height=height, strokes=tuple(strokes), leaders=(), texts=tuple(texts))
    words = "; ".join(f"{row.job}: price {_text(row.price)}, {_came_to(row)}" for row in quoted)
    return written(placed, words or "no job is quoted", keep_widths=True).encode()


def _came_to(row: YearRow) -> str:
    return "not recorded yet" if row.cost is None else f"came to {_text(row.cost)}"


def _text(amount: Money | None) -> str:
    return money_text(amount or 0)


def _shortened(name: str, most: int = 26) -> str:
    return name if len(name) <= most else f"{name[: most - 1]}…"
