"""The command ``record``."""

from __future__ import annotations

from typing import Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AsJson, Debug, LedgerFile, PlanFile, PlanShop, Reason, Who
from cutplan.cli.output import answering, print_json, print_text


@app.command()
def record(
    plan_file: PlanFile,
    place: Annotated[str | None, typer.Option("--place", metavar="TEXT", help="Where the left overs are put.")] = None,
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: PlanShop = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Write down that a plan has been cut.

    The pieces it used leave the rack, the left overs to keep enter it under the marks on the sheet, and the scrap is
    weighed. Said twice, it does nothing the second time.
    """
    with answering(as_json, debug):
        rack = actions.rack_of_plan(plan_file, workshop=workshop, ledger=ledger, who=who)
        done = actions.record(plan_file, rack, place=place or "", reason=reason or "")
        if as_json:
            print_json(actions.record_values(done))
        else:
            print_text(actions.record_text(done))
