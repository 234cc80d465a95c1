"""A form that was refused: its page once more, with what was typed, and what is wrong at each field."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from starlette.requests import Request
from starlette.responses import Response

from cutplan.problems import Problem
from cutplan.web.forms import Form
from cutplan.web.look import problems_of, refused, status_of, wants_values

_FIELDS = {"date": "day"}
"""Fields that the option of the command has another name for."""


@dataclass(frozen=True, slots=True)
class Sent:
    """What was sent and refused, or nothing.

    Parameters
    ----------
    form
        Which of the forms of its page it was; blank where none was refused.
    texts
        What was typed, by field.
    problems
        What stood against it.
    """

    form: str = ""
    texts: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()

    def of(self, form: str) -> Sent:
        """What one of the forms of a page has of it: nothing where it was another."""
        return self if form == self.form else NOTHING

    def text(self, name: str, otherwise: object = "") -> str:
        """What stands in a field: what was typed, where it was refused."""
        return self.texts.get(name, "") if self.form else str(otherwise)

    def wrong(self, name: str) -> Problem | None:
        """What is wrong with a field."""
        return next((one for one in self.problems if field_of(one.where) == name), None)


NOTHING = Sent()


def field_of(where: str) -> str:
    """The field that a problem names as the command does: ``--end-a`` is ``end_a``, ``LENGTH`` is ``length``."""
    name = where.removeprefix("--").lower().replace("-", "_")
    return _FIELDS.get(name, name)


def again(
    request: Request, wrong: Exception, form: Form, show: Callable[[Request, Sent], Response], name: str
) -> Response:
    """The page of a form that was refused, as ``show`` gives it; values alone where those were asked for."""
    if wants_values(request):
        return refused(request, wrong)
    problems = problems_of(wrong)
    answer = show(request, Sent(name, form.texts, problems))
    answer.status_code = status_of(problems)
    return answer
