"""What is left unsaid is asked on a terminal until it is said, and refused elsewhere."""

from __future__ import annotations

import sys

import pytest
import typer

from cutplan import actions
from cutplan.cli.questions import asking
from cutplan.problems import Problem

pytestmark = pytest.mark.usefixtures("no_paper")


def unsaid(field: str, choices: tuple[int, ...], question: str = "") -> actions.Unsaid:
    problem = Problem(
        code="replan.copy", where="--spoiled", found="R, of which bar 2 has copies 1, 3", accepted="also --copy 1"
    )
    return actions.Unsaid(problem, field, choices, question)


NOTHING: tuple[str, ...] = ()


def do(said: tuple[str, ...]) -> str:
    """Wants two things said: one of two copies, then a length."""
    if not said:
        raise unsaid("copy", (1, 3))
    if len(said) == 1:
        raise unsaid("usable", (), "What length of it is usable, 0 for nothing")
    return " ".join(said)


def saying(said: tuple[str, ...], field: str, answer: str) -> tuple[str, ...]:
    return (*said, f"{field}={answer}")


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """A terminal on which 2, 3 and 3800 are typed; what was asked."""
    typed = iter(("2", " 3", "3800"))
    asked: list[str] = []

    def prompt(question: str, *, err: bool) -> str:
        assert err, "stdout is for the result"
        asked.append(question)
        return next(typed)

    monkeypatch.setattr(sys.stdin, "isatty", lambda: True, raising=False)
    monkeypatch.setattr(typer, "prompt", prompt)
    return asked


def test_asked_until_one_of_the_choices_is_said(terminal: list[str]) -> None:
    assert asking(do, NOTHING, saying) == "copy=3 usable=3800"
    first = "R, of which bar 2 has copies 1, 3. Which copy was it (1, 3)?"
    assert terminal == [first, first, "R, of which bar 2 has copies 1, 3. What length of it is usable, 0 for nothing?"]


def test_refused_where_nobody_can_be_asked(terminal: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(actions.Unsaid, match="also --copy 1"):
        asking(do, NOTHING, saying, as_json=True)
    monkeypatch.setattr(sys.stdin, "isatty", lambda: False, raising=False)
    with pytest.raises(actions.Unsaid):
        asking(do, NOTHING, saying)
    assert terminal == []
