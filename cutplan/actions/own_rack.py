"""Jobs cut one after another from a rack of their own: the rules of the ledger, and nothing of the workshop touched."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from cutplan.actions.planning import TIME_LIMIT, plan
from cutplan.problems import NoPlan

if TYPE_CHECKING:
    from cutplan.model import Job, Offcut, Plan, Workshop
    from cutplan.rack.pieces import Standing

_FIRST_DAY = date(2001, 1, 1)
"""The ledger wants days; here they only tell earlier jobs from later ones."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One job in its turn.

    Parameters
    ----------
    job
        With what the rack offered it.
    plan
        As it was cut.
    used, kept
        Marks of the pieces of the rack that were cut up, and of those that the job left on it.
    on_rack
        By mark, what lies there when the job is cut.
    """

    job: Job
    plan: Plan
    used: tuple[str, ...]
    kept: tuple[str, ...]
    on_rack: dict[str, Standing]


def in_turn(
    jobs: Sequence[Job],
    begin: Sequence[Offcut],
    *,
    read_with: Workshop | None = None,
    time_limit: float = TIME_LIMIT,
    processes: int | None = None,
    progress: Callable[[str], None] | None = None,
) -> Iterator[Turn]:
    """Plan each job with what those before it left on the rack, and cut it as planned.

    Parameters
    ----------
    jobs
        In the order in which they are cut; the rack that each was read with is left aside.
    begin
        What lies on the rack before the first.
    read_with
        The workshop by which these have their book values, where it is another than that of the jobs: a value that is
        its own for the length then follows that of the jobs.
    time_limit, processes
        Seconds for one job, and what :func:`plan` may start for it.

    Raises
    ------
    NoPlan
        When no plan can answer a job; the message begins with its name.
    """
    from cutplan.rack import cut_bars, offering, store
    from cutplan.rack.handling import add
    from cutplan.rack.pieces import Doing
    from cutplan.rack.standing import standing

    with TemporaryDirectory() as place, store.open_ledger(Path(place) / "rack.db", create=True) as ledger:
        if begin:
            add(
                ledger,
                Doing(at=_noon(0), who="", what="read"),
                [offering.piece_of(each, read_with or jobs[0].workshop) for each in begin],
            )
        for number, job in enumerate(jobs, 1):
            today = _noon(number)
            offcuts = offering.offered(ledger, job.workshop, job.name, job.parts, today[:10])
            there = replace(job, offcuts=offcuts)
            try:
                answer = plan(there, time_limit=time_limit, processes=processes, progress=progress)
            except NoPlan as none:
                raise NoPlan(f"{job.name}: {none}", code=none.code) from none
            doing = Doing(at=today, who="", what="record", job=job.name, plan=f"{number:05}")
            became = cut_bars.record(ledger, doing, there, answer, {})
            yield Turn(
                job=there,
                plan=answer,
                used=tuple(dict.fromkeys(became.used)),
                kept=tuple(each.mark for each in became.kept),
                on_rack={piece.mark: piece for piece in standing(ledger)},
            )


def _noon(day: int) -> str:
    return f"{_FIRST_DAY + timedelta(days=day)}T12:00:00Z"
