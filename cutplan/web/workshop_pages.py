"""The workshop file as a page: every key with its sentence and its default."""

from __future__ import annotations

from itertools import groupby

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from cutplan import actions
from cutplan.web.forms import Form, form_of
from cutplan.web.look import REFUSALS, page, refused, to


def workshop(request: Request) -> Response:
    """The form."""
    name, keys = actions.workshop_form()
    tables = [(table, list(some)) for table, some in groupby(keys, key=lambda key: key.name.partition(".")[0])]
    return page(request, "workshop", name=name, tables=tables, saved="saved" in request.query_params)


async def save(request: Request) -> Response:
    """Save what was typed."""
    form = await form_of(request)
    return await run_in_threadpool(_save, request, form)


def _save(request: Request, form: Form) -> Response:
    try:
        actions.workshop_save(form.texts)
    except REFUSALS as wrong:
        return refused(request, wrong)
    return to("/workshop?saved")


ROUTES = [
    Route("/workshop", workshop, name="workshop"),
    Route("/workshop", save, methods=["POST"]),
]
