"""Parts lists: a new one pasted, dropped or typed, and one at hand mended cell by cell."""

from __future__ import annotations

from pathlib import Path

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from cutplan import actions
from cutplan.actions import DeskJob
from cutplan.web import grids
from cutplan.web.desk_pages import job_of
from cutplan.web.forms import Form, form_of
from cutplan.web.grids import GridPage
from cutplan.web.look import REFUSALS, page, problems_of, to


def edit(request: Request) -> Response:
    """A list as a grid, its findings beside their cells; what is no csv file is mended in its own program."""
    job = job_of(request)
    if job.parts_list is None:
        raise HTTPException(404)
    grid = actions.grid_of(job.parts_list)
    if grid is None:
        return page(request, "list", job=job, grid=None, problems=job.problems)
    return grids.show(request, _of(request, job, job.parts_list), grid)


def _of(request: Request, job: DeskJob, path: Path) -> GridPage:
    address = request.url_for("list", job=job.key).path
    return GridPage(
        path=path, role="parts", reader=actions.answered, template="list", address=address, values={"job": job},
        artist=actions.pictures,
    )  # fmt: skip


async def save(request: Request) -> Response:
    """Save the cells of a list, or with ``check`` say only what the reader would find."""
    form = await form_of(request)
    return await run_in_threadpool(_save, request, form)


def _save(request: Request, form: Form) -> Response:
    job = job_of(request)
    grid = actions.grid_of(job.parts_list) if job.parts_list is not None else None
    if grid is None or job.parts_list is None:
        raise HTTPException(404)
    return grids.save(request, _of(request, job, job.parts_list), grid, form)


def begin(request: Request) -> Response:
    """The page of a new job."""
    return page(request, "new", columns=actions.COLUMNS, typed={}, refused=())


async def make(request: Request) -> Response:
    """A new list, of what was pasted or of a file; what is refused stays on the page, but for the file."""
    form = await form_of(request)
    return await run_in_threadpool(_make, request, form)


def _make(request: Request, form: Form) -> Response:
    name, content = form.text("name"), form.files.get("file")
    try:
        if content is not None:
            suffix = Path(content[0]).suffix
            path = actions.new_list(f"{name or Path(content[0]).stem}{suffix}", content[1])
        else:
            path = actions.new_list(name, form.text("rows"))
    except REFUSALS as wrong:
        return page(request, "new", 400, columns=actions.COLUMNS, typed=form.texts, refused=problems_of(wrong))
    return to(request.url_for("list", job=path.as_posix()).path)


ROUTES = [
    Route("/new", begin, name="new"),
    Route("/new", make, methods=["POST"]),
    Route("/job/{job:path}/list", edit, name="list"),
    Route("/job/{job:path}/list", save, methods=["POST"]),
]
