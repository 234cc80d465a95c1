"""Plans and the rack's ledger: what it offers, the marks and holds a plan is given, where a plan is recorded."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.digests import plan_digest
from cutplan.problems import Problem, ProblemsFound

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.model import CutBar, InputFile, Job, Offcut, Part, Plan, Workshop
    from cutplan.rack.job_events import PlanNote
    from cutplan.rack.store import Ledger

LEDGER = "ledger"
"""Role of a ledger among the files of a job."""

POINTER = "rack.txt"
"""Lies beside a plan and says where the ledger is that the plan belongs to, so that it can be recorded there."""


def offered_by(path: Path, workshop: Workshop, job: str, parts: Sequence[Part]) -> tuple[InputFile, tuple[Offcut, ...]]:
    """What the ledger at a path offers to a job of this name and these parts, noted as a file that was read."""
    from cutplan.actions.rack_found import now
    from cutplan.rack import holding, offering, store

    with store.open_ledger(path, read_only=True) as ledger:
        offcuts = offering.offered(ledger, workshop, job, parts, holding.day_of(now()))
    return ledger_file(path, offcuts), offcuts


def offered_together(jobs: Sequence[Job], path: Path) -> list[Job]:
    """Several jobs as each is with what their ledger offers to all of them, under the name they have together.

    What it offers to one alone is of its own sections, and what it holds for that one.
    """
    from cutplan.model import joined_name

    parts = [part for job in jobs for part in job.parts]
    noted, offcuts = offered_by(path, jobs[0].workshop, joined_name(jobs), parts)
    return [
        replace(job, offcuts=offcuts, files=(*(file for file in job.files if file.role != LEDGER), noted))
        for job in jobs
    ]


def ledger_file(path: Path, offcuts: Sequence[Offcut]) -> InputFile:
    """A ledger that offers these pieces, noted as a file that was read."""
    from cutplan.model import InputFile
    from cutplan.rack import offering

    return InputFile(role=LEDGER, name=path.name, sha256=offering.digest(offcuts))


def ledger_given(rack: Path | str | None) -> Path | None:
    """The rack file given, where it is a ledger rather than a list."""
    from cutplan.rack.store import is_ledger

    return Path(rack) if rack is not None and is_ledger(Path(rack)) else None


def draws_from_ledger(job: Job) -> bool:
    """Are the offcuts of this job the pieces of a ledger?"""
    return any(file.role == LEDGER for file in job.files)


def marked(job: Job, plan: Plan, rack: Rack, folder: Path) -> Plan:
    """The plan with marks for the offcuts to come, where it draws from a ledger.

    Raises
    ------
    ProblemsFound
        When the rack changed since it was read for the job.
    """
    from cutplan.rack import holding, issuing

    if not draws_from_ledger(job):
        return plan
    with rack.open() as ledger, ledger.changing() as db:
        refuse_changed(rack, ledger, job, holding.day_of(rack.doing("hold").at))
        return with_marks(plan, issuing.reserve(db, str(folder.resolve()), len(_to_keep(plan))))


@contextmanager
def holding_used(job: Job, plan: Plan, rack: Rack, folder: Path) -> Iterator[None]:
    """Hold the pieces that a plan in a folder uses for its job, together with what is done in the block, or not at all.

    Raises
    ------
    ProblemsFound
        When the rack changed since it was read for the job, or there is no ledger to hold pieces in.
    """
    from cutplan.rack import holding, job_events
    from cutplan.rack.entry import action

    refuse_unheld(job, rack)
    note = plan_note(rack, job, plan, folder)
    doing = rack.doing("hold", job=job.name, plan=note.plan)
    with rack.open() as ledger, ledger.changing() as db:
        refuse_changed(rack, ledger, job, holding.day_of(doing.at))
        with action(db, doing) as writing:
            job_events.note_planned(writing, note)
            holding.hold_for(writing, job.name, used_by(plan), rack.hold_until(doing.at))
            yield


def refuse_changed(rack: Rack, ledger: Ledger, job: Job, today: str) -> None:
    """Refuse when what the rack offers is not what was read for the job."""
    from cutplan.rack import offering

    changed = offering.changes(job.offcuts, offering.offered(ledger, job.workshop, job.name, job.parts, today))
    if changed:
        raise ProblemsFound([rack_changed(rack, changed)])


def used_by(plan: Plan) -> Counter[str]:
    """How many of each mark of the rack a plan uses."""
    from cutplan.model import SourceKind

    return Counter(bar.source for bar in plan.bars if bar.kind is SourceKind.OFFCUT)


def with_marks(plan: Plan, given: Sequence[str]) -> Plan:
    """The plan with marks, in the order of its bars, for the left overs to keep."""
    marks = {bar.number: mark for bar, mark in zip(_to_keep(plan), given, strict=True)}
    return replace(
        plan,
        groups=tuple(
            replace(
                group,
                bars=tuple(
                    replace(bar, drop=replace(bar.drop, mark=marks.get(bar.number, bar.drop.mark)))
                    for bar in group.bars
                ),
            )
            for group in plan.groups
        ),
    )


def marks_wanted(plan: Plan) -> int:
    """How many left overs are kept, each of which wants a mark."""
    return len(_to_keep(plan))


def _to_keep(plan: Plan) -> list[CutBar]:
    from cutplan.model import Fate

    # A piece that is left whole bears the mark under which it comes onto the rack.
    return [bar for bar in plan.bars if bar.drop.fate is Fate.KEEP and bar.cuts and not bar.drop.mark]


def refuse_unheld(job: Job, rack: Rack) -> None:
    """Refuse to hold pieces for a job that draws from no ledger, and say how it comes to draw from one.

    A ledger is not begun by the way: once it is there it is the rack, and the list that the workshop keeps is not read
    any more.
    """
    if draws_from_ledger(job):
        return
    if rack.path.exists():
        found = f"a plan that draws from a list of offcuts, not from {rack.path.name}"
        hint = f"plan with --rack {_typed(rack.path)}"
    else:
        listed = next((file.name for file in job.files if file.role == "rack"), "")
        if rack.rack_file is not None and rack.rack_file.name == listed:
            begin = f"cutplan rack read {_typed(rack.rack_file)} begins it with the pieces of {listed}"
        elif listed:
            begin = f"cutplan rack read begins it with the pieces of {listed}"
        else:
            begin = "cutplan rack add begins it with a piece, cutplan rack read with a list of pieces"
        found, hint = f"no ledger yet to hold pieces in: there is no {rack.path.name}", f"{begin}; then plan again"
    raise ProblemsFound(
        [
            Problem(
                where="--hold",
                found=found,
                accepted="a plan whose offcuts are those of the rack's ledger",
                hint=hint,
                found_is_text=False,
                code="rack.no_ledger",
            )
        ]
    )


def _typed(path: Path) -> str:
    """A path as it is typed in a command from where this one was given."""
    here = Path.cwd()
    path = path.relative_to(here) if path.is_relative_to(here) else path
    return f'"{path}"' if " " in str(path) else str(path)


def rack_changed(rack: Rack, changed: Sequence[str]) -> Problem:
    """What to say when the rack is not as it was read."""
    return Problem(
        where=str(rack.path),
        found=f"a rack that changed while the plan was made: {'; '.join(changed)}",
        accepted="the rack as it was read",
        hint="plan again; nothing was written",
        found_is_text=False,
        code="rack.changed",
    )


def rack_note(folder: Path, rack: Rack) -> dict[str, str]:
    """The note to lie beside a plan that says where its rack's ledger lies, or will: its name and its text."""
    try:
        where = os.path.relpath(rack.path.resolve(), folder.resolve())
    except ValueError:  # on another drive
        where = str(rack.path.resolve())
    return {POINTER: Path(where).as_posix() + "\n"}


def plan_note(rack: Rack, job: Job, plan: Plan, folder: Path) -> PlanNote:
    """What the ledger keeps of a plan whose files lie in a folder."""
    from cutplan.rack import job_events

    return job_events.note_of(job, plan, plan_digest(job, plan), folder_text(rack, folder))


def folder_text(rack: Rack, folder: Path) -> str:
    """A folder as the ledger names it: from its own folder on, where that can be said."""
    try:
        where = os.path.relpath(folder.resolve(), rack.path.resolve().parent)
    except ValueError:  # on another drive
        where = str(folder.resolve())
    return Path(where).as_posix()


def noted_rack(plan_file: Path) -> Path | None:
    """The ledger that the note beside a plan names; None where there is none."""
    try:
        where = (plan_file.parent / POINTER).read_text(encoding="utf-8").strip()
    except (OSError, ValueError):
        return None
    return Path(os.path.normpath(plan_file.parent / where)) if where else None
