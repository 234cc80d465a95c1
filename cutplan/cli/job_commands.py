"""The commands of ``job``: what was ordered, parts ticked as they are cut, how far a job has come and what it cost."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AsJson, Debug, LedgerFile, PlanFile, PlanShop, Reason, ShopFile, Who
from cutplan.cli.output import answering, print_json, print_text
from cutplan.cli.questions import asking
from cutplan.cli.record_commands import Actual
from cutplan.problems import Problem, ProblemsFound
from cutplan.words.job_words import (
    Ordered,
    Ticked,
    job_list_text,
    job_list_values,
    job_text,
    job_values,
    ordered_text,
    ordered_values,
    ticked_text,
    ticked_values,
)
from cutplan.words.rack_words import rack_line

job_app = typer.Typer(no_args_is_help=True, rich_markup_mode=None)
app.add_typer(
    job_app,
    name="job",
    help="Follow a job: ordered, received, cut part by part, recorded, closed, and what it has cost so far.",
)

Target = Annotated[
    str,
    typer.Argument(
        metavar="JOB", help="A plan.json, or the name of a job; NAME#2 is the second of that name.", show_default=False
    ),
]
Marks = Annotated[list[str] | None, typer.Argument(metavar="MARK", help="Marks of the parts.", show_default=False)]
Mark = Annotated[str, typer.Argument(metavar="MARK", help="The mark of the part.", show_default=False)]
Bar = Annotated[
    int | None,
    typer.Option("--bar", metavar="NUMBER", min=1, help="The bar the parts were on; with no MARK all of it."),
]
Copy = Annotated[
    int | None, typer.Option("--copy", metavar="NUMBER", min=1, help="Which copy of the part, as printed beside it.")
]
GivenId = Annotated[
    str | None, typer.Option("--id", metavar="TEXT", help="An id of your own: given a second time, nothing is done.")
]


@job_app.command("list")
def list_jobs(
    ledger: LedgerFile = None, workshop: ShopFile = None, as_json: AsJson = False, debug: Debug = False
) -> None:
    """List jobs and how far each has come.

    Those that the ledger knows of, and those planned in the folder reports about which nothing was done yet.
    """
    with answering(as_json, debug):
        rack = actions.find_rack(workshop=workshop, ledger=ledger)
        jobs = actions.job_list(rack)
        if as_json:
            print_json(job_list_values(jobs, rack.path, rack.workshop))
        else:
            print_text(job_list_text(jobs, rack.workshop))


@job_app.command("show")
def show(
    job: Annotated[
        str,
        typer.Argument(
            metavar="[JOB]",
            help="A plan.json, or the name of a job; NAME#2 is the second of that name.",
            show_default=False,
        ),
    ] = "",
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Show how far a job has come and what it has cost so far.

    What is cut, what is to come, and over all its plans what was paid, bought again and returned to the rack.
    """
    with answering(as_json, debug):
        rack = _rack(job, workshop, ledger)
        shown = actions.job_show(rack, job)
        if as_json:
            print_json(job_values(shown, rack.workshop))
        else:
            print_text(job_text(shown, rack.workshop))


@job_app.command("ordered")
def ordered(
    plan_file: PlanFile,
    merchant: Annotated[
        str | None, typer.Option("--merchant", metavar="NAME", help="From whom; else from all that the plan buys from.")
    ] = None,
    number: Annotated[str | None, typer.Option("--number", metavar="TEXT", help="The number of the order.")] = None,
    date: Annotated[
        str | None, typer.Option("--date", metavar="DAY", help="The day it was ordered: 2031-06-01.")
    ] = None,
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: PlanShop = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Note that what a plan buys was ordered."""
    with answering(as_json, debug):
        rack = actions.rack_of_plan(plan_file, workshop=workshop, ledger=ledger, who=who)

        def noted(chosen: str) -> Ordered:
            return actions.job_ordered(
                plan_file, rack, merchant=chosen, number=number or "", day=date or "", reason=reason or ""
            )

        done = asking(noted, merchant or "", lambda _said, _field, choice: choice, as_json=as_json)
        if as_json:
            print_json(ordered_values(done))
        else:
            print_text(ordered_text(done))


@job_app.command("cut")
def cut(
    plan_file: PlanFile,
    marks: Marks = None,
    bar: Bar = None,
    copy: Copy = None,
    given_id: GivenId = None,
    actual: Actual = None,
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: PlanShop = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Tick parts as cut.

    Given a second time, it changes nothing. What is ticked is what record and replan take as cut. With --actual it
    is what a cut record says is cut so far.
    """
    with answering(as_json, debug):
        rack = actions.rack_of_plan(plan_file, workshop=workshop, ledger=ledger, who=who)
        parts = actions.Parts(marks=marks or (), bar=bar, copy=copy)
        if actual is None:
            _tick(plan_file, rack, actions.Step.CUT, parts, given_id, reason, as_json)
            return
        if parts != actions.Parts() or given_id:
            found, accepted = "a cut record beside parts", "either of them"
            raise ProblemsFound([Problem.statement("--actual", found, accepted, code="job.part")])
        _tell(
            actions.tick_record(plan_file, rack, actions.read_actual(plan_file, actual), reason=reason or ""), as_json
        )


@job_app.command("spoiled")
def spoiled(
    plan_file: PlanFile,
    mark: Mark,
    bar: Bar = None,
    copy: Copy = None,
    measured: Annotated[
        str | None, typer.Option("--measured", metavar="LENGTH", help="What it came to; 0 where it is scrap.")
    ] = None,
    given_id: GivenId = None,
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: PlanShop = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Tick a part as cut wrong.

    It is off its bar and still wanted: cutplan replan plans it again.
    """
    with answering(as_json, debug):
        rack = actions.rack_of_plan(plan_file, workshop=workshop, ledger=ledger, who=who)
        parts = actions.Parts(marks=(mark,), bar=bar, copy=copy, measured=measured or "")
        _tick(plan_file, rack, actions.Step.SPOILED, parts, given_id, reason, as_json)


@job_app.command("uncut")
def uncut(
    plan_file: PlanFile,
    marks: Marks = None,
    bar: Bar = None,
    copy: Copy = None,
    given_id: GivenId = None,
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: PlanShop = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Take ticks back."""
    with answering(as_json, debug):
        rack = actions.rack_of_plan(plan_file, workshop=workshop, ledger=ledger, who=who)
        parts = actions.Parts(marks=marks or (), bar=bar, copy=copy)
        _tick(plan_file, rack, actions.Step.UNCUT, parts, given_id, reason, as_json)


@job_app.command("close")
def close(
    job: Target,
    unfinished: Annotated[
        bool, typer.Option("--unfinished", help="Close it though parts of it are still to be cut.")
    ] = False,
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: ShopFile = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Close a job.

    What is held for it is free again, and nothing more can be done to it.
    """
    with answering(as_json, debug):
        rack = _rack(job, workshop, ledger, who)
        shown, freed = actions.job_close(rack, job, unfinished=unfinished, reason=reason or "")
        if as_json:
            print_json({**job_values(shown, rack.workshop), "freed": [piece.mark for piece in freed]})
        else:
            lines = [f"No longer held: {rack_line(piece, rack.workshop.printing)}" for piece in freed]
            print_text("\n".join([*lines, job_text(shown, rack.workshop)]))


def _rack(job: str, workshop: Path | None, ledger: Path | None, who: str | None = None) -> actions.Rack:
    """The rack of a plan, where one is named; of a job's name the one that the workshop file or --ledger names."""
    plan = actions.plan_path(job)
    if plan is not None:
        return actions.rack_of_plan(plan, workshop=workshop, ledger=ledger, who=who)
    return actions.find_rack(workshop=workshop, ledger=ledger, who=who)


def _tick(
    plan_file: Path,
    rack: actions.Rack,
    step: actions.Step,
    parts: actions.Parts,
    given_id: str | None,
    reason: str | None,
    as_json: bool,
) -> None:
    def ticked(meant: actions.Parts) -> Ticked:
        return actions.tick_parts(plan_file, rack, step, meant, given_id=given_id or "", reason=reason or "")

    _tell(asking(ticked, parts, actions.Parts.saying, as_json=as_json), as_json)


def _tell(done: Ticked, as_json: bool) -> None:
    if as_json:
        print_json(ticked_values(done))
    else:
        print_text(ticked_text(done))
