"""The sheet to mark out and drill from: the marking cards as tables, without their drawings."""

from __future__ import annotations

from dataclasses import replace

from cutplan.reports.cards import CAUTION, DRILLING_SAFETY, HOW_TO_READ, MARK_FIRST, in_all
from cutplan.reports.cells import Book, Look
from cutplan.reports.page import BOLD_CELL, COUNT_CELL, DRILL, TEXT_CELL, TICK_CELL, Field, Page, widths_of
from cutplan.reports.rows import Rows


def write_mark_sheet(book: Book, rows: Rows, paper: int) -> None:
    """One block per part with holes or landings: what to mark out, then which drills."""
    unit = "mm" if rows.workshop.unit == "mm" else "inches"
    marks = (
        Field(head="side", width=9, look=BOLD_CELL),
        Field(head="holes", width=8, look=COUNT_CELL),
        Field(head=f"from end A, {unit}", width=38, look=replace(BOLD_CELL, size=12)),
        Field(head="across", width=24),
        Field(head="hole", width=32),
        Field(head="note", width=22),
        Field(head="done", width=13, look=TICK_CELL),
    )
    drills = (
        replace(marks[0], head="each", look=COUNT_CELL),
        replace(marks[1], head="in all"),
        replace(marks[2], head="drill", look=BOLD_CELL),
        replace(marks[3], head="nearest metric drill"),
        replace(marks[4], head="nearest inch drill"),
        replace(marks[5], head="size after"),
        replace(marks[6], head="pilot first", look=TEXT_CELL),
    )
    page = Page(book, rows, DRILL, widths_of(marks))
    for line in (HOW_TO_READ, MARK_FIRST, DRILLING_SAFETY, *in_all(rows.cards)):
        page.line(line, Look(size=9), 14)
    if any(card.cautions for card in rows.cards):
        page.line(CAUTION, Look(size=9), 14)
    for card in rows.cards:
        page.gap()
        page.line(f"{card.mark}: {card.pieces} off, {card.what}, {card.length}", Look(size=12, bold=True), 18)
        for line in card.looks:
            page.line(line, Look(size=9), 14)
        page.heads(marks)
        for row in card.marks:
            page.cells(marks, [row.face, row.count, row.places, row.across, row.hole, row.note, None])
        if card.drills:
            page.heads(drills)
        for each in card.drills:
            values = [each.each, each.in_all, each.hole, each.metric, each.inch, each.standard, each.pilot]
            page.cells(drills, values)
        for line in card.jigs:
            page.line(line, Look(bold=True))
        for line in card.cautions:
            page.line(f"Look: {line}")
    page.finish(paper, landscape=True)
