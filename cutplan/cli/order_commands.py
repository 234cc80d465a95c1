"""The commands ``order`` and ``load``."""

from __future__ import annotations

from typing import Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AsJson, Debug, PlanFile
from cutplan.cli.output import answering, folded, print_json, print_text
from cutplan.cli.questions import asking


@app.command()
def order(
    plan_file: PlanFile,
    merchant: Annotated[
        str, typer.Argument(metavar="[MERCHANT]", help="One merchant; else all that the plan buys from.")
    ] = "",
    number: Annotated[
        str, typer.Option("--number", metavar="TEXT", help="The order's own number; else one after the plan.")
    ] = "",
    date: Annotated[str, typer.Option("--date", metavar="DAY", help="Date it: 2031-06-01; else it has no date.")] = "",
    certificate: Annotated[
        str,
        typer.Option("--certificate", metavar="TEXT", help="The inspection certificate wanted; else the workshop's."),
    ] = "",
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Write the orders of a plan, one for each merchant.

    Beside the plan.json, each as PDF, as workbook and as the text of a message, with nothing of another merchant on it.
    """
    with answering(as_json, debug):

        def written(chosen: str) -> actions.WrittenOrders:
            return actions.write_orders(plan_file, chosen, number=number, day=date, certificate=certificate)

        done = asking(written, merchant, lambda _said, _field, choice: choice, as_json=as_json)
        if as_json:
            print_json(actions.orders_values(done))
        else:
            print_text(actions.orders_text(done))


@app.command()
def load(plan_file: PlanFile, as_json: AsJson = False, debug: Debug = False) -> None:
    """List what is to be fetched.

    Writes load.pdf beside the plan.json: the pieces by mass, the heaviest first, trip by trip against the payload, and
    the longest of them against what can be carried.
    """
    with answering(as_json, debug):
        from cutplan.words.load_words import load_values, loads_text

        done = actions.load_list(plan_file)
        if as_json:
            print_json({"loads": [load_values(each) for each in done.loads], "file": done.path and str(done.path)})
            return
        print_text(folded(loads_text(done.loads)))
        if done.path:
            print_text(f"Written: {done.path}")
