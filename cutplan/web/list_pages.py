"""Parts lists: a new one pasted, dropped or typed, and one at hand mended cell by cell."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import urlencode

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
    """A list as a grid, its findings beside their cells; one that cannot be is mended in its own program."""
    job = job_of(request)
    if job.parts_list is None:
        raise HTTPException(404)
    sheet = _sheet(request, job, job.parts_list)
    grid = actions.grid_of(job.parts_list, sheet)
    if grid is None:
        hindrance = actions.grid_hindrance(job.parts_list, sheet)
        return page(request, "list", job=job, grid=None, problems=job.problems, hindrance=hindrance)
    return grids.show(request, _of(request, job, job.parts_list, grid.sheet), grid)


def _sheet(request: Request, job: DeskJob, path: Path) -> str:
    """The sheet that is asked for; else the first that something is wrong with, of a workbook with several."""
    names = actions.part_sheets(path)
    asked = request.query_params.get("sheet", "")
    wrong = (name for name in names if any(f'sheet "{name}"' in problem.where for problem in job.problems))
    return asked if asked in names else next(wrong, "")


def _of(request: Request, job: DeskJob, path: Path, sheet: str) -> GridPage:
    address = request.url_for("list", job=job.key).path + (f"?{urlencode({'sheet': sheet})}" if sheet else "")
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
    if job.parts_list is None:
        raise HTTPException(404)
    grid = actions.grid_of(job.parts_list, _sheet(request, job, job.parts_list))
    if grid is None:
        raise HTTPException(404)
    return grids.save(request, _of(request, job, job.parts_list, grid.sheet), grid, form)


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
