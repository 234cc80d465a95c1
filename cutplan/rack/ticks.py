"""Ticks: single parts said to be cut or spoiled as they leave the saw, and what they say of the bars of a plan."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from cutplan.model import CutBar, Plan
from cutplan.model.cut_facts import BarFact, Spoiled
from cutplan.problems import Problem, ProblemsFound
from cutplan.rack.entry import Entry
from cutplan.rack.issuing import insert
from cutplan.rack.job_events import STANDING_TICKS, PlanNote, note_planned, stage
from cutplan.rack.stages import Step, next_stage
from cutplan.units import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A part that is cut, or spoiled. ``measured`` is what a spoiled one came to; None: it is scrap. [nm]"""

    bar: int
    part: str
    copy: int
    spoiled: bool = False
    measured: Length | None = None


def ticks_of(db: sqlite3.Connection, plan: str) -> tuple[Tick, ...]:
    """The ticks of a plan that stand, by bar, part and copy."""
    rows = db.execute(f"{STANDING_TICKS} AND plan = ? ORDER BY bar, part, copy", (plan,))
    return tuple(
        Tick(bar=bar, part=part, copy=copy, spoiled=step == Step.SPOILED.value, measured=measured)
        for _, bar, part, copy, step, measured in rows
    )


class Unchanged(Exception):
    """All of it is as it was said already; nothing is written."""


def tick(writing: Entry, note: PlanNote, step: Step, ticks: Sequence[Tick], given_id: str = "") -> tuple[Tick, ...]:
    """Tick parts of a plan, or take ticks back; those that changed anything.

    A part that is ticked so already stays as it is. Under an id that was given before nothing is done, whatever was
    done to the part since: the same message came again.

    Parameters
    ----------
    step
        ``CUT``, ``SPOILED`` or ``UNCUT``.
    given_id
        Of whoever ticks; blank where there is none.

    Raises
    ------
    ProblemsFound
        When the plan is not one of which parts may be ticked, or the id was given for something else.
    Unchanged
        When nothing is to be written, so that no action stands in the way of an undo.
    """
    if given_id and _given_before(writing, note.plan, step, ticks, given_id):
        raise Unchanged
    note_planned(writing, note)
    had = {(one.part, one.copy): one for one in ticks_of(writing.db, note.plan)}
    if step is not Step.UNCUT or had:
        next_stage(stage(writing.db, note.plan), step, writing.doing.job)
    changed = []
    for one in ticks:
        differs = had.get((one.part, one.copy)) != (None if step is Step.UNCUT else one)
        if differs:
            changed.append(one)
        if differs or given_id:  # the id is kept all the same: it may come again when this one is taken back
            insert(
                writing.db,
                "tick",
                action=writing.id, plan=note.plan, step=step.value, bar=one.bar, part=one.part, copy=one.copy,
                measured=one.measured, given_id=given_id or None,
            )  # fmt: skip
    if not changed and not given_id:
        raise Unchanged
    return tuple(changed)


def given(db: sqlite3.Connection, plan: str, step: Step, given_id: str) -> tuple[Tick, ...]:
    """What was ticked of a plan under an id before; empty where nothing was, or another thing."""
    rows = db.execute(
        "SELECT bar, part, copy, measured FROM tick WHERE given_id = ? AND plan = ? AND step = ? ORDER BY id",
        (given_id, plan, step.value),
    )
    spoiled = step is Step.SPOILED
    return tuple(
        Tick(bar=bar, part=part, copy=copy, spoiled=spoiled, measured=measured) for bar, part, copy, measured in rows
    )


def _given_before(writing: Entry, plan: str, step: Step, ticks: Iterable[Tick], given_id: str) -> bool:
    rows = set(writing.db.execute("SELECT plan, step, part, copy FROM tick WHERE given_id = ?", (given_id,)))
    if rows and rows != {(plan, step.value, one.part, one.copy) for one in ticks}:
        what = ", ".join(f"{part} copy {copy} {name}" for _, name, part, copy in sorted(rows))
        raise ProblemsFound(
            [
                Problem(
                    code="job.id",
                    where="--id",
                    found=f"{given_id}, under which something else was ticked: {what}",
                    accepted="an id of its own for every time something is ticked",
                    found_is_text=False,
                )
            ]
        )
    return bool(rows)


def ticked_facts(plan: Plan, ticks: Iterable[Tick], *, gaps: bool = False) -> dict[int, BarFact]:
    """What ticks say of every bar of a plan: it is cut up to its last part that is ticked, and no further.

    Parameters
    ----------
    gaps
        Let parts be ticked of which one before them on the bar is not.

    Raises
    ------
    ProblemsFound
        Every bar on which a part is ticked and one before it is not: what is left of it cannot be told.
    """
    on_bar: dict[int, dict[tuple[str, int], Tick]] = defaultdict(dict)
    for one in ticks:
        on_bar[one.bar][one.part, one.copy] = one
    problems: list[Problem] = []
    facts = {bar.number: _fact(bar, on_bar[bar.number], problems) for bar in plan.bars}
    if problems and not gaps:
        raise ProblemsFound(problems)
    return facts


def _fact(bar: CutBar, ticks: dict[tuple[str, int], Tick], problems: list[Problem]) -> BarFact:
    ticked = [(cut.mark, cut.copy) in ticks for cut in bar.cuts]
    cut = sum(ticked)
    if not all(ticked[:cut]):
        first, last = ticked.index(False), max(place for place, there in enumerate(ticked) if there)
        open_one, beyond = bar.cuts[first], bar.cuts[last]
        problems.append(
            Problem(
                code="job.gap",
                where=f"bar {bar.number}",
                found=f"{beyond.mark} copy {beyond.copy} ticked, {open_one.mark} copy {open_one.copy} before it not",
                accepted="parts ticked from START on",
                hint=f"cutplan job cut PLAN {open_one.mark} --copy {open_one.copy}, or a cut record with --actual",
                found_is_text=False,
            )
        )
    bad: dict[tuple[str, Length | None], int] = defaultdict(int)
    for one in ticks.values():
        if one.spoiled:
            bad[one.part, one.measured] += 1
    spoiled = tuple(Spoiled(mark=mark, quantity=count, measured=long) for (mark, long), count in bad.items())
    return BarFact(cut=None if cut == len(bar.cuts) else cut, spoiled=spoiled)


def contradicted(plan: Plan, ticks: Iterable[Tick], facts: Mapping[int, BarFact]) -> list[Problem]:
    """Bars of which a cut record says that fewer parts were cut than are ticked, or other ones spoiled."""
    count: dict[int, int] = defaultdict(int)
    spoiled: dict[int, list[Tick]] = defaultdict(list)
    for one in ticks:
        count[one.bar] += 1
        if one.spoiled:
            spoiled[one.bar].append(one)
    problems = []
    for bar in plan.bars:
        fact = facts.get(bar.number, BarFact())
        cut = len(bar.cuts) if fact.cut is None else fact.cut
        bad = sum(one.quantity for one in fact.spoiled)
        if cut < count[bar.number] or bad < len(spoiled[bar.number]):
            what = f"{cut} parts cut, {bad} of them spoiled"
            problems.append(
                Problem(
                    code="job.ticked",
                    where=f"bar {bar.number}",
                    found=f"{what}, where {count[bar.number]} are ticked, {len(spoiled[bar.number])} as spoiled",
                    accepted="a cut record in which every part that is ticked is cut",
                    hint="cutplan job uncut takes a tick back",
                    found_is_text=False,
                )
            )
    return problems
