"""The sheets of each of several jobs planned together, and the one by which their parts are kept apart at the saw."""

from __future__ import annotations

from typing import Any

from cutplan.reports import extent
from cutplan.reports.lettering import printable
from cutplan.reports.other_rows import NO_PRICE, TITLE
from cutplan.reports.own_rows import OwnRows
from cutplan.reports.paper.after_saw import LAY_OUT, WHICH_PART, kits_sheet, parts_tables
from cutplan.reports.paper.drill_sheets import marking_sheet
from cutplan.reports.paper.listing import TICK, Cell, Column, Part, sheet, strong
from cutplan.reports.rows import Rows
from cutplan.units import mass_figure, money_text
from cutplan.words.naming import numbers_text
from cutplan.words.share_words import KEPT_APART, SEVERAL, marks_line, share_lines


def sort_sheet(rows: Rows) -> dict[str, Any]:
    """Which bar is for which job, and what of the bars cut for several goes to each."""
    how = rows.workshop.printing
    columns = (
        Column("job", 60, snug=True),
        Column("parts", 16, "right", snug=True),
        Column(how.mass_unit, 20, "right", snug=True),
        Column("bars cut for it alone"),
    )
    table: list[list[Cell]] = [
        [
            strong(own.name, 11),
            str(own.total.pieces),
            mass_figure(own.total.part_mass, how),
            numbers_text(own.alone) or "none",
        ]
        for own in rows.jobs
    ]
    parts = [Part(columns=columns, rows=table)]
    if rows.shared:
        columns = (
            Column("bar", 26, snug=True),
            Column("job", 60, snug=True),
            Column("parts, of each bar"),
            Column("sorted", 16),
        )
        shared: list[list[Cell]] = [
            [strong(numbers_text(each.bars), 11) if not place else "", name, words, TICK]
            for each in rows.shared[: extent.MOST_WAYS]
            for place, (name, words) in enumerate(each.parts)
        ]
        parts.append(Part(title=SEVERAL, columns=columns, rows=shared))
    return sheet("Sort by job", [KEPT_APART, *rows.spares], parts)


def own_sheets(rows: Rows, width: float, *, on_screen: bool = False) -> list[dict[str, Any]]:
    """For each job what is handed to whoever builds it, on pages of its own."""
    return [made for own in rows.jobs for made in _of_one(own, rows, width, on_screen)]


def _of_one(own: OwnRows, rows: Rows, width: float, on_screen: bool) -> list[dict[str, Any]]:
    how = rows.workshop.printing
    shares = share_lines(own.total, own.to_pay, own.bought_mass, rows.totals, rows.workshop, known=rows.money_known)
    tables = parts_tables(own.parts, own.frames, how, own.cut_from)
    if own.others:
        columns = (Column("there", 15), Column("what"), Column("amount", 26, "right"))
        things: list[list[Cell]] = [
            [TICK, row.text, NO_PRICE if row.line.money is None else money_text(row.line.money)] for row in own.others
        ]
        tables.append(Part(title=TITLE, columns=columns, rows=things))
    lines = [*shares, marks_line(own.name), *([f"{LAY_OUT} {WHICH_PART}"] if own.parts else [])]
    found = [
        sheet("parts", lines, tables),
        *([marking_sheet(own.cards, how, width, on_screen=on_screen)] if own.cards else []),
        *([kits] if (kits := kits_sheet(own.parts)) else []),
    ]
    for place, one in enumerate(found):
        title = f"{printable(own.name)}: {one['title'].lower()}"
        one |= {"title": title, "of": printable(own.name), "fresh": not place}
    return found
