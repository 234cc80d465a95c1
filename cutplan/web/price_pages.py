"""The price list of the workshop as a grid."""

from __future__ import annotations

from pathlib import Path

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from cutplan import actions
from cutplan.actions import Grid
from cutplan.web import grids
from cutplan.web.forms import Form, form_of
from cutplan.web.grids import GridPage
from cutplan.web.look import REFUSALS, page, refused, to


def prices(request: Request) -> Response:
    """The price list as a grid; one that is no csv file, or lies elsewhere, is only named."""
    path, grid = _list()
    if path is None or grid is None:
        return page(request, "prices", path=path, grid=None)
    return grids.show(request, _of(path), grid)


def _list() -> tuple[Path | None, Grid | None]:
    path = actions.price_list()
    here = path is not None and not path.is_absolute() and path.is_file() and path.suffix.lower() == ".csv"
    return path, actions.grid_of(path) if here and path is not None else None


def _of(path: Path) -> GridPage:
    return GridPage(
        path=path, role="prices", reader=actions.prices_answered, template="prices", address="/prices",
        values={"path": path},
    )  # fmt: skip


async def save(request: Request) -> Response:
    """Save the cells of the price list, or with ``check`` say only what the reader would find."""
    form = await form_of(request)
    return await run_in_threadpool(_save, request, form)


def _save(request: Request, form: Form) -> Response:
    path, grid = _list()
    if path is None or grid is None:
        raise HTTPException(404)
    return grids.save(request, _of(path), grid, form)


async def begin(request: Request) -> Response:
    """Begin a price list and name it in the workshop file."""
    await form_of(request)
    return await run_in_threadpool(_begin, request)


def _begin(request: Request) -> Response:
    try:
        actions.begin_prices()
    except REFUSALS as wrong:
        return refused(request, wrong)
    return to("/prices")


ROUTES = [
    Route("/prices", prices, name="prices"),
    Route("/prices", save, methods=["POST"]),
    Route("/prices/begin", begin, methods=["POST"]),
]
