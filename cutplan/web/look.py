"""Pages from their templates, in which every text is escaped; and what went wrong as a page or as values."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache
from typing import Any
from urllib.parse import quote

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.requests import HTTPConnection, Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response

from cutplan.actions import CheckFailed
from cutplan.problems import NoPlan, Problem, ProblemsFound
from cutplan.words.bench_words import NOT_GIVEN
from cutplan.words.refusals import problem_values

SEE_OTHER, BAD, BUSY = 303, 400, 503


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
    made.filters["place"] = place
    made.filters["whole"] = whole
    return made


def path(text: object) -> str:
    """A text as a part of an address; strokes in it stay."""
    return quote(str(text))


def place(where: str) -> str:
    """Where something is wrong, in the words of a page: options and arguments of a command are its fields."""
    option = where.startswith("--") or where in ("SECTION", "LENGTH")
    return where.removeprefix("--").replace("-", " ").lower() if option else where


def whole(text: str) -> str:
    """A text in which no line ends within a length: ``7' 10 13/16`` stays together."""
    return re.sub(r"(?<=\d) (?=\d+/\d)|(?<=\d') (?=\d)", "\N{NO-BREAK SPACE}", text)


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
    if wants_values(request):
        return JSONResponse({"problems": [problem_values(problem) for problem in problems]}, status_of(problems))
    return page(request, "refused", status_of(problems), problems=problems)


def status_of(problems: Sequence[Problem]) -> int:
    """The status of a refusal. A phone keeps what it could not send; anything else is refused for good."""
    return BUSY if any(problem.code == "ledger.busy" for problem in problems) else BAD


def wants_values(request: HTTPConnection) -> bool:
    """Is it a script that asks, which takes values in place of a page?"""
    return "application/json" in request.headers.get("accept", "")


def not_given(request: Request, status: int, words: tuple[str, str] | None = None) -> HTMLResponse:
    """Why no page is given, as a page; in the words for its status where no other are given."""
    return page(request, "missing", status, words=words or NOT_GIVEN.get(status, NOT_GIVEN[BAD]))


REFUSALS = (ProblemsFound, NoPlan, CheckFailed)
