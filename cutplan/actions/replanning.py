"""Planning the rest: what was cut stands, what is left is planned again from the bars as they now are."""

from __future__ import annotations

import time
from collections import Counter, deque
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.actions.checked import CheckFailed, confirm, read_plan
from cutplan.actions.deeds import Deed
from cutplan.actions.digests import plan_digest
from cutplan.actions.gone_wrong import Wrong, facts_of
from cutplan.actions.output_folder import fingerprint, reserved, write_files
from cutplan.actions.planning import TIME_LIMIT, document, summary
from cutplan.actions.planning import plan as plan_job
from cutplan.actions.rack_plans import LEDGER, ledger_file, marks_wanted, rack_note, with_marks
from cutplan.actions.typed_values import kerf_of_saw
from cutplan.problems import NoPlan, Problem, ProblemsFound, Refused
from cutplan.unfinished import PLAN_FILE
from cutplan.words.rest_words import (
    CUT_WITH_THAT_KERF,
    NOTHING_LEFT,
    bars_of_the_rest,
    list_changes,
    not_planned_again,
    taken_as_cut,
    taken_as_fetched,
)

if TYPE_CHECKING:
    from cutplan.actions.deeds import After
    from cutplan.actions.rack_found import Rack
    from cutplan.model import Earlier, Job, Offcut, Part, Plan, StockLength, Workshop
    from cutplan.model.cut_facts import BarFact
    from cutplan.planning import Lying
    from cutplan.rack.outcome import Recorded
    from cutplan.rack.pieces import Standing
    from cutplan.rack.ticks import Tick
    from cutplan.units import Printing


@dataclass(frozen=True, slots=True, kw_only=True)
class Replanned:
    """What came of planning the rest. ``told`` says what was taken as done; no plan where nothing is left to cut.

    ``came`` is what came onto the rack with it, where it was received.
    """

    told: tuple[str, ...]
    recorded: Recorded | None
    came: tuple[Standing, ...] = ()
    job: Job | None = None
    plan: Plan | None = None
    files: tuple[Path, ...] = ()


def replan(
    plan_file: Path | str,
    rack: Rack,
    *,
    facts: Mapping[int, BarFact] | None = None,
    wrong: Wrong | None = None,
    kerf: str | None = None,
    parts: Path | str | None = None,
    out: Path | str | None = None,
    time_limit: float = TIME_LIMIT,
    progress: Callable[[str], None] | None = None,
) -> Replanned:
    """Record what was cut of a plan and plan the rest.

    What is there goes into the ledger first: the left overs, the part of a bar that is not cut yet, the spoiled piece
    and the lengths that were bought and are whole. They are held for the job, and the rest is planned from them, from
    what else the rack has, and only then from new lengths.

    Parameters
    ----------
    facts
        By bar number, as a cut record says.
    wrong
        In place of a cut record, the one thing that went wrong.
    kerf
        What the saw really takes, in the workshop's notation.
    parts
        A changed parts list: parts may have come, gone or changed in number.
    out
        Where the plan of the rest goes; a folder ``rest-1``, ``rest-2`` ... beside the plan when not said.

    Raises
    ------
    ProblemsFound
        When what happened cannot be understood, or was recorded before in another way.
    NoPlan
        When the rest cannot be cut from anything; what was cut is recorded all the same.
    CheckFailed
        When parts made and planned are not those of the list.
    """
    path = Path(plan_file)
    job, plan = read_plan(path)
    wanted, told = _wanted(job, parts, rack)
    shop = _with_kerf(job, kerf)
    facts, said = _what_was_cut(job, plan, rack, facts, wrong)
    told += said
    if facts is None and not _recorded_before(job, plan, rack):
        raise ProblemsFound([_nothing_said(path)])
    if facts is not None:
        facts, said = _taken_by_cuts(job, plan, facts, shop)
        told += said
    deed = Deed(job=job, plan=plan, folder=path.parent, rack=rack, what="replan", facts=facts, wanted=wanted)
    folder = Path(out) if out else next_folder(path.parent)
    return rest_planned(deed, folder, shop=shop, told=told, time_limit=time_limit, progress=progress)


def _what_was_cut(
    job: Job, plan: Plan, rack: Rack, facts: Mapping[int, BarFact] | None, wrong: Wrong | None
) -> tuple[Mapping[int, BarFact] | None, list[str]]:
    """By bar number, and what that takes as done: what the cut record or what went wrong says, else what is ticked."""
    from cutplan.rack.ticks import ticked_facts, ticks_of

    if facts is not None and wrong is None:
        return facts, []
    ticked: tuple[Tick, ...] = ()
    if rack.path.exists() and not _recorded_before(job, plan, rack):
        with rack.open(read_only=True) as ledger, ledger.reading() as db:
            ticked = ticks_of(db, plan_digest(job, plan))
    if wrong is not None:
        return facts_of(job, plan, wrong, ticked)
    if not ticked:
        return None, []
    return ticked_facts(plan, ticked), [taken_as_cut(len(ticked))]


def _taken_by_cuts(
    job: Job, plan: Plan, facts: Mapping[int, BarFact], shop: Workshop
) -> tuple[Mapping[int, BarFact], list[str]]:
    """What was cut, where the saw takes more than it was planned with: less is left of every bar that was not measured.

    Where it takes less, the cuts made are counted as planned: the blade may be a new one.
    """
    from cutplan.model.cut_facts import BarFact, more_kerf

    saw_of = {part.mark: part.saw for part in job.parts}
    found = dict(facts)
    for bar in plan.bars:
        fact = facts.get(bar.number, BarFact())
        count = len(bar.cuts) if fact.cut is None else fact.cut
        if count and fact.left is None:
            saw = saw_of[bar.cuts[0].mark]
            kerfs = (each.at_saw(saw).saw.kerf for each in (job.workshop, shop))
            more = more_kerf(bar.cuts, count, *kerfs)
            found[bar.number] = replace(fact, more_kerf=more) if more else fact
    if all(fact == facts.get(number, BarFact()) for number, fact in found.items()):
        return facts, []
    return found, [CUT_WITH_THAT_KERF]


def _recorded_before(job: Job, plan: Plan, rack: Rack) -> bool:
    from cutplan.rack.once import recorded_before

    if not rack.path.exists():
        return False
    with rack.open(read_only=True) as ledger:
        return recorded_before(ledger, plan_digest(job, plan)) is not None


def rest_planned(
    deed: Deed,
    folder: Path,
    *,
    shop: Workshop,
    told: Sequence[str] = (),
    time_limit: float = TIME_LIMIT,
    progress: Callable[[str], None] | None = None,
) -> Replanned:
    """Plan the rest as a deed would leave it, then do it all at once: ledger, holds and the files of the new plan.

    What the deed leads to is tried out and taken back first, so that nothing is written while the rest is planned.
    When it is done, it must lead to the same. A kill leaves all of it or nothing in the ledger, one ``undo`` takes all
    of it back. Raises what :func:`replan` raises.
    """
    deadline = time.monotonic() + time_limit
    from cutplan import planning
    from cutplan.model import Assumption, InputFile
    from cutplan.model.job import REST_OF
    from cutplan.reading.saws import OF_SAWS, dealt_told, saws_told

    after = deed.tried()
    made = sum(after.made.values())
    told = [
        *told,
        *_taken_as_fetched(after.recorded, shop.printing),
        *([not_planned_again(made)] if made else []),
    ]
    if not after.rest:
        deed.done(after)
        return Replanned(told=tuple(told), recorded=after.recorded, came=after.came)
    job, rack = deed.job, deed.rack
    changed = replace(
        job,
        parts=after.rest,
        offers=_still_on_sale(job, deed.plan),
        offcuts=_at_their_saws(after),
        others=(),
        workshop=shop,
        files=(
            *(file for file in job.files if file.role not in ("rack", LEDGER, REST_OF)),
            ledger_file(rack.path, after.offcuts),
            InputFile(role=REST_OF, name=PLAN_FILE, sha256=deed.doing.plan),
        ),
        assumptions=(
            *(Assumption("assumed.again", f"Planned again: {text}") for text in told),
            *saws_told(after.rest, shop),
            *(one for one in job.assumptions if one.code not in OF_SAWS),
        ),
        warnings=(),
    )
    changed = replace(changed, assumptions=(*changed.assumptions, *dealt_told(changed)))
    lying = after.uncut if shop == job.workshop else {}  # with another kerf no cut lies where it did

    def planned(job: Job, share: float) -> Plan:
        left = max(0.0, deadline - time.monotonic())
        return plan_job(job, time_limit=left * share, progress=progress)

    with reserved(folder):
        try:
            changed, answer = planning.rest_of(changed, lying, _given(deed), rack.rules.stay, planned)
        except NoPlan:
            deed.done(after)
            raise
        confirm(changed, answer)
        _check(deed.wanted, after.made, answer)
        told += _differences(deed.plan, lying, changed, answer)
        answer = with_marks(answer, deed.tried_marks(after, folder, marks_wanted(answer)))
        doing = deed.doing_all(after, folder, changed, answer)
        files = write_files(changed, answer, folder, notes=rack_note(folder, rack), taking_place=doing)
    return Replanned(told=tuple(told), recorded=after.recorded, came=after.came, job=changed, plan=answer, files=files)


def _taken_as_fetched(recorded: Recorded | None, how: Printing) -> list[str]:
    if recorded is None or recorded.received or not recorded.uncut:
        return []
    return [taken_as_fetched(recorded.uncut, how)]


def _at_their_saws(after: After) -> tuple[Offcut, ...]:
    """What lies on the rack; a length with bars of one of several saws to be cut from it stays at that saw."""
    saw_of = {part.mark: part.saw for part in after.rest}

    def placed(offcut: Offcut) -> Offcut:
        bars = after.uncut.get(offcut.mark, ())
        saws = {saw_of[cut.mark] for bar in bars for cut in bar.cuts if cut.mark in saw_of}
        return replace(offcut, saw=saws.pop()) if len(saws) == 1 and len(bars) == offcut.quantity else offcut

    return tuple(map(placed, after.offcuts))


def _given(deed: Deed) -> Earlier:
    """The numbers that a plan and those before it gave to bars and copies."""
    from cutplan.model import Earlier, GivenCopy

    before = deed.job.earlier or Earlier(bars=0)
    copies = Counter({each.part: each.copy for each in before.copies})
    for bar in deed.plan.bars:
        for cut in bar.cuts:
            copies[cut.mark] = max(copies[cut.mark], cut.copy)
    numbers = [before.bars, *(bar.number for bar in deed.plan.bars)]
    return Earlier(bars=max(numbers), copies=tuple(GivenCopy(part, copy) for part, copy in sorted(copies.items())))


def _differences(plan: Plan, lying: Lying, job: Job, answer: Plan) -> list[str]:
    """What differs from the plan that was begun: bars that stay, those cut otherwise, and new ones."""
    stay = set(job.earlier.stay) if job.earlier is not None else set()
    was = {mark: deque(bar.number for bar in bars if bar.number not in stay) for mark, bars in lying.items()}
    otherwise = []
    new = []
    for bar in answer.bars:
        if bar.number not in stay:
            had = was.get(bar.source)
            if had:
                otherwise.append((bar.number, bar.source, had.popleft()))
            else:
                new.append(bar.number)
    return bars_of_the_rest(sorted(stay), otherwise, new)


def next_folder(folder: Path) -> Path:
    """``reports/gate`` is followed by ``reports/gate/rest-1``, that by ``reports/gate/rest-2``."""
    name, _, number = folder.name.partition("-")
    if name == "rest" and number.isdigit():
        return folder.with_name(f"rest-{int(number) + 1}")
    return folder / "rest-1"


def _still_on_sale(job: Job, plan: Plan) -> tuple[StockLength, ...]:
    """What can still be bought: a limited number less what the plan bought."""
    bought = Counter(bar.source for bar in plan.bars if bar.buys)
    return tuple(
        replace(offer, available=max(0, offer.available - bought[offer.id])) if offer.available is not None else offer
        for offer in job.offers
    )


def _nothing_said(path: Path) -> Problem:
    return Problem(
        where=str(path),
        found="nothing said of what was cut",
        accepted="a cut record with --actual, or what went wrong with --spoiled, --bar or --bent",
        hint="a plan that was cut as it stands is recorded with cutplan record",
        found_is_text=False,
        code="replan.nothing",
    )


def _with_kerf(job: Job, typed: str | None) -> Workshop:
    """The workshop with the kerf that was typed, of one saw by its name where there are several."""
    shop = job.workshop
    if typed is None:
        return shop
    named, figure = kerf_of_saw(shop, typed, "--kerf")
    try:
        kerf = shop.figures.length_or_zero(figure)
        return shop.with_saws([replace(saw, kerf=kerf) if saw.name == named else saw for saw in shop.all_saws])
    except Refused as refused:
        raise ProblemsFound([Problem.at("--kerf", refused)]) from None
    except ValueError as error:
        raise ProblemsFound(
            [Problem(where="--kerf", found=typed, accepted=f"a kerf with which {error}", code="replan.kerf")]
        ) from None


def _wanted(job: Job, parts: Path | str | None, rack: Rack) -> tuple[tuple[Part, ...], list[str]]:
    """The parts that are wanted in all, and what a changed list says otherwise."""
    if parts is None:
        return job.parts, []
    from cutplan.actions.lists import read_job

    changed = read_job(parts, rack=rack.path if rack.path.exists() else None).parts
    had, has = ({part.mark: part for part in each} for each in (job.parts, changed))
    problems = [
        Problem(
            where=str(parts),
            found=f"{mark} with another {what} than the plan has",
            accepted="parts as they were, or under another mark: those that are cut would not fit any more",
            found_is_text=False,
            code="replan.parts",
        )
        for mark, part in had.items()
        if mark in has and (what := _what_differs(part, has[mark]))
    ]
    if problems:
        raise ProblemsFound(problems)
    return changed, list_changes(had, has)


_NOT_THE_PIECE = {
    *("quantity", "spares", "spares_bought", "assemblies", "assembly", "list_name"),
    *("note", "row", "typed_length", "typed_section", "length_meant", "saw"),
}
"""Fields of a part that say nothing of the piece itself: how many, what for, and how it was typed."""

_WORDS = {"end_a": "cut A", "end_b": "cut B", "depth": "depth at a mitre", "opposite_hand": "hand"}


def _what_differs(had: Part, has: Part) -> str:
    """What makes a part another piece than it was, in words; blank where a piece that is cut still serves."""
    differ = [
        _WORDS.get(field.name, field.name)
        for field in fields(had)
        if field.name not in _NOT_THE_PIECE and getattr(had, field.name) != getattr(has, field.name)
    ]
    return " and ".join(filter(None, (", ".join(differ[:-1]), *differ[-1:])))


def _check(wanted: Sequence[Part], made: Mapping[str, int], plan: Plan) -> None:
    """Parts made and parts planned are those of the list: the last look at a plan of what is left."""
    planned = Counter(cut.mark for bar in plan.bars for cut in bar.cuts)
    failures = []
    for part in wanted:
        number = made.get(part.mark, 0) + planned[part.mark]
        most = max(part.quantity + part.spares, made.get(part.mark, 0))
        if not part.quantity <= number <= most:
            failures.append(f"{part.mark}: {number} made and planned, {part.quantity} wanted")
    if failures:
        raise CheckFailed(failures)


def replan_text(done: Replanned, *, width: int = 100, all_assumed: bool = False) -> str:
    """What was taken as done, and the plan of the rest, in words."""

    lines = list(done.told)
    if done.job is None or done.plan is None:
        return "\n".join([*lines, NOTHING_LEFT])
    mark = next((fingerprint(file) for file in done.files if file.name == PLAN_FILE), "")
    planned = summary(done.job, done.plan, width=width, fingerprint=mark, all_assumed=all_assumed)
    return "\n".join([*lines, planned])


def replan_values(done: Replanned) -> dict[str, Any]:
    """What was taken as done, and the plan of the rest, as values for JSON."""

    plan = None if done.job is None or done.plan is None else document(done.job, done.plan)
    return {"told": list(done.told), "files": [str(file) for file in done.files], "plan": plan}
