"""When a cut goes wrong: what was cut stands, the rest is planned again from the bars as they now are."""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.actions.checked import CheckFailed, confirm, read_plan
from cutplan.actions.deeds import Deed
from cutplan.actions.output_folder import PLAN_FILE, fingerprint, reserved, write_files
from cutplan.actions.planning import TIME_LIMIT, document, summary
from cutplan.actions.planning import plan as plan_job
from cutplan.actions.rack_plans import LEDGER, ledger_file, marks_wanted, rack_note, with_marks
from cutplan.problems import NoPlan, Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from cutplan.actions.racking import Rack
    from cutplan.model import CutBar, Earlier, Job, Part, Plan, Saw, StockLength
    from cutplan.model.cut_facts import BarFact
    from cutplan.planning import Lying
    from cutplan.rack.outcome import Recorded
    from cutplan.rack.pieces import Standing


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong:
    """What went wrong, as typed where no form was filled in.

    Parameters
    ----------
    spoiled
        Mark of the part that was cut wrong.
    measured
        What the spoiled part came to; blank: it is scrap.
    bar
        The bar it was on, where the part is on several; the last one that was begun, where nothing was spoiled. Those
        before it are cut, those after it are not.
    copy
        Which copy of the part it was, where its bar has several: what was cut before it is good, the rest is still to
        be cut.
    bent
        Numbers of bars that cannot be used, and lie uncut.
    """

    spoiled: str = ""
    measured: str = ""
    bar: int | None = None
    copy: int | None = None
    bent: Sequence[int] = ()

    def saying(self, field: str, number: int) -> Wrong:
        """The same with the bar or the copy said."""
        return replace(self, bar=number) if field == "bar" else replace(self, copy=number)


class Unsaid(ProblemsFound):
    """Something of what went wrong has to be said: ``field`` of :class:`Wrong`, one of ``choices``."""

    def __init__(self, problem: Problem, field: str, choices: Sequence[int]) -> None:
        super().__init__([problem])
        self.field, self.choices = field, tuple(choices)


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
    saw = _saw(job, kerf)
    if wrong is not None:
        facts, said = _facts(job, plan, wrong)
        told += said
    if facts is None and not _recorded_before(job, plan, rack):
        raise ProblemsFound([_nothing_said(path)])
    deed = Deed(job=job, plan=plan, rack=rack, what="replan", facts=facts, wanted=wanted)
    folder = Path(out) if out else next_folder(path.parent)
    return rest_planned(deed, folder, saw=saw, told=told, time_limit=time_limit, progress=progress)


def _recorded_before(job: Job, plan: Plan, rack: Rack) -> bool:
    from cutplan import planfile
    from cutplan.rack.once import recorded_before

    with rack.open(create=True) as ledger:
        return recorded_before(ledger, planfile.plan_digest(job, plan)) is not None


def rest_planned(
    deed: Deed,
    folder: Path,
    *,
    saw: Saw,
    told: Sequence[str] = (),
    time_limit: float = TIME_LIMIT,
    progress: Callable[[str], None] | None = None,
) -> Replanned:
    """Plan the rest as a deed would leave it, then do it all at once: ledger, holds and the files of the new plan.

    What the deed leads to is tried out and taken back first, so that nothing is written while the rest is planned.
    When it is done, it must lead to the same. A kill leaves all of it or nothing in the ledger, one ``undo`` takes all
    of it back. Raises what :func:`replan` raises.
    """
    from cutplan import planning
    from cutplan.model import InputFile
    from cutplan.planfile import AGAIN, REST_OF

    after = deed.tried()
    made = sum(after.made.values())
    told = [*told, *([f"Nothing is planned again of what is cut already: {made} in all."] if made else [])]
    if not after.rest:
        deed.done(after)
        return Replanned(told=tuple(told), recorded=after.recorded, came=after.came)
    job, rack = deed.job, deed.rack
    changed = replace(
        job,
        parts=after.rest,
        offers=_still_on_sale(job, deed.plan),
        offcuts=after.offcuts,
        others=(),
        workshop=replace(job.workshop, saw=saw),
        files=(
            *(file for file in job.files if file.role not in ("rack", LEDGER, REST_OF)),
            ledger_file(rack.path, after.offcuts),
            InputFile(role=REST_OF, name=PLAN_FILE, sha256=deed.doing.plan),
        ),
        assumptions=(*(f"{AGAIN}{text}" for text in told), *job.assumptions),
        warnings=(),
    )
    lying = after.uncut if saw == job.workshop.saw else {}  # with another kerf no cut lies where it did
    planned = partial(plan_job, time_limit=time_limit, progress=progress)
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
        doing = deed.doing_all(after, folder, answer)
        files = write_files(changed, answer, folder, notes=rack_note(folder, rack), taking_place=doing)
    return Replanned(told=tuple(told), recorded=after.recorded, came=after.came, job=changed, plan=answer, files=files)


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
                otherwise.append(f"Bar {bar.number}, from {bar.source}, takes the place of bar {had.popleft()}.")
            else:
                new.append(bar.number)
    return [
        *([f"As they were, with their labels: {_listed(sorted(stay))}."] if stay else []),
        *otherwise,
        *([f"New: {_listed(new)}."] if new else []),
    ]


def _listed(numbers: Sequence[int]) -> str:
    return f"{'bar' if len(numbers) == 1 else 'bars'} {', '.join(map(str, numbers))}"


def next_folder(folder: Path) -> Path:
    """``reports/gate`` is followed by ``reports/gate/rest-1``, that by ``reports/gate/rest-2``."""
    name, _, number = folder.name.partition("-")
    if name == "rest" and number.isdigit():
        return folder.with_name(f"rest-{int(number) + 1}")
    return folder / "rest-1"


def _still_on_sale(job: Job, plan: Plan) -> tuple[StockLength, ...]:
    """What can still be bought: a limited number less what the plan bought."""
    from cutplan.model import SourceKind

    bought = Counter(bar.source for bar in plan.bars if bar.kind is SourceKind.BOUGHT)
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
    )


def _saw(job: Job, typed: str | None) -> Saw:
    if typed is None:
        return job.workshop.saw
    try:
        return replace(job.workshop.saw, kerf=job.workshop.figures.length_or_zero(typed))
    except Refused as refused:
        raise ProblemsFound([Problem.at("--kerf", refused)]) from None
    except ValueError as error:
        raise ProblemsFound([Problem(where="--kerf", found=typed, accepted=f"a kerf with which {error}")]) from None


def _wanted(job: Job, parts: Path | str | None, rack: Rack) -> tuple[tuple[Part, ...], list[str]]:
    """The parts that are wanted in all, and what a changed list says otherwise."""
    if parts is None:
        return job.parts, []
    from cutplan.actions.lists import read_job

    changed = read_job(parts, rack=rack.path if rack.path.exists() else None).parts
    had, has = ({part.mark: part for part in each} for each in (job.parts, changed))
    told = [f"{mark} is no longer wanted." for mark in had if mark not in has]
    told += [f"{mark} was added." for mark in has if mark not in had]
    told += [
        f"{mark}: {has[mark].quantity} wanted, not {part.quantity}."
        for mark, part in had.items()
        if mark in has and has[mark].quantity != part.quantity
    ]
    problems = [
        Problem(
            where=str(parts),
            found=f"{mark} with another {what} than the plan has",
            accepted="parts as they were, or under another mark: those that are cut would not fit any more",
            found_is_text=False,
        )
        for mark, part in had.items()
        if mark in has and (what := _what_differs(part, has[mark]))
    ]
    if problems:
        raise ProblemsFound(problems)
    return changed, told


_NOT_THE_PIECE = {
    *("quantity", "spares", "spares_bought", "assemblies", "assembly", "list_name"),
    *("note", "row", "typed_length", "typed_section", "length_meant"),
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


def _facts(job: Job, plan: Plan, wrong: Wrong) -> tuple[dict[int, BarFact], list[str]]:
    """What one thing gone wrong says of every bar: those before it are cut, that one up to it, the others are not."""
    from cutplan.model.cut_facts import BarFact, Spoiled
    from cutplan.units import length_text

    bars = {bar.number: bar for bar in plan.bars}
    there = f"1 to {len(bars)}" if job.earlier is None else ", ".join(map(str, bars))
    problems: list[Problem] = []
    said = [("--bent", number) for number in wrong.bent]
    said += [("--bar", wrong.bar)] if wrong.bar is not None else []
    for where, number in said:
        if number not in bars:
            problems.append(_statement(where, f"bar {number}", f"a bar of the plan, {there}"))
    measured = None
    if wrong.measured:
        try:
            measured = job.workshop.figures.length(wrong.measured)
        except Refused as refused:
            problems.append(Problem.at("--measured", refused))
        if not wrong.spoiled:
            problems.append(_statement("--measured", "no part that was spoiled", "--spoiled with the mark of the part"))
    at = _place(bars.values(), wrong, problems) if not problems else None
    if at is not None and measured is not None and measured > at.length:
        most = length_text(at.length, job.workshop.printing)
        problems.append(_statement("--measured", wrong.measured, f"at most {most}, the length of bar {at.number}"))
    if problems:
        raise ProblemsFound(problems)
    facts: dict[int, BarFact] = {}
    told = []
    numbers = list(bars)
    last = at.number if at is not None else 0
    begun = numbers.index(last) if at is not None else -1
    for place, (number, bar) in enumerate(bars.items()):
        if number in wrong.bent:
            facts[number] = BarFact(cut=0, scrapped=True, note="bent")
        elif place > begun:
            facts[number] = BarFact(cut=0)
        elif at is not None and number == last and wrong.spoiled:
            cut = _spoiled_cut(bar, wrong)
            spoiled = Spoiled(mark=wrong.spoiled, measured=measured)
            facts[number] = BarFact(cut=None if cut == len(bar.cuts) else cut, spoiled=(spoiled,))
    if at is not None:
        told.append(
            f"Bars up to {last} are taken as cut{', the last one up to the spoiled part' * bool(wrong.spoiled)}."
        )
    else:
        told.append("No bar is taken as cut.")
    which = "" if wrong.copy is None else f" copy {wrong.copy}"
    told += [f"{wrong.spoiled}{which} was spoiled{f' and came to {wrong.measured}' * bool(wrong.measured)}."] * bool(
        wrong.spoiled
    )
    told += [f"Bar {number} cannot be used." for number in wrong.bent]
    return facts, told


def _place(bars: object, wrong: Wrong, problems: list[Problem]) -> CutBar | None:
    """The bar at the saw."""
    every: list[CutBar] = list(bars)  # type: ignore[call-overload]
    if not wrong.spoiled:
        return next((bar for bar in every if bar.number == wrong.bar), None)
    holding = [bar for bar in every if any(cut.mark == wrong.spoiled for cut in bar.cuts)]
    if wrong.bar is not None:
        holding = [bar for bar in holding if bar.number == wrong.bar]
    if len(holding) == 1:
        return holding[0]
    if not holding:
        where = f"on bar {wrong.bar}" if wrong.bar is not None else "in the plan"
        problems.append(_statement("--spoiled", f"{wrong.spoiled}, which is not {where}", "the mark of a part there"))
        return None
    numbers = [bar.number for bar in holding]
    found = f"{wrong.spoiled}, which is on bars {', '.join(map(str, numbers))}"
    raise Unsaid(_statement("--spoiled", found, f"also --bar {numbers[0]}, the bar it was on"), "bar", numbers)


def _spoiled_cut(bar: CutBar, wrong: Wrong) -> int:
    """Which cut of its bar the spoiled part was, counted from 1."""
    there = {cut.copy: place for place, cut in enumerate(bar.cuts, 1) if cut.mark == wrong.spoiled}
    if wrong.copy is None and len(there) == 1:
        (place,) = there.values()
        return place
    if wrong.copy in there:
        return there[wrong.copy]
    copies = ", ".join(map(str, there))
    on = f"of {wrong.spoiled} on bar {bar.number}, counted from START: {copies}"
    if wrong.copy is not None:
        raise ProblemsFound([_statement("--copy", f"copy {wrong.copy} of {wrong.spoiled}", f"a copy {on}")])
    found = f"{wrong.spoiled}, of which bar {bar.number} has copies {copies}"
    first = next(iter(there))
    raise Unsaid(
        _statement("--spoiled", found, f"also --copy {first}, as printed beside the part"), "copy", list(there)
    )


def _statement(where: str, found: str, accepted: str) -> Problem:
    return Problem(where=where, found=found, accepted=accepted, found_is_text=False)


def replan_text(done: Replanned, *, width: int = 100) -> str:
    """What was taken as done, and the plan of the rest, in words."""

    lines = list(done.told)
    if done.job is None or done.plan is None:
        return "\n".join([*lines, "Nothing is left to cut."])
    mark = next((fingerprint(file) for file in done.files if file.name == PLAN_FILE), "")
    return "\n".join([*lines, summary(done.job, done.plan, width=width, fingerprint=mark)])


def replan_values(done: Replanned) -> dict[str, Any]:
    """What was taken as done, and the plan of the rest, as values for JSON."""

    plan = None if done.job is None or done.plan is None else document(done.job, done.plan)
    return {"told": list(done.told), "files": [str(file) for file in done.files], "plan": plan}
