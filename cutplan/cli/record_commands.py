"""The commands ``receive``, ``record`` and ``replan``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import AllAssumed, AsJson, Debug, LedgerFile, PlanFile, PlanShop, Reason, TimeLimit, Who
from cutplan.cli.output import answering, print_json, print_text, progress, say, width
from cutplan.cli.paths import as_path
from cutplan.cli.process import STOPPED_WITH_PLAN
from cutplan.cli.questions import asking
from cutplan.units import counted

if TYPE_CHECKING:
    from cutplan.words.recorded import Cut

Actual = Annotated[
    Path | None,
    typer.Option("--actual", metavar="FILE", parser=as_path, help="The cut record, filled in: as it was really cut."),
]


Sheet = Annotated[
    Path | None,
    typer.Option("--sheet", metavar="FILE", parser=as_path, help="Only write the sheet (xlsx) to fill in."),
]


@app.command()
def receive(
    plan_file: PlanFile,
    given: Annotated[
        Path | None,
        typer.Option("--given", metavar="FILE", parser=as_path, help="The delivery sheet; else all came as ordered."),
    ] = None,
    sheet: Annotated[
        Path | None,
        typer.Option("--sheet", metavar="FILE", parser=as_path, help="Only write the delivery sheet, to fill in."),
    ] = None,
    place: Annotated[str | None, typer.Option("--place", metavar="TEXT", help="Where the lengths are put.")] = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: PlanShop = None,
    all_assumed: AllAssumed = False,
    time_limit: TimeLimit = actions.TIME_LIMIT,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Note what the merchant really gave.

    The lengths go on the rack and are held for the job. Where the plan no longer fits them it is made again.
    """
    with answering(as_json, debug):
        if sheet is not None:
            actions.delivery_sheet(plan_file, sheet)
            if as_json:
                print_json({"sheet": str(sheet)})
            else:
                print_text(f"Written: {sheet}. Fill it in and give it with --given.")
            return
        rack = actions.rack_of_plan(plan_file, workshop=workshop, ledger=ledger, who=who)
        with progress() as tell:
            done = actions.receive(
                plan_file, rack, given=given, place=place or "", time_limit=time_limit, progress=tell
            )
        if as_json:
            print_json(actions.received_values(done))
        else:
            print_text(actions.received_text(done, width=width(), all_assumed=all_assumed))
        if done.again is not None and done.again.files:
            say("Written: " + ", ".join(str(file) for file in done.again.files))


@app.command()
def record(
    plan_file: PlanFile,
    actual: Actual = None,
    sheet: Sheet = None,
    all_cut: Annotated[
        bool, typer.Option("--all", help="Of a plan of which some parts are ticked: the others are cut too.")
    ] = False,
    as_ticked: Annotated[
        bool, typer.Option("--ticked", help="Of a plan of which some parts are ticked: the others are not cut.")
    ] = False,
    place: Annotated[str | None, typer.Option("--place", metavar="TEXT", help="Where the left overs are put.")] = None,
    minutes: Annotated[
        str,
        typer.Option(
            "--minutes",
            metavar="TEXT",
            help='What the work really took: 520, or "saw 180, drill 40, weld 300, coat 60".',
        ),
    ] = "",
    reason: Reason = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: PlanShop = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Write down that a plan has been cut.

    The pieces it used leave the rack, the left overs to keep enter it under the marks on the sheet, and the scrap is
    weighed. Given a second time, it changes nothing.
    """

    from cutplan.words.recorded import record_text, record_values

    with answering(as_json, debug):
        if sheet is not None:
            bars = actions.cut_record_sheet(plan_file, sheet)
            if as_json:
                print_json({"sheet": str(sheet), "bars": bars})
            else:
                print_text(f"Written: {sheet}, {counted(bars, 'bar')}. Fill it in and give it with --actual.")
            return
        rack = actions.rack_of_plan(plan_file, workshop=workshop, ledger=ledger, who=who)
        facts = actions.read_actual(plan_file, actual) if actual else None

        def recorded(all_of_it: bool | None) -> Cut:
            return actions.record(
                plan_file, rack, facts=facts, all_cut=all_of_it, place=place or "", minutes=minutes, reason=reason or ""
            )

        said = None if all_cut is as_ticked else all_cut
        done = asking(recorded, said, lambda _, field, choice: choice == "yes", as_json=as_json)
        if as_json:
            print_json(record_values(done))
        else:
            print_text(record_text(done))


@app.command()
def replan(
    plan_file: PlanFile,
    spoiled: Annotated[
        str | None, typer.Option("--spoiled", metavar="MARK", help="A part that was cut wrong: its mark.")
    ] = None,
    measured: Annotated[
        str | None,
        typer.Option("--measured", metavar="LENGTH", help="What the spoiled part came to; 0 where it is scrap."),
    ] = None,
    bar: Annotated[
        int | None,
        typer.Option(
            "--bar", metavar="NUMBER", min=1, help="The bar at the saw: those before it are cut, not those after."
        ),
    ] = None,
    copy: Annotated[
        int | None,
        typer.Option("--copy", metavar="NUMBER", min=1, help="Which copy was spoiled, where its bar has several."),
    ] = None,
    bent: Annotated[
        list[int] | None, typer.Option("--bent", metavar="NUMBER", help="A bar that cannot be used; repeatable.")
    ] = None,
    usable: Annotated[
        list[str] | None,
        typer.Option(
            "--usable", metavar="LENGTH", help="What is usable of a bent bar, of each in turn; 0 for nothing."
        ),
    ] = None,
    kerf: Annotated[
        str | None,
        typer.Option(
            "--kerf",
            metavar="LENGTH",
            help="What the saw really takes; of several saws with its name, as in 'band saw: 2 mm'.",
        ),
    ] = None,
    parts: Annotated[
        Path | None,
        typer.Option("--parts", metavar="FILE", parser=as_path, help="The parts list, changed: parts came or went."),
    ] = None,
    actual: Actual = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", metavar="FOLDER", parser=as_path, help="Where the new plan goes; else rest-1 beside the old."
        ),
    ] = None,
    who: Who = None,
    ledger: LedgerFile = None,
    workshop: PlanShop = None,
    all_assumed: AllAssumed = False,
    time_limit: TimeLimit = actions.TIME_LIMIT,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Plan the rest again when a cut went wrong.

    What is cut stands and is recorded. The rest is planned from the bars as they now are, part-cut ones and the spoiled
    piece among them, from the rack, and from new lengths only where it must be.
    """
    with answering(as_json, debug):
        rack = actions.rack_of_plan(plan_file, workshop=workshop, ledger=ledger, who=who)
        facts = actions.read_actual(plan_file, actual) if actual else None
        something = spoiled or measured or bar is not None or copy is not None or bent or usable
        wrong = actions.Wrong(
            spoiled=spoiled or "", measured=measured or "", bar=bar, copy=copy, bent=bent or (), usable=usable or ()
        )

        def planned(wrong: actions.Wrong) -> actions.Replanned:
            with progress() as tell:
                return actions.replan(
                    plan_file,
                    rack,
                    facts=facts,
                    wrong=wrong if something else None,
                    kerf=kerf,
                    parts=parts,
                    out=out,
                    time_limit=time_limit,
                    progress=tell,
                )

        done = asking(planned, wrong, actions.Wrong.saying, as_json=as_json)
        if as_json:
            print_json(actions.replan_values(done))
        else:
            print_text(actions.replan_text(done, width=width(), all_assumed=all_assumed))
        if done.files:
            say("Written: " + ", ".join(str(file) for file in done.files))
        if done.plan is not None and done.plan.stopped_by:
            raise typer.Exit(STOPPED_WITH_PLAN)
