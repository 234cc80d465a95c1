"""Ticking parts of a plan as they leave the saw: as cut, as spoiled, or as not cut after all."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.checked import read_plan
from cutplan.actions.gone_wrong import Unsaid, measured_unsaid
from cutplan.actions.rack_plans import plan_note
from cutplan.actions.recording import uses_rack
from cutplan.problems import Problem, ProblemsFound, Refused
from cutplan.rack.stages import Step
from cutplan.words.job_words import Ticked

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.model import Job, Plan
    from cutplan.model.cut_facts import BarFact
    from cutplan.rack.entry import Entry
    from cutplan.rack.ticks import Tick
    from cutplan.units import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """Parts of a plan, as typed.

    Parameters
    ----------
    marks
        None with a bar: all of the bar that are not ticked yet, or are to be ticked no more.
    bar
        The bar they were on, where a part is on several.
    copy
        Which copy of the one mark, where its bar has several. Without it, a spoiled part is not said to be good.
    measured
        What a spoiled part came to, as typed; 0 where it is scrap.
    """

    marks: Sequence[str] = ()
    bar: int | None = None
    copy: int | None = None
    measured: str = ""

    def saying(self, field: str, said: str) -> Parts:
        """The same with the bar, the copy or what a spoiled part came to said."""
        if field == "measured":
            return replace(self, measured=said)
        return replace(self, bar=int(said)) if field == "bar" else replace(self, copy=int(said))


def tick_parts(
    plan_file: Path | str,
    rack: Rack,
    step: Step,
    parts: Parts,
    *,
    given_id: str = "",
    reason: str = "",
) -> Ticked:
    """Tick parts of a plan. What is ticked so already stays as it is, and an id that was given before does nothing.

    Parameters
    ----------
    step
        ``CUT``, ``SPOILED`` or ``UNCUT``.
    given_id
        Of whoever ticks; blank where there is none.

    Raises
    ------
    Unsaid
        When which bar or which copy is not said, and there are several; or what a spoiled part came to.
    ProblemsFound
        When a part is not one of the plan, or its parts cannot be ticked any more.
    """
    from cutplan.rack.ticks import given, ticks_of

    job, plan = read_plan(plan_file)
    length = _measured(job, parts.measured) if parts.measured else None
    if not rack.path.exists():
        _picked(job, plan, (), step, parts, length)  # what is refused begins no ledger

    def meant(writing: Entry, digest: str) -> list[tuple[Step, Sequence[Tick]]]:
        before = given(writing.db, digest, step, given_id) if given_id else ()
        return [(step, before or _picked(job, plan, ticks_of(writing.db, digest), step, parts, length))]

    return _written(rack, job, plan, Path(plan_file).parent, step, meant, given_id=given_id, reason=reason)


def tick_record(plan_file: Path | str, rack: Rack, facts: Mapping[int, BarFact], *, reason: str = "") -> Ticked:
    """Tick what a cut record says is cut so far: the sheet does what single ticks do.

    Raises
    ------
    ProblemsFound
        When the record does not tell which copies were spoiled, or says that a bar is bent, which no tick can say.
    """
    job, plan = read_plan(plan_file)
    steps = _by_record(plan, facts)

    def meant(writing: Entry, digest: str) -> list[tuple[Step, Sequence[Tick]]]:
        from cutplan.rack.ticks import ticks_of

        _refuse_good_again(steps, ticks_of(writing.db, digest))
        return steps

    return _written(rack, job, plan, Path(plan_file).parent, Step.CUT, meant, reason=reason)


def _refuse_good_again(steps: Iterable[tuple[Step, Sequence[Tick]]], ticked: Iterable[Tick]) -> None:
    """A record that knows nothing of a spoiled part does not make it good."""
    good = {(one.part, one.copy) for step, ticks in steps if step is Step.CUT for one in ticks}
    problems = [
        Problem.statement(
            f"bar {one.bar}",
            f"{one.part} copy {one.copy} cut as wanted, which is ticked as spoiled",
            f"it among the spoiled parts, or first cutplan job cut PLAN {one.part} --copy {one.copy}",
            code="job.ticked",
        )
        for one in ticked
        if one.spoiled and (one.part, one.copy) in good
    ]
    if problems:
        raise ProblemsFound(problems)


def _written(
    rack: Rack,
    job: Job,
    plan: Plan,
    folder: Path,
    step: Step,
    meant: Callable[[Entry, str], Sequence[tuple[Step, Sequence[Tick]]]],
    *,
    given_id: str = "",
    reason: str = "",
) -> Ticked:
    """Tick what is meant in one action. What that is may hang on what is ticked, so it is made out inside it."""
    from cutplan.rack.entry import entry
    from cutplan.rack.ticks import Unchanged, tick, ticks_of

    note = plan_note(rack, job, plan, folder)
    begun = None if rack.path.exists() else rack.path
    words = {Step.CUT: "cut", Step.SPOILED: "spoiled", Step.UNCUT: "uncut"}
    changed: list[Tick] = []
    with rack.open(create=not uses_rack(plan)) as ledger:
        doing = rack.doing(words[step], job=job.name, plan=note.plan, reason=reason)
        with suppress(Unchanged), entry(ledger, doing) as writing:
            written = False
            for each, ticks in meant(writing, note.plan):
                with suppress(Unchanged):
                    changed += tick(writing, note, each, ticks, given_id)
                    written = True
            if not written:
                raise Unchanged
        with ledger.reading() as db:
            there = len(ticks_of(db, note.plan))
    return Ticked(job=job, step=step, changed=tuple(changed), there=there, parts=note.parts, begun=begun)


def _by_record(plan: Plan, facts: Mapping[int, BarFact]) -> list[tuple[Step, Sequence[Tick]]]:
    """Parts that are cut by a cut record, and those that are spoiled."""
    from cutplan.model.cut_facts import BarFact
    from cutplan.rack.ticks import Tick

    cut: list[Tick] = []
    spoiled: list[Tick] = []
    problems = []
    for bar in plan.bars:
        fact = facts.get(bar.number, BarFact())
        there = bar.cuts if fact.cut is None else bar.cuts[: fact.cut]
        bad = {one.mark: one for one in fact.spoiled}
        for mark, one in bad.items():
            copies = [each.copy for each in there if each.mark == mark]
            if len(copies) != one.quantity:
                found = f"{one.quantity} of {mark} spoiled, of which copies {_some(copies)} are cut"
                accepted = f"no spoiled parts, and cutplan job spoiled PLAN {mark} --copy {(copies or [1])[0]} for each"
                problems.append(Problem.statement(f"bar {bar.number}", found, accepted, code="job.part"))
        if fact.scrapped:
            accepted = "bars that are whole; cutplan replan --bent plans anew without it"
            problems.append(Problem.statement(f"bar {bar.number}", "a bent bar", accepted, code="job.part"))
        for each in there:
            wrong = bad.get(each.mark)
            one_tick = Tick(
                bar=bar.number, part=each.mark, copy=each.copy, spoiled=wrong is not None,
                measured=None if wrong is None else wrong.measured,
            )  # fmt: skip
            (cut if wrong is None else spoiled).append(one_tick)
    if problems:
        raise ProblemsFound(problems)
    return [(step, ticks) for step, ticks in ((Step.CUT, cut), (Step.SPOILED, spoiled)) if ticks]


def _measured(job: Job, text: str) -> Length:
    try:
        return job.workshop.figures.length_or_zero(text)
    except Refused as refused:
        raise ProblemsFound([Problem.at("--measured", refused)]) from None


def _picked(
    job: Job, plan: Plan, ticked: Iterable[Tick], step: Step, parts: Parts, measured: Length | None
) -> tuple[Tick, ...]:
    """The parts that are meant; refused, or asked for, where that is not said.

    ``measured`` is what a spoiled one came to, 0 where it is scrap; None is unsaid, and what was said of it stays.
    """
    from cutplan.rack.ticks import Tick
    from cutplan.units import length_text

    every = [
        Tick(bar=bar.number, part=cut.mark, copy=cut.copy, spoiled=step is Step.SPOILED, measured=measured or None)
        for bar in plan.bars
        for cut in bar.cuts
    ]
    had = {(one.part, one.copy): one for one in ticked}

    def changes(one: Tick) -> bool:
        before = had.get((one.part, one.copy))
        if step is Step.SPOILED and measured is None:
            return before is None or not before.spoiled
        if step is Step.CUT and parts.copy is None:
            return before is None
        return before != (None if step is Step.UNCUT else one)

    problems = list(_not_meant(plan, step, parts))
    if problems:
        raise ProblemsFound(problems)
    on_bar = [one for one in every if parts.bar in (None, one.bar)]
    if not parts.marks:
        return tuple(filter(changes, on_bar)) or tuple(had.get((one.part, one.copy), one) for one in on_bar)
    found: list[Tick] = []
    for mark in dict.fromkeys(parts.marks):
        alike = [one for one in on_bar if one.part == mark]
        there = [one for one in alike if parts.copy in (None, one.copy)]
        if not there:
            problems.append(_not_there(mark, parts, alike, on_bar))
            continue
        left = [one for one in there if changes(one)] or _so_already(mark, there, had, step, parts)
        if len(left) > 1:
            raise _unsaid(mark, left, step)
        found += left
    if problems:
        raise ProblemsFound(problems)
    if step is Step.SPOILED and measured is None:
        for one in filter(changes, found):
            raise measured_unsaid("MARK", f"{one.part} copy {one.copy} on bar {one.bar}")
        found = [had[one.part, one.copy] for one in found]
    for one in found:
        length = next(bar.length for bar in plan.bars if bar.number == one.bar)
        if measured is not None and measured > length:
            most, typed = (length_text(each, job.workshop.printing) for each in (length, measured))
            accepted = f"at most {most}, the length of bar {one.bar}"
            raise ProblemsFound([Problem.statement("--measured", typed, accepted, code="replan.measured")])
    return tuple(found)


def _not_meant(plan: Plan, step: Step, parts: Parts) -> Iterator[Problem]:
    """What says no part of the plan, whatever is ticked."""
    bars = [bar.number for bar in plan.bars if bar.cuts]
    if parts.bar is not None and parts.bar not in bars:
        yield Problem.statement("--bar", f"bar {parts.bar}", f"a bar of the plan: {_some(bars)}", code="job.part")
    if parts.copy is not None and len(parts.marks) != 1:
        found = f"a copy of {len(parts.marks)} marks"
        yield Problem.statement("--copy", found, "one mark, of which it is a copy", code="job.part")
    if not parts.marks and (parts.bar is None or step is Step.SPOILED):
        accepted = "the mark of a part" if step is Step.SPOILED else "marks of parts, or --bar for all of a bar"
        yield Problem.statement("MARK", "no part named", accepted, code="job.part")


def _so_already(
    mark: str, there: Sequence[Tick], had: Mapping[tuple[str, int], Tick], step: Step, parts: Parts
) -> list[Tick]:
    """One of those that are ticked so already; where all are spoiled, it has to be said which is good after all."""
    so = [had.get((one.part, one.copy), one) for one in there]
    if step is not Step.CUT or parts.copy is not None:
        return so[:1]
    good = [one for one in so if not one.spoiled]
    if good:
        return good[:1]
    copies = [one.copy for one in so]
    found = f"{mark}, ticked as spoiled: {'copy' if len(copies) == 1 else 'copies'} {_some(copies)}"
    accepted = f"also --copy {copies[0]} where that is good after all"
    raise Unsaid(
        Problem.statement("MARK", found, accepted, code="job.part"), "copy", copies, "Which copy is good after all"
    )


def _not_there(mark: str, parts: Parts, alike: Sequence[Tick], on_bar: Sequence[Tick]) -> Problem:
    where = f" on bar {parts.bar}" if parts.bar is not None else ""
    if alike:
        copies = _some(one.copy for one in alike)
        return Problem.statement(
            "--copy", f"copy {parts.copy} of {mark}", f"a copy of {mark}{where}: {copies}", code="job.part"
        )
    marks = _some(dict.fromkeys(one.part for one in on_bar))
    return Problem.statement(
        "MARK",
        f"{mark}, which is not {where.strip() or 'in the plan'}",
        f"the mark of a part there: {marks}",
        code="job.part",
    )


def _unsaid(mark: str, left: Sequence[Tick], step: Step) -> Unsaid:
    """Which of several is meant."""
    state = {Step.CUT: "not ticked as cut", Step.SPOILED: "not ticked as spoiled", Step.UNCUT: "ticked"}[step]
    bars = list(dict.fromkeys(one.bar for one in left))
    if len(bars) > 1:
        found = f"{mark}, of which {len(left)} are {state}, on bars {_some(bars)}"
        return Unsaid(
            Problem.statement("MARK", found, f"also --bar {bars[0]}, the bar it was on", code="job.part"), "bar", bars
        )
    copies = [one.copy for one in left]
    found = f"{mark}, of which copies {_some(copies)} on bar {bars[0]} are {state}"
    return Unsaid(
        Problem.statement("MARK", found, f"also --copy {copies[0]}, as printed on its label", code="job.part"),
        "copy",
        copies,
    )


def _some(values: Iterable[object], most: int = 12) -> str:
    every = list(map(str, values))
    return ", ".join(every[:most]) + (f" and {len(every) - most} more" if len(every) > most else "")
