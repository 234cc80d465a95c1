"""The command ``quick``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AllAssumed, AsJson, BareUnit, Debug, PriceList, Stock, TimeLimit, WorkshopFile
from cutplan.cli.output import (
    answering,
    boxed,
    print_json,
    print_text,
    progress,
    say,
    width,
)
from cutplan.cli.paths import as_path
from cutplan.cli.process import STOPPED_WITH_PLAN

ASK = 'One section a line, such as "SHS 40x40x3: 4 @ 1200, 2 @ 850"; end with Ctrl-D (Ctrl-Z on Windows).'


@app.command()
def quick(
    text: Annotated[
        str | None,
        typer.Argument(
            metavar="TEXT",
            help='Parts, e.g. "SHS 40x40x3: 4 @ 1200, 2 @ 850; flat 50x6: 300 x 8"; else from standard input.',
            show_default=False,
        ),
    ] = None,
    stock: Stock = None,
    unit: Annotated[BareUnit | None, typer.Option("--unit", help="Unit of bare numbers; else the workshop's.")] = None,
    kerf: Annotated[
        str, typer.Option("--kerf", metavar="LENGTH", help="What one cut removes; else the workshop's.")
    ] = "",
    workshop: WorkshopFile = None,
    prices: PriceList = None,
    save: Annotated[
        Path | None,
        typer.Option(
            "--save", metavar="FOLDER", parser=as_path, help="Make a job folder of it: a list and a workshop file."
        ),
    ] = None,
    all_assumed: AllAssumed = False,
    time_limit: TimeLimit = actions.TIME_LIMIT,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Plan parts typed on the spot.

    Needs no file: prints what to buy, every bar with its cuts and what was assumed. Writes nothing but what
    --save asks for. Parts are a quantity @ a length, or the two with off or x between, and the angles of the
    ends, as in 2 @ 900 45/45.
    """
    with answering(as_json, debug):
        if text is None or text == "-":
            if sys.stdin.isatty():
                say(ASK)
            text = sys.stdin.read()
        read = actions.read_quick(
            text, stock=stock or (), unit=unit.value if unit else "", kerf=kerf, workshop=workshop, prices=prices
        )
        with progress() as tell:
            answer = actions.plan(read.job, time_limit=time_limit, progress=tell)
        if as_json:
            print_json(actions.document(read.job, answer))
        else:
            print_text(actions.summary(read.job, answer, width=width(), boxed=boxed(), all_assumed=all_assumed))
        if save:
            files = actions.save_quick(read, save)
            say(f"Written: {', '.join(str(file) for file in files)}. Plan it with: cutplan plan {files[0]}")
        if answer.stopped_by:
            raise typer.Exit(STOPPED_WITH_PLAN)
