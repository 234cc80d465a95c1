"""At the saw: one bar per screen, its parts ticked as they are cut, its left over put away, and the plan recorded."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from secrets import token_hex
from threading import Lock
from typing import Any, TypeVar

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from cutplan import actions
from cutplan.actions import AtTheSaw, Parts, Step
from cutplan.problems import Problem, ProblemsFound
from cutplan.web.desk_pages import jobs, plan_of
from cutplan.web.forms import Form, form_of
from cutplan.web.look import REFUSALS, page, path, refused, to, wants_values
from cutplan.web.saw_view import SawBar, saw_bars
from cutplan.web.sent import NOTHING, Sent, again
from cutplan.words.bench_words import LEFT_BY_SPOILED
from cutplan.words.recorded import record_text

MOST_BARS = 60
"""Bars on one page; of a longer plan it holds those around the bar that is asked for."""
LONGEST_ID = 100
"""Letters of the id of a tick, which the ledger keeps for good; a page's own has 24."""
TICKING = Lock()
"""One tick is written at a time: phones then stand in a queue, where each that asked SQLite alone might wait long."""
_Step = TypeVar("_Step")
_STEPS = {"cut": Step.CUT, "spoiled": Step.SPOILED, "uncut": Step.UNCUT}


@lru_cache(maxsize=4)
def _bars(fingerprint: str, plan_file: Path) -> tuple[SawBar, ...]:
    return saw_bars(*actions.read_plan(plan_file))


def bars_of(plan_file: Path) -> tuple[SawBar, ...]:
    """The bars of a plan file as they are shown."""
    return _bars(actions.fingerprint(plan_file), plan_file)


def saw(request: Request, sent: Sent = NOTHING) -> Response:
    """The page at the saw. Without a script it shows the bar that is asked for, or the first that is not done; or that
    of a form that was refused.

    ``usable`` in the address is what was typed of that bar, where the rest could not be planned again.
    """
    job, plan_file = plan_of(request)
    try:
        rack = actions.rack_of_plan(plan_file)
        to_begin = actions.rack_to_begin(rack)
        if to_begin is not None:
            return page(request, "unbegun", job=job, to_begin=to_begin)
        bars, now = bars_of(plan_file), actions.at_the_saw(plan_file, rack)
    except REFUSALS as wrong:
        return refused(request, wrong)
    there = {(one.part, one.copy): one for one in now.ticks}
    chosen = _chosen(sent.text("bar", request.query_params.get("bar", "")), bars, now)
    first = max(0, min(chosen - MOST_BARS // 2, len(bars) - MOST_BARS))
    shown = bars[first : first + MOST_BARS]
    done = _done(bars, now)
    not_shown = [bar.number for bar in (*bars[first + MOST_BARS :], *bars[:first]) if bar.number not in done]
    return page(
        request,
        "saw",
        job=job,
        bars=shown,
        every=len(bars),
        bars_before=first > 0,
        bars_after=first + MOST_BARS < len(bars),
        beyond=not_shown[0] if not_shown else "",
        chosen=bars[chosen].number,
        usable=request.query_params.get("usable", "")[:50],
        cut={f"{part}/{copy}" for part, copy in there},
        spoiled={f"{part}/{copy}" for (part, copy), one in there.items() if one.spoiled},
        put_away=now.put_away,
        left_now=now.left,
        plan=now.plan,
        recorded=now.recorded,
        sent=sent,
        by_spoiled=LEFT_BY_SPOILED,
        id=token_hex(8),
        parts=sum(len(bar.cuts) for bar in bars),
        ticked=len(there),
    )


def _done(bars: tuple[SawBar, ...], now: AtTheSaw) -> set[int]:
    there = {f"{one.part}/{one.copy}" for one in now.ticks}
    return {bar.number for bar in bars if all(cut.key in there for cut in bar.cuts)}


def _chosen(asked: str, bars: tuple[SawBar, ...], now: AtTheSaw) -> int:
    """The place of the bar to show: the one asked for, else the first that is not done."""
    if asked.isdecimal():
        found = next((place for place, bar in enumerate(bars) if str(bar.number) == asked), None)
        if found is not None:
            return found
    done = _done(bars, now)
    return next((place for place, bar in enumerate(bars) if bar.number not in done), len(bars) - 1)


def ticks(request: Request) -> Response:
    """What is ticked by now, for phones to keep in step."""
    _, plan_file = plan_of(request)
    try:
        return JSONResponse(_state(actions.at_the_saw(plan_file, actions.rack_of_plan(plan_file))))
    except REFUSALS as wrong:
        return refused(request, wrong)


def _state(now: AtTheSaw) -> dict[str, Any]:
    return {
        "plan": now.plan,
        "recorded": now.recorded,
        "cut": [f"{one.part}/{one.copy}" for one in now.ticks if not one.spoiled],
        "spoiled": [f"{one.part}/{one.copy}" for one in now.ticks if one.spoiled],
        "away": sorted(now.put_away),
        "left": {str(number): text for number, text in now.left.items()},
    }


async def tick(request: Request) -> Response:
    """Tick a part, or take its tick back; what comes twice under one id is done once."""
    form = await form_of(request)
    return await run_in_threadpool(_tick, request, form)


def _tick(request: Request, form: Form) -> Response:
    job, plan_file = plan_of(request)
    try:
        rack = actions.rack_of_plan(plan_file)
        step = step_of(form, _STEPS, job.name, plan_file)
        bar = form.number("bar")
        parts = Parts(marks=(form.text("part"),), bar=bar, copy=form.number("copy"), measured=form.text("measured"))
        with TICKING:
            actions.tick_parts(plan_file, rack, step, parts, given_id=form.text("id"))
        if wants_values(request):
            return JSONResponse(_state(actions.at_the_saw(plan_file, rack)))
    except REFUSALS as wrong:
        return refused_tick(again(request, wrong, form, saw, "tick"), wrong)
    return to(f"{request.url_for('saw', job=job.key).path}?bar={bar}")


def step_of(form: Form, steps: Mapping[str, _Step], name: str, plan_file: Path) -> _Step:
    """What a tick does, of the plan that its job has now.

    Raises
    ------
    ProblemsFound
        When the plan is another by now, the step none of these, or the id too long for the ledger to keep.
    """
    check_plan(form, name, plan_file)
    step = steps.get(form.text("step"))
    if step is None:
        found, accepted = form.text("step"), ", ".join(steps)
        raise ProblemsFound([Problem(code="bench.field", where="step", found=found, accepted=accepted)])
    if len(form.text("id")) > LONGEST_ID:
        accepted = f"at most {LONGEST_ID} letters"
        raise ProblemsFound(
            [Problem(code="bench.field", where="id", found=form.text("id")[:LONGEST_ID], accepted=accepted)]
        )
    return step


def check_plan(form: Form, name: str, plan_file: Path) -> None:
    """Refuse what was sent of a plan that is another by now.

    Raises
    ------
    ProblemsFound
        When it is.
    """
    if form.text("plan") != actions.digest_of(plan_file):
        raise ProblemsFound([changed(name)])


def refused_tick(answer: Response, wrong: Exception) -> Response:
    """What stood against a tick; that its plan is another by now is told apart, because a phone stops then."""
    if any(problem.code == "bench.changed" for problem in getattr(wrong, "problems", ())):
        answer.status_code = 409
    return answer


def changed(name: str) -> Problem:
    """A tick of a plan that is no longer the one of its job."""
    return Problem.statement(
        name, "a tick of a plan that is another by now", "ticks of the plan as it is: open the page anew",
        code="bench.changed",
    )  # fmt: skip


async def away(request: Request) -> Response:
    """Note what is left of a bar and where it is put."""
    form = await form_of(request)
    return await run_in_threadpool(_away, request, form)


def _away(request: Request, form: Form) -> Response:
    job, plan_file = plan_of(request)
    try:
        rack = actions.rack_of_plan(plan_file)
        check_plan(form, job.name, plan_file)
        bar = form.number("bar")
        measured = form.text("measured")
        actions.put_away(plan_file, rack, bar, measured=measured, place=form.text("place"))
        if wants_values(request):
            return JSONResponse(_state(actions.at_the_saw(plan_file, rack)))
    except REFUSALS as wrong:
        return refused_tick(again(request, wrong, form, saw, "away"), wrong)
    return to(f"{request.url_for('saw', job=job.key).path}?bar={bar}")


def ending(request: Request, sent: Sent = NOTHING) -> Response:
    """Before a plan is recorded: what is ticked and what is not, and what is put away; with what was refused."""
    job, plan_file = plan_of(request)
    try:
        now = actions.at_the_saw(plan_file, actions.rack_of_plan(plan_file))
        bars = bars_of(plan_file)
    except REFUSALS as wrong:
        return refused(request, wrong)
    there = {f"{one.part}/{one.copy}" for one in now.ticks}
    left = [(bar, [cut for cut in bar.cuts if cut.key not in there]) for bar in bars]
    return page(
        request,
        "ending",
        job=job,
        ticked=len(there),
        parts=sum(len(bar.cuts) for bar in bars),
        left=[(bar, cuts) for bar, cuts in left if cuts],
        kept=[bar for bar in bars if bar.keep],
        put_away=now.put_away,
        recorded=now.recorded,
        spoiled=sum(one.spoiled for one in now.ticks),
        left_now=now.left,
        sent=sent,
    )


async def record(request: Request) -> Response:
    """Record a plan as it is ticked."""
    form = await form_of(request)
    return await run_in_threadpool(_record, request, form)


def _record(request: Request, form: Form) -> Response:
    job, plan_file = plan_of(request)
    all_cut = {"all": True, "ticked": False}.get(form.text("others"))
    try:
        done = actions.record_put_away(
            plan_file, actions.rack_of_plan(plan_file), all_cut=all_cut, place=form.text("place")
        )
    except REFUSALS as wrong:
        return again(request, wrong, form, ending, "record")
    return page(
        request,
        "done",
        told=record_text(done),
        job=job,
        missing=done.recorded is not None and bool(done.recorded.missing),
    )


def label(request: Request) -> Response:
    """What a code on paper or a label names: its bar at the saw, or its piece of the rack."""
    named = actions.decode(f"cutplan:{request.path_params['kind']}?{request.url.query}", actions.find_rack())
    if named.kind == "rack":
        return to(f"/rack/piece/{path(named.values['mark'])}")
    plan_file = named.plan_file
    if plan_file is None or not named.bar:
        raise HTTPException(404)
    key = next((job.key for job in jobs() if job.plan_file and job.plan_file.resolve() == plan_file.resolve()), None)
    if key is None:
        raise HTTPException(404)
    return to(f"{request.url_for('saw', job=key).path}?bar={named.bar}")


ROUTES = [
    Route("/code/{kind}", label),
    Route("/job/{job:path}/saw", saw, name="saw"),
    Route("/job/{job:path}/ticks.json", ticks, name="ticks"),
    Route("/job/{job:path}/tick", tick, methods=["POST"], name="tick"),
    Route("/job/{job:path}/away", away, methods=["POST"], name="away"),
    Route("/job/{job:path}/ending", ending, name="ending"),
    Route("/job/{job:path}/record", record, methods=["POST"], name="record"),
]
