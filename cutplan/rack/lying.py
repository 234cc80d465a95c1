"""Which bars of a plan that was begun lie there uncut, and under which marks."""

from __future__ import annotations

import sqlite3

from cutplan.model import CutBar, Job, Plan, SourceKind
from cutplan.problems import ProblemsFound
from cutplan.rack.entry import on_hand
from cutplan.rack.fitting import assigned, fits
from cutplan.rack.pieces import Kind, Standing

_NOT_UNDONE = "action.id NOT IN (SELECT undoes FROM action WHERE undoes IS NOT NULL)"


def uncut(db: sqlite3.Connection, digest: str, job: Job, plan: Plan) -> dict[str, tuple[CutBar, ...]]:
    """Bars that were not touched, by the mark of the piece that each would be cut from, which its cuts still fit.

    Bought bars share out what was bought for the plan as :func:`cutplan.rack.fitting.assigned` does.

    Parameters
    ----------
    digest
        Of the plan, which was recorded.
    """
    touched = {
        number
        for (number,) in db.execute(
            "SELECT DISTINCT bar FROM movement JOIN action ON action.id = movement.action "
            f"WHERE action.plan = ? AND kind = ? AND bar IS NOT NULL AND {_NOT_UNDONE}",
            (digest, Kind.USED.value),
        )
    }
    left = [bar for bar in plan.bars if bar.number not in touched and bar.cuts]
    parts = {part.mark: part for part in job.parts}
    tips = {offcut.mark: offcut.tip for offcut in job.offcuts}
    bought = assigned(job, [bar for bar in left if bar.kind is SourceKind.BOUGHT], came_for(db, digest))
    found: dict[str, list[CutBar]] = {}
    for bar in left:
        piece = bought.get(bar.number) if bar.kind is SourceKind.BOUGHT else _there(db, bar.source)
        tip = tips[bar.source] if bar.kind is SourceKind.OFFCUT else 0
        if piece is not None and fits(bar, parts, job.workshop, piece.state.length + tip):
            found.setdefault(piece.mark, []).append(bar)
    return {mark: tuple(bars) for mark, bars in found.items()}


def came_for(db: sqlite3.Connection, digest: str) -> list[Standing]:
    """Lengths that came for a plan and are on the rack, those put right in length among them."""
    rows = db.execute(
        "SELECT DISTINCT piece.mark FROM on_hand JOIN piece ON piece.id = on_hand.piece "
        "JOIN movement ON movement.piece = piece.id JOIN action ON action.id = movement.action "
        "WHERE action.plan = ? AND movement.kind IN (?, ?) AND on_hand.quantity > 0 "
        f"AND {_NOT_UNDONE} ORDER BY piece.id",
        (digest, Kind.BOUGHT.value, Kind.CORRECTED.value),
    ).fetchall()
    return [on_hand(db, mark, "mark") for (mark,) in rows]


def _there(db: sqlite3.Connection, mark: str) -> Standing | None:
    try:
        return on_hand(db, mark, "mark")
    except ProblemsFound:
        return None
