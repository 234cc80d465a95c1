"""Many lists, each planned by itself: one that is at fault stops no other, and what is done is not done again."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import inf
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from cutplan.actions.checked import CheckFailed, plan_for, read_plan
from cutplan.actions.list_places import lists_in
from cutplan.actions.lists import read_job
from cutplan.actions.output_folder import FILES
from cutplan.actions.planning import TIME_LIMIT, plan, plan_into
from cutplan.actions.rack_found import find_rack
from cutplan.actions.rack_plans import draws_from_ledger
from cutplan.actions.table_files import with_ending, write_as
from cutplan.actions.unbegun import begun_as
from cutplan.problems import NoPlan, Problem, ProblemsFound
from cutplan.unfinished import PLAN_FILE

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.model import Job, Plan
    from cutplan.solving import Clock
    from cutplan.words.batch_words import Row

Say = Callable[[str], None]

_Answer = TypeVar("_Answer")


@dataclass(frozen=True, slots=True, kw_only=True)
class ListTask:
    """One list to be read, planned and written, or found done; its answer is a :class:`Row`."""

    parts: Path
    folder: Path
    time_limit: float

    @property
    def size(self) -> int:
        """Bytes: longer lists take longer."""
        try:
            return self.parts.stat().st_size
        except OSError:
            return 0

    def run(self, clock: Clock, say: Say) -> Row:
        """In this process, with no helpers of its own."""
        began = time.monotonic()
        row = self.row_of(self._row)
        return replace(row, seconds=time.monotonic() - began)

    def row_of(self, step: Callable[[], _Answer]) -> _Answer | Row:
        """What a step comes to; what it raises ends this list and no other."""
        from cutplan.words.batch_words import AT_FAULT, FAILED, NO_PLAN

        try:
            return step()
        except ProblemsFound as found:
            return self.none(AT_FAULT, [str(problem) for problem in found.problems])
        except NoPlan as none:
            return self.none(NO_PLAN, [str(none)])
        except CheckFailed as failed:
            return self.none(FAILED, [str(failed)])
        except Exception as fault:
            return self.none(FAILED, [f"a fault in cutplan, not in the list: {type(fault).__name__}: {fault}"])

    def _row(self) -> Row:
        from cutplan.words.batch_words import PLANNED

        job = read_job(self.parts)
        rack = find_rack(near=self.parts)
        if before := self.as_before(job, rack):
            return before
        answer, _ = plan_into(job, self.folder, rack=rack, time_limit=self.time_limit, processes=0)
        return self.planned(PLANNED, rack, job, answer)

    def as_before(self, job: Job, rack: Rack) -> Row | None:
        """The row of a plan that is there and answers the list, or is being worked by; None where it has to be made."""
        from cutplan.words.batch_words import AS_BEFORE, OTHERWISE

        plan_file = self.folder / PLAN_FILE
        there = all((self.folder / name).exists() for name in FILES)
        before = plan_for(plan_file, job) if there else None
        # What a clock ended may be better this time.
        if before is not None and not before[1].stopped_by:
            return self.planned(AS_BEFORE, rack, *before)
        stage = begun_as(rack, plan_file)
        if stage is None:
            return None
        # Steel is on its way, or cut by these sheets: another plan in their place would be of use to nobody.
        then, answer = read_plan(plan_file)
        row = self.planned(stage.value, rack, then, answer)
        return row if _list_of(then) == _list_of(job) else replace(row, faults=(OTHERWISE,))

    def none(self, outcome: str, faults: Sequence[str]) -> Row:
        """The row of a list that has no plan."""
        from cutplan.words.batch_words import Row

        return Row(parts=self.parts, folder=self.folder, outcome=outcome, faults=tuple(faults))

    def planned(self, outcome: str, rack: Rack, job: Job, answer: Plan) -> Row:
        """The row of a list that has a plan."""
        from cutplan.model import SourceKind
        from cutplan.model.totals import totals_of
        from cutplan.words.batch_words import Row
        from cutplan.words.proving import status_words

        totals = totals_of(job, answer)
        return Row(
            parts=self.parts,
            folder=self.folder,
            outcome=outcome,
            proof=status_words(job, answer.status),
            stopped_by=answer.stopped_by,
            currency=job.workshop.currency,
            money=None if totals.money.groups_left_out else totals.money.to_pay,
            bought_mass=totals.bought_mass,
            bars_bought=totals.bars_bought,
            pieces=totals.pieces,
            offcuts=tuple(bar.source for bar in answer.bars if bar.kind is SourceKind.OFFCUT),
            rack=self._told_apart(rack, job),
        )

    def _told_apart(self, rack: Rack, job: Job) -> str:
        """What tells the rack of this list from those of others: its ledger, its file, or the list that holds it."""
        if draws_from_ledger(job):
            return str(rack.path)
        return next((each.sha256 for each in job.files if each.role == "rack"), str(self.parts))


def _list_of(job: Job) -> list[str]:
    """Digests of what says which parts are wanted."""
    return [file.sha256 for file in job.files if file.role in ("parts", "holes")]


def lists_of(places: Iterable[Path | str], out: Path | str) -> tuple[tuple[ListTask, ...], tuple[Path, ...]]:
    """What a batch has to plan: each list given, and each parts list in the folders given.

    Parameters
    ----------
    places
        Lists and folders.
    out
        Where the plans go: each in a folder named after its list, with the ending where two differ in that alone, below
        those between it and the folder given.

    Returns
    -------
    tuple
        The tasks, in order, and the csv and xlsx files of the folders that are no parts lists.

    Raises
    ------
    ProblemsFound
        When a place is not there, holds no list, or two plans would go to one folder.
    """
    given, others = lists_in(places)
    found_in = [(each, Path(out) / between) for each, between in given]
    stems = Counter(folder / each.stem for each, folder in found_in)
    names = Counter(folder / each.name for each, folder in found_in)
    tasks = [
        # gate.csv and gate.xlsx are two lists, and one may well be the copy of the other that is worked on.
        ListTask(
            parts=each,
            folder=folder / (each.name if names[folder / each.name] < stems[folder / each.stem] else each.stem),
            time_limit=TIME_LIMIT,
        )
        for each, folder in found_in
    ]
    problems: list[Problem] = []
    places_of = Counter(task.folder for task in tasks)
    for folder, times in places_of.items():
        if times > 1:
            named = " and ".join(str(task.parts) for task in tasks if task.folder == folder)
            problems.append(
                _statement(
                    folder,
                    f"the place of {times} plans: of {named}",
                    "lists of different names, or the folder that all of them are below",
                    code="batch.one_place",
                )
            )
    if problems:
        raise ProblemsFound(problems)
    return tuple(tasks), others


def run_batch(
    tasks: Sequence[ListTask],
    *,
    processes: int | None = None,
    time_limit: float = TIME_LIMIT,
    progress: Say | None = None,
) -> tuple[tuple[Row, ...], bool]:
    """Plan lists side by side, each as ``plan`` does, and write what comes of each.

    Parameters
    ----------
    tasks
        From :func:`lists_of`.
    processes
        Helper processes at once: 0 for none, None for as many as there are processors.
    time_limit
        Seconds for one list.
    progress
        Called with how many are done.

    Returns
    -------
    tuple
        A row for each list, in the order of the tasks, also for those not come to when the user stopped it; and whether
        that was so. Run again, it goes on where it stopped: a plan that is there and answers its list as it is now is
        kept.
    """
    wanted = [replace(task, time_limit=time_limit) for task in tasks]
    rows, stopped = _side_by_side(wanted, processes, progress or (lambda text: None))
    return in_full(wanted, rows), stopped


def in_full(tasks: Sequence[ListTask], rows: Sequence[Row | None]) -> tuple[Row, ...]:
    """Rows with one for each list that was not come to."""
    from cutplan.words.batch_words import NOT_DONE

    return tuple(row or task.none(NOT_DONE, []) for task, row in zip(tasks, rows, strict=True))


def _side_by_side(wanted: Sequence[ListTask], processes: int | None, say: Say) -> tuple[list[Row | None], bool]:
    from cutplan.planning.workers import processes_allowed
    from cutplan.solving import Clock
    from cutplan.words.batch_words import LOST, progress_text

    rows: list[Row | None] = [None] * len(wanted)
    done, began = 0, time.monotonic()

    def answered(number: int, row: Row) -> None:
        nonlocal done
        rows[number], done = row, done + 1
        say(progress_text(row, done, len(wanted), time.monotonic() - began))

    helpers = min(processes_allowed(processes), len(wanted))
    if not helpers:
        try:
            for number, task in enumerate(wanted):
                row = task.run(Clock(deadline=inf), lambda text: None)
                answered(number, row)
                # A search that has a plan by then takes Ctrl-C for itself, and is content with that plan.
                if row.stopped_by == "user":
                    return rows, True
        except KeyboardInterrupt:
            return rows, True
        return rows, False
    # A list whose process was lost is begun once more: another one may have brought that down.
    for _ in range(2):
        left = [number for number, row in enumerate(rows) if row is None]
        if left and _round(wanted, left, helpers, answered) == "user":
            return rows, True
    lost = "its process ended before it was planned, twice; the log says what it wrote"
    return [row or task.none(LOST, [lost]) for row, task in zip(rows, wanted, strict=True)], False


def _round(wanted: Sequence[ListTask], left: Sequence[int], helpers: int, answered: Callable[[int, Row], None]) -> str:
    """Give what is left to helpers; what stopped them."""
    from cutplan.planning.workers import side_by_side

    tasks = [wanted[number] for number in left]
    _, stopped_by = side_by_side(
        tasks, min(helpers, len(left)), inf, lambda text: None, lambda place, row: answered(left[place], row)
    )
    return stopped_by


def batch_file_named(table: Path) -> Path:
    """The file, when its ending is one that :func:`write_batch` knows.

    Raises
    ------
    ProblemsFound
        When it has another: said before many lists are planned.
    """
    with_ending(table, (".csv", ".xlsx", ".jsonl"), "--table")
    return table


def write_batch(rows: Sequence[Row], path: Path) -> None:
    """Write the table of a batch.

    Raises
    ------
    ProblemsFound
        When its name has another ending than .csv, .xlsx or .jsonl, or it cannot be written.
    """
    from cutplan.reports.batch_table import batch_book, batch_csv, batch_lines

    forms = {".csv": batch_csv, ".xlsx": batch_book, ".jsonl": batch_lines}
    write_as(path, {ending: partial(made, rows) for ending, made in forms.items()}, "--table")


def plan_many(
    jobs: Iterable[Job], *, processes: int | None = None, time_limit: float = TIME_LIMIT
) -> tuple[Plan | NoPlan, ...]:
    """Plan jobs side by side, each as :func:`plan` does, and let the checker confirm each.

    Parameters
    ----------
    processes
        Helper processes at once: 0 for none, None for as many as there are processors. The plans are the same.
    time_limit
        Seconds for one job.

    Returns
    -------
    tuple
        In the order of the jobs the plan of each, or why it has none.

    Raises
    ------
    CheckFailed
        When the checker does not confirm a plan.
    KeyboardInterrupt
        When interrupted before all were planned.
    """
    from cutplan.planning.workers import processes_allowed, side_by_side

    tasks = [JobTask(job=job, time_limit=time_limit) for job in jobs]
    helpers = min(processes_allowed(processes), len(tasks))
    answers: list[Plan | NoPlan | None] = [None] * len(tasks)
    if helpers > 1:
        answers, stopped_by = side_by_side(tasks, helpers, inf, lambda text: None)
        if stopped_by == "user":
            raise KeyboardInterrupt
    return tuple(task.planned() if answer is None else answer for task, answer in zip(tasks, answers, strict=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class JobTask:
    """One job to be planned."""

    job: Job
    time_limit: float

    @property
    def size(self) -> int:
        """Different parts."""
        return len(self.job.parts)

    def run(self, clock: Clock, say: Say) -> Plan | NoPlan:
        """In this process; what stops the search early is in the plan."""
        return self.planned()

    def planned(self) -> Plan | NoPlan:
        """The plan, or why there is none."""
        try:
            return plan(self.job, time_limit=self.time_limit, processes=0)
        except NoPlan as none:
            return none


def batch_text(rows: Sequence[Row], *, of: int, stopped: bool) -> str:
    """The rows of a batch of so many lists in words, with pieces of the rack that more than one plan uses."""
    from cutplan.words import batch_words

    return batch_words.batch_text(rows, wanted_twice(rows), stopped, of)


def batch_values(rows: Sequence[Row], *, of: int, stopped: bool) -> dict[str, Any]:
    """The rows of a batch of so many lists as values for JSON."""
    from cutplan.words.batch_words import row_values

    twice = [{"mark": mark, "lists": list(map(str, lists))} for mark, lists in wanted_twice(rows)]
    return {"lists": of, "stopped": stopped, "rows": [row_values(row) for row in rows], "wanted_twice": twice}


def wanted_twice(rows: Iterable[Row]) -> list[tuple[str, tuple[Path, ...]]]:
    """Pieces of the rack that several plans of a batch use, and the lists of these plans."""
    users: dict[tuple[str, str], list[Path]] = {}
    for row in rows:
        for mark in dict.fromkeys(row.offcuts):
            users.setdefault((row.rack, mark), []).append(row.parts)
    return [(mark, tuple(lists)) for (_, mark), lists in users.items() if len(lists) > 1]


def _statement(place: Path, found: str, accepted: str, *, code: str) -> Problem:
    return Problem(where=str(place), found=found, accepted=accepted, found_is_text=False, code=code)
