"""Parts ticked as drilled, copy by copy. Where a plan stands does not hang on it: much is drilled after the record."""

from __future__ import annotations

import sqlite3

from cutplan.problems import Problem, ProblemsFound
from cutplan.rack.entry import Entry
from cutplan.rack.issuing import insert
from cutplan.rack.job_events import NOT_UNDONE, PlanNote, note_planned, stage
from cutplan.rack.stages import Stage
from cutplan.rack.ticks import Unchanged

_STANDING = f"""
SELECT part, copy FROM drilled WHERE plan = ? AND step = 'drilled' AND {NOT_UNDONE} AND NOT EXISTS
(SELECT 1 FROM drilled AS later WHERE later.plan = drilled.plan AND later.part = drilled.part
AND later.copy = drilled.copy AND later.id > drilled.id
AND later.action NOT IN (SELECT undoes FROM action WHERE undoes IS NOT NULL)) ORDER BY part, copy
"""


def drilled_of(db: sqlite3.Connection, plan: str) -> tuple[tuple[str, int], ...]:
    """The parts of a plan that are ticked as drilled, each with its copy."""
    return tuple((str(part), int(copy)) for part, copy in db.execute(_STANDING, (plan,)))


def note_drilled(writing: Entry, note: PlanNote, part: str, copy: int, *, done: bool, given_id: str = "") -> bool:
    """Tick a part as drilled, or take that back; did that change anything?

    Parameters
    ----------
    done
        False takes the tick back.
    given_id
        Of whoever ticks; blank where there is none. Given a second time, nothing is done.

    Raises
    ------
    ProblemsFound
        When the job is closed, or the id was given for something else.
    Unchanged
        When nothing is to be written, so that no action stands in the way of an undo.
    """
    step = "drilled" if done else "undrilled"
    if given_id and _given_before(writing, note.plan, step, part, copy, given_id):
        raise Unchanged
    note_planned(writing, note)
    if stage(writing.db, note.plan) is Stage.CLOSED:
        raise ProblemsFound(
            [
                Problem.statement(
                    writing.doing.job, "a job that is closed", "a job that is not closed yet", code="job.stage"
                )
            ]
        )
    changes = ((part, copy) in drilled_of(writing.db, note.plan)) is not done
    if not changes and not given_id:
        raise Unchanged
    insert(
        writing.db,
        "drilled",
        action=writing.id, plan=note.plan, step=step, part=part, copy=copy, given_id=given_id or None,
    )  # fmt: skip
    return changes


def _given_before(writing: Entry, plan: str, step: str, part: str, copy: int, given_id: str) -> bool:
    row = writing.db.execute("SELECT plan, step, part, copy FROM drilled WHERE given_id = ?", (given_id,)).fetchone()
    if row is not None and row != (plan, step, part, copy):
        found = f"{given_id}, under which something else was ticked: {row[2]} copy {row[3]} {row[1]}"
        accepted = "an id of its own for every time something is ticked"
        raise ProblemsFound([Problem.statement("--id", found, accepted, code="job.id")])
    return row is not None
