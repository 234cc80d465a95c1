"""The commands of ``job``: what was ordered, parts ticked as they are cut, how far a job has come and what it cost."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.on_rack import Answer, looking, of_job, of_plan
from cutplan.cli.options import PlanFile, Reason
from cutplan.cli.questions import asking
from cutplan.cli.record_commands import Actual
from cutplan.problems import Problem, ProblemsFound

if TYPE_CHECKING:
    from cutplan.words.job_words import Ordered, Ticked

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
@looking
def list_jobs(rack: actions.Rack) -> Answer:
    """List jobs and how far each has come.

    Those that the ledger knows of, and those planned in the folder reports about which nothing was done yet.
    """

    from cutplan.words.job_words import job_list_text, job_list_values

    jobs = actions.job_list(rack)
    return Answer(lambda: job_list_values(jobs, rack.path, rack.workshop), lambda: job_list_text(jobs, rack.workshop))


@job_app.command("show")
@of_job(signed=False)
def show(
    rack: actions.Rack,
    job: Annotated[
        str,
        typer.Argument(
            metavar="[JOB]",
            help="A plan.json, or the name of a job; NAME#2 is the second of that name.",
            show_default=False,
        ),
    ] = "",
) -> Answer:
    """Show how far a job has come and what it has cost so far.

    What is cut, what is to come, and over all its plans what was paid, bought again and returned to the rack.
    """

    from cutplan.words.job_words import job_text, job_values

    shown = actions.job_show(rack, job)
    return Answer(lambda: job_values(shown, rack.workshop), lambda: job_text(shown, rack.workshop))


@job_app.command("ordered")
@of_plan
def ordered(
    rack: actions.Rack,
    plan_file: PlanFile,
    merchant: Annotated[
        str | None, typer.Option("--merchant", metavar="NAME", help="From whom; else from all that the plan buys from.")
    ] = None,
    number: Annotated[str | None, typer.Option("--number", metavar="TEXT", help="The number of the order.")] = None,
    date: Annotated[
        str | None, typer.Option("--date", metavar="DAY", help="The day it was ordered: 2031-06-01.")
    ] = None,
    reason: Reason = None,
    as_json: bool = False,
) -> Answer:
    """Note that what a plan buys was ordered."""

    from cutplan.words.job_words import ordered_text, ordered_values

    def noted(chosen: str) -> Ordered:
        return actions.job_ordered(
            plan_file, rack, merchant=chosen, number=number or "", day=date or "", reason=reason or ""
        )

    done = asking(noted, merchant or "", lambda _said, _field, choice: choice, as_json=as_json)
    return Answer(lambda: ordered_values(done), lambda: ordered_text(done))


@job_app.command("cut")
@of_plan
def cut(
    rack: actions.Rack,
    plan_file: PlanFile,
    marks: Marks = None,
    bar: Bar = None,
    copy: Copy = None,
    given_id: GivenId = None,
    actual: Actual = None,
    reason: Reason = None,
    as_json: bool = False,
) -> Answer:
    """Tick parts as cut.

    Given a second time, it changes nothing. What is ticked is what record and replan take as cut. With --actual it
    is what a cut record says is cut so far.
    """
    parts = actions.Parts(marks=marks or (), bar=bar, copy=copy)
    if actual is None:
        return _tick(plan_file, rack, actions.Step.CUT, parts, given_id, reason, as_json)
    if parts != actions.Parts() or given_id:
        found, accepted = "a cut record beside parts", "either of them"
        raise ProblemsFound([Problem.statement("--actual", found, accepted, code="job.part")])
    facts = actions.read_actual(plan_file, actual)
    return _told(actions.tick_record(plan_file, rack, facts, reason=reason or ""))


@job_app.command("spoiled")
@of_plan
def spoiled(
    rack: actions.Rack,
    plan_file: PlanFile,
    mark: Mark,
    bar: Bar = None,
    copy: Copy = None,
    measured: Annotated[
        str | None, typer.Option("--measured", metavar="LENGTH", help="What it came to; 0 where it is scrap.")
    ] = None,
    given_id: GivenId = None,
    reason: Reason = None,
    as_json: bool = False,
) -> Answer:
    """Tick a part as cut wrong.

    It is off its bar and still wanted: cutplan replan plans it again.
    """
    parts = actions.Parts(marks=(mark,), bar=bar, copy=copy, measured=measured or "")
    return _tick(plan_file, rack, actions.Step.SPOILED, parts, given_id, reason, as_json)


@job_app.command("uncut")
@of_plan
def uncut(
    rack: actions.Rack,
    plan_file: PlanFile,
    marks: Marks = None,
    bar: Bar = None,
    copy: Copy = None,
    given_id: GivenId = None,
    reason: Reason = None,
    as_json: bool = False,
) -> Answer:
    """Take ticks back."""
    parts = actions.Parts(marks=marks or (), bar=bar, copy=copy)
    return _tick(plan_file, rack, actions.Step.UNCUT, parts, given_id, reason, as_json)


@job_app.command("drilled")
@of_plan
def drilled(
    rack: actions.Rack,
    plan_file: PlanFile,
    mark: Mark,
    copy: Copy = None,
    back: Annotated[bool, typer.Option("--back", help="Take the tick back.")] = False,
    reason: Reason = None,
) -> Answer:
    """Tick a part as drilled: one copy of it, or with no --copy all."""

    from cutplan.words.job_words import drilled_text, drilled_values

    done = actions.tick_drilled(plan_file, rack, mark, copy, done=not back, reason=reason or "")
    return Answer(lambda: drilled_values(done), lambda: drilled_text(done))


@job_app.command("close")
@of_job(signed=True)
def close(
    rack: actions.Rack,
    job: Target,
    unfinished: Annotated[
        bool, typer.Option("--unfinished", help="Close it though parts of it are still to be cut.")
    ] = False,
    reason: Reason = None,
) -> Answer:
    """Close a job.

    What is held for it is free again, and nothing more can be done to it.
    """

    from cutplan.words.job_words import job_text, job_values
    from cutplan.words.rack_words import rack_line

    shown, freed = actions.job_close(rack, job, unfinished=unfinished, reason=reason or "")
    lines = [f"No longer held: {rack_line(piece, rack.workshop.printing)}" for piece in freed]
    return Answer(
        lambda: {**job_values(shown, rack.workshop), "freed": [piece.mark for piece in freed]},
        lambda: "\n".join([*lines, job_text(shown, rack.workshop)]),
    )


def _tick(
    plan_file: Path,
    rack: actions.Rack,
    step: actions.Step,
    parts: actions.Parts,
    given_id: str | None,
    reason: str | None,
    as_json: bool,
) -> Answer:
    def ticked(meant: actions.Parts) -> Ticked:
        return actions.tick_parts(plan_file, rack, step, meant, given_id=given_id or "", reason=reason or "")

    return _told(asking(ticked, parts, actions.Parts.saying, as_json=as_json))


def _told(done: Ticked) -> Answer:
    from cutplan.words.job_words import ticked_text, ticked_values

    return Answer(lambda: ticked_values(done), lambda: ticked_text(done))
