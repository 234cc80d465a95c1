"""The sheet of costs on paper, and what the pages of costs and quotes have in common."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cutplan.costing.costs import AssemblyCost, Cost
from cutplan.model import Workshop
from cutplan.reports.lettering import in_head, printable
from cutplan.reports.paper.listing import Cell, Column, Part, lesser, sheet, strong
from cutplan.reports.paper.plan_pdf import TYPESET
from cutplan.reports.paper.press import pdf
from cutplan.units import mass_figure, money_text
from cutplan.words.cost_words import (
    area_text,
    assembly_name,
    cost_rows,
    hours_text,
    made_text,
    notes_of,
)


def pages(title: str, job: str, workshop: Workshop, number: str, sheets: Sequence[dict[str, Any]], kind: str) -> bytes:
    """Sheets of tables as a PDF; ``kind`` and ``number`` stand at the head of every page."""
    paper, _ = TYPESET[workshop.paper]
    return pdf(
        "plan",
        {
            "title": printable(title),
            "job": in_head(job),
            "paper": paper,
            "kind": kind,
            "fingerprint": printable(number),
            "piece": "",
            "sheets": list(sheets),
        },
    )


def cost_pdf(cost: Cost, job: str, workshop: Workshop, fingerprint: str) -> bytes:
    """The sheet of costs, for the workshop alone."""
    data = sheet(
        "Costs",
        [f"For the workshop. Amounts in {workshop.currency}, without tax.", *notes_of(cost)],
        [
            _lines(cost, workshop),
            _shares(cost, "assembly", cost.assemblies),
            *([_shares(cost, "job", cost.jobs)] if cost.jobs else []),
            _surfaces(cost, workshop),
        ],
    )
    return pages(f"Costs: {job}", job, workshop, fingerprint, [data], "plan")


def _lines(cost: Cost, workshop: Workshop) -> Part:
    columns = (
        Column("block", 34, snug=True),
        Column("what", 62, snug=True),
        Column("worked out"),
        Column("amount", 30, "right", snug=True),
    )
    table: list[list[Cell]] = []
    block = ""
    for row in cost_rows(cost, workshop):
        amount = money_text(row.amount)
        if row.block:
            table.append([row.block if row.block != block else "", lesser(row.what), lesser(row.how), amount])
        else:
            table.append(["", strong(row.what), "", strong(amount)])
        block = row.block
    return Part(title="Line by line", columns=columns, rows=table, looked_up=True)


def _shares(cost: Cost, what: str, shares: Sequence[AssemblyCost]) -> Part:
    """What each assembly costs, or each job."""
    columns = (
        Column(what),
        *(
            Column(head, 24, "right", snug=True)
            for head in ("steel", "things", "coats", "work", "hours", "rest", "price")
        ),
    )
    table: list[list[Cell]] = [
        [
            f"{assembly_name(each)}{made_text(each.made)}",
            *(money_text(amount) for amount in (each.steel, each.things, each.coats, each.work)),
            hours_text(each.minutes),
            money_text(each.rest),
            money_text(each.price),
        ]
        for each in shares
    ]
    total = (cost.steel_amount, *(sum(line.amount for line in lines) for lines in (cost.things, cost.coats, cost.work)))
    rest = sum(each.rest for each in shares)
    sums = [*map(money_text, total), hours_text(cost.minutes), money_text(rest), money_text(cost.price)]
    table.append([strong(text, 9.5) for text in ("total", *sums)])
    after = ["The rest is charges, offcuts, consumables, transport, overhead and margin, in proportion to what is own."]
    return Part(title=f"By {what}", columns=columns, rows=table, after=after, looked_up=True)


def _surfaces(cost: Cost, workshop: Workshop) -> Part:
    how = workshop.printing
    columns = (
        Column("finish", 50, snug=True),
        Column("assembly"),
        Column("pieces", 20, "right", snug=True),
        Column("surface", 30, "right", snug=True),
        Column(how.mass_unit, 30, "right", snug=True),
    )
    table: list[list[Cell]] = [
        [each.finish, assembly_name(each), str(each.pieces), area_text(each.area, how), mass_figure(each.mass, how)]
        for each in cost.surfaces
    ]
    whole = sum(each.area for each in cost.surfaces), sum(each.mass for each in cost.surfaces)
    pieces = sum(each.pieces for each in cost.surfaces)
    sums = ("total", "", str(pieces), area_text(whole[0], how), mass_figure(whole[1], how))
    table.append([strong(text, 9.5) for text in sums])
    after = ["Outside surface of the finished parts, with the metal of both ends; joints are not taken off."]
    return Part(title="Surface and mass", columns=columns, rows=table, after=after, looked_up=True)
