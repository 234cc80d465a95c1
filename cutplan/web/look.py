"""Pages from their templates, in which every text is escaped; and what went wrong as a page or as values."""

from __future__ import annotations

from functools import cache
from typing import Any
from urllib.parse import quote

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response

from cutplan.actions import CheckFailed
from cutplan.problems import NoPlan, Problem, ProblemsFound
from cutplan.words.refusals import problem_values

SEE_OTHER, BUSY = 303, 503


@cache
def _templates() -> Environment:
    made = Environment(
        loader=PackageLoader("cutplan.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["path"] = path
    return made


def path(text: object) -> str:
    """A text as a part of an address; strokes in it stay."""
    return quote(str(text))


def page(request: Request, template: str, /, status: int = 200, **values: Any) -> HTMLResponse:
    """A page from its template."""
    text = _templates().get_template(f"{template}.html").render(here=request.url.path, **values)
    return HTMLResponse(text, status)


def to(place: str) -> RedirectResponse:
    """What a form is answered with once it is done: the page to look at now."""
    return RedirectResponse(place, SEE_OTHER)


def problems_of(wrong: Exception) -> tuple[Problem, ...]:
    """What went wrong, as problems."""
    if isinstance(wrong, ProblemsFound):
        return wrong.problems
    if isinstance(wrong, NoPlan):
        return (Problem(where="plan", found=str(wrong), accepted="", found_is_text=False, code=wrong.code),)
    return (Problem(where="check", found=str(wrong), accepted="", found_is_text=False, code="plan.refused"),)


def refused(request: Request, wrong: Exception) -> Response:
    """What went wrong, as values where they were asked for, else as a page."""
    problems = problems_of(wrong)
    # A phone keeps what it could not send; anything else is refused for good.
    status = BUSY if any(problem.code == "ledger.busy" for problem in problems) else 400
    if "application/json" in request.headers.get("accept", ""):
        return JSONResponse({"problems": [problem_values(problem) for problem in problems]}, status)
    return page(request, "refused", status, problems=problems)


REFUSALS = (ProblemsFound, NoPlan, CheckFailed)
