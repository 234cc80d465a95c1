"""Writing down in the rack's ledger that a plan has been cut."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.checked import read_plan
from cutplan.actions.digests import plan_digest
from cutplan.actions.gone_wrong import Unsaid
from cutplan.actions.outcomes import note_outcome, told_minutes
from cutplan.actions.output_folder import fingerprint
from cutplan.actions.rack_found import Rack, find_rack
from cutplan.actions.rack_plans import folder_text, noted_rack
from cutplan.problems import Problem, ProblemsFound
from cutplan.words.recorded import Cut

if TYPE_CHECKING:
    from cutplan.model import Plan
    from cutplan.model.cut_facts import BarFact
    from cutplan.rack.pieces import Doing
    from cutplan.rack.ticks import Tick
    from cutplan.units import Length


def rack_of_plan(
    plan_file: Path | str,
    *,
    workshop: Path | str | None = None,
    ledger: Path | str | None = None,
    who: str | None = None,
) -> Rack:
    """The rack that a plan belongs to: the one named, else the one the note beside the plan names.

    Raises
    ------
    ProblemsFound
        When neither is there.
    """
    noted = noted_rack(Path(plan_file))
    if workshop is None and ledger is None and noted is None:
        read_plan(plan_file)  # what is no plan at all is reported first
        raise ProblemsFound(
            [
                Problem(
                    code="plan.rack",
                    where=str(plan_file),
                    found="no note beside it that says which rack it belongs to",
                    accepted="a plan beside the rack.txt that was written with it",
                    hint="name the ledger with --ledger, or the workshop file with --workshop",
                    found_is_text=False,
                )
            ]
        )
    if workshop is None and ledger is None:
        assert noted is not None
        return find_rack(near=noted, ledger=noted, who=who)
    return find_rack(near=plan_file, workshop=workshop, ledger=ledger, who=who)


def read_actual(plan_file: Path | str, actual: Path | str) -> dict[int, BarFact]:
    """What a cut record says of the bars of a plan, by bar number.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with it.
    """
    from cutplan.reading.forms.cut_record import read_cut_record

    job, plan = read_plan(plan_file)
    return read_cut_record(Path(actual), plan, job.workshop, fingerprint(Path(plan_file)))


def cut_record_sheet(plan_file: Path | str, path: Path | str) -> int:
    """Write the cut record of a plan, to be filled in at the saw; returns how many bars it has.

    Raises
    ------
    ProblemsFound
        When it cannot be written.
    """
    from cutplan.model import SourceKind
    from cutplan.reading.forms.cut_record import CUT_RECORD
    from cutplan.reports.workbook.blank_forms import write_form, writing_to
    from cutplan.words.naming import bar_source, section_names, source_names

    job, plan = read_plan(plan_file)
    sections = {
        **{(SourceKind.BOUGHT, offer.id): offer.section.key for offer in job.offers},
        **{(SourceKind.OFFCUT, offcut.mark): offcut.section.key for offcut in job.offcuts},
    }
    named, called, number = source_names(job), section_names(job), fingerprint(Path(plan_file))
    rows = [
        [
            bar.number, bar_source(bar, named, job.workshop.printing), called[sections[bar.kind, bar.source]],
            *[None] * 4, number,
        ]
        for bar in plan.bars
    ]  # fmt: skip
    hint = "Cut: yes, no, part, how many parts, or bent. Left over: as measured, blank where it is as planned."
    heads = [heading.name for heading in CUT_RECORD]
    with writing_to(Path(path)):
        write_form(
            Path(path),
            "Cut record",
            f"Cut record: {job.name}, plan {number}",
            hint,
            heads,
            rows,
            paper=job.workshop.paper,
        )
    return len(rows)


def record(
    plan_file: Path | str,
    rack: Rack,
    *,
    facts: Mapping[int, BarFact] | None = None,
    all_cut: bool | None = None,
    left: Mapping[int, Length] | None = None,
    place: str = "",
    minutes: str = "",
    reason: str = "",
) -> Cut:
    """Write down that a plan was cut: pieces used leave the rack, left overs to keep enter it.

    Where nothing is said all was cut as planned, or as it is ticked. Recording the same plan again does nothing and
    says so. The ledger is made where there is none yet.

    Parameters
    ----------
    facts
        By bar number, what was cut otherwise than planned.
    all_cut
        Of a plan of which some parts are ticked: were the others cut too?
    left
        By bar number, what is left of a bar as measured, where that is all that is said beside the ticks. [nm]
    place
        Where the left overs are put.
    minutes
        What the work on it really took, all together or by kind: ``520``, or ``saw 180, drill 40, weld 300``.

    Raises
    ------
    Unsaid
        When that is not said.
    ProblemsFound
        When the facts contradict the ticks, a bar is not on the rack as the plan has it, or minutes are reported of a
        plan that was recorded before.
    """
    from cutplan.rack import cut_bars, ticks
    from cutplan.rack.entry import entry
    from cutplan.rack.once import RECORDED, DoneBefore, done_before

    job, plan = read_plan(plan_file)
    digest = plan_digest(job, plan)
    folder = folder_text(rack, Path(plan_file).parent)
    took = told_minutes(minutes)
    with rack.open(create=not uses_rack(plan)) as ledger:
        doing = rack.doing("record", job=job.name, plan=digest, reason=reason)
        try:
            with entry(ledger, doing) as writing:
                before = done_before(writing.db, digest, RECORDED)
                if before is not None:
                    raise DoneBefore(before)
                # Asked in the transaction in which it is recorded, for others may tick at the same time.
                ticked = ticks.ticks_of(writing.db, digest)
                became = _measured(_as_ticked(plan, ticked, all_cut), left or {}) if facts is None else facts
                done = cut_bars.record_in(writing, job, plan, became, place=place, folder=folder)
                note_outcome(writing, job, plan, rack, took)
        except DoneBefore as earlier:
            if took:
                raise ProblemsFound([_too_late(minutes, earlier.doing)]) from None
            return Cut(job=job, plan=plan, before=earlier.doing)
        return Cut(job=job, plan=plan, recorded=done)


def _too_late(minutes: str, before: Doing) -> Problem:
    by = f" by {before.who}" if before.who else ""
    return Problem(
        where="--minutes",
        found=minutes,
        accepted=f"minutes given as a plan is recorded, and this one was recorded {before.at}{by}: these are not kept",
        hint="cutplan undo takes the record back; record again with --minutes then keeps them",
        code="minutes.late",
    )


def _as_ticked(plan: Plan, ticked: Sequence[Tick], all_cut: bool | None) -> dict[int, BarFact]:
    """What became of every bar by the ticks, if there are any."""
    from cutplan.rack.ticks import ticked_facts

    parts = sum(len(bar.cuts) for bar in plan.bars)
    if not ticked:
        return {}
    if len(ticked) < parts and all_cut is None:
        problem = Problem(
            code="job.in_part",
            where="parts",
            found=f"{len(ticked)} of {parts} ticked",
            accepted="--ticked where the others are not cut, --all where they are",
            hint="cutplan job show lists what is not ticked",
            found_is_text=False,
        )
        raise Unsaid(problem, "all_cut", ("yes", "no"), "Are the others cut too")
    if all_cut:
        spoiled = [one for one in ticked if one.spoiled]
        return {number: replace(fact, cut=None) for number, fact in ticked_facts(plan, spoiled, gaps=True).items()}
    return ticked_facts(plan, ticked)


def _measured(facts: Mapping[int, BarFact], left: Mapping[int, Length]) -> dict[int, BarFact]:
    """The facts with what is left of some bars as it was measured."""
    from cutplan.model.cut_facts import BarFact

    return {**facts, **{number: replace(facts.get(number, BarFact()), left=length) for number, length in left.items()}}


def uses_rack(plan: Plan) -> bool:
    """Is any bar of the plan a piece of the rack? Then a ledger that knows it has to be there."""
    from cutplan.model import SourceKind

    return any(bar.kind is SourceKind.OFFCUT for bar in plan.bars)
