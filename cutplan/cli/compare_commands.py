"""The command ``compare``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.on_list import Beside, with_beside
from cutplan.cli.options import (
    AsJson,
    Debug,
    PartsLists,
    TimeLimit,
)
from cutplan.cli.output import answering, print_json, print_text, progress, width
from cutplan.cli.paths import as_path
from cutplan.cli.process import STOPPED_WITH_PLAN


@app.command()
@with_beside
def compare(
    parts: PartsLists,
    beside: Beside,
    kerf: Annotated[
        str | None,
        typer.Option("--kerf", metavar="LENGTH", help="Plan with another kerf; of several saws with its name."),
    ] = None,
    keep: Annotated[
        str | None, typer.Option("--keep", metavar="LENGTH", help="Plan with left overs kept from this length on.")
    ] = None,
    price: Annotated[
        list[str] | None,
        typer.Option(
            "--price",
            metavar="ROW:PRICE",
            help="Plan with another price in a row of the price list, such as 12:35.40; repeatable, each a row.",
        ),
    ] = None,
    without: Annotated[
        list[str] | None,
        typer.Option("--without", metavar="MERCHANT", help="Plan without one merchant; repeatable, each a row."),
    ] = None,
    carry: Annotated[
        list[str] | None,
        typer.Option("--carry", metavar="LENGTH", help="Plan with another longest carry; repeatable, each a row."),
    ] = None,
    delivered: Annotated[
        list[str] | None,
        typer.Option(
            "--delivered", metavar="MERCHANT", help="Plan with one merchant delivering; repeatable, each a row."
        ),
    ] = None,
    fetched: Annotated[
        list[str] | None,
        typer.Option(
            "--fetched", metavar="MERCHANT", help="Plan with all of one merchant fetched; repeatable, each a row."
        ),
    ] = None,
    no_rack: Annotated[bool, typer.Option("--no-rack", help="Plan with the rack ignored.")] = False,
    no_shared_mitres: Annotated[
        bool, typer.Option("--no-shared-mitres", help="Plan with every mitre cut for itself.")
    ] = False,
    also: Annotated[
        Path | None,
        typer.Option(
            "--also", metavar="FILE", parser=as_path, help="Plan with a further price list: another length or merchant."
        ),
    ] = None,
    quotes: Annotated[
        list[Path] | None,
        typer.Option(
            "--quotes",
            metavar="FILE",
            parser=as_path,
            help="A form as a merchant sent it back, in place of the price list; repeatable: each alone, and combined.",
        ),
    ] = None,
    by_section: Annotated[
        bool,
        typer.Option(
            "--by-section",
            help="Below each row the lengths of each section: taken, unused, and what is paid for what is left.",
        ),
    ] = False,
    one_by_one: Annotated[
        bool, typer.Option("--one-by-one", help="Plan and buy each of several lists by itself, in turn.")
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            metavar="FOLDER",
            parser=as_path,
            help="Write every row's plan, into folders numbered from 0.",
        ),
    ] = None,
    time_limit: TimeLimit = actions.TIME_LIMIT,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Show what a change would cost or save.

    Plans the list as it is and once more under each change: each row is a plan of its own. With no change
    named: the rack ignored, and each merchant left out in turn.
    """
    with answering(as_json, debug):
        job = actions.read_job(parts, quotes=quotes or (), **beside)
        with progress() as tell:
            rows = actions.compare(
                job,
                kerf=kerf,
                keep=keep,
                carry=carry or (),
                price=price or (),
                without=without or (),
                delivered=delivered or (),
                fetched=fetched or (),
                no_rack=no_rack,
                no_shared_mitres=no_shared_mitres,
                also=also,
                quoted=bool(quotes),
                one_by_one=one_by_one,
                folder=out,
                time_limit=time_limit,
                progress=tell,
            )
        if as_json:
            print_json(actions.comparison_values(job, rows))
        else:
            print_text(actions.comparison(job, rows, width=width(), by_section=by_section))
        if any(row.stopped_by for row in rows):
            raise typer.Exit(STOPPED_WITH_PLAN)
