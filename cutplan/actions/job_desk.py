"""The jobs of a folder with where each stands: lists with their faults, plans, and what the ledger knows of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.as_of import as_it_says, lists_here, one_look, read_job, stories_of
from cutplan.actions.checked import read_plan
from cutplan.actions.planning import plan_folder
from cutplan.actions.rack_found import Rack, find_rack
from cutplan.actions.rack_plans import noted_rack, plan_note
from cutplan.actions.unbegun import REPORTS
from cutplan.problems import ProblemsFound
from cutplan.unfinished import PLAN_FILE
from cutplan.words.bench_words import DeskJob, Where

if TYPE_CHECKING:
    from cutplan.model import Job
    from cutplan.rack.job_events import PlanStory


def jobs_of() -> tuple[DeskJob, ...]:
    """The jobs of the folder that is worked in: its lists in the order of their names, then plans of no list there.

    A list that is planned together with others, and not by itself, says where.
    """
    with one_look():
        return _jobs()


def _jobs() -> tuple[DeskJob, ...]:
    lists = lists_here()
    taken: set[Path] = set()
    found = []
    for parts in lists:
        plan_file = plan_folder(parts) / PLAN_FILE
        planned = plan_file not in taken and plan_file.is_file()
        if planned:
            taken.add(plan_file)
        found.append(_of_list(parts, plan_file if planned else None))
    of_plans = [_of_plan(path, lists=lists) for path in _plans() if path not in taken]
    together = {parts: job.key for job in of_plans if job.where is not Where.CHANGED for parts in job.lists}
    found = [
        replace(job, where=Where.TOGETHER, planned_in=together[job.parts_list])
        if job.where in (Where.READY, Where.ASKED) and job.parts_list in together
        else job
        for job in found
    ]
    return (*found, *of_plans)


def _plans() -> Iterator[Path]:
    """Plan files below the folder of reports, the plan of a rest after the one it is the rest of."""
    for path in sorted(Path(REPORTS).glob(f"**/{PLAN_FILE}")):
        if not any(part.startswith(".") for part in path.parts):
            yield path


def _of_list(parts: Path, plan_file: Path | None) -> DeskJob:
    key, name = parts.as_posix(), parts.stem
    try:
        job = read_job(parts)
        asks = ""
    except ProblemsFound as found:
        job, asks = None, _asked(found)
        if asks:
            with suppress(ProblemsFound):
                job = read_job(parts, times=1)  # its files, and whether it is sound but for that
        if job is None:
            unpriced = all(problem.code == "list.no_price" for problem in found.problems)
            where = Where.UNPRICED if unpriced else Where.FAULTS
            return DeskJob(
                key=key, name=name, where=where, parts_list=parts, plan_file=plan_file, problems=found.problems
            )
    if plan_file is None:
        return DeskJob(key=key, name=name, where=Where.ASKED if asks else Where.READY, parts_list=parts, asks=asks)
    return replace(_of_plan(plan_file, key=key, name=name, parts=parts, job=job), asks=asks)


def _asked(found: ProblemsFound) -> str:
    """What the titles of a list say of how often it is made, where nothing else is wrong with it."""
    if all(problem.code == "list.times" for problem in found.problems):
        return "; ".join(dict.fromkeys(problem.found for problem in found.problems))
    return ""


def _of_plan(
    plan_file: Path,
    *,
    key: str = "",
    name: str = "",
    parts: Path | None = None,
    job: Job | None = None,
    lists: Sequence[Path] = (),
) -> DeskJob:
    """The job of a plan file, which only names it here: it is checked where it is opened.

    ``lists`` are those of the folder, among which a plan of several finds its own.
    """
    key = key or plan_file.parent.as_posix()
    try:
        planned, plan = as_it_says(plan_file)
        rack = _rack(plan_file)
        note = plan_note(rack, planned, plan, plan_file.parent)
        story = _story(rack, note.plan)
    except ProblemsFound as found:
        where = Where.READY if job is not None else Where.UNREADABLE
        return DeskJob(
            key=key, name=name or plan_file.parent.name, where=where, parts_list=parts, problems=found.problems
        )
    own = () if parts is not None else _lists_of(planned, lists)
    if own:
        with suppress(ProblemsFound):
            job = read_job(own, times=1)
    where = Where.PLANNED if story is None else Where(story.stage.value)
    changed = _changed(job, planned) if where is Where.PLANNED and job is not None else ()
    where = Where.CHANGED if changed else where
    if parts is None and plan_file.parent.name.startswith("rest-"):  # beside the plan that it is the rest of
        name = f"{planned.name}, {plan_file.parent.name.replace('-', ' ')}"
    return DeskJob(
        key=key, name=name or planned.name, where=where, parts_list=parts, plan_file=plan_file,
        ticked=story.ticked if story is not None else 0, parts=note.parts, lists=own, changed=changed,
    )  # fmt: skip


def _lists_of(planned: Job, lists: Sequence[Path]) -> tuple[Path, ...]:
    """The lists that a plan of several was made of; none where not each is found in the folder, and once."""
    names = [file.name for file in planned.files if file.role == "parts"]
    found = [[path for path in lists if path.name == name] for name in names]
    if len(names) < 2 or any(len(each) != 1 for each in found):
        return ()
    return tuple(path for (path,) in found)


def _changed(job: Job, planned: Job) -> tuple[str, ...]:
    """The roles of files that differ between the two; the ledger, which every piece changes, and the list it began with
    are left out.
    """
    roles = {file.role: None for each in (job, planned) for file in each.files}
    had, has = ({(file.role, file.sha256) for file in each.files} for each in (planned, job))
    differ = {role for role, _ in had ^ has}
    left_out = {"ledger", "rack"} if "ledger" in roles else set()
    return tuple(role for role in roles if role in differ - left_out)


def _rack(plan_file: Path) -> Rack:
    noted = noted_rack(plan_file)
    return find_rack(near=plan_file) if noted is None else find_rack(near=noted, ledger=noted)


def _story(rack: Rack, digest: str) -> PlanStory | None:
    return next((plan for story in stories_of(rack) for plan in story.plans if plan.note.plan == digest), None)


def plan_sheets(plan_file: Path) -> tuple[tuple[str, str], ...]:
    """The sheets of a plan as parts of a page, each with its title.

    Raises
    ------
    ProblemsFound, CheckFailed
        When the plan file cannot be used.
    """
    from cutplan.actions.output_folder import fingerprint
    from cutplan.reports.browser.plan_html import sheets_html

    return sheets_html(*read_plan(plan_file), fingerprint(plan_file))


def list_found(parts: Path) -> str:
    """What a list asks for, in words.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with it.
    """
    from cutplan.actions.lists import check
    from cutplan.words.list_found import found_text

    job = read_job(parts)
    return found_text(job, check(job))


def part_sheets(parts: Path) -> tuple[str, ...]:
    """The sheets of a workbook that its parts are read from, by their names; none of a text."""
    from cutplan import reading

    return reading.part_sheets(parts)
