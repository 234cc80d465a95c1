"""The command ``prices``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AsJson, Debug, PartsList, Stock, WorkshopFile
from cutplan.cli.output import answering, print_json, print_text
from cutplan.cli.paths import as_path


@app.command()
def prices(
    parts: PartsList,
    workshop: WorkshopFile = None,
    merchant: Annotated[
        list[str] | None, typer.Option("--merchant", metavar="NAME", help="Whom to ask; repeatable.")
    ] = None,
    stock: Stock = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FILE", parser=as_path, help="Where the form goes, .xlsx or .csv."),
    ] = None,
    apart: Annotated[
        bool, typer.Option("--apart", help="An enquiry to each merchant by itself, with a message; --out is a folder.")
    ] = False,
    known: Annotated[
        Path | None,
        typer.Option(
            "--prices", metavar="FILE", parser=as_path, help="With --apart: a price list that says who sells what."
        ),
    ] = None,
    sold: Annotated[
        bool, typer.Option("--sold", help="With --apart: only what the price list says each of them sells.")
    ] = False,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Write a blank price list for a job.

    Exactly its sections, grades and finishes, to fill in as merchants quote. Then it is read like any price list.
    """
    with answering(as_json, debug):
        if apart or known or sold:
            paths = actions.enquiries(
                parts,
                out or ".",
                workshop=workshop,
                merchants=merchant or (),
                stock=stock or (),
                prices=known,
                sold=sold,
            )
            if as_json:
                print_json({"written": [str(path) for path in paths]})
            else:
                print_text(f"Written: {', '.join(str(path) for path in paths)}")
            return
        path = actions.price_form(parts, out, workshop=workshop, merchants=merchant or (), stock=stock or ())
        if as_json:
            print_json({"written": [str(path)]})
        else:
            print_text(f"Fill in {path} and save it, then: cutplan plan {parts} --prices {path}")
