"""What went wrong at the saw, typed in place of a cut record: what that says of every bar, or what has to be asked."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from cutplan.problems import Problem, ProblemsFound, Refused
from cutplan.units import counted
from cutplan.words.rest_words import bars_taken_as_cut, cannot_be_used, other_saws_not_cut, taken_as_cut, was_spoiled

if TYPE_CHECKING:
    from cutplan.model import CutBar, Job, Plan
    from cutplan.model.cut_facts import BarFact
    from cutplan.rack.ticks import Tick
    from cutplan.units import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong:
    """What went wrong, as typed where no form was filled in.

    Parameters
    ----------
    spoiled
        Mark of the part that was cut wrong.
    measured
        What the spoiled part came to, as typed; 0 where it is scrap.
    bar
        The bar it was on, where the part is on several; the last one that was begun, where nothing was spoiled. Those
        before it are cut, those after it are not.
    copy
        Which copy of the part it was, where its bar has several: what was cut before it is good, the rest is still to
        be cut.
    bent
        Numbers of bars that cannot be used, and lie uncut.
    usable
        What is usable of each of them in turn, as typed; 0 where nothing is.
    """

    spoiled: str = ""
    measured: str = ""
    bar: int | None = None
    copy: int | None = None
    bent: Sequence[int] = ()
    usable: Sequence[str] = ()

    def saying(self, field: str, said: str) -> Wrong:
        """The same with the bar, the copy, what is usable or what the spoiled part came to said."""
        if field == "usable":
            return replace(self, usable=(*self.usable, said))
        if field == "measured":
            return replace(self, measured=said)
        return replace(self, bar=int(said)) if field == "bar" else replace(self, copy=int(said))


class Unsaid(ProblemsFound):
    """Something has to be said: ``field``, one of ``choices``, or anything where there are none.

    ``question`` is how it is asked for; blank asks which of them it was.
    """

    def __init__(
        self, problem: Problem, field: str, choices: Sequence[int] | Sequence[str] = (), question: str = ""
    ) -> None:
        super().__init__([problem])
        self.field, self.choices, self.question = field, tuple(choices), question


def measured_unsaid(where: str, part: str) -> Unsaid:
    """What a spoiled part came to has to be said."""
    found = f"{part}, and not what it came to"
    accepted = "also --measured LENGTH, such as --measured 1187; --measured 0 where it is scrap"
    problem = Problem.statement(where, found, accepted, code="replan.measured")
    return Unsaid(problem, "measured", (), "What length did it come to, 0 where it is scrap")


def facts_of(job: Job, plan: Plan, wrong: Wrong, ticked: Sequence[Tick] = ()) -> tuple[dict[int, BarFact], list[str]]:
    """What one thing gone wrong says of every bar: those before it are cut, that one up to it, the others are not.

    Where parts are ticked, they are what is cut, and on the bar of the spoiled part all up to it.

    Raises
    ------
    ProblemsFound
        When what was typed does not fit the plan.
    Unsaid
        When one thing more has to be said.
    """
    from cutplan.model.cut_facts import BarFact
    from cutplan.rack.ticks import ticked_facts

    bars = {bar.number: bar for bar in plan.bars}
    known = ticked_facts(plan, ticked) if ticked else {}
    at, measured = _looked_up(job, bars, wrong, ticked, known)
    usable = _usable(job, bars, wrong)
    saw_of = {part.mark: part.saw for part in job.parts}
    elsewhere = [] if at is None or ticked else _at_other_saws(bars, at, saw_of)
    begun = list(bars).index(at.number) if at is not None else -1
    facts: dict[int, BarFact] = {}
    for place, (number, bar) in enumerate(bars.items()):
        if number in wrong.bent:
            facts[number] = BarFact(cut=0, left=usable[number], scrapped=True, note="bent")
        elif ticked and place != begun:
            facts[number] = known[number]
        elif place > begun or number in elsewhere:
            facts[number] = BarFact(cut=0)
        elif place == begun and wrong.spoiled:
            facts[number] = _cut_up_to_the_spoiled(bar, wrong, measured, ticked)
    return facts, [
        *_said_of_bars(at, wrong, ticked, elsewhere, saw_of),
        *([was_spoiled(wrong.spoiled, wrong.copy, measured, wrong.measured)] if wrong.spoiled else ()),
        *(cannot_be_used(number, usable[number], job.workshop.printing) for number in wrong.bent),
    ]


def _looked_up(
    job: Job, bars: Mapping[int, CutBar], wrong: Wrong, ticked: Sequence[Tick], known: Mapping[int, BarFact]
) -> tuple[CutBar | None, Length | None]:
    """The bar at the saw, and what the spoiled part came to [nm]; each None where it is not said.

    ``known`` is what ticks say of bars.
    """
    from cutplan.units import length_text

    problems = list(_against_ticks(wrong, ticked, known))
    there = f"1 to {len(bars)}" if job.earlier is None else ", ".join(map(str, bars))
    said = [("--bent", number) for number in wrong.bent]
    said += [("--bar", wrong.bar)] if wrong.bar is not None else []
    problems += [
        Problem.statement(where, f"bar {number}", f"a bar of the plan, {there}", code="replan.bar")
        for where, number in said
        if number not in bars
    ]
    measured = None
    if wrong.measured:
        try:
            measured = job.workshop.figures.length_or_zero(wrong.measured)
        except Refused as refused:
            problems.append(Problem.at("--measured", refused))
        if not wrong.spoiled:
            accepted = "--spoiled with the mark of the part"
            problems.append(
                Problem.statement("--measured", "no part that was spoiled", accepted, code="replan.measured")
            )
    at = _place(bars.values(), wrong, problems) if not problems else None
    if at is not None and measured is not None and measured > at.length:
        most = length_text(at.length, job.workshop.printing)
        accepted = f"at most {most}, the length of bar {at.number}"
        problems.append(Problem.statement("--measured", wrong.measured, accepted, code="replan.measured"))
    if problems:
        raise ProblemsFound(problems)
    return at, measured


def _against_ticks(wrong: Wrong, ticked: Sequence[Tick], known: Mapping[int, BarFact]) -> Iterable[Problem]:
    """What cannot be where parts are ticked as cut."""
    if ticked and wrong.bar is not None and not wrong.spoiled:
        found = f"bar {wrong.bar}, with {counted(len(ticked), 'part')} ticked as cut"
        accepted = "no --bar, for what is ticked is what is cut; or a cut record with --actual"
        yield Problem.statement("--bar", found, accepted, code="replan.bar")
    for number in wrong.bent:
        if number in known and known[number].cut != 0:
            found, accepted = f"bar {number}, with parts ticked as cut", "a bar that is not cut; or a cut record"
            yield Problem.statement("--bent", found, accepted, code="replan.bent")


def _cut_up_to_the_spoiled(bar: CutBar, wrong: Wrong, measured: Length | None, ticked: Sequence[Tick]) -> BarFact:
    """What is known of the bar of the spoiled part, which came to ``measured`` [nm]."""
    from cutplan.model.cut_facts import BarFact, Spoiled

    cut = _spoiled_cut(bar, wrong)
    others = [one for one in ticked if one.bar == bar.number]
    mark, copy = bar.cuts[cut - 1].mark, bar.cuts[cut - 1].copy
    bad = [Spoiled(mark=one.part, measured=one.measured) for one in others if one.spoiled]
    if not any(one.spoiled and (one.part, one.copy) == (mark, copy) for one in others):
        if measured is None:
            raise measured_unsaid("--spoiled", f"{mark} copy {copy}")
        bad.append(Spoiled(mark=mark, measured=measured or None))
    cut = max(cut, len(others))
    return BarFact(cut=None if cut == len(bar.cuts) else cut, spoiled=tuple(bad))


def _said_of_bars(
    at: CutBar | None, wrong: Wrong, ticked: Sequence[Tick], elsewhere: Sequence[int], saw_of: Mapping[str, str]
) -> Iterable[str]:
    if ticked:
        yield taken_as_cut(len(ticked), up_to_the_spoiled=at is not None)
        return
    saw = saw_of[at.cuts[0].mark] if at is not None and at.cuts else ""
    yield bars_taken_as_cut(at.number if at is not None else 0, spoiled=bool(wrong.spoiled), saw=saw)
    if elsewhere:
        yield other_saws_not_cut(elsewhere)


def _at_other_saws(bars: Mapping[int, CutBar], at: CutBar, saw_of: Mapping[str, str]) -> list[int]:
    """Bars before one that are cut on other saws: nobody knows how far these are."""
    mine = {saw_of[cut.mark] for cut in at.cuts}
    before = itertools.takewhile(lambda number: number != at.number, bars)
    return [number for number in before if not mine.issuperset(saw_of[cut.mark] for cut in bars[number].cuts)]


def _usable(job: Job, bars: Mapping[int, CutBar], wrong: Wrong) -> dict[int, Length]:
    """What is usable of each bent bar. [nm]"""
    from cutplan.units import length_text

    usable: dict[int, Length] = {}
    problems = []
    if len(wrong.usable) > len(wrong.bent):
        found = f"{len(wrong.usable)} lengths for {len(wrong.bent)} bent bars"
        problems.append(
            Problem.statement("--usable", found, "one for each --bent, in the same order", code="replan.usable")
        )
    for number, text in zip(wrong.bent, wrong.usable, strict=False):
        try:
            usable[number] = job.workshop.figures.length_or_zero(text)
        except Refused as refused:
            problems.append(Problem.at("--usable", refused))
            continue
        if usable[number] > bars[number].length:
            most = length_text(bars[number].length, job.workshop.printing)
            problems.append(
                Problem.statement("--usable", text, f"at most {most}, the length of bar {number}", code="replan.usable")
            )
    if problems:
        raise ProblemsFound(problems)
    for number in wrong.bent[len(wrong.usable) :]:
        found = f"bar {number}, and not what is usable of it"
        accepted = "also --usable LENGTH, such as --usable 3800; --usable 0 where nothing is"
        raise Unsaid(
            Problem.statement("--bent", found, accepted, code="replan.usable"),
            "usable",
            (),
            "What length of it is usable, 0 for nothing",
        )
    return usable


def _place(bars: Iterable[CutBar], wrong: Wrong, problems: list[Problem]) -> CutBar | None:
    """The bar at the saw."""
    every = list(bars)
    if not wrong.spoiled:
        return next((bar for bar in every if bar.number == wrong.bar), None)
    holding = [bar for bar in every if any(cut.mark == wrong.spoiled for cut in bar.cuts)]
    if wrong.bar is not None:
        holding = [bar for bar in holding if bar.number == wrong.bar]
    elif wrong.copy is not None:  # copies are counted over the whole plan
        there = [bar for bar in holding if any((c.mark, c.copy) == (wrong.spoiled, wrong.copy) for c in bar.cuts)]
        holding = there or holding
    if len(holding) == 1:
        return holding[0]
    if not holding:
        where = f"on bar {wrong.bar}" if wrong.bar is not None else "in the plan"
        problems.append(
            Problem.statement(
                "--spoiled", f"{wrong.spoiled}, which is not {where}", "the mark of a part there", code="replan.part"
            )
        )
        return None
    numbers = [bar.number for bar in holding]
    found = f"{wrong.spoiled}, which is on bars {', '.join(map(str, numbers))}"
    raise Unsaid(
        Problem.statement("--spoiled", found, f"also --bar {numbers[0]}, the bar it was on", code="replan.bar"),
        "bar",
        numbers,
    )


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
        raise ProblemsFound(
            [Problem.statement("--copy", f"copy {wrong.copy} of {wrong.spoiled}", f"a copy {on}", code="replan.copy")]
        )
    found = f"{wrong.spoiled}, of which bar {bar.number} has copies {copies}"
    first = next(iter(there))
    raise Unsaid(
        Problem.statement("--spoiled", found, f"also --copy {first}, as printed on its label", code="replan.copy"),
        "copy",
        list(there),
    )
