"""The sheet to mark out and drill from: the marking cards as tables, their faces drawn in characters.

A card is never divided by a page unless it is longer than one, and the head of a
table never parted from its first row. Page breaks are set by hand for that, and the
sheet printed at a fixed size, because a spreadsheet that is fitted to a page may
drop such breaks.
"""

from __future__ import annotations

from collections.abc import Set
from dataclasses import replace

from openpyxl.worksheet.pagebreak import Break

from cutplan.reports.cards import CAUTION, DRILLING_SAFETY, HOW_TO_READ, MARK_FIRST, CardRow, in_all
from cutplan.reports.rows import Rows
from cutplan.reports.workbook.cells import POINT_MM, Book, Look
from cutplan.reports.workbook.faceline import KEY, face_lines
from cutplan.reports.workbook.page import BOLD_CELL, COUNT_CELL, DRILL, TEXT_CELL, TICK_CELL, Field, Page, widths_of
from cutplan.words.part_words import note_words

SCALE = 92
"""Percent of full size: the columns then find room on Letter, the narrower paper, also where a program draws them 5 %
wider."""
PAGE_POINTS = 182 / POINT_MM * 100 / SCALE - 16
"""Height that A4 landscape leaves between the margins, less a little for rounded row heights; Letter has more."""
TITLE_ROWS = 2
_DRAWING_COLUMNS, _DRAWING_SIZE = 118, 9


def write_mark_sheet(book: Book, rows: Rows, paper: int, name: str = DRILL) -> None:
    """One block per part with holes or landings: what to mark out, then which drills; ``name`` is that of the sheet."""
    unit = "mm" if rows.workshop.unit == "mm" else "inches"
    marks = (
        Field(head="side", width=9, look=BOLD_CELL),
        Field(head="holes", width=8, look=COUNT_CELL),
        Field(head=f"from end A, {unit}", width=36, look=replace(BOLD_CELL, size=12)),
        Field(head="across", width=23),
        Field(head="hole", width=29),
        Field(head="note", width=20),
        Field(head="done", width=15, look=TICK_CELL),
    )
    drills = (
        replace(marks[0], head="each", look=COUNT_CELL),
        replace(marks[1], head="total"),
        replace(marks[2], head="drill", look=BOLD_CELL),
        replace(marks[3], head="nearest metric drill"),
        replace(marks[4], head="nearest inch drill"),
        replace(marks[5], head="size after"),
        replace(marks[6], head="pilot first", look=TEXT_CELL),
    )
    if rows.workshop.own_drills:
        drills = (*drills[:3], replace(drills[3], head="own drill"), replace(drills[4], head=""), *drills[5:])
    page = Page(book, rows, name, widths_of(marks), priced=False, title=DRILL)
    for line in (HOW_TO_READ, MARK_FIRST, KEY, DRILLING_SAFETY, *in_all(rows.cards)):
        page.line(line, Look(size=9), 14)
    if any(card.cautions for card in rows.cards):
        page.line(CAUTION, Look(size=9), 14)
    room = PAGE_POINTS - page.height(1, TITLE_ROWS + 1)
    used = page.height(TITLE_ROWS + 1, page.row)
    for card in rows.cards:
        first = page.row
        bound = _card(page, card, marks, drills)
        used = _break_pages(page, first, bound, used, room)
    page.finish(paper, landscape=True, title_rows=TITLE_ROWS, scale=SCALE)


def _card(page: Page, card: CardRow, marks: tuple[Field, ...], drills: tuple[Field, ...]) -> Set[int]:
    """Write a card; returns the rows that belong to the row above them."""
    first = page.row
    page.gap()
    page.line(f"{card.mark}: {card.pieces} off, {card.what}, {card.length}", Look(size=12, bold=True), 18)
    about = ": ".join(text for text in (card.assembly, note_words(card.card.part)) if text)
    if about:
        page.line(about, Look(size=9), 14)
    for line in card.looks:
        page.line(line, Look(size=9), 14)
    page.drawn(face_lines(card.card, page.rows.workshop.printing, _DRAWING_COLUMNS), _DRAWING_SIZE)
    page.heads(marks)
    bound = set(range(first + 1, page.row + 1))
    for row in card.marks:
        note = ". ".join(text for text in (row.note, row.from_b and f"from end B {row.from_b}") if text)
        done = "pilot      open" if row.pilot else None
        page.cells(marks, [row.face, row.count, row.places, row.across, row.hole, note, done])
    if card.drills:
        page.heads(drills)
        bound.add(page.row)
    for each in card.drills:
        named = [each.own, ""] if each.own else [each.metric, each.inch]
        values = [each.each, each.in_all, each.hole, *named, each.standard, each.pilot]
        page.cells(drills, values)
    for line in card.jigs:
        page.line(line, Look(bold=True))
    for line in card.cautions:
        page.line(f"Look: {line}")
    return bound


def _break_pages(page: Page, first: int, bound: Set[int], used: float, room: float) -> float:
    """Begin a new page where the card that begins at ``first`` needs one; returns what it leaves used. [points]"""
    if used and used + page.height(first, page.row) > room:
        page.sheet.row_breaks.append(Break(id=first - 1))
        used = 0.0
    start = first
    for row in range(first + 1, page.row + 1):
        if row < page.row and row in bound:
            continue
        height = page.height(start, row)
        if used and used + height > room:
            page.sheet.row_breaks.append(Break(id=start - 1))
            used = 0.0
        used += height
        start = row
    return used
