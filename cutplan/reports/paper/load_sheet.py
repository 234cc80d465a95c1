"""What is fetched, on paper: to tick as it is loaded, with what to mind on the road."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cutplan.model import Workshop
from cutplan.reports.lettering import in_head, printable
from cutplan.reports.paper.listing import Cell, Column, Part, sheet, strong, ticks
from cutplan.reports.paper.plan_pdf import TYPESET
from cutplan.reports.paper.press import pdf
from cutplan.units import length_text, mass_figure, mass_text
from cutplan.words.load_words import CAUTIONS, Load, below
from cutplan.words.naming import numbers_text


def load_pdf(loads: Sequence[Load], workshop: Workshop, job: str, fingerprint: str) -> bytes:
    """The printed load list."""
    paper, _ = TYPESET[workshop.paper]
    data = {
        "title": f"Load list: {printable(job)}",
        "job": in_head(job),
        "paper": paper,
        "fingerprint": fingerprint,
        "piece": "",
        "sheets": [load_sheet(loads)],
    }
    return pdf("plan", data)


def load_sheet(loads: Sequence[Load]) -> dict[str, Any]:
    """The list as the data of its sheet."""
    parts = [_merchant(load) for load in loads]
    return sheet(
        "Load list",
        ["Heaviest first. Write the bar's number on each piece: it is the one to be cut by."],
        [*parts, Part(title="On the road", before=list(CAUTIONS))],
    )


def _merchant(load: Load) -> Part:
    how = load.workshop.printing
    columns = (
        Column("loaded", 46, snug=True),
        Column("number", 18, "right", snug=True),
        Column(f"length, {how.unit}", 26, "right", snug=True),
        Column("section"),
        Column("standard, grade, finish"),
        Column("bar", 24, "right"),
        Column(f"{how.mass_unit} each", 22, "right", snug=True),
        Column(how.mass_unit, 22, "right", snug=True),
    )
    table: list[list[Cell]] = [
        [
            ticks(piece.count),
            strong(str(piece.count)),
            strong(length_text(piece.length, how, with_unit=False), 12),
            strong(piece.name),
            piece.kind,
            numbers_text(piece.bars),
            mass_figure(piece.mass_each, how),
            mass_figure(piece.mass, how),
        ]
        for piece in load.pieces
    ]
    if len(load.pieces) > 1:
        total = mass_text(load.mass, how).removesuffix(f" {how.mass_unit}")
        table.append(["", "", "", strong("Total"), "", "", "", strong(total)])
    return Part(title=load.merchant or "No merchant named", columns=columns, rows=table, after=below(load))
