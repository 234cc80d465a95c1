"""A batch whose plans are made on a cluster: lists are read, and plans checked and written, in this process."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from cutplan.actions.batch import JobTask, ListTask, Say, in_full
from cutplan.actions.lists import read_job
from cutplan.actions.planning import TIME_LIMIT, put_into
from cutplan.actions.rack_found import find_rack

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.model import Job, Plan
    from cutplan.problems import NoPlan
    from cutplan.solving import Clock
    from cutplan.words.batch_words import Row


def run_on_cluster(
    tasks: Sequence[ListTask], *, address: str, time_limit: float = TIME_LIMIT, progress: Say = lambda text: None
) -> tuple[tuple[Row, ...], bool]:
    """Plan lists on the workers of a dask cluster; what comes of it is what :func:`run_batch` gives.

    A worker is handed a job as plain values, with no file, and hands back a plan: it needs cutplan and no folder of
    this machine. The plan is checked once more here before it is written.

    Parameters
    ----------
    tasks
        From :func:`lists_of`.
    address
        Of the scheduler, such as ``tcp://192.0.2.7:8786``.
    time_limit
        Seconds for one list.
    progress
        Called with how many are done.

    Raises
    ------
    ProblemsFound
        When the cluster cannot be reached, or its workers have other releases than this process.
    """
    from cutplan.planning.cluster import Lost, on_cluster
    from cutplan.words.batch_words import LOST, PLANNED, progress_text

    began = time.monotonic()
    rows: list[Row | None] = [None] * len(tasks)
    wanted: list[tuple[int, Job, Rack]] = []
    took = [0.0] * len(tasks)

    def say(number: int, row: Row) -> None:
        rows[number] = replace(row, seconds=took[number])
        done = sum(each is not None for each in rows)
        progress(progress_text(row, done, len(tasks), time.monotonic() - began))

    def read(number: int, task: ListTask) -> Row | None:
        job, rack = read_job(task.parts), find_rack(near=task.parts)
        if before := task.as_before(job, rack):
            return before
        wanted.append((number, job, rack))
        return None

    def timed(number: int, step: Callable[[], Row | None]) -> Row | None:
        start = time.monotonic()
        row = tasks[number].row_of(step)
        took[number] += time.monotonic() - start
        return row

    def answered(place: int, answer: tuple[Plan | NoPlan, float] | Exception) -> None:
        number, job, rack = wanted[place]
        task = tasks[number]

        def written() -> Row:
            if isinstance(answer, Lost):
                return task.none(LOST, ["its workers were lost before it was planned, several times"])
            if isinstance(answer, Exception):
                raise answer
            found, seconds = answer
            took[number] += seconds
            if isinstance(found, Exception):
                raise found
            made, _ = put_into(job, found, task.folder, rack=rack)
            return task.planned(PLANNED, rack, job, made)

        if (row := timed(number, written)) is not None:
            say(number, row)

    try:
        for number, task in enumerate(tasks):
            if (row := timed(number, partial(read, number, task))) is not None:
                say(number, row)
        jobs = [_Timed(task=JobTask(job=job, time_limit=time_limit)) for _, job, _ in wanted]
        stopped_by = on_cluster(jobs, address, progress, answered) if jobs else ""
    except KeyboardInterrupt:  # while lists are read, or the cluster is joined
        stopped_by = "user"
    return in_full(tasks, rows), stopped_by == "user"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Timed:
    """One job to be planned, and for how long that took the worker which did it."""

    task: JobTask

    @property
    def size(self) -> int:
        """Different parts."""
        return self.task.size

    def run(self, clock: Clock, say: Say) -> tuple[Plan | NoPlan, float]:
        """In this process. [s]"""
        began = time.monotonic()
        return self.task.run(clock, say), time.monotonic() - began
