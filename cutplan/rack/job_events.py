"""Jobs in the ledger: the plans of each and what was done to them, as events that are only ever added.

A job begins with a plan; the plan of what is left to cut is a further plan of the same job. What an undone action
wrote counts as never done, so that the stage of a plan is always what its events come to.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from cutplan.model import Job, Plan
from cutplan.model.job import REST_OF
from cutplan.model.totals import totals_of
from cutplan.rack.entry import Entry
from cutplan.rack.issuing import insert
from cutplan.rack.stages import Stage, Step, next_stage, stage_of
from cutplan.units import Money

NOT_UNDONE = "action NOT IN (SELECT undoes FROM action WHERE undoes IS NOT NULL)"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanNote:
    """What the ledger keeps of a plan from the moment it hears of it.

    Parameters
    ----------
    plan
        Its digest.
    rest_of
        Digest of the plan of which it is the rest; blank where it is planned from the lists.
    folder
        Where its files lie, from the folder of the ledger; blank is unknown.
    parts
        How many pieces it cuts.
    to_pay
        What it comes to, tax and all; None where nothing has a price. [millionths of the currency]
    unpriced
        How many of the sections that it buys have no price and are left out of ``to_pay``.
    """

    plan: str
    rest_of: str = ""
    folder: str = ""
    parts: int = 0
    to_pay: Money | None = None
    unpriced: int = 0


def note_of(job: Job, plan: Plan, digest: str, folder: str = "") -> PlanNote:
    """What is kept of a plan."""
    money = totals_of(job, plan).money
    bought = {group.title for group in plan.groups if any(bar.buys for bar in group.bars)}
    left_out = bought & set(money.groups_left_out)
    return PlanNote(
        plan=digest,
        rest_of=next((file.sha256 for file in job.files if file.role == REST_OF), ""),
        folder=folder,
        parts=sum(len(bar.cuts) for bar in plan.bars),
        to_pay=money.to_pay if money.to_pay or len(left_out) < len(plan.groups) else None,
        unpriced=len(left_out),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One thing done to a plan. ``merchant``, ``number`` and ``day`` are those of an order, as far as given."""

    step: Step
    at: str
    who: str
    merchant: str = ""
    number: str = ""
    day: str = ""
    amount: Money | None = None
    unpriced: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanStory:
    """A plan with all that was done to it. ``ticked`` is how many of its parts are ticked, spoiled ones among them."""

    note: PlanNote
    events: tuple[Event, ...]
    ticked: int

    @property
    def stage(self) -> Stage:
        """How far it has come."""
        found = stage_of({event.step for event in self.events}, ticked=bool(self.ticked))
        return found or Stage.PLANNED

    def first(self, step: Step) -> Event | None:
        """The first event of a kind."""
        return next((event for event in self.events if event.step is step), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class JobStory:
    """A job with its plans, the newest last. ``number`` counts jobs of one name, from 1."""

    job: str
    name: str
    number: int
    plans: tuple[PlanStory, ...]

    @property
    def closed(self) -> Event | None:
        """The event that closed it."""
        return next((found for plan in self.plans if (found := plan.first(Step.CLOSED))), None)

    @property
    def stage(self) -> Stage:
        """How far it has come: as far as its newest plan."""
        return Stage.CLOSED if self.closed else self.plans[-1].stage


def note_planned(writing: Entry, note: PlanNote) -> None:
    """Keep a plan as one of its job, unless it is kept already.

    It belongs to the job of the plan that it is the rest of; or to the job of its name whose last plan lay in the same
    folder and is not recorded, in whose place it is; else it begins a job.

    Raises
    ------
    ProblemsFound
        When that job is closed.
    """
    if _job_of(writing.db, note.plan):
        return
    if note.rest_of:
        next_of = stage(writing.db, note.rest_of)
        job = _job_of(writing.db, note.rest_of) or note.rest_of
        if next_of is Stage.CLOSED:
            next_stage(next_of, Step.PLANNED, writing.doing.job)
    else:
        job = _planned_before(writing, note.folder) or note.plan
    _write(writing, note, Step.PLANNED, job, amount=note.to_pay, unpriced=note.unpriced)


def note_step(
    writing: Entry,
    note: PlanNote,
    step: Step,
    *,
    merchant: str = "",
    number: str = "",
    day: str = "",
    amount: Money | None = None,
    unpriced: int = 0,
) -> Stage:
    """Keep what is done to a plan by an action, with the plan itself where it is new; returns the stage it leads to.

    Raises
    ------
    ProblemsFound
        When that may not be done to it now.
    """
    note_planned(writing, note)
    found = next_stage(stage(writing.db, note.plan, before=writing.id), step, writing.doing.job)
    _write(
        writing, note, step, _job_of(writing.db, note.plan) or note.plan,
        merchant=merchant, number=number, day=day, amount=amount, unpriced=unpriced,
    )  # fmt: skip
    return found


def stage(db: sqlite3.Connection, plan: str, *, before: int | None = None) -> Stage | None:
    """How far a plan has come; None where the ledger knows nothing of it.

    ``before`` is an action that is being written and has kept by now what it does one time only.
    """
    steps = {
        Step(name)
        for (name,) in db.execute(
            # What was received or recorded before there were events is kept as a thing done once alone.
            f"SELECT step FROM event WHERE plan = ? AND {NOT_UNDONE} "
            "UNION SELECT deed FROM once WHERE plan = ? AND action IS NOT ? "
            f"UNION SELECT step FROM event WHERE step = 'closed' AND {NOT_UNDONE} AND job = "
            f"(SELECT job FROM event WHERE plan = ? AND {NOT_UNDONE} LIMIT 1)",
            (plan, plan, before, plan),
        )
    }
    (ticked,) = db.execute(f"SELECT count(*) FROM ({STANDING_TICKS} AND plan = ?)", (plan,)).fetchone()
    return stage_of(steps, ticked=bool(ticked))


STANDING_TICKS = f"""
SELECT plan, bar, part, copy, step, measured FROM tick WHERE step <> 'uncut' AND {NOT_UNDONE} AND NOT EXISTS
(SELECT 1 FROM tick AS later WHERE later.plan = tick.plan AND later.part = tick.part AND later.copy = tick.copy
AND later.id > tick.id AND later.action NOT IN (SELECT undoes FROM action WHERE undoes IS NOT NULL))
"""
"""Ticks that no later one of the same part replaces."""


def orders_of(db: sqlite3.Connection, plan: str) -> tuple[Event, ...]:
    """The orders that were noted for a plan."""
    rows = db.execute(
        "SELECT at, who, merchant, number, day, amount FROM event JOIN action ON action.id = event.action "
        f"WHERE event.plan = ? AND step = 'ordered' AND {NOT_UNDONE} ORDER BY event.id",
        (plan,),
    )
    return tuple(
        Event(step=Step.ORDERED, at=at, who=who, merchant=merchant, number=number, day=day, amount=amount)
        for at, who, merchant, number, day, amount in rows
    )


def stories(db: sqlite3.Connection) -> tuple[JobStory, ...]:
    """Every job that the ledger knows of, in the order in which they began."""
    ticked = dict(db.execute(f"SELECT plan, count(*) FROM ({STANDING_TICKS}) GROUP BY plan"))
    rows = db.execute(
        "SELECT event.job, event.plan, step, folder, parts, merchant, number, day, amount, unpriced, at, who, "
        f"action.job, action.id, event.id FROM event JOIN action ON action.id = event.action WHERE {NOT_UNDONE} "
        "UNION ALL SELECT once.plan, once.plan, deed, '', 0, '', '', '', NULL, 0, at, who, job, action.id, 0 FROM once "
        "JOIN action ON action.id = once.action WHERE NOT EXISTS (SELECT 1 FROM event WHERE event.plan = once.plan) "
        "ORDER BY 14, 15"
    ).fetchall()
    jobs: dict[str, dict[str, list[tuple[Any, ...]]]] = {}
    names: dict[str, str] = {}
    for row in rows:
        jobs.setdefault(row[0], {}).setdefault(row[1], []).append(row)
        names.setdefault(row[0], row[12])
    found: list[JobStory] = []
    for job, plans in jobs.items():
        told = tuple(_plan_story(plan, events, ticked.get(plan, 0)) for plan, events in plans.items())
        number = 1 + sum(1 for other in found if other.name == names[job])
        found.append(JobStory(job=job, name=names[job], number=number, plans=told))
    return tuple(found)


def _plan_story(plan: str, rows: Sequence[tuple[Any, ...]], ticked: int) -> PlanStory:
    events = []
    note = PlanNote(plan=plan)
    for _, _, step, folder, parts, merchant, number, day, amount, unpriced, at, who, *_ in rows:
        if step == Step.PLANNED.value:
            note = PlanNote(plan=plan, folder=folder, parts=parts, to_pay=amount, unpriced=unpriced)
        events.append(
            Event(
                step=Step(step), at=at, who=who, merchant=merchant, number=number, day=day, amount=amount,
                unpriced=unpriced,
            )
        )  # fmt: skip
    return PlanStory(note=note, events=tuple(events), ticked=ticked)


def plans_beside(db: sqlite3.Connection, plan: str) -> tuple[str, ...]:
    """Every plan of the job that a plan belongs to, that one among them."""
    rows = db.execute(
        f"SELECT DISTINCT plan FROM event WHERE job = (SELECT job FROM event WHERE plan = ? AND {NOT_UNDONE} LIMIT 1) "
        f"AND {NOT_UNDONE}",
        (plan,),
    )
    return tuple(dict.fromkeys([plan, *(found for (found,) in rows)]))


def _job_of(db: sqlite3.Connection, plan: str) -> str:
    row = db.execute(f"SELECT job FROM event WHERE plan = ? AND {NOT_UNDONE} LIMIT 1", (plan,)).fetchone()
    return str(row[0]) if row else ""


def _planned_before(writing: Entry, folder: str) -> str:
    """The job of this name whose last plan lay in a folder, where that is not recorded and the job not closed."""
    row = writing.db.execute(
        "SELECT event.job, event.plan, folder FROM event JOIN action ON action.id = event.action "
        f"WHERE step = 'planned' AND action.job = ? AND {NOT_UNDONE} ORDER BY event.id DESC LIMIT 1",
        (writing.doing.job,),
    ).fetchone()
    if row is None or not folder or row[2] != folder:
        return ""
    return "" if stage(writing.db, row[1]) in (Stage.RECORDED, Stage.CLOSED) else str(row[0])


def _write(
    writing: Entry,
    note: PlanNote,
    step: Step,
    job: str,
    *,
    merchant: str = "",
    number: str = "",
    day: str = "",
    amount: Money | None = None,
    unpriced: int = 0,
) -> None:
    insert(
        writing.db,
        "event",
        action=writing.id, job=job, plan=note.plan, step=step.value, folder=note.folder, parts=note.parts,
        merchant=merchant, number=number, day=day, amount=amount, unpriced=unpriced,
    )  # fmt: skip
