"""The data of the marking cards."""

from __future__ import annotations

from typing import Any

from cutplan.reports.cards import CAUTION, DRAWING_KEY, DRILLING_SAFETY, HOW_TO_READ, MARK_FIRST, CardRow, in_all
from cutplan.reports.lettering import printable, text_mm
from cutplan.units import Printing

_LINES_MM = 150.0
"""Running dimensions longer than this, two lines of their column, get the width of the card."""


def marking_sheet(cards: tuple[CardRow, ...], how: Printing, width: float) -> dict[str, Any]:
    """The sheet to mark out and drill from, ``width`` millimetres between its margins."""
    figures = "mm" if how.unit == "mm" else "inches"
    return {
        "kind": "marking",
        "step": "",
        "anchor": "",
        "title": "Drill",
        "lines": [
            f"Figures in {figures}. {HOW_TO_READ}",
            f"{MARK_FIRST} {DRAWING_KEY}",
            DRILLING_SAFETY,
            *in_all(cards),
        ],
        "caution": CAUTION,
        "cards": [_card(card, how, width) for card in cards],
    }


def _card(card: CardRow, how: Printing, width: float) -> dict[str, Any]:
    return {
        "mark": printable(card.mark),
        "pieces": f"{card.pieces} off",
        "what": printable(", ".join(words for words in (card.what, card.assembly) if words)),
        "length": card.length,
        "looks": list(card.looks),
        "svg": card.svg(how, width),
        "words": printable(card.words(how)),
        "marks": [
            {
                "face": row.face,
                "places": row.places,
                "long": text_mm(row.places, 13, bold=True) > _LINES_MM,
                "across": row.across,
                "hole": row.hole,
                "count": f"{row.count} x",
                "note": printable(row.note),
            }
            for row in card.marks
        ],
        "drills": [
            {
                "hole": row.hole,
                "each": str(row.each),
                "all": str(row.in_all),
                "metric": row.metric,
                "inch": row.inch,
                "standard": row.standard,
                "pilot": row.pilot,
            }
            for row in card.drills
        ],
        "jigs": [printable(text) for text in card.jigs],
        "cautions": list(card.cautions),
    }
