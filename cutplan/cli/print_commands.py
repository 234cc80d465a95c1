"""The commands ``labels`` and ``sheets``."""

from __future__ import annotations

from typing import Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AsJson, Debug, FirstFree, LabelSize, PlanFile, ServerAddress
from cutplan.cli.output import answering, print_json, print_text
from cutplan.units import counted


@app.command()
def labels(
    plan_file: PlanFile,
    size: LabelSize = "",
    start: FirstFree = 1,
    first: Annotated[
        int, typer.Option("--from", metavar="NUMBER", help="Label to begin with, counted over the whole plan.")
    ] = 1,
    at_least: Annotated[
        str,
        typer.Option(
            "--at-least", metavar="LENGTH", help="Parts below this length share a list to stick on their bag."
        ),
    ] = "",
    address: ServerAddress = "",
    job: Annotated[
        str, typer.Option("--job", metavar="NAME", help="Of several planned together, the parts of this one alone.")
    ] = "",
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Print the labels of a plan again.

    Writes labels.pdf beside the plan.json: one label for each part and each left over to keep, 10,000 at most. A left
    over that was recorded has the mark that it got then. Those of one of several jobs go into labels-NAME.pdf.
    """
    with answering(as_json, debug):
        made = actions.print_labels(
            plan_file, size=size, start=start, first=first, at_least=at_least, address=address, job=job
        )
        if as_json:
            print_json({"file": str(made.path), "labels": made.count, "first": made.first, "of": made.of})
            return
        print_text(f"{counted(made.count, 'label')}: {made.path}. Print at full size, not fitted to the page.")
        if made.following:
            print_text(f"The plan has {made.of} labels: --from {made.following} prints those that follow.")


@app.command()
def sheets(
    plan_file: PlanFile,
    first: Annotated[
        int, typer.Option("--from", metavar="NUMBER", help="Way to cut a bar to begin with, in the order of plan.pdf.")
    ] = 1,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Print the sheets to cut from of a plan again.

    Writes cut-NUMBER.pdf beside the plan.json: every way to cut a bar from the given one on, 1,000 at most.
    """
    with answering(as_json, debug):
        made = actions.print_sheets(plan_file, first=first)
        if as_json:
            print_json({"file": str(made.path), "ways": made.count, "first": made.first, "of": made.of})
            return
        print_text(f"Ways to cut a bar {made.first} to {made.first + made.count - 1} of {made.of}: {made.path}.")
        if made.following:
            print_text(f"--from {made.following} prints those that follow.")
