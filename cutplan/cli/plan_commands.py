"""The commands ``plan``, ``check`` and ``verify``."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Annotated

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.on_list import Beside, with_beside
from cutplan.cli.options import (
    AllAssumed,
    AsJson,
    Cluster,
    Debug,
    PartsLists,
    PlanFile,
    TimeLimit,
    Who,
)
from cutplan.cli.output import (
    answering,
    boxed,
    folded,
    print_json,
    print_text,
    progress,
    say,
    width,
)
from cutplan.cli.paths import as_path
from cutplan.cli.process import CHECK_REFUSED, STOPPED_WITH_PLAN
from cutplan.problems import LONGEST_STATEMENT, shown


@app.command()
@with_beside
def plan(
    parts: PartsLists,
    beside: Beside,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", metavar="FOLDER", parser=as_path, help="Where the plan goes; else reports/<name of the list>/."
        ),
    ] = None,
    hold: Annotated[bool, typer.Option("--hold", help="Hold the pieces of the rack that the plan uses.")] = False,
    who: Who = None,
    all_assumed: AllAssumed = False,
    open_printed: Annotated[bool, typer.Option("--open", help="Open plan.pdf when it is written.")] = False,
    cluster: Cluster = "",
    time_limit: TimeLimit = actions.TIME_LIMIT,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Plan what to buy and where to cut.

    Writes plan.pdf, labels.pdf, plan.html, plan.xlsx and plan.json, and prints what to buy, what it costs, how cheapest
    is known, every bar, what is left over, and what was assumed.
    """

    from cutplan.words.proving import times_text
    from cutplan.words.refusals import warning_lines
    from cutplan.words.reused import reuse_text

    with answering(as_json, debug):
        job = actions.read_job(parts, **beside)
        folder = out or actions.plan_folder(parts)
        kept = actions.find_rack(
            near=parts[0],
            workshop=beside.get("workshop"),
            ledger=actions.ledger_given(beside.get("rack")),
            who=who,
        )
        gone = actions.plan_replaced(job, folder)
        times = [time.monotonic()]
        with progress() as tell:
            answer, files = actions.plan_into(
                job,
                folder,
                rack=kept,
                hold=hold,
                time_limit=time_limit,
                progress=tell,
                before_writing=lambda: times.append(time.monotonic()),
                cluster=cluster,
            )
        times.append(time.monotonic())
        try:
            if as_json:
                print_json(actions.document(job, answer))
            else:
                mark = actions.fingerprint(folder / actions.PLAN_FILE)
                text = actions.summary(
                    job, answer, width=width(), boxed=boxed(), fingerprint=mark, all_assumed=all_assumed
                )
                print_text(text)
                reused = reuse_text(job, actions.reused(job, answer, kept))
                if reused:
                    print_text(reused)
        except KeyboardInterrupt:
            raise typer.Exit(STOPPED_WITH_PLAN) from None
        finally:
            if gone is not None:
                say("\n".join(warning_lines([gone])))
            say("Written: " + ", ".join(str(file) for file in files))
            if tell is not None:
                say(times_text(*times))
        printed = folder / actions.PRINTED
        if open_printed and not actions.open_file(printed):
            say(f"No program was found to open {printed} with.")
        if answer.stopped_by:
            raise typer.Exit(STOPPED_WITH_PLAN)


@app.command()
@with_beside
def check(
    parts: PartsLists,
    beside: Beside,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Read and report only.

    Reads a parts list and all that belongs to it, prints what was understood, and plans nothing.
    """
    with answering(as_json, debug):
        job = actions.read_job(parts, **beside)
        from cutplan.words.list_found import found_text, found_values

        found = actions.check(job)
        if as_json:
            print_json(found_values(job, found))
        else:
            print_text(folded(found_text(job, found)))


@app.command()
@with_beside
def verify(
    plan_file: PlanFile,
    *,
    inputs: Annotated[
        list[Path] | None,
        typer.Option(
            "--inputs", metavar="PARTS", parser=as_path, help="Parts list to read again and compare; repeatable."
        ),
    ] = None,
    beside: Beside,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Check a plan made earlier.

    The independent checker goes over every bar, every sum and the proof in a plan.json. With --inputs, the lists are
    read again, with all that belongs to them, and compared with what the plan file says of them. A value changed by
    hand is refused.
    """
    if beside and not inputs:
        raise typer.BadParameter(
            "the files of a list are compared with --inputs and the parts list", param_hint="--inputs"
        )
    with answering(as_json, debug):
        job = None
        if inputs:
            job = actions.read_job(inputs, **beside)
        judged = actions.review(plan_file, inputs=job)
        if as_json:
            print_json(
                {
                    "holds": judged.holds,
                    "failures": list(judged.failures),
                    "findings": list(judged.findings),
                    "rechecked": judged.summary,
                }
            )
        else:
            verdict = "holds" if judged.holds else "does not hold"
            found = judged.findings if judged.holds else judged.failures
            told = [*(f"  {shown(text, LONGEST_STATEMENT)}" for text in found), judged.summary]
            print_text(f"{plan_file}: {verdict}\n" + folded("\n".join(told)))
        if not judged.holds:
            raise typer.Exit(CHECK_REFUSED)
