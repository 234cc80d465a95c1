"""What changes of a job would cost or save, beside the plan of it as it is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from cutplan import actions
from cutplan.actions import DeskJob
from cutplan.problems import Problem
from cutplan.web.desk_pages import job_of, telling
from cutplan.web.forms import Form, form_of
from cutplan.web.look import REFUSALS, page, refused, to
from cutplan.web.plan_runs import PlanRun
from cutplan.web.sent import NOTHING, Sent, again
from cutplan.words.bench_words import stopped_text

_OF_MERCHANTS = ("without", "delivered", "fetched")
_FLAGS = ("no_rack", "no_shared_mitres", "one_by_one")


def compare(request: Request, sent: Sent = NOTHING) -> Response:
    """What can be changed; how far a comparison is; and what came of it, or a form that was refused."""
    job = _job(request)
    run = _run(request, job)
    order: Mapping[str, Any] = run.order if run is not None else {}
    if sent.form:
        order = {"changes": _changes(Form(sent.texts)), "quotes": _quotes(Form(sent.texts))}
    part_sheets = actions.part_sheets(job.parts_list) if job.parts_list is not None else ()
    sheet = next((one for one in part_sheets if one == order.get("sheet")), "")
    try:
        read = actions.read_job(_lists(job), sheet=sheet, times=1 if job.asks else 0)
    except REFUSALS as wrong:
        return refused(request, wrong)
    done = (run.done or {}) if run is not None else {}
    return page(
        request,
        "compare",
        job=job,
        run=run,
        rows=done.get("compared", ()),
        stopped=stopped_text("the rows", run.minutes) if run is not None and done.get("stopped") else "",
        problems=done.get("problems", ()),
        sent=sent if sent.form else _wrong(done),
        choices=actions.choices(read),
        price_lists=_price_lists(),
        asked=order.get("changes", {}),
        quotes=order.get("quotes", ()),
        times=order.get("times", "") if not sent.form else sent.text("times"),
        sheet=sheet,
        part_sheets=part_sheets,
    )


def _wrong(done: Mapping[str, Any]) -> Sent:
    """What a comparison found wrong with a change, to be reported at its field."""
    told = [
        Problem(where=one["where"], found=one["found"], accepted=one["accepted"], code=one["code"])
        for one in done.get("problems", ())
    ]
    return Sent(problems=tuple(told))


def _job(request: Request) -> DeskJob:
    job = job_of(request)
    if not _lists(job):
        raise HTTPException(404)
    return job


def _lists(job: DeskJob) -> list[Any]:
    return [job.parts_list] if job.parts_list is not None else list(job.lists)


def _key(job: DeskJob) -> str:
    """Of the search among the others: none of a job has this name, since a file cannot have it."""
    return f"{job.key}/\0compare"


def _run(request: Request, job: DeskJob) -> PlanRun | None:
    run: PlanRun | None = request.app.state.runs.of(_key(job))
    return run


async def begin(request: Request) -> Response:
    """Begin a comparison."""
    form = await form_of(request)
    return await run_in_threadpool(_begin, request, form)


def _begin(request: Request, form: Form) -> Response:
    job = _job(request)
    order: dict[str, Any] = {
        "what": "compare",
        "parts": [str(path) for path in _lists(job)],
        "sheet": form.text("sheet"),
        "changes": _changes(form),
        "quotes": _quotes(form),
    }
    try:
        if form.text("times"):
            order["times"] = form.number("times")
        request.app.state.runs.begin(_key(job), order)
    except REFUSALS as wrong:
        return again(request, wrong, form, compare, "compare")
    return to(request.url_for("compare", job=job.key).path)


def _changes(form: Form) -> dict[str, Any]:
    # A blank figure is none that is changed.
    changes: dict[str, Any] = {name: form.text(name) for name in ("kerf", "keep") if form.text(name)}
    if form.text("carry"):
        changes["carry"] = [form.text("carry")]
    if form.text("also") in _price_lists():
        changes["also"] = form.text("also")
    if form.text("price"):
        changes["price"] = [f"{form.text('row')}:{form.text('price')}"]
    for name in _OF_MERCHANTS:
        named = [key.removeprefix(f"{name} ") for key in form.texts if key.startswith(f"{name} ") and form.text(key)]
        if named:
            changes[name] = named
    return changes | {name: True for name in _FLAGS if form.text(name)}


def _quotes(form: Form) -> list[str]:
    """The price lists that are to stand in the place of the workshop's."""
    return [path for path in _price_lists() if form.text(f"quote {path}")]


def _price_lists() -> list[str]:
    return [path.as_posix() for path in actions.other_price_lists()]


def stop(request: Request) -> Response:
    """Stop a comparison; what is compared by then stays."""
    job = _job(request)
    run = _run(request, job)
    if run is not None:
        run.stop()
    return to(request.url_for("compare", job=job.key).path)


def told(request: Request) -> Response:
    """How far a comparison is, as events that a page listens to."""
    run = _run(request, _job(request))
    if run is None:
        raise HTTPException(404)
    return telling(request, run)


ROUTES = [
    Route("/job/{job:path}/compare", compare, name="compare"),
    Route("/job/{job:path}/compare", begin, methods=["POST"]),
    Route("/job/{job:path}/compare/stop", stop, methods=["POST"]),
    Route("/job/{job:path}/compare/events", told),
]
