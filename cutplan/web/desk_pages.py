"""The desk: jobs with where each stands, a job with its list and its plan, planning it, and the files to take away."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Callable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from cutplan import actions
from cutplan.actions import DeskJob
from cutplan.actions.replanning import next_folder
from cutplan.problems import Problem, ProblemsFound
from cutplan.units import counted
from cutplan.web.forms import Form, form_of
from cutplan.web.look import REFUSALS, page, problems_of, refused, to
from cutplan.web.plan_runs import PlanRun
from cutplan.web.sent import NOTHING, Sent, again
from cutplan.words.bench_words import NEXT, Where, standing_text, stopped_text
from cutplan.words.job_words import job_text, ordered_text

DOWNLOADS = (actions.PRINTED, actions.LABELS, actions.WORKBOOK, actions.PLAN_FILE)
_BEAT = 0.3
"""Seconds between two looks at a search. A browser is told when something changed."""


def job_of(request: Request) -> DeskJob:
    """The job that an address names; one that is not among those of the folder is not found."""
    key = request.path_params["job"]
    found = next((each for each in jobs() if each.key == key), None)
    if found is None:
        raise HTTPException(404)
    return found


def plan_of(request: Request) -> tuple[DeskJob, Path]:
    """The job that an address names, and its plan file.

    Where that is found once it is not looked for again: every tick changes the ledger, and with it what is said of all
    jobs, which takes a hundred times as long as to tick.
    """
    found: dict[str, DeskJob] = request.app.state.found
    known = found.get(request.path_params["job"])
    if known is not None and known.plan_file is not None and known.plan_file.is_file():
        return known, known.plan_file
    job = job_of(request)
    if job.plan_file is None:
        raise HTTPException(404)
    found[job.key] = job
    return job, job.plan_file


def jobs() -> tuple[DeskJob, ...]:
    """The jobs of the folder, read anew where any of its files changed."""
    return _jobs_as_of(_signature())


def _signature() -> tuple[tuple[str, int, int], ...]:
    """Every file that could change what is said of a job, with its size and the time it was written."""
    found = []
    for path in sorted(Path().rglob("*")):
        if not any(part.startswith(".") for part in path.parts) and path.is_file():
            state = path.stat()
            found.append((path.as_posix(), state.st_size, state.st_mtime_ns))
    return tuple(found)


@lru_cache(maxsize=1)
def _jobs_as_of(signature: tuple[tuple[str, int, int], ...]) -> tuple[DeskJob, ...]:
    return actions.jobs_of()


def desk(request: Request, sent: Sent = NOTHING) -> Response:
    """All jobs; with those marked that could not be planned together."""
    rows = [(job, standing_text(job), NEXT[job.where]) for job in jobs()]
    return page(request, "desk", sent=sent, rows=rows, runs=request.app.state.runs)


def show(request: Request, sent: Sent = NOTHING) -> Response:
    """A job: where it stands and what to do next, its plan or what is wrong with its list; with what was refused."""
    job = job_of(request)
    sheets: tuple[tuple[str, str], ...] = ()
    money, wrong, to_begin, drill = "", job.problems, None, False
    several: tuple[str, ...] = ()
    if job.plan_file is not None and not job.problems:
        try:
            sheets = _sheets(actions.fingerprint(job.plan_file), job.plan_file)
            planned, plan = actions.read_plan(job.plan_file)
            drill, several = bool(actions.to_drill(planned, plan)), actions.planned_together(planned)
            rack = actions.rack_of_plan(job.plan_file)
            to_begin = actions.rack_to_begin(rack)
            money = job_text(actions.job_show(rack, str(job.plan_file)), rack.workshop)
        except REFUSALS as caught:
            wrong = problems_of(caught)
    found = ""
    if job.parts_list is not None and not (sheets or wrong or job.asks):
        found = actions.list_found(job.parts_list)
    run = request.app.state.runs.of(job.key)
    if run is not None and not sent.form and "problems" in (run.done or {}):
        sent = _as_ordered(run)
    files = [name for name in DOWNLOADS if job.plan_file and (job.plan_file.parent / name).is_file()]
    return page(
        request,
        "job",
        job=job,
        standing=standing_text(job),
        next=NEXT[job.where],
        sheets=sheets,
        money=money,
        to_begin=to_begin,
        drill=drill,
        rest=_rest_to_plan(job),
        problems=wrong,
        found=found,
        files=files,
        several=several,
        run=run,
        sent=sent,
        part_sheets=actions.part_sheets(job.parts_list) if job.parts_list is not None and job.may_be_planned else (),
    )


def _as_ordered(run: PlanRun) -> Sent:
    """What was typed of a plan that came to nothing; its page has told why."""
    typed = {name: str(run.order[name]) for name in ("times", "sheet", "hold") if run.order.get(name)}
    return Sent("plan", typed) if typed else NOTHING


def _rest_to_plan(job: DeskJob) -> bool:
    """Was a part spoiled of a plan that is recorded, and the rest of it not planned yet?"""
    if job.plan_file is None or job.where is not Where.RECORDED or next_folder(job.plan_file.parent).exists():
        return False
    ticks = actions.at_the_saw(job.plan_file, actions.rack_of_plan(job.plan_file)).ticks
    return any(one.spoiled for one in ticks)


@lru_cache(maxsize=4)
def _sheets(fingerprint: str, plan_file: Path) -> tuple[tuple[str, str], ...]:
    return actions.plan_sheets(plan_file)


def download(request: Request) -> Response:
    """A file of a plan."""
    _, plan_file = plan_of(request)
    name = request.path_params["file"]
    path = plan_file.parent / name
    more = (*actions.order_file_names(plan_file.parent), *actions.money_file_names(plan_file.parent))
    if name not in (*DOWNLOADS, *more) or not path.is_file():
        raise HTTPException(404)
    return FileResponse(path, filename=f"{plan_file.parent.name}-{name}")


async def labels(request: Request) -> Response:
    """Print the labels of one of several jobs that were planned together."""
    form = await form_of(request)
    return await run_in_threadpool(_labels, request, form)


def _labels(request: Request, form: Form) -> Response:
    _, plan_file = plan_of(request)
    try:
        made = actions.print_labels(plan_file, job=form.text("job"))
    except REFUSALS as wrong:
        return again(request, wrong, form, show, "labels")
    return FileResponse(made.path, filename=f"{plan_file.parent.name}-{made.path.name}")


async def begin(request: Request) -> Response:
    """Start to plan a job, or the rest of it."""
    form = await form_of(request)
    return await run_in_threadpool(_begin, request, form)


def _begin(request: Request, form: Form) -> Response:
    job = job_of(request)
    if form.text("what") == "rest":
        if job.plan_file is None:
            raise HTTPException(404)
        order: dict[str, Any] = {"what": "replan", "plan": str(job.plan_file)}
        if form.text("bar"):
            order |= {"bent": str(form.number("bar")), "usable": form.text("usable")}
    else:
        lists = [job.parts_list] if job.parts_list is not None else list(job.lists)
        if not lists:
            raise HTTPException(404)
        order = {"what": "plan", "parts": [str(path) for path in lists], "hold": form.text("hold")}
        try:
            order |= {"sheet": form.text("sheet"), "times": form.number("times") if form.text("times") else 0}
        except REFUSALS as wrong:
            return again(request, wrong, form, show, "plan")
    return _begun(request, job.key, order, form, show)


def _begun(
    request: Request, key: str, order: Mapping[str, Any], form: Form, show: Callable[[Request, Sent], Response]
) -> Response:
    try:
        request.app.state.runs.begin(key, order)
    except REFUSALS as wrong:
        return again(request, wrong, form, show, "plan")
    return to(request.url_for("planning", job=key).path)


async def together(request: Request) -> Response:
    """Start to plan several lists as one purchase."""
    form = await form_of(request)
    return await run_in_threadpool(_together, request, form)


def _together(request: Request, form: Form) -> Response:
    chosen = [job for job in jobs() if form.text(f"with {job.key}") and job.parts_list is not None]
    asked = ", ".join(job.name for job in chosen if job.asks)
    found = f"{asked}, whose title says how many are made" if asked else counted(len(chosen), "list")
    if asked or len(chosen) < 2:
        accepted = "lists that say nothing of the kind" if asked else "two or more, to be bought together"
        problem = Problem.statement("lists", found, accepted, code="bench.lists")
        return again(request, ProblemsFound([problem]), form, desk, "together")
    lists = [job.parts_list for job in chosen if job.parts_list is not None]
    key = actions.plan_folder(lists).as_posix()
    return _begun(request, key, {"what": "plan", "parts": [str(path) for path in lists]}, form, desk)


def _job_of_run(request: Request) -> DeskJob:
    """The job that an address names, also one of several lists whose first plan is being made."""
    key = request.path_params["job"]
    if request.app.state.runs.of(key) is not None and not any(each.key == key for each in jobs()):
        return DeskJob(key=key, name=Path(key).name.replace("+", " + "), where=Where.READY)
    return job_of(request)


def planning(request: Request) -> Response:
    """How far a search is; once it is done, what came of it."""
    job = _job_of_run(request)
    run = request.app.state.runs.of(job.key)
    if run is None:
        return to(request.url_for("job", job=job.key).path)
    folder = (run.done or {}).get("folder")
    after = next((each.key for each in jobs() if folder and _folder(each) == folder), job.key)
    stopped = stopped_text("this is the best plan", run.minutes)
    return page(request, "planning", job=job, run=run, after=after, stopped=stopped)


def _folder(job: DeskJob) -> str:
    return job.plan_file.parent.as_posix() if job.plan_file else ""


def stop(request: Request) -> Response:
    """Stop a search; it keeps the best plan it has."""
    job = _job_of_run(request)
    run = request.app.state.runs.of(job.key)
    if run is not None:
        run.stop()
    return to(request.url_for("planning", job=job.key).path)


def told(request: Request) -> Response:
    """How far a search is, as events that a page listens to."""
    run = request.app.state.runs.of(_job_of_run(request).key)
    if run is None:
        raise HTTPException(404)
    return telling(request, run)


def telling(request: Request, run: PlanRun) -> Response:
    """How far a search is, as events."""
    return StreamingResponse(_events(request, run), media_type="text/event-stream")


async def _events(request: Request, run: PlanRun) -> AsyncIterator[str]:
    last = ""
    while not request.app.state.ending and not await request.is_disconnected():
        now = json.dumps({"doing": run.doing, "done": run.done is not None})
        if now != last:
            last = now
            yield f"data: {now}\n\n"
        if run.done is not None:
            return
        await asyncio.sleep(_BEAT)


async def ordered(request: Request) -> Response:
    """Note that what a plan buys was ordered."""
    form = await form_of(request)
    return await run_in_threadpool(_ordered, request, form)


def _ordered(request: Request, form: Form) -> Response:
    job, plan_file = plan_of(request)
    try:
        done = actions.job_ordered(
            plan_file, actions.rack_of_plan(plan_file), merchant=form.text("merchant"), number=form.text("number")
        )
    except REFUSALS as wrong:
        return refused(request, wrong)
    return page(request, "done", told=ordered_text(done), job=job, missing=False)


async def received(request: Request) -> Response:
    """Note that what was ordered came as it was ordered."""
    form = await form_of(request)
    return await run_in_threadpool(_received, request, form)


def _received(request: Request, form: Form) -> Response:
    job, plan_file = plan_of(request)
    try:
        done = actions.receive(plan_file, actions.rack_of_plan(plan_file), place=form.text("place"))
    except REFUSALS as wrong:
        return again(request, wrong, form, show, "received")
    return page(request, "done", told=actions.received_text(done), job=job, missing=False)


async def close(request: Request) -> Response:
    """Close a job: nothing more is done to it."""
    await form_of(request)
    return await run_in_threadpool(_close, request)


def _close(request: Request) -> Response:
    job, plan_file = plan_of(request)
    try:
        rack = actions.rack_of_plan(plan_file)
        shown, _ = actions.job_close(rack, str(plan_file))
    except REFUSALS as wrong:
        return refused(request, wrong)
    return page(request, "done", told=job_text(shown, rack.workshop), job=job, missing=False)


def state(request: Request) -> Response:
    """Where every job stands, as values."""
    return JSONResponse({"jobs": [{"job": job.key, "stands": standing_text(job)} for job in jobs()]})


ROUTES = [
    Route("/", desk, name="desk"),
    Route("/state.json", state, name="state"),
    Route("/together", together, methods=["POST"], name="together"),
    Route("/job/{job:path}/plan", begin, methods=["POST"], name="begin"),
    Route("/job/{job:path}/planning", planning, name="planning"),
    Route("/job/{job:path}/planning/stop", stop, methods=["POST"], name="stop"),
    Route("/job/{job:path}/planning/events", told, name="told"),
    Route("/job/{job:path}/ordered", ordered, methods=["POST"], name="ordered"),
    Route("/job/{job:path}/received", received, methods=["POST"], name="received"),
    Route("/job/{job:path}/close", close, methods=["POST"], name="close"),
    Route("/job/{job:path}/labels", labels, methods=["POST"], name="labels"),
    Route("/job/{job:path}/file/{file}", download, name="file"),
    Route("/job/{job:path}", show, name="job"),
]
