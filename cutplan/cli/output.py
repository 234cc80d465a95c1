"""What is printed where, and what went wrong in words and as an exit code."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import Any

import typer

from cutplan import actions
from cutplan.cli.process import (
    BAD_INPUT,
    CHECK_REFUSED,
    NO_PLAN,
    PROGRAM_FAULT,
    STOPPED,
    STOPPED_WITH_PLAN,
    working,
)
from cutplan.problems import NoPlan, Problem, ProblemsFound, plain
from cutplan.words.refusals import problem_values
from cutplan.words.stop_words import DONE_BY_THEN, NOTHING_WRITTEN


@contextmanager
def answering(as_json: bool, debug: bool) -> Iterator[None]:
    """Turn what went wrong into words (or JSON) and an exit code; a trace only where one was asked for."""
    asked_to_stop: Callable[[], bool] = bool
    written = actions.ledger_written()
    try:
        with working() as asked_to_stop:
            yield
    except ProblemsFound as found:
        _tell(found.problems, as_json)
        raise typer.Exit(BAD_INPUT) from None
    except NoPlan as none:
        _tell((Problem(where="plan", found=str(none), accepted="", found_is_text=False, code=none.code),), as_json)
        raise typer.Exit(NO_PLAN) from None
    except actions.CheckFailed as failed:
        _tell(
            (Problem(where="check", found=str(failed), accepted="", found_is_text=False, code="plan.refused"),), as_json
        )
        raise typer.Exit(CHECK_REFUSED) from None
    except KeyboardInterrupt:
        raise _stopped(done=actions.ledger_written() > written) from None
    except (typer.Exit, typer.BadParameter, BrokenPipeError):
        raise
    except _NotPrinted as failed:
        say(f"The result could not be printed ({failed}).")
        raise typer.Exit(PROGRAM_FAULT) from None
    except Exception as fault:
        if debug:
            raise
        if asked_to_stop():
            raise _stopped(done=actions.ledger_written() > written) from None
        say(f"A fault in cutplan, not in the input: {type(fault).__name__}: {fault}")
        say("Run it again with --debug to see where; nothing half written is left behind.")
        raise typer.Exit(PROGRAM_FAULT) from None


def _stopped(*, done: bool) -> typer.Exit:
    """What a stop came to: nothing, or all that the command does to the ledger."""
    say(DONE_BY_THEN if done else NOTHING_WRITTEN)
    return typer.Exit(STOPPED_WITH_PLAN if done else STOPPED)


def _tell(problems: tuple[Problem, ...], as_json: bool) -> None:
    if as_json:
        print_json({"problems": [problem_values(problem) for problem in problems]})
        return
    from cutplan.problems import problems_text

    plain = [problem for problem in problems if not problem.accepted]
    say("\n".join(problem.found for problem in plain) if plain else problems_text(problems))


@contextmanager
def progress() -> Iterator[Callable[[str], None] | None]:
    """Where progress is told: on a terminal only, in one line that is redrawn and gone at the end."""
    if not (sys.stderr and sys.stderr.isatty()):
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn
    from rich.table import Column

    doing = TextColumn(
        "{task.description}", markup=False, table_column=Column(no_wrap=True, overflow="ellipsis", ratio=1)
    )
    console = Console(stderr=True)
    elapsed = TimeElapsedColumn(table_column=Column(no_wrap=True, min_width=len("0:00:00")))
    with Progress(SpinnerColumn("line"), elapsed, doing, console=console, transient=True) as shown:
        line = shown.add_task("planning", total=None)
        yield lambda text: shown.update(line, description=plain(text))


def say(message: str) -> None:
    with suppress(OSError):  # the terminal may be closed by now; there is nobody else to say it to
        typer.echo(plain(message), err=True)


class _NotPrinted(Exception):
    """The result could not be put out, such as into a file on a full disk."""


def print_text(text: str) -> None:
    if sys.stdout is None:
        raise _NotPrinted("stdout is closed")
    try:
        typer.echo(plain(text))
    except BrokenPipeError:
        raise
    except OSError as error:
        raise _NotPrinted(error.strerror or str(error)) from error


def folded(text: str) -> str:
    """A text whose lines are no wider than the terminal; what goes on is set in further than its beginning."""
    from textwrap import wrap

    lines = []
    for line in text.split("\n"):
        indent = " " * (len(line) - len(line.lstrip()) + 2)
        lines += wrap(line, max(40, width()), subsequent_indent=indent, break_on_hyphens=False) or [""]
    return "\n".join(lines)


def print_json(document: dict[str, Any]) -> None:
    # Letters that the encoding of stdout lacks are escaped as JSON has it.
    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    print_text(json.dumps(document, indent=2, ensure_ascii=not encoding.lower().startswith("utf")))


def width() -> int:
    from shutil import get_terminal_size

    return get_terminal_size((100, 24)).columns


def boxed() -> bool:
    """May bars be drawn with more than plain characters? On a terminal that has them, unless NO_COLOR is set."""
    from os import environ

    encoding = getattr(sys.stdout, "encoding", None) or ""
    return bool(encoding) and sys.stdout.isatty() and not environ.get("NO_COLOR") and encoding.lower().startswith("utf")
