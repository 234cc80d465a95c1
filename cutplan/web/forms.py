"""What a page sends: fields of a form, each asked for by name, and refused with its name where it cannot be read."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from starlette.datastructures import UploadFile
from starlette.requests import Request

from cutplan.problems import Problem, ProblemsFound

MOST_FIELDS = 20_000
LONGEST_NUMBER = 7


@dataclass(frozen=True, slots=True)
class Form:
    """Texts by the name of their field, and files with the name each had."""

    texts: Mapping[str, str]
    files: Mapping[str, tuple[str, bytes]] = field(default_factory=dict)

    def text(self, name: str) -> str:
        """What was typed, without spaces around it; blank where nothing was."""
        return self.texts.get(name, "").strip()

    def number(self, name: str) -> int:
        """A whole number.

        Raises
        ------
        ProblemsFound
            When it is none.
        """
        text = self.text(name)
        if text.isascii() and text.isdigit() and len(text) <= LONGEST_NUMBER:
            return int(text)
        raise ProblemsFound([Problem(code="bench.field", where=name, found=text, accepted="a whole number")])


async def form_of(request: Request) -> Form:
    """The fields that were sent, as a form or as JSON. What is neither has no fields.

    Raises
    ------
    ProblemsFound
        When a field holds half a letter, which JSON can name and no file can hold.
    """
    if request.headers.get("content-type", "").startswith("application/json"):
        try:
            sent = json.loads(await request.body())
        except (ValueError, RecursionError):
            sent = {}
        texts = _texts(sent)
        _check_letters(texts)
        return Form(texts)
    async with request.form(max_files=1, max_fields=MOST_FIELDS) as form:
        texts = {name: value for name, value in form.items() if isinstance(value, str)}
        files = {}
        for name, value in form.items():
            if isinstance(value, UploadFile) and value.filename:
                files[name] = (value.filename, await value.read())
    return Form(texts, files)


def _check_letters(texts: Mapping[str, str]) -> None:
    """Refuse surrogates: JSON escapes may stand for one of a pair alone."""
    wrong = []
    for name, text in texts.items():
        where, found = (each.encode(errors="backslashreplace").decode() for each in (name, text))
        if (where, found) != (name, text):
            problem = Problem(code="bench.field", where=where[:100], found=found[:100], accepted="letters of Unicode")
            wrong.append(problem)
    if wrong:
        raise ProblemsFound(wrong)


def _texts(sent: Any) -> dict[str, str]:
    if not isinstance(sent, dict):
        return {}
    return {str(name): str(value) for name, value in sent.items() if isinstance(value, str | int)}
