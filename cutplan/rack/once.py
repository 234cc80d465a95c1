"""What is done to a plan one time only: its lengths are received once, it is recorded once, until that is undone."""

from __future__ import annotations

import sqlite3

from cutplan.rack.entry import Entry
from cutplan.rack.pieces import Doing
from cutplan.rack.store import Ledger

RECEIVED, RECORDED = "received", "recorded"


def done_before(db: sqlite3.Connection, plan: str, deed: str) -> Doing | None:
    """The action that did this to a plan with this digest, unless it was undone."""
    row = db.execute(
        "SELECT at, who, what, job, action.plan, reason FROM once JOIN action ON action.id = once.action "
        "WHERE once.plan = ? AND deed = ?",
        (plan, deed),
    ).fetchone()
    return Doing(**dict(zip(("at", "who", "what", "job", "plan", "reason"), row, strict=True))) if row else None


def recorded_before(ledger: Ledger, plan: str) -> Doing | None:
    """The action that recorded a plan with this digest, unless it was undone: for a look, not for a decision."""
    with ledger.reading() as db:
        return done_before(db, plan, RECORDED)


class DoneBefore(Exception):
    """It was done to this plan already, by ``doing``; nothing is written."""

    def __init__(self, doing: Doing) -> None:
        super().__init__(doing)
        self.doing = doing


def do_once(writing: Entry, deed: str) -> None:
    """Do it to the plan of this action, asked and kept in its transaction: asked earlier, an answer is worth nothing.

    Raises
    ------
    DoneBefore
        When it was done already and is not undone.
    """
    before = done_before(writing.db, writing.doing.plan, deed)
    if before is not None:
        raise DoneBefore(before)
    writing.db.execute("INSERT INTO once (plan, deed, action) VALUES (?, ?, ?)", (writing.doing.plan, deed, writing.id))
