"""All pages of the bench put together, with what stands in front of them."""

from __future__ import annotations

from collections.abc import AsyncIterator, Collection
from contextlib import asynccontextmanager
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from cutplan.web import (
    compare_pages,
    desk_pages,
    drill_pages,
    list_pages,
    money_pages,
    order_pages,
    pin_pages,
    price_pages,
    rack_pages,
    saw_pages,
    workshop_pages,
)
from cutplan.web.guard import Guard
from cutplan.web.look import REFUSALS, not_given, refused
from cutplan.web.pin_pages import Door, Doorkeeper
from cutplan.web.plan_runs import PlanRuns

BROKEN = 500
_STATIC = Path(__file__).with_name("static")


def bench(*, names: Collection[str] = ("localhost",), numbers: bool = False, door: Door | None = None) -> Starlette:
    """The application, for the folder that is worked in.

    Parameters
    ----------
    names, numbers
        Host names that lead here, and whether any numeric address does; see :class:`~cutplan.web.guard.Guard`.
    door
        Who is let in from elsewhere.
    """

    door = door or Door()

    @asynccontextmanager
    async def living(app: Starlette) -> AsyncIterator[None]:
        yield
        app.state.ending = True
        app.state.runs.end()

    routes: list[Route | Mount] = [
        # Before the page of a job, whose address is any that begins like this.
        *pin_pages.ROUTES,
        *rack_pages.ROUTES,
        *list_pages.ROUTES,
        *price_pages.ROUTES,
        *workshop_pages.ROUTES,
        *saw_pages.ROUTES,
        *drill_pages.ROUTES,
        *compare_pages.ROUTES,
        *order_pages.ROUTES,
        *money_pages.ROUTES,
        *desk_pages.ROUTES,
        Mount("/static", StaticFiles(directory=_STATIC), name="static"),
    ]
    app = Starlette(
        routes=routes,
        middleware=[Middleware(Guard, names=names, numbers=numbers), Middleware(Doorkeeper, door=door)],
        exception_handlers={HTTPException: _not_given, **dict.fromkeys(REFUSALS, _refused), Exception: _broken},
        lifespan=living,
    )
    app.state.runs = PlanRuns()
    app.state.ending = False
    app.state.door = door
    app.state.found = {}
    return app


async def _refused(request: Request, wrong: Exception) -> Response:
    return refused(request, wrong)


async def _not_given(request: Request, wrong: Exception) -> Response:
    assert isinstance(wrong, HTTPException)
    return not_given(request, wrong.status_code)


async def _broken(request: Request, wrong: Exception) -> Response:
    return not_given(request, BROKEN)
