"""The ``cutplan`` command itself: its name, its version and how it ends."""

from __future__ import annotations

import io
import signal
import sys
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from cutplan.cli.output import DONE, NOTHING_WRITTEN, STOPPED, say

IN_ORDER = (
    "quick",
    "new",
    "prices",
    "plan",
    "check",
    "compare",
    "verify",
    "labels",
    "receive",
    "record",
    "replan",
    "rack",
    "undo",
    "convert",
    "section",
    "brace",
    "frame",
    "spacing",
)
"""Commands in the order in which ``--help`` lists them: that of use."""


class InOrder(TyperGroup):
    """Lists commands in the order of use, whichever module was loaded first."""

    def list_commands(self, ctx: Any) -> list[str]:
        """Names as ``--help`` shows them."""
        return sorted(super().list_commands(ctx), key=IN_ORDER.index)


app = typer.Typer(
    name="cutplan",
    cls=InOrder,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="Plan what steel to buy and where to cut it, for the least money, and say how cheapest is known.",
    epilog="It plans cuts. It does not check strength: sizes, welds and holes are for whoever designs the thing.",
)


def main() -> None:
    """Entry point of the ``cutplan`` command."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a mark may hold letters that the terminal lacks
    try:
        app()
    except KeyboardInterrupt:
        say(NOTHING_WRITTEN)
        sys.exit(STOPPED)
    finally:
        # All is said and done; while the interpreter ends, Ctrl-C would only change the exit code.
        signal.signal(signal.SIGINT, signal.SIG_IGN)


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
