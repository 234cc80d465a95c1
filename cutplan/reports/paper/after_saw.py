"""The sheets after the saw: parts by assembly, offcuts to put away, what was assumed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from cutplan.reports import extent
from cutplan.reports.assumed import changing_the_cut
from cutplan.reports.paper.listing import BLANK, MOST_TICKS, TICK, Cell, Column, Part, lesser, sheet, strong, ticks
from cutplan.reports.part_rows import PartRow
from cutplan.reports.rows import Rows
from cutplan.units import Printing, length_text, mass_figure
from cutplan.words.cutting import end_text

NO_ASSEMBLY = "No assembly named"

UNITS_BESIDE = 6
"""Units side by side on a page."""
TICKS_BESIDE = 4
"""Boxes for the pieces of a part where its bars stand beside them; for more there is a space for strokes."""
IN_A_UNIT = 4
"""Boxes that fit into the column of a unit; for more there is a space for strokes."""


BAR_AND_PART = "bar (part)"
WHICH_PART = "Bars, and in brackets which part from START it is on each."
LAY_OUT = "Lay every assembly out and tick each part. Lengths as finished, long point to long point."


def parts_sheet(rows: Rows) -> dict[str, Any]:
    """Every part by assembly, a box for each piece, and the diagonals of frames."""
    parts = parts_tables(rows.parts, rows.frames, rows.workshop.printing)
    return sheet("Parts by assembly", [LAY_OUT, *rows.spares], parts)


def parts_tables(
    parts: Sequence[PartRow],
    frames: Mapping[str, Sequence[str]],
    how: Printing,
    cut_from: Mapping[str, str] | None = None,
) -> list[Part]:
    """A table for each assembly; ``cut_from`` words by mark which bars give a part, where that is to be shown."""
    columns = (
        Column("mark", 34, snug=True),
        Column("section"),
        Column(f"length, {how.unit}", 26, "right", snug=True),
        Column("ends\N{NO-BREAK SPACE}A\N{NO-BREAK SPACE}|\N{NO-BREAK SPACE}B", 24, snug=True),
        Column(f"{how.mass_unit} each", 16, "right", snug=True),
        Column("count", 14, "right", snug=True),
        *([Column(BAR_AND_PART, 36, snug=True)] if cut_from is not None else []),
        Column("there", 45 if cut_from is None else 28, snug=True),
    )
    members: dict[str, list[PartRow]] = {}
    for row in parts:
        members.setdefault(row.assembly, []).append(row)
    return [
        Part(
            title=assembly or NO_ASSEMBLY,
            columns=columns,
            rows=[_part(row, how, cut_from) for row in listed],
            after=list(frames.get(assembly, ())),
            heads=not place,
        )
        for place, (assembly, listed) in enumerate(members.items())
    ]


def kits_sheet(listed_parts: Sequence[PartRow]) -> dict[str, Any] | None:
    """Assemblies made several times, unit by unit: a box for each part of each; None where there is none.

    Parts stand in the order of the list, which is the one to fit and weld them in.
    """
    members: dict[tuple[str, int], list[PartRow]] = {}
    for row in listed_parts:
        if 1 < row.units <= extent.MOST_UNITS:
            members.setdefault((row.assembly, row.units), []).append(row)
    parts = []
    for (assembly, units), listed in members.items():
        for first in range(1, units + 1, UNITS_BESIDE):
            beside = range(first, min(first + UNITS_BESIDE, units + 1))
            columns = (
                Column("mark", 34, snug=True),
                Column("each", 12, "right", snug=True),
                *(Column(f"unit {unit}") for unit in beside),
            )
            table: list[list[Cell]] = [
                [strong(row.mark, 11), str(row.each), *(ticks(row.each or 0, IN_A_UNIT) for _ in beside)]
                for row in listed
            ]
            of = f"unit {beside[0]}" if len(beside) == 1 else f"units {beside[0]} to {beside[-1]}"
            title = f"{assembly or NO_ASSEMBLY}, {of} of {units}"
            parts.append(Part(title=title, columns=columns, rows=table))
    line = "Lay out one unit after the other and tick each part; the order is that of the list. Labels say the unit."
    return sheet("Units", [line], parts) if parts else None


def _part(row: PartRow, how: Printing, cut_from: Mapping[str, str] | None) -> list[Cell]:
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
        *([lesser(cut_from[row.mark])] if cut_from is not None else []),
        ticks(row.quantity, MOST_TICKS if cut_from is None else TICKS_BESIDE),
    ]


def put_away_sheet(rows: Rows) -> dict[str, Any]:
    """Left overs to keep: the mark each is given, what it measures, where it goes."""
    how = rows.workshop.printing
    columns = (
        Column("put away", 10),
        Column("mark", 20),
        Column("from bar", 11, "right", snug=True),
        Column("section"),
        Column(f"length, {how.unit}", 28, "right", snug=True),
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
