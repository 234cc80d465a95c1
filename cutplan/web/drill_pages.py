"""At the drill: one card per screen, its pieces ticked one by one as they are drilled."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from secrets import token_hex
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from cutplan import actions
from cutplan.actions import AtTheDrill
from cutplan.reports.cards import DRILLING_SAFETY, HOW_TO_READ, MARK_FIRST
from cutplan.web.desk_pages import plan_of
from cutplan.web.drill_view import DrillCard, drill_cards
from cutplan.web.forms import Form, form_of
from cutplan.web.look import REFUSALS, page, refused, to, wants_values
from cutplan.web.saw_pages import MOST_BARS, TICKING, refused_tick, step_of

_DONE = {"drilled": True, "undrilled": False}


@lru_cache(maxsize=4)
def _cards(fingerprint: str, plan_file: Path) -> tuple[DrillCard, ...]:
    return drill_cards(*actions.read_plan(plan_file))


def drill(request: Request) -> Response:
    """The page at the drill. Without a script it shows the card that is asked for, or the first that is not done."""
    job, plan_file = plan_of(request)
    try:
        cards = _cards(actions.fingerprint(plan_file), plan_file)
        rack = actions.rack_of_plan(plan_file)
        to_begin = actions.rack_to_begin(rack)
        if to_begin is not None:
            return page(request, "unbegun", job=job, to_begin=to_begin)
        now = actions.at_the_drill(plan_file, rack)
    except REFUSALS as wrong:
        return refused(request, wrong)
    if not cards:
        raise HTTPException(404)
    drilled = set(_keys(now))
    left = [card.number for card in cards if any(one.key not in drilled for one in card.pieces)]
    asked = request.query_params.get("bar", "")
    chosen = int(asked) if asked in {str(card.number) for card in cards} else (left or [len(cards)])[0]
    first = max(0, min(chosen - 1 - MOST_BARS // 2, len(cards) - MOST_BARS))
    shown = cards[first : first + MOST_BARS]
    numbers = [card.number for card in shown]
    beyond = [number for number in left if number not in numbers]
    return page(
        request,
        "drill",
        job=job,
        cards=shown,
        every=len(cards),
        cards_before=first > 0,
        cards_after=first + MOST_BARS < len(cards),
        beyond=beyond[0] if beyond else "",
        chosen=chosen,
        drilled=drilled,
        plan=now.plan,
        closed=now.closed,
        id=token_hex(8),
        safety=DRILLING_SAFETY,
        how_to_read=HOW_TO_READ,
        mark_first=MARK_FIRST,
    )


def drilled(request: Request) -> Response:
    """What is ticked as drilled by now, for phones to keep in step."""
    _, plan_file = plan_of(request)
    try:
        return JSONResponse(_state(actions.at_the_drill(plan_file, actions.rack_of_plan(plan_file))))
    except REFUSALS as wrong:
        return refused(request, wrong)


def _keys(now: AtTheDrill) -> list[str]:
    return [f"{mark}/{copy}" for mark, copy in now.drilled]


def _state(now: AtTheDrill) -> dict[str, Any]:
    return {"plan": now.plan, "recorded": now.closed, "drilled": _keys(now), "spoiled": []}


async def tick(request: Request) -> Response:
    """Tick a piece as drilled, or take its tick back; what comes twice under one id is done once."""
    form = await form_of(request)
    return await run_in_threadpool(_tick, request, form)


def _tick(request: Request, form: Form) -> Response:
    job, plan_file = plan_of(request)
    try:
        rack = actions.rack_of_plan(plan_file)
        done = step_of(form, _DONE, job.name, plan_file)
        card, copy = form.number("bar"), form.number("copy")
        with TICKING:
            actions.tick_drilled(plan_file, rack, form.text("part"), copy, done=done, given_id=form.text("id"))
        if wants_values(request):
            return JSONResponse(_state(actions.at_the_drill(plan_file, rack)))
    except REFUSALS as wrong:
        return refused_tick(refused(request, wrong), wrong)
    return to(f"{request.url_for('drill', job=job.key).path}?bar={card}")


ROUTES = [
    Route("/job/{job:path}/drill", drill, name="drill"),
    Route("/job/{job:path}/drilled.json", drilled, name="drilled"),
    Route("/job/{job:path}/drilled", tick, methods=["POST"], name="tick_drilled"),
]
