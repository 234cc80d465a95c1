"""What became of many lists, in words and as values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cutplan.units import KG, counted, exact_money_text, kg_text, money_text

PLANNED, AS_BEFORE, AT_FAULT, NO_PLAN = "planned", "as before", "at fault", "no plan"
"""Planned now; planned earlier, and still what the list asks; refused; sound but impossible."""
BEGUN = ("ordered", "received", "being cut", "recorded", "closed")
"""How far a plan has come in the ledger of the rack that is left as it is."""
OTHERWISE = "the list is not as it was planned: replan plans what is left to cut, plan makes a new job of it"
FAILED, LOST = "failed", "lost"
"""A fault in cutplan, not in the list; its process died twice."""
NOT_DONE = "not done"
"""Not come to before the batch was stopped."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """What became of one list.

    Parameters
    ----------
    parts, folder
        The list, and where its plan is.
    outcome
        One of those above; what follows is blank where there is no plan.
    proof
        How the cost is known, as in plan.json.
    stopped_by
        ``time limit`` or ``user`` where the search ended early.
    money
        What is to pay, in millionths of the currency; None where a price is not known.
    bought_mass
        Of the lengths to buy. [mg]
    seconds
        What reading, planning and writing took by the clock.
    faults
        What is wrong with the list, why there is no plan, or that one which is begun is of an earlier list.
    offcuts, rack
        Marks of the pieces of the rack that the plan uses, and what tells that rack from others.
    """

    parts: Path
    folder: Path
    outcome: str
    proof: str = ""
    stopped_by: str = ""
    currency: str = ""
    money: int | None = None
    bought_mass: int = 0
    bars_bought: int = 0
    pieces: int = 0
    seconds: float = 0.0
    faults: tuple[str, ...] = ()
    offcuts: tuple[str, ...] = ()
    rack: str = ""

    @property
    def has_plan(self) -> bool:
        """Is there a plan, made now or earlier?"""
        return self.outcome in (PLANNED, AS_BEFORE, *BEGUN)


def row_values(row: Row) -> dict[str, Any]:
    """A row as values for JSON; amounts as exact decimal texts, null where a price is not known."""
    values: dict[str, Any] = {"list": str(row.parts), "folder": str(row.folder), "outcome": row.outcome}
    if row.has_plan:
        values |= {
            "proof": row.proof,
            "stopped_by": row.stopped_by,
            "to_pay": None if row.money is None else exact_money_text(row.money),
            "currency": row.currency,
            "bought_mass_kg": row.bought_mass / KG,
            "bars_bought": row.bars_bought,
            "pieces": row.pieces,
            "offcuts": list(row.offcuts),
        }
    return values | {"seconds": round(row.seconds, 2), "faults": list(row.faults)}


def progress_text(row: Row, done: int, of: int, seconds: float) -> str:
    """What became of a list, the ``done``-th of so many, and how long the others may take by what these took so far."""
    minutes = round(seconds / done * (of - done) / 60)
    left = f", about {minutes} min left" if minutes else ""
    return f"{done} of {of}{left}: {row.parts}: {row.outcome}"


def batch_text(rows: Sequence[Row], wanted_twice: Sequence[tuple[str, Sequence[Path]]], stopped: bool, of: int) -> str:
    """The rows in words, one line each, and what they come to."""
    lines = []
    for row in rows:
        if row.has_plan:
            money = "no price" if row.money is None else f"{money_text(row.money)} {row.currency}"
            early = f", stopped by {row.stopped_by}" if row.stopped_by else ""
            found = "; ".join([f"{money}, {kg_text(row.bought_mass)} kg, {row.proof}{early}", *row.faults])
        elif not row.faults:
            lines.append(f"{row.parts}: {row.outcome}")
            continue
        else:
            found = row.faults[0].split("\n", 1)[0] + (f" ({len(row.faults)} faults)" if len(row.faults) > 1 else "")
        lines.append(f"{row.parts}: {row.outcome}: {found}")
    lines += [
        f"{mark} of the rack is in more than one of these plans: {', '.join(map(str, lists))}."
        for mark, lists in wanted_twice
    ]
    made = sum(row.has_plan for row in rows)
    lines.append(f"Plans for {made} of {counted(of, 'list')}, {sum(row.outcome == PLANNED for row in rows)} made now.")
    if stopped:
        lines.append("Stopped; run it again and it goes on from here.")
    return "\n".join(lines)
