"""The command ``code``."""

from __future__ import annotations

from typing import Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AsJson, Debug, LedgerFile, ShopFile
from cutplan.cli.output import answering, print_json, print_text


@app.command()
def code(
    text: Annotated[
        str, typer.Argument(metavar="TEXT", help="What a phone reads from the code of a label.", show_default=False)
    ],
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Say what the code of a label names.

    The part and the bar it is cut from, the left over, or the piece of the rack and where it lies now.
    """

    from cutplan.words.code_words import code_text, code_values

    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger)
        found = actions.decode(text, rack)
        if as_json:
            print_json(code_values(found))
        else:
            print_text(code_text(found, rack.workshop.printing))
