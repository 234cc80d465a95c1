"""The data of the sheets to mark out and drill from: one table of drills for the job, then a card for each jig."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cutplan.reports.cards import (
    CAUTION,
    DRAWING_KEY,
    DRILLING_SAFETY,
    HOW_TO_READ,
    MARK_FIRST,
    CardRow,
    DrillRow,
    MarkRow,
)
from cutplan.reports.face_picture import face_pictures
from cutplan.reports.lettering import printable, text_mm
from cutplan.reports.paper.listing import Column, Part, alone, lesser, strong
from cutplan.reports.scale_drawing import NARROWEST
from cutplan.units import Printing
from cutplan.words.part_words import ONE_JIG, note_words

_PLACES_MM = 35.0
"""Running dimensions wider than this get a line of their own."""
_MOST_BOXES = 4
"""Pieces of a card that have a box each; of more there is room for strokes."""


def marking_sheet(
    cards: tuple[CardRow, ...], how: Printing, width: float, *, on_screen: bool = False
) -> dict[str, Any]:
    """The sheet to mark out and drill from, ``width`` millimetres between its margins; drawn twice for a screen."""
    figures = "mm" if how.unit == "mm" else "inches"
    families = [list(members) for members in families_of(cards)]
    return {
        "kind": "marking",
        "step": "",
        "anchor": "",
        "title": "Drill",
        "safety": [DRILLING_SAFETY],
        "lines": [f"Figures in {figures}. {HOW_TO_READ}", f"{MARK_FIRST} {DRAWING_KEY}"],
        "cautions": [CAUTION] if any(card.cautions for card in cards) else [],
        "pictures": face_pictures([card.card.part for card in cards], how),
        "drills": alone(_drills(cards)) if any(card.drills for card in cards) else None,
        "cards": [_card(family, how, width, on_screen) for family in families],
    }


def families_of(cards: Sequence[CardRow]) -> list[list[CardRow]]:
    """Parts whose cards say the same but for their marks, lengths and numbers: one card serves them."""
    alike: dict[object, list[CardRow]] = {}
    for card in cards:
        alike.setdefault((card.what, card.looks, card.marks, card.cautions), []).append(card)
    return list(alike.values())


def _card(family: Sequence[CardRow], how: Printing, width: float, on_screen: bool) -> dict[str, Any]:
    longest = max(family, key=lambda card: card.card.part.finished)
    pieces = sum(card.pieces for card in family)
    return {
        "marks": [
            {
                "mark": printable(card.mark),
                "pieces": f"{card.pieces} off",
                "length": card.length,
                "about": printable(": ".join(text for text in (card.assembly, note_words(card.card.part)) if text)),
            }
            for card in family
        ],
        "what": printable(family[0].section),
        "looks": [printable(line) for line in family[0].looks],
        "svg": longest.svg(how, width),
        "narrow": longest.svg(how, NARROWEST) if on_screen else "",
        "words": printable(longest.words(how)),
        "boxes": pieces if pieces <= _MOST_BOXES else 0,
        "pieces": pieces,
        "rows": [_mark(row) for row in family[0].marks],
        "jigs": [printable(line) for line in dict.fromkeys(line for card in family for line in card.jigs)]
        if len(family) == 1
        else [ONE_JIG],
        "cautions": [printable(line) for line in family[0].cautions],
    }


def _mark(row: MarkRow) -> dict[str, Any]:
    return {
        "face": row.face,
        "count": f"{row.count} x",
        "places": row.places,
        "long": text_mm(row.places, 11, bold=True) > _PLACES_MM,
        "across": row.across,
        "hole": row.hole,
        "note": printable(row.note),
        "short": f"from the short point {row.short}" if row.short else "",
        "from-b": f"from end B {row.from_b}" if row.from_b else "",
        "steps": ["pilot", "open"] if row.pilot else [""],
    }


def _drills(cards: Sequence[CardRow]) -> Part:
    """Every size once: how many holes, in which parts, which drill."""
    columns = (
        Column("hole", 48, snug=True),
        Column("holes", 12, "right", snug=True),
        Column("where: holes x parts"),
        Column("drill", 62, snug=True),
        Column("pilot first", 26, snug=True),
    )
    by_size: dict[str, list[tuple[CardRow, DrillRow]]] = {}
    for card in cards:
        for row in card.drills:
            by_size.setdefault(row.hole, []).append((card, row))
    table: list[list[Any]] = []
    for hole, uses in by_size.items():
        row = uses[0][1]
        where = ", ".join(
            f"{card.mark} {use.each}\N{NO-BREAK SPACE}x\N{NO-BREAK SPACE}{card.pieces}" for card, use in uses
        )
        in_all = str(sum(use.in_all for _, use in uses))
        table.append([strong(hole, 10), in_all, lesser(where), lesser(row.drill), row.pilot])
    return Part(columns=columns, rows=table)
