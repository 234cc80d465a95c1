"""Parts lists: a new one pasted, dropped or typed, and one at hand mended cell by cell."""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from cutplan import actions
from cutplan.actions import Grid
from cutplan.web.desk_pages import job_of
from cutplan.web.forms import Form, form_of
from cutplan.web.look import REFUSALS, page, refused, to
from cutplan.words.refusals import problem_values

EMPTY_ROWS = 6
"""Rows to type into below those that are there."""
_FAMILIES = ("SHS", "RHS", "CHS", "EA", "UA", "IPE", "UPN")
_CELL = re.compile(r"c(\d{1,4})-(\d{1,3})")


def edit(request: Request) -> Response:
    """A list as a grid, its findings beside their cells; what is no csv file is mended in its own program."""
    job = job_of(request)
    if job.parts_list is None:
        raise HTTPException(404)
    grid = actions.grid_of(job.parts_list)
    found = () if grid is None else actions.answered(job.parts_list, grid.rows, grid.delimiter)
    wide = 0 if grid is None else max((len(row) for row in grid.rows), default=len(actions.COLUMNS))
    rows = [] if grid is None else [[*row, *[""] * (wide - len(row))] for row in grid.rows]
    rows += [[""] * wide for _ in range(EMPTY_ROWS if grid is not None else 0)]
    wrong = {(one.row, one.column): one.problem for one in found if one.column >= 0}
    return page(
        request,
        "list",
        job=job,
        grid=grid,
        rows=rows,
        wrong=wrong,
        problems=[one.problem for one in found] if grid is not None else job.problems,
        sections=_sections(),
    )


@lru_cache(maxsize=1)
def _sections() -> tuple[str, ...]:
    return tuple(section.designation for family in _FAMILIES for section in actions.section_sizes(family))


def _cells(form: Form, grid: Grid) -> list[list[str]]:
    """The cells of a form in their rows, those of the file that were not sent as they are; empty rows at the end go."""
    rows = [list(row) for row in grid.rows]
    for name, text in form.texts.items():
        place = _CELL.fullmatch(name)
        if place is None:
            continue
        row, column = int(place[1]), int(place[2])
        if row >= len(grid.rows) + EMPTY_ROWS * 10:
            continue
        while row >= len(rows):
            rows.append([])
        if text or column < len(rows[row]):
            rows[row] += [""] * (column + 1 - len(rows[row]))
            rows[row][column] = text
    while len(rows) > len(grid.rows) and not any(rows[-1]):
        rows.pop()
    wide = max((len(row) for row in rows[: len(grid.rows)]), default=0)
    return [row + [""] * (wide - len(row)) if number >= len(grid.rows) else row for number, row in enumerate(rows)]


async def save(request: Request) -> Response:
    """Save the cells of a list, or with ``check`` say only what the reader would find."""
    form = await form_of(request)
    return await run_in_threadpool(_save, request, form)


def _save(request: Request, form: Form) -> Response:
    job = job_of(request)
    grid = actions.grid_of(job.parts_list) if job.parts_list is not None else None
    if grid is None or job.parts_list is None:
        raise HTTPException(404)
    rows = _cells(form, grid)
    if form.text("what") == "check":
        found = actions.answered(job.parts_list, rows, grid.delimiter)
        told = [{"row": one.row, "column": one.column, **problem_values(one.problem)} for one in found]
        return JSONResponse({"found": told})
    try:
        actions.save_grid(job.parts_list, rows, form.text("seen"))
    except REFUSALS as wrong:
        return refused(request, wrong)
    return to(request.url_for("list", job=job.key).path)


def begin(request: Request) -> Response:
    """The page of a new job."""
    return page(request, "new", columns=actions.COLUMNS)


async def make(request: Request) -> Response:
    """A new list, of what was pasted or of a file."""
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
        return refused(request, wrong)
    return to(request.url_for("list", job=path.as_posix()).path)


ROUTES = [
    Route("/new", begin, name="new"),
    Route("/new", make, methods=["POST"]),
    Route("/job/{job:path}/list", edit, name="list"),
    Route("/job/{job:path}/list", save, methods=["POST"]),
]
