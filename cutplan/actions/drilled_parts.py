"""Ticking parts of a plan as drilled, copy by copy, and how far that has come."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.checked import read_plan
from cutplan.actions.digests import plan_digest
from cutplan.actions.rack_plans import plan_note
from cutplan.actions.recording import uses_rack
from cutplan.problems import Problem, ProblemsFound
from cutplan.words.job_words import Drilled

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.model import Job, Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class AtTheDrill:
    """How far the parts of a plan are drilled: its digest, and the marks and copies that are ticked.

    ``closed`` says that the job is, so that nothing of it is ticked any more.
    """

    plan: str
    drilled: tuple[tuple[str, int], ...] = ()
    closed: bool = False


def to_drill(job: Job, plan: Plan) -> dict[str, tuple[int, ...]]:
    """Copies of the parts that have holes, by mark, in the order of the list; those that the plan cuts."""
    copies: dict[str, list[int]] = {part.mark: [] for part in job.parts if any(not hole.landing for hole in part.holes)}
    for bar in plan.bars:
        for cut in bar.cuts:
            if cut.mark in copies:
                copies[cut.mark].append(cut.copy)
    return {mark: tuple(sorted(found)) for mark, found in copies.items() if found}


def at_the_drill(plan_file: Path, rack: Rack) -> AtTheDrill:
    """How far the parts of a plan are drilled by now."""
    from cutplan.rack.drilled import drilled_of
    from cutplan.rack.job_events import stage
    from cutplan.rack.stages import Stage

    digest = plan_digest(*read_plan(plan_file))
    if not rack.path.exists():
        return AtTheDrill(plan=digest)
    with rack.open(read_only=True) as ledger, ledger.reading() as db:
        closed = stage(db, digest) is Stage.CLOSED
        return AtTheDrill(plan=digest, drilled=drilled_of(db, digest), closed=closed)


def tick_drilled(
    plan_file: Path | str,
    rack: Rack,
    mark: str,
    copy: int | None = None,
    *,
    done: bool = True,
    given_id: str = "",
    reason: str = "",
) -> Drilled:
    """Tick a part as drilled, or take that back with ``done`` false. What is so already stays as it is.

    Parameters
    ----------
    copy
        None is every copy of the mark.
    given_id
        Of whoever ticks one copy; blank where there is none. Given a second time, nothing is done.

    Raises
    ------
    ProblemsFound
        When it is no part of the plan that has holes, or the job is closed.
    """
    from cutplan.rack.drilled import drilled_of, note_drilled
    from cutplan.rack.entry import entry
    from cutplan.rack.ticks import Unchanged

    job, plan = read_plan(plan_file)
    every = to_drill(job, plan)
    copies = _copies(every, mark, copy)
    note = plan_note(rack, job, plan, Path(plan_file).parent)
    changed = []
    with rack.open(create=not uses_rack(plan)) as ledger:
        doing = rack.doing("drilled" if done else "undrilled", job=job.name, plan=note.plan, reason=reason)
        with suppress(Unchanged), entry(ledger, doing) as writing:
            written = False
            for each in copies:
                with suppress(Unchanged):
                    if note_drilled(writing, note, mark, each, done=done, given_id=given_id):
                        changed.append((mark, each))
                    written = True
            if not written:
                raise Unchanged
        with ledger.reading() as db:
            there = len(drilled_of(db, note.plan))
    return Drilled(job=job, done=done, changed=tuple(changed), there=there, parts=sum(map(len, every.values())))


def _copies(every: dict[str, tuple[int, ...]], mark: str, copy: int | None) -> tuple[int, ...]:
    """The copies that are meant."""
    if mark not in every:
        accepted = f"the mark of a part with holes: {', '.join(list(every)[:12])}" if every else "a plan with holes"
        raise ProblemsFound([Problem.statement("MARK", f"{mark}, which is not to drill", accepted, code="job.part")])
    if copy is None:
        return every[mark]
    if copy not in every[mark]:
        there = ", ".join(map(str, every[mark][:12]))
        raise ProblemsFound(
            [Problem.statement("--copy", f"copy {copy} of {mark}", f"a copy of {mark}: {there}", code="job.part")]
        )
    return (copy,)
