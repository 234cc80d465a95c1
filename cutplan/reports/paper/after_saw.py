"""The sheets after the saw: parts by assembly, offcuts to put away, what was assumed."""

from __future__ import annotations

from typing import Any

from cutplan.reports import extent
from cutplan.reports.assumed import changing_the_cut
from cutplan.reports.paper.listing import BLANK, TICK, Cell, Column, Part, lesser, sheet, strong, ticks
from cutplan.reports.rows import PartRow, Rows
from cutplan.units import Printing, length_text, mass_figure
from cutplan.words.cutting import end_text

NO_ASSEMBLY = "No assembly named"


def parts_sheet(rows: Rows) -> dict[str, Any]:
    """Every part by assembly, a box for each piece, and the diagonals of frames."""
    how = rows.workshop.printing
    columns = (
        Column("mark", 34, snug=True),
        Column("section"),
        Column(f"length, {how.unit}", 26, "right", snug=True),
        Column("ends A\N{NO-BREAK SPACE}|\N{NO-BREAK SPACE}B", 24, snug=True),
        Column(f"{how.mass_unit} each", 16, "right", snug=True),
        Column("count", 14, "right", snug=True),
        Column("there", 45, snug=True),
    )
    members: dict[str, list[PartRow]] = {}
    for row in rows.parts:
        members.setdefault(row.assembly, []).append(row)
    parts = [
        Part(
            title=assembly or NO_ASSEMBLY,
            columns=columns,
            rows=[_part(row, how) for row in listed],
            after=list(rows.frames.get(assembly, ())),
            heads=not place,
        )
        for place, (assembly, listed) in enumerate(members.items())
    ]
    lines = ["Lay every assembly out and tick each part. Lengths as finished, long point to long point.", *rows.spares]
    return sheet("Parts by assembly", lines, parts)


def _part(row: PartRow, how: Printing) -> list[Cell]:
    mitred = row.short_point is not None
    words = [row.section, *(text for text in (*row.sawn, row.ends, row.cope, row.hand, row.note) if text)]
    finished = row.length if row.finished is None else row.finished
    return [
        strong(row.mark, 11),
        lesser("; ".join(words)),
        strong(length_text(finished, how, with_unit=False), 11),
        f"{end_text(row.angle_a)} | {end_text(row.angle_b)}" if mitred else "square",
        mass_figure(row.mass_each, how),
        str(row.quantity),
        ticks(row.quantity),
    ]


def put_away_sheet(rows: Rows) -> dict[str, Any]:
    """Left overs to keep: the mark each is given, what it measures, where it goes."""
    how = rows.workshop.printing
    columns = (
        Column("put away", 10),
        Column("mark", 20),
        Column("from bar", 11, "right", snug=True),
        Column("section"),
        Column(f"length, {how.unit}", 22, "right", snug=True),
        Column("measured", 20),
        Column("place", 20),
        Column("heat number", 20),
        Column(how.mass_unit, 14, "right", snug=True),
    )
    table: list[list[Cell]] = [
        [
            TICK,
            strong(row.mark, 12) if row.mark else BLANK,
            str(row.bar),
            f"{row.section}, {row.grade}, {row.finish}{f'; {row.slanted}' if row.slanted else ''}",
            strong(length_text(row.length, how, with_unit=False), 12),
            BLANK,
            BLANK,
            row.heat_number or BLANK,
            mass_figure(row.mass, how),
        ]
        for row in rows.put_away[: extent.MOST_LISTED]
    ]
    lines = ["Paint mark and length on each before it goes on the rack. The rest is scrap."]
    return sheet("Put away", lines, [Part(columns=columns, rows=table)])


def assumed_sheet(rows: Rows) -> dict[str, Any]:
    """What was assumed, but for what changes the cut, which stands on the sheet to cut from."""
    at_the_saw = set(changing_the_cut(rows.assumptions))
    texts = [one.text for one in rows.assumptions]
    told = [f"\N{BULLET} {text}" for text in texts if text not in at_the_saw]
    return sheet("Assumed", [], [Part(before=["  ".join(told)])])
