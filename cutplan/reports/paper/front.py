"""The head of the printed plan: what the job comes to, what has to be looked at first, and where each sheet is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cutplan.reports.lettering import printable
from cutplan.reports.rows import Rows
from cutplan.units import counted, mass_text, money_text

Fact = tuple[str, str]

_CHEAPEST = "Cheapest"
"""How the line of the proof begins that speaks of the money."""


def front_sheet(rows: Rows, fingerprint: str) -> dict[str, Any]:
    """What introduces a job; the index is filled in by whoever lists the sheets."""
    first = (("Not printed yet", rows.beyond), ("To look at", rows.warnings))
    return {
        "kind": "front",
        "step": "",
        "title": printable(rows.job_name),
        "lines": [],
        "proof": [printable(line) for line in rows.proof if not line.startswith(_CHEAPEST)],
        "facts": [[name, printable(words)] for name, words in _facts(rows, fingerprint)],
        "index": [],
        "notes": [
            {"title": title, "lines": [printable(text) for text in sentences]}
            for title, sentences in first
            if sentences
        ],
    }


def _facts(rows: Rows, fingerprint: str) -> list[Fact]:
    totals, shop = rows.totals, rows.workshop
    how = shop.printing
    left_whole = sum(len(block.bars) for block in rows.blocks if not block.cuts)
    pieces = sum(order.carry_cuts for order in totals.orders)
    bars = totals.bars_bought + pieces + totals.offcuts_used - left_whole
    of_rack = ", from the rack" if totals.offcuts_used == bars else f", {totals.offcuts_used} of them from the rack"
    to_pay = f"{money_text(totals.money.to_pay)} {shop.currency}" if rows.money_known else "not known"
    facts: list[Fact] = [
        ("Workshop", shop.name),
        ("Plan", fingerprint),
        ("Parts", f"{totals.pieces}, {mass_text(totals.part_mass, how)}"),
        ("To buy", _counted(totals.bars_bought, "length", mass_text(totals.bought_mass, how))),
        ("To cut", f"{_counted(bars, 'bar')}{of_rack if totals.offcuts_used else ''}"),
        ("To pay", to_pay if rows.orders or rows.others else "nothing"),
    ]
    facts += [(_CHEAPEST, line.removeprefix(f"{_CHEAPEST}: ")) for line in rows.proof if line.startswith(_CHEAPEST)]
    return [(name, words) for name, words in facts if words]


def _counted(count: int, noun: str, more: str = "") -> str:
    if not count:
        return "nothing"
    words = counted(count, noun)
    return f"{words}, {more}" if more else words


def index_of(sheets: Sequence[dict[str, Any]]) -> list[dict[str, str]]:
    """A line for every sheet that has a place in the day; ``piece`` names the piece of a divided plan it stands in."""
    return [
        {"step": sheet["step"], "title": sheet["title"], "anchor": sheet["anchor"], "piece": ""}
        for sheet in sheets
        if sheet["step"]
    ]
