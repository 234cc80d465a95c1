"""Jobs of the ledger: what there is to say of them, in words and as values for JSON, which say the same."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.rack.stages import Stage, Step
from cutplan.units import counted, length_text, mm_text, money_text
from cutplan.words.naming import material_name

if TYPE_CHECKING:
    from cutplan.model import Job, Workshop
    from cutplan.rack.job_events import Event, JobStory, PlanStory
    from cutplan.rack.job_money import JobMoney, Uncut
    from cutplan.rack.ticks import Tick
    from cutplan.units import Money, Printing
    from cutplan.words.outcome_words import Outcome

MOST_BARS = 20
"""Bars whose parts to come are listed on screen; JSON has all."""

_CHANGED = {Step.CUT: "Ticked as cut", Step.SPOILED: "Ticked as spoiled", Step.UNCUT: "No longer ticked"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordered:
    """What came of noting an order. ``merchants`` are those noted; of the others it was noted before.

    ``prices`` is how many agreed prices were added to those of the past.
    """

    job: Job
    merchants: tuple[str, ...]
    before: tuple[str, ...]
    prices: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticked:
    """What came of ticking.

    ``changed`` are parts that are ticked otherwise than before; ``there`` how many of ``parts`` are ticked now.
    ``begun`` is the ledger, where it was made by this.
    """

    job: Job
    step: Step
    changed: tuple[Tick, ...]
    there: int
    parts: int
    begun: Path | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Drilled:
    """What came of ticking parts as drilled, or with ``done`` false of taking that back.

    ``changed`` are marks with their copies; ``there`` is how many of ``parts`` with holes are ticked now.
    """

    job: Job
    done: bool
    changed: tuple[tuple[str, int], ...]
    there: int
    parts: int


@dataclass(frozen=True, slots=True, kw_only=True)
class JobShown:
    """All there is to say of a job.

    Parameters
    ----------
    made, spoiled
        Over all its plans, by mark; what is ticked is among them.
    to_come
        By bar of the newest plan, parts that are neither ticked nor recorded, each with its copy.
    missing
        Parts that a recorded plan left uncut and no further plan cuts.
    plan_file
        Of the newest plan; None where it does not lie where it was written, and what is to come is not known then.
    drilled
        Of the newest plan, by mark, how many are ticked as drilled.
    outcome
        Held against its quote, where it is in the ledger.
    """

    story: JobStory
    money: JobMoney
    made: tuple[tuple[str, int], ...]
    spoiled: tuple[tuple[str, int], ...]
    to_come: tuple[tuple[int, tuple[tuple[str, int], ...]], ...] = ()
    missing: tuple[tuple[str, int], ...] = ()
    plan_file: Path | None = None
    drilled: tuple[tuple[str, int], ...] = ()
    outcome: Outcome | None = None


def ordered_text(done: Ordered) -> str:
    """What came of noting an order."""
    named = ", ".join(name for name in done.merchants if name)
    if not done.merchants:
        return f"{done.job.name}: ordered already. Nothing was changed."
    prices = f" {counted(done.prices, 'price')} kept for next time." if done.prices else ""
    return f"{done.job.name}: ordered{f' from {named}' if named else ''}.{prices}"


def ordered_values(done: Ordered) -> dict[str, Any]:
    """The same for JSON."""
    return {
        "job": done.job.name,
        "ordered": list(done.merchants),
        "ordered_before": list(done.before),
        "prices_kept": done.prices,
    }


def ticked_text(done: Ticked) -> str:
    """What came of ticking."""
    lines = [f"Begun: {done.begun}; plans draw from it from now on."] if done.begun is not None else []
    if not done.changed:
        lines.append("Nothing was changed: it is ticked already.")
    else:
        lines.append(f"{_CHANGED[done.step]}: {', '.join(map(_part, done.changed))}.")
    lines.append(f"{done.job.name}: {done.there} of {counted(done.parts, 'part')} ticked.")
    if done.there == done.parts:
        lines.append("All are: cutplan record writes the plan down.")
    return "\n".join(lines)


def _part(one: Tick) -> str:
    return f"{one.part} copy {one.copy} on bar {one.bar}"


def ticked_values(done: Ticked) -> dict[str, Any]:
    """The same for JSON."""
    return {
        "job": done.job.name,
        "step": done.step.value,
        "changed": [{"part": one.part, "copy": one.copy, "bar": one.bar} for one in done.changed],
        "ticked": done.there,
        "parts": done.parts,
    }


def drilled_text(done: Drilled) -> str:
    """What came of ticking parts as drilled."""
    what = "Ticked as drilled" if done.done else "No longer ticked as drilled"
    named = ", ".join(f"{mark} copy {copy}" for mark, copy in done.changed)
    line = f"{what}: {named}." if named else "Nothing was changed: it is so already."
    return f"{line}\n{done.job.name}: {done.there} of {counted(done.parts, 'part')} with holes drilled."


def drilled_values(done: Drilled) -> dict[str, Any]:
    """The same for JSON."""
    return {
        "job": done.job.name,
        "step": "drilled" if done.done else "undrilled",
        "changed": [{"part": mark, "copy": copy} for mark, copy in done.changed],
        "drilled": done.there,
        "parts": done.parts,
    }


def job_list_text(jobs: Sequence[tuple[JobStory, JobMoney]], workshop: Workshop) -> str:
    """Jobs, one in a line."""
    if not jobs:
        return (
            "There is no job in the ledger yet: a job begins with plan --hold, job ordered, receive, job cut or record."
        )
    rows = [
        (
            _name(story, [other for other, _ in jobs]),
            story.stage.value,
            _since(story),
            f"{len(story.plans)} {'plan' if len(story.plans) == 1 else 'plans'}",
            f"so far {_amount(money.so_far, workshop)}",
        )
        for story, money in jobs
    ]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    lines = ("  ".join(text.ljust(width) for text, width in zip(row, widths, strict=True)).rstrip() for row in rows)
    return "\n".join(lines)


def job_list_values(jobs: Sequence[tuple[JobStory, JobMoney]], ledger: Path, workshop: Workshop) -> dict[str, Any]:
    """The same for JSON."""
    return {
        "ledger": str(ledger),
        "jobs": [
            {
                "job": story.name,
                "number": story.number,
                "stage": story.stage.value,
                "since": _since(story),
                "plans": len(story.plans),
                "so_far": money_text(money.so_far),
            }
            for story, money in jobs
        ],
    }


def _name(story: JobStory, every: Sequence[JobStory]) -> str:
    several = sum(1 for other in every if other.name == story.name) > 1
    return f"{story.name}#{story.number}" if several else story.name


def _since(story: JobStory) -> str:
    """The day of the last thing done to it that is no tick."""
    return max((event.at[:10] for plan in story.plans for event in plan.events), default="")


def job_text(shown: JobShown, workshop: Workshop) -> str:
    """How far a job has come and what it has cost, in words."""
    story, how = shown.story, workshop.printing
    lines = [f"{story.name}: {story.stage.value}."]
    for plan in story.plans:
        where = plan.note.folder or "in a folder that is not noted"
        lines.append(f"Plan {where}: {', '.join(_told(plan))}.")
    lines += _parts_lines(shown)
    lines += _money_lines(shown.money, workshop, how)
    if shown.outcome is not None:
        from cutplan.words.outcome_words import quoted_lines  # with the words of costs, which few commands need

        lines += quoted_lines(shown.outcome, workshop)
    return "\n".join(lines)


def _told(plan: PlanStory) -> list[str]:
    """What was done to a plan and when, and what is ticked of it."""
    told = []
    for event in plan.events:
        if event.step is not Step.PLANNED:
            told.append(f"{event.step.value} {_of(event)}")
    if plan.stage is Stage.BEING_CUT:
        told.append(f"{plan.ticked} of {plan.note.parts} parts ticked")
    return told or ["planned"]


def _of(event: Event) -> str:
    """When a step was done, and of an order what was given."""
    given = [event.merchant and f"from {event.merchant}", event.number and f"number {event.number}"]
    day = event.day or event.at[:10]
    return " ".join(filter(None, (day, *given)))


def _parts_lines(shown: JobShown) -> list[str]:
    lines = []
    if shown.made:
        lines.append(f"Cut: {_counted(shown.made)}.")
    if shown.spoiled:
        lines.append(f"Spoiled: {_counted(shown.spoiled)}.")
    if shown.drilled:
        lines.append(f"Drilled: {_counted(shown.drilled)}.")
    if shown.missing:
        lines.append(f"Still to cut: {_counted(shown.missing)}. cutplan replan plans them from what is there.")
    if shown.plan_file is None:
        lines.append(
            "What is to come is not known: the plan file is not where it was written. Name it in place of the job."
        )
    if shown.to_come:
        lines.append("To come:")
        for bar, parts in shown.to_come[:MOST_BARS]:
            lines.append(f"  bar {bar}: {', '.join(f'{mark} copy {copy}' for mark, copy in parts)}")
        if len(shown.to_come) > MOST_BARS:
            lines.append(f"  and {counted(len(shown.to_come) - MOST_BARS, 'more bar')}")
    return lines


def _counted(pairs: Sequence[tuple[str, int]]) -> str:
    return ", ".join(f"{count} x {mark}" for mark, count in pairs)


def _money_lines(money: JobMoney, workshop: Workshop, how: Printing) -> list[str]:
    rows = [("paid", money.paid), ("bought again", money.bought_again)]
    rows += [("from the rack", money.from_rack)] if money.from_rack else []
    rows += [("returned to the rack", -money.returned_value)] if money.returned else []
    rows += [("offcuts kept", -money.kept)] if money.kept else []
    rows += [("cost so far", money.so_far)]
    rows += [("still to pay", money.to_pay)] if money.to_pay else []
    width = max(len(_amount(amount, workshop)) for _, amount in rows)
    lines = [f"{what + ':':<22}{_amount(amount, workshop):>{width}}" for what, amount in rows]
    lines += [f"Returned: {_lengths(one, how)}." for one in money.returned]
    lines += [f"In hand: {_lengths(one, how)}." for one in money.in_hand]
    if money.unknown:
        lines.append(
            f"Not in these amounts: {money.unknown} {'section' if money.unknown == 1 else 'sections'} with no price."
        )
    return lines


def _lengths(one: Uncut, how: Printing) -> str:
    cost = "" if one.each is not None else ", at a price that is not known"
    what = material_name(one.material, how)
    return f"{one.quantity} x {what}, {length_text(one.length, how)}, not cut, {one.mark}{cost}"


def _amount(amount: Money, workshop: Workshop) -> str:
    return f"{money_text(amount)} {workshop.currency}".strip()


def job_values(shown: JobShown, workshop: Workshop) -> dict[str, Any]:
    """How far a job has come and what it has cost, as values for JSON."""
    from cutplan.words.outcome_words import outcome_values

    story = shown.story
    return {
        "job": story.name,
        "number": story.number,
        "stage": story.stage.value,
        "plans": [_plan_values(plan) for plan in story.plans],
        "plan_file": None if shown.plan_file is None else str(shown.plan_file),
        "cut": dict(shown.made),
        "spoiled": dict(shown.spoiled),
        "drilled": dict(shown.drilled),
        "still_to_cut": dict(shown.missing),
        "to_come": [
            {"bar": bar, "parts": [{"part": mark, "copy": copy} for mark, copy in parts]}
            for bar, parts in shown.to_come
        ],
        "money": _money_values(shown.money, workshop),
        "quoted": outcome_values(shown.outcome) if shown.outcome is not None and shown.outcome.quote else None,
    }


def _plan_values(plan: PlanStory) -> dict[str, Any]:
    return {
        "plan": plan.note.plan,
        "folder": plan.note.folder,
        "stage": plan.stage.value,
        "parts": plan.note.parts,
        "ticked": plan.ticked,
        "to_pay": None if plan.note.to_pay is None else money_text(plan.note.to_pay),
        "events": [
            {
                "step": event.step.value,
                "at": event.at,
                "who": event.who,
                "merchant": event.merchant,
                "number": event.number,
                "date": event.day,
            }
            for event in plan.events
        ],
    }


def _money_values(money: JobMoney, workshop: Workshop) -> dict[str, Any]:
    return {
        "currency": workshop.currency,
        "paid": money_text(money.paid),
        "bought_again": money_text(money.bought_again),
        "from_the_rack": money_text(money.from_rack),
        "returned": money_text(money.returned_value),
        "offcuts_kept": money_text(money.kept),
        "so_far": money_text(money.so_far),
        "still_to_pay": money_text(money.to_pay),
        "without_price": money.unknown,
        "returned_lengths": [_uncut_values(one) for one in money.returned],
        "in_hand": [_uncut_values(one) for one in money.in_hand],
    }


def _uncut_values(one: Uncut) -> dict[str, Any]:
    return {
        "mark": one.mark,
        "section": one.material.designation,
        "length_mm": mm_text(one.length),
        "quantity": one.quantity,
        "each": None if one.each is None else money_text(one.each),
    }
