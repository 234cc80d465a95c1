"""The commands ``prices`` and ``quoted``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AsJson, Debug, LedgerFile, PartsList, ShopFile, Stock, WorkshopFile
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
    last: Annotated[
        bool, typer.Option("--last", help="Filled with what was quoted last, and how long that is ago; see quoted.")
    ] = False,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Write a blank price list for a job.

    Exactly its sections, grades and finishes, to fill in as merchants quote. Then it is read like any price list.
    """
    if not apart and (known or sold):
        raise typer.BadParameter("it goes with --apart", param_hint="--sold" if sold else "--prices")
    if apart and last:
        raise typer.BadParameter("it fills one form for all, without --apart", param_hint="--last")
    if apart and out and (out.is_file() or out.suffix.lower() in (".xlsx", ".csv")):
        raise typer.BadParameter(f"with --apart it is a folder, and {out} names a file", param_hint="--out")
    with answering(as_json, debug):
        if apart:
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
        past = actions.past_prices_file(actions.find_rack(near=parts, workshop=workshop).path) if last else None
        path, filled = actions.filled_form(
            parts, out, workshop=workshop, merchants=merchant or (), stock=stock or (), past=past
        )
        if as_json:
            print_json({"written": [str(path)], **({"filled": filled} if last else {})})
        else:
            if last and not filled:
                from cutplan.words.quoted_words import NONE_BEFORE

                print_text(NONE_BEFORE)
            print_text(f"Fill in {path} and save it, then: cutplan plan {parts} --prices {path}")


@app.command()
def quoted(
    prices: Annotated[
        Path,
        typer.Argument(
            metavar="FILE", help="A price list, or a form as it came back.", show_default=False, parser=as_path
        ),
    ],
    date: Annotated[
        str, typer.Option("--date", metavar="DAY", help="When it was quoted: 2024-06-01; else today.")
    ] = "",
    charges: Annotated[
        bool, typer.Option("--charges", help="Put what the form says of charges into the workshop file too.")
    ] = False,
    workshop: ShopFile = None,
    ledger: LedgerFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Keep what merchants quoted, with its day.

    In a list beside the rack's ledger, which is only added to; "prices --last" fills a form from it. Of what was
    quoted before, it says how prices have moved. What they charge for delivery and cuts stands in the workshop file,
    where --charges puts it.
    """
    from cutplan.words import quoted_words

    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger)
        kept = actions.keep_quotes(prices, rack, day=date, charges=charges)
        path = actions.put_charges(kept, workshop) if charges else None
        if as_json:
            print_json({**quoted_words.kept_values(kept), "workshop": str(path) if path else None})
        else:
            print_text(quoted_words.kept_text(kept))
            if path or kept.charges:
                print_text(quoted_words.put_text(path) if path else quoted_words.PUT_THEM)
