"""The commands ``plan``, ``check`` and ``verify``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from cutplan import actions
from cutplan.cli.face import app
from cutplan.cli.options import (
    AsJson,
    Debug,
    HolesFile,
    PartsLists,
    PlanFile,
    PriceList,
    RackFile,
    Stock,
    TimeLimit,
    Who,
    WorkshopFile,
)
from cutplan.cli.output import (
    answering,
    boxed,
    folded,
    print_json,
    print_text,
    problem_document,
    progress,
    say,
    width,
)
from cutplan.cli.paths import as_path
from cutplan.cli.process import CHECK_REFUSED, STOPPED_WITH_PLAN
from cutplan.problems import LONGEST_STATEMENT, SHOWN_AT_ONCE, shown

if TYPE_CHECKING:
    from cutplan.model import Job


@app.command()
def plan(
    parts: PartsLists,
    workshop: WorkshopFile = None,
    prices: PriceList = None,
    rack: RackFile = None,
    holes: HolesFile = None,
    stock: Stock = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", metavar="FOLDER", parser=as_path, help="Where the plan goes; else reports/<name of the list>/."
        ),
    ] = None,
    hold: Annotated[bool, typer.Option("--hold", help="Hold the pieces of the rack that the plan uses.")] = False,
    who: Who = None,
    open_printed: Annotated[bool, typer.Option("--open", help="Open plan.pdf when it is written.")] = False,
    time_limit: TimeLimit = actions.TIME_LIMIT,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Plan what to buy and where to cut.

    Writes plan.pdf, labels.pdf, plan.html, plan.xlsx and plan.json, and prints what to buy, every bar, what is left
    over, weight and cost.
    """
    with answering(as_json, debug):
        job = actions.read_job(parts, workshop=workshop, prices=prices, rack=rack, holes=holes, stock=stock or ())
        folder = out or actions.output_folder(parts)
        kept = actions.find_rack(near=parts[0], workshop=workshop, ledger=actions.ledger_given(rack), who=who)
        answer, files = actions.plan_into(job, folder, rack=kept, hold=hold, time_limit=time_limit, progress=progress())
        try:
            if as_json:
                print_json(actions.document(job, answer))
            else:
                mark = actions.fingerprint(folder / actions.PLAN_FILE)
                print_text(actions.summary(job, answer, width=width(), boxed=boxed(), fingerprint=mark))
                reused = actions.reuse_text(job, actions.reused(job, answer, kept))
                if reused:
                    print_text(reused)
        except KeyboardInterrupt:
            raise typer.Exit(STOPPED_WITH_PLAN) from None
        finally:
            say("Written: " + ", ".join(str(file) for file in files))
        printed = folder / actions.PRINTED
        if open_printed and not actions.open_file(printed):
            say(f"No program was found to open {printed} with.")
        if answer.stopped_by:
            raise typer.Exit(STOPPED_WITH_PLAN)


@app.command()
def check(
    parts: PartsLists,
    workshop: WorkshopFile = None,
    prices: PriceList = None,
    rack: RackFile = None,
    holes: HolesFile = None,
    stock: Stock = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Read and report only.

    Reads a parts list and all that belongs to it, prints what was understood, and plans nothing.
    """
    with answering(as_json, debug):
        job = actions.read_job(parts, workshop=workshop, prices=prices, rack=rack, holes=holes, stock=stock or ())
        found = actions.check(job)
        if as_json:
            print_json(_check_document(job, found))
        else:
            print_text(folded(_check_text(job, found)))


@app.command()
def verify(
    plan_file: PlanFile,
    inputs: Annotated[
        list[Path] | None,
        typer.Option(
            "--inputs", metavar="PARTS", parser=as_path, help="Parts list to read again and compare; repeatable."
        ),
    ] = None,
    workshop: WorkshopFile = None,
    prices: PriceList = None,
    rack: RackFile = None,
    holes: HolesFile = None,
    stock: Stock = None,
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Check a plan made earlier.

    The independent checker goes over every bar, every sum and the proof in a plan.json. With --inputs, the lists are
    read again, with all that belongs to them, and compared with what the plan file says of them. A value changed by
    hand is refused.
    """
    if not inputs and (workshop or prices or rack or holes or stock):
        raise typer.BadParameter(
            "the files of a list are compared with --inputs and the parts list", param_hint="--inputs"
        )
    with answering(as_json, debug):
        job = None
        if inputs:
            job = actions.read_job(inputs, workshop=workshop, prices=prices, rack=rack, holes=holes, stock=stock or ())
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


def _check_document(job: Job, found: tuple[actions.GroupFound, ...]) -> dict[str, Any]:
    from cutplan.units import kg_text, mm_text

    return {
        "job": job.name,
        "files": [{"role": file.role, "name": file.name, "sha256": file.sha256} for file in job.files],
        "assumptions": [{"code": one.code, "text": one.text} for one in job.assumptions],
        "warnings": [problem_document(problem) for problem in job.warnings],
        "silenced": job.silenced,
        "others": [
            {"name": line.name, "quantity": line.quantity, "mass_kg": kg_text(line.mass, 3)} for line in job.others
        ],
        "groups": [
            {
                "group": group.title,
                "lines": group.parts,
                "pieces": group.pieces,
                "length_mm": mm_text(group.length),
                "mass_kg": kg_text(group.mass, 3),
                "offers": group.offers,
                "offers_too_long_to_carry": group.too_long,
                "offcuts": group.offcuts,
                "priced": group.priced,
            }
            for group in found
        ],
    }


def _check_text(job: Job, found: tuple[actions.GroupFound, ...]) -> str:
    from cutplan.units import mass_text, stock_text

    how = job.workshop.printing
    pieces = sum(group.pieces for group in found)
    lines = [f"{job.name}: {_count(len(job.parts), 'line')}, {_count(pieces, 'part')}, {_count(len(found), 'group')}"]
    lines += [f"  {file.role}: {file.name}" for file in job.files]
    if job.assumptions:
        lines += ["Taken for granted:", *(f"  {text}" for text in job.assumed)]
    if job.warnings:
        lines.append(f"To look at: {_count(len(job.warnings), 'warning')}")
        lines += [f"  {line}" for problem in job.warnings[:SHOWN_AT_ONCE] for line in str(problem).split("\n")]
        if len(job.warnings) > SHOWN_AT_ONCE:
            lines.append(f"  ... the first {SHOWN_AT_ONCE} are shown; --json prints all")
    if job.silenced:
        lines.append(f"{_count(job.silenced, 'warning')} not told, as the list says looked at")
    for group in found:
        weight = mass_text(group.mass, how)
        lines.append(f"{group.title}: {_count(group.pieces, 'part')}, {stock_text(group.length, how)}, {weight}")
        sources = [_count(group.offers, "stock length"), _count(group.offcuts, "offcut")]
        if group.too_long:
            sources.insert(1, f"{group.too_long} too long to carry")
        if not group.priced:
            sources.append("a price is missing, so it is planned for the least bought mass")
        lines.append("  to cut it from: " + ", ".join(sources))
    if job.others:
        lines.append("Other things, which are not cut:")
        lines += [f"  {line.quantity} x {line.name}" for line in job.others]
    weight = mass_text(sum(group.mass for group in found), how)
    lines.append(f"All parts together: {weight}. Nothing was planned or written.")
    return "\n".join(lines)


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
