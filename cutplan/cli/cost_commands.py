"""The command ``cost``."""

from __future__ import annotations

from typing import Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AsJson, Debug, PlanFile, WorkshopFile
from cutplan.cli.output import answering, print_json, print_text, say
from cutplan.words.cost_words import cost_text, cost_values

Transport = Annotated[
    str,
    typer.Option(
        "--transport", metavar="AMOUNT", help="What transport costs for this job, in place of the workshop's."
    ),
]


@app.command()
def cost(
    plan_file: PlanFile,
    transport: Transport = "",
    workshop: WorkshopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Work out what a planned job costs.

    Steel, with what whole lengths add, things, coats, hours, overhead, margin and tax, by the figures of the workshop
    file as they are now. Writes cost.pdf and cost.xlsx beside the plan.json, for the workshop alone.
    """
    with answering(as_json, debug):
        done = actions.cost_plan(plan_file, actions.find_rack(near=plan_file, workshop=workshop), transport=transport)
        if as_json:
            print_json(cost_values(done.cost, done.job.name, done.job.workshop) | {"files": list(map(str, done.files))})
            return
        print_text(cost_text(done.cost, done.job.name, done.job.workshop))
        say("Written: " + ", ".join(str(file) for file in done.files))
