"""Asking on the terminal what a command has to know and was not told."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import TypeVar

import typer

from cutplan import actions

Said = TypeVar("Said")
Done = TypeVar("Done")


def asking(
    do: Callable[[Said], Done], said: Said, saying: Callable[[Said, str, str], Said], *, as_json: bool = False
) -> Done:
    """Do it; what is left unsaid is asked, on a terminal, until it is said. Elsewhere it is refused.

    Parameters
    ----------
    said
        What was said so far.
    saying
        The same with one thing more, by its name.
    """
    while True:
        try:
            return do(said)
        except actions.Unsaid as unsaid:
            if as_json or not sys.stdin.isatty():
                raise
            said = saying(said, unsaid.field, _asked(unsaid))


def _asked(unsaid: actions.Unsaid) -> str:
    """One of the choices; where there are none, whatever is typed."""
    (problem,) = unsaid.problems
    choices = [str(choice) for choice in unsaid.choices]
    question = unsaid.question or f"Which {unsaid.field} was it"
    listed = f" ({', '.join(choices)})" if choices else ""
    while True:
        answer = str(typer.prompt(f"{problem.found}. {question}{listed}?", err=True)).strip()
        if not choices or answer in choices:
            return answer
