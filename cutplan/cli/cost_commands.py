"""The commands ``cost``, ``quote`` and ``jobs``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.on_rack import Answer, looking, of_plan
from cutplan.cli.options import AsJson, Debug, PlanFile, PlanShop
from cutplan.cli.output import answering, print_json, print_text, say
from cutplan.cli.paths import as_path

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
    workshop: PlanShop = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Work out what a planned job costs.

    Steel, with what whole lengths add, things, coats, hours, overhead, margin and tax, by the figures of the workshop
    file as they are now. Writes cost.pdf and cost.xlsx beside the plan.json, for the workshop alone.
    """
    from cutplan.words.cost_words import cost_text, cost_values

    with answering(as_json, debug):
        done = actions.cost_plan(plan_file, actions.shop_of_plan(plan_file, workshop), transport=transport)
        if as_json:
            print_json(cost_values(done.cost, done.job.name, done.job.workshop) | {"files": list(map(str, done.files))})
            return
        print_text(cost_text(done.cost, done.job.name, done.job.workshop))
        say("Written: " + ", ".join(str(file) for file in done.files))


@app.command()
@of_plan
def quote(
    rack: actions.Rack,
    plan_file: PlanFile,
    customer: Annotated[
        str, typer.Option("--customer", metavar="TEXT", help="For whom: name and address, semicolons between.")
    ] = "",
    number: Annotated[
        str, typer.Option("--number", metavar="TEXT", help="A number of your own; else the ledger gives the next.")
    ] = "",
    valid_until: Annotated[
        str, typer.Option("--valid-until", metavar="DAY", help="The last day on which it holds, such as 2031-06-01.")
    ] = "",
    by_assembly: Annotated[
        bool, typer.Option("--by-assembly", help="Say what each assembly is offered at, not only the whole.")
    ] = False,
    transport: Transport = "",
) -> Answer:
    """Quote a price for a planned job.

    By the figures that cutplan cost shows, as PDF and workbook for the customer: what is offered and the price, nothing
    of the cost. The quote is kept in the ledger, to be held against what the job came to.
    """
    from cutplan.words.quote_words import given_text, quote_values

    done = actions.quote_plan(
        plan_file,
        rack,
        number=number,
        customer=customer,
        valid_until=valid_until,
        by_assembly=by_assembly,
        transport=transport,
    )
    files = list(map(str, done.files))
    shop = done.job.workshop
    known: dict[str, Any] = {"files": files, "kept": done.kept, "before": done.before, "notes": list(done.notes)}
    return Answer(
        lambda: quote_values(done.quote, done.job.name, shop) | known,
        lambda: given_text(done.quote, done.job.name, shop, **known),
    )


@app.command()
@looking
def jobs(
    rack: actions.Rack,
    year: Annotated[
        int | None, typer.Option("--year", metavar="YEAR", min=1, max=9999, help="Only jobs last seen to in it.")
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", metavar="FILE", parser=as_path, help="Write them as well: .csv, .xlsx, or as a picture .svg."
        ),
    ] = None,
) -> Answer:
    """Hold the jobs of the ledger against their quotes.

    What each was quoted at and what it came to in the end, by assembly, over all its plans: bought again, returned, and
    the hours noted when it was recorded. Minutes noted for jobs, left overs as measured and lengths as delivered say
    what the figures in the workshop file should be.
    """
    from cutplan.words.outcome_words import year_text, year_values

    found = actions.jobs_of_year(rack, year=year, out=out)
    shop = rack.workshop
    written = f"\nWritten: {', '.join(map(str, found.files))}" if found.files else ""
    return Answer(lambda: year_values(found, shop), lambda: year_text(found, shop) + written)
