"""Jobs held against their quotes, in words, as rows of a table and as values for JSON, which say the same."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.costing.after import FEWEST_JOBS
from cutplan.costing.cost_figures import MINUTE
from cutplan.units import Money, counted, money_text
from cutplan.units.quantities import fixed_text, plain_text
from cutplan.words.cost_words import hours_text, minutes_text
from cutplan.words.learned_words import learned_lines, learned_values, pasted
from cutplan.words.naming import names_text

if TYPE_CHECKING:
    from cutplan.costing.after import After, Suggested
    from cutplan.costing.quote import Quote
    from cutplan.model import Workshop
    from cutplan.rack.job_events import JobStory
    from cutplan.rack.learned import Learned


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """One job of the ledger: its materials so far without tax, its quote where it has one, and what it came to
    once it is then recorded or closed.
    """

    story: JobStory
    materials: Money
    minutes: int | None
    quote: Quote | None
    after: After | None

    @property
    def day(self) -> str:
        """The day of the last thing done to it that is no tick, blank where none was."""
        return max((event.at[:10] for plan in self.story.plans for event in plan.events), default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Year:
    """Jobs held against their quotes, what minutes and measurements say of the figures, and files written."""

    outcomes: tuple[Outcome, ...]
    suggestions: tuple[Suggested, ...]
    measured: Learned
    files: tuple[Path, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class YearRow:
    """One job in a line. Amounts without tax; None where it is not quoted, not recorded yet, or has no minutes.

    Of a quoted job ``minutes`` have in them those of kinds that stand as quoted because none were reported of them.
    """

    job: str
    stage: str
    day: str
    customer: str
    number: str
    price: Money | None
    quoted_cost: Money | None
    materials: Money
    cost: Money | None
    left: Money | None
    quoted_minutes: int | None
    minutes: int | None


HEADINGS = (
    *("Job", "Stage", "Last on", "Customer", "Quote", "Price", "Cost as quoted", "Materials", "Cost", "Left"),
    *("Minutes as quoted", "Minutes"),
)


def year_rows(outcomes: Iterable[Outcome]) -> tuple[YearRow, ...]:
    """One row for each job, in the order in which they began."""
    return tuple(map(_row, outcomes))


def _row(one: Outcome) -> YearRow:
    after, quote = one.after, one.quote
    return YearRow(
        job=f"{one.story.name}#{one.story.number}" if one.story.number > 1 else one.story.name,
        stage=one.story.stage.value,
        day=one.day,
        customer=quote.customer if quote else "",
        number=quote.number if quote else "",
        price=quote.price if quote else None,
        quoted_cost=quote.cost if quote else None,
        materials=one.materials,
        cost=after.cost if after else None,
        left=after.left if after else None,
        quoted_minutes=quote.minutes if quote else None,
        minutes=one.minutes,
    )


def year_text(year: Year, workshop: Workshop) -> str:
    """Jobs one below the other, each with its assemblies where it was quoted, then what minutes and measures say."""
    lines = [f"Amounts in {workshop.currency}, without tax." if year.outcomes else "No job is in the ledger."]
    for one, row in zip(year.outcomes, year_rows(year.outcomes), strict=True):
        lines.append(f"{row.job}, {row.stage}, {row.day}: {_told(one, row)}.")
        lines += _assembly_lines(one)
    return "\n".join([*lines, *_suggestions(year.suggestions), *learned_lines(year.measured, workshop)])


def quoted_lines(one: Outcome, workshop: Workshop) -> list[str]:
    """One job against its quote, with its assemblies; nothing where it was not quoted."""
    if one.quote is None:
        return []
    (row,) = year_rows([one])
    told = _told(one, row)
    return [f"{told[0].upper()}{told[1:]}; in {workshop.currency}, without tax.", *_assembly_lines(one)]


def _assembly_lines(one: Outcome) -> list[str]:
    if one.after is not None:
        return [
            f"  {item.assembly or 'no assembly named'}: cost {money_text(item.quoted)} as quoted, "
            f"{money_text(item.cost)} in the end; {hours_text(item.minutes)}"
            for item in one.after.items
        ]
    return [
        f"  {item.assembly or 'no assembly named'}: cost {money_text(item.cost)} as quoted; {hours_text(item.minutes)}"
        for item in (one.quote.items if one.quote is not None else ())
    ]


def _told(one: Outcome, row: YearRow) -> str:
    quote, after = one.quote, one.after
    if quote is None:
        took = "" if row.minutes is None else f", {hours_text(row.minutes)}"
        return f"not quoted; materials {money_text(row.materials)}{took}"
    offered = f"quote {quote.number} {money_text(quote.price)}, cost {money_text(quote.cost)} as quoted"
    if after is None:
        sofar = f"; materials so far {money_text(row.materials)}" if row.materials else ""
        return f"{offered}, not recorded yet{sofar}"
    hours = "hours as quoted" if row.minutes is None else hours_text(row.minutes)
    untold = f", of which {names_text(list(after.as_quoted))} as quoted" if after.as_quoted else ""
    return (
        f"{offered}, {money_text(after.cost)} in the end (materials {money_text(row.materials)}, {hours}{untold}), "
        f"left {money_text(after.left)}"
    )


def _suggestions(found: Iterable[Suggested]) -> list[str]:
    suggestions = tuple(found)
    if not suggestions:
        return []
    lines = [
        f"  {pasted(each.key, plain_text(Fraction(each.better, MINUTE)))}, now {minutes_text(each.now)}; "
        f"it rests on {counted(each.jobs, 'job')}, which took {_times(each)} the minutes expected"
        for each in suggestions
        if each.better is not None
    ]
    few = {each.work: each for each in suggestions if each.better is None}
    lines += [
        f"  {work}: {counted(each.jobs, 'job')} took {_times(each)} the minutes expected, "
        f"not judged before {FEWEST_JOBS}"
        for work, each in few.items()
    ]
    return ["What the minutes noted for jobs say about the figures in the workshop file:", *lines]


def _times(each: Suggested) -> str:
    """How many times the minutes expected its jobs took: ``1.25 times``, ``0.90 to 1.60 times``."""
    ends = dict.fromkeys(fixed_text(ratio, 2) for ratio in (each.least, each.most))
    return f"{' to '.join(ends)} times"


def year_values(year: Year, workshop: Workshop) -> dict[str, Any]:
    """The same for JSON."""
    return {
        "currency": workshop.currency,
        "jobs": [outcome_values(one) for one in year.outcomes],
        "figures": [
            {
                "key": each.key,
                "now": _minutes(each.now),
                "suggested": _minutes(each.better),
                "jobs": each.jobs,
                "times_expected": [fixed_text(each.least, 2), fixed_text(each.most, 2)],
            }
            for each in year.suggestions
        ],
        "measured": learned_values(year.measured),
        "files": [str(file) for file in year.files],
    }


def outcome_values(one: Outcome) -> dict[str, Any]:
    """One job against its quote, for JSON; null where it was not quoted or is not known yet."""
    (row,) = year_rows([one])
    return {
        "job": row.job,
        "stage": row.stage,
        "day": row.day,
        "customer": row.customer,
        "quote": row.number,
        "price": _money(row.price),
        "quoted_cost": _money(row.quoted_cost),
        "materials": money_text(row.materials),
        "cost": _money(row.cost),
        "left": _money(row.left),
        "quoted_minutes": _minutes(row.quoted_minutes),
        "minutes": _minutes(row.minutes),
        "minutes_as_quoted": list(one.after.as_quoted) if one.after else [],
        "assemblies": _assemblies(one),
    }


def _assemblies(one: Outcome) -> list[dict[str, Any]]:
    """Of a quoted job; what is known of none before it is recorded is null."""
    if one.after is None:
        unknown = dict.fromkeys(("materials", "work", "cost", "minutes"))
        return [
            {
                "assembly": item.assembly,
                "quoted_cost": money_text(item.cost),
                "price": money_text(item.price),
                **unknown,
            }
            for item in (one.quote.items if one.quote else ())
        ]
    return [
        {
            "assembly": item.assembly,
            "quoted_cost": money_text(item.quoted),
            "price": money_text(item.price),
            "materials": money_text(item.materials),
            "work": money_text(item.work),
            "cost": money_text(item.cost),
            "minutes": _minutes(item.minutes),
        }
        for item in one.after.items
    ]


def _money(amount: Money | None) -> str | None:
    return None if amount is None else money_text(amount)


def _minutes(minutes: int | None) -> str | None:
    return None if minutes is None else plain_text(Fraction(minutes, MINUTE))
