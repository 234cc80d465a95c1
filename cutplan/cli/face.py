"""The ``cutplan`` command itself: its name, its version, its commands in their order."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Sequence
from typing import Annotated, Any

import typer
from typer.core import TyperCommand, TyperGroup
from typer.exceptions import TyperException

from cutplan.cli.output import print_json, say
from cutplan.cli.process import DONE, WRONG_USAGE
from cutplan.problems import Problem, plain
from cutplan.words.refusals import problem_values

IN_ORDER = (
    "serve",
    "quick",
    "new",
    "prices",
    "quoted",
    "plan",
    "check",
    "compare",
    "batch",
    "season",
    "verify",
    "order",
    "load",
    "labels",
    "sheets",
    "code",
    "cost",
    "quote",
    "receive",
    "record",
    "replan",
    "job",
    "jobs",
    "rack",
    "undo",
    "convert",
    "section",
    "brace",
    "frame",
    "spacing",
    "help",
)
"""Commands in the order in which ``--help`` lists them: that of use."""


class InOrder(TyperGroup):
    """Lists commands in the order of use, whichever module was loaded first."""

    def list_commands(self, ctx: Any) -> list[str]:
        """Names as ``--help`` shows them."""
        return sorted(super().list_commands(ctx), key=IN_ORDER.index)

    def main(self, args: Sequence[str] | None = None, *rest: Any, **extra: Any) -> Any:
        """Run a command; under ``--json`` wrong usage is told as every other refusal is.

        So it is where a word could steer the terminal, for the library repeats words as they are.
        """
        words = sys.argv[1:] if args is None else list(args)
        as_json = "--json" in words
        if not (as_json or any(plain(word) != word for word in words)) or "_CUTPLAN_COMPLETE" in os.environ:
            return super().main(args, *rest, **extra)
        try:
            code = super().main(words, *rest, **{**extra, "standalone_mode": False})
        except TyperException as wrong:
            context = getattr(wrong, "ctx", None)
            command = context.command_path if context else "cutplan"
            found = wrong.format_message()
            if not as_json:
                say(found)
                sys.exit(WRONG_USAGE)
            accepted = f"what {command} --help says"
            problem = Problem(
                where="command line", found=found, accepted=accepted, found_is_text=False, code="command.usage"
            )
            print_json({"problems": [problem_values(problem)]})
            sys.exit(WRONG_USAGE)
        sys.exit(code or DONE)


class TakesLength(TyperCommand):
    """A command with a length among its words: one below zero is read as that and refused, not as an option."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Take the words apart; no option is named by a figure."""
        words = list(args)
        try:
            return super().parse_args(ctx, args)
        except TyperException as wrong:
            if not re.match("-[0-9.,]", getattr(wrong, "option_name", "")):
                raise
        ctx.ignore_unknown_options = True
        return super().parse_args(ctx, words)


app = typer.Typer(
    name="cutplan",
    cls=InOrder,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="Plan what steel to buy and where to cut it, for the least money, and say how cheapest is known.",
    epilog="The manual: cutplan help. "
    "It plans cuts. It does not check strength: sizes, welds and holes are the designer's to decide.",
)


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(f"cutplan {version('cutplan')}")
        raise typer.Exit(DONE)


@app.callback()
def _all_commands(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and stop.")
    ] = False,
) -> None:
    pass
