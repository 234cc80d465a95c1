"""What went wrong at the saw, typed in place of a cut record: what that says of every bar, or what has to be asked."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from cutplan.problems import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from cutplan.model import CutBar, Job, Plan
    from cutplan.model.cut_facts import BarFact


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


def facts_of(job: Job, plan: Plan, wrong: Wrong) -> tuple[dict[int, BarFact], list[str]]:
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
            problems.append(_statement(where, f"bar {number}", f"a bar of the plan, {there}", code="replan.bar"))
    measured = None
    if wrong.measured:
        try:
            measured = job.workshop.figures.length(wrong.measured)
        except Refused as refused:
            problems.append(Problem.at("--measured", refused))
        if not wrong.spoiled:
            problems.append(
                _statement(
                    "--measured",
                    "no part that was spoiled",
                    "--spoiled with the mark of the part",
                    code="replan.measured",
                )
            )
    at = _place(bars.values(), wrong, problems) if not problems else None
    if at is not None and measured is not None and measured > at.length:
        most = length_text(at.length, job.workshop.printing)
        problems.append(
            _statement(
                "--measured", wrong.measured, f"at most {most}, the length of bar {at.number}", code="replan.measured"
            )
        )
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


def _place(bars: Iterable[CutBar], wrong: Wrong, problems: list[Problem]) -> CutBar | None:
    """The bar at the saw."""
    every = list(bars)
    if not wrong.spoiled:
        return next((bar for bar in every if bar.number == wrong.bar), None)
    holding = [bar for bar in every if any(cut.mark == wrong.spoiled for cut in bar.cuts)]
    if wrong.bar is not None:
        holding = [bar for bar in holding if bar.number == wrong.bar]
    if len(holding) == 1:
        return holding[0]
    if not holding:
        where = f"on bar {wrong.bar}" if wrong.bar is not None else "in the plan"
        problems.append(
            _statement(
                "--spoiled", f"{wrong.spoiled}, which is not {where}", "the mark of a part there", code="replan.part"
            )
        )
        return None
    numbers = [bar.number for bar in holding]
    found = f"{wrong.spoiled}, which is on bars {', '.join(map(str, numbers))}"
    raise Unsaid(
        _statement("--spoiled", found, f"also --bar {numbers[0]}, the bar it was on", code="replan.bar"), "bar", numbers
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
            [_statement("--copy", f"copy {wrong.copy} of {wrong.spoiled}", f"a copy {on}", code="replan.copy")]
        )
    found = f"{wrong.spoiled}, of which bar {bar.number} has copies {copies}"
    first = next(iter(there))
    raise Unsaid(
        _statement("--spoiled", found, f"also --copy {first}, as printed beside the part", code="replan.copy"),
        "copy",
        list(there),
    )


def _statement(where: str, found: str, accepted: str, *, code: str) -> Problem:
    return Problem(where=where, found=found, accepted=accepted, found_is_text=False, code=code)
