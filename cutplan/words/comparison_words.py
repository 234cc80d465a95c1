"""What another saw, rack, merchant or stock length would cost or save: one table, in words and as values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import wrap
from typing import Any

from cutplan.model import Job, Plan, Status, dealt_out
from cutplan.model.totals import totals_of
from cutplan.problems import SHOWN_AT_ONCE, Problem
from cutplan.units import CENT, Mass, Money, exact_money_text, kg_text, mass_figure, money_text, rounded_to_cents
from cutplan.words.refusals import problem_values
from cutplan.words.whole_lengths import GroupLengths, lengths_of, lengths_text, lengths_values

OTHERWISE = "merchant.otherwise"
"""The code of a warning that changes what rows come to: charges on a form other than in the workshop file."""
PROVEN = "every plan is proven the cheapest"


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """One row: a change, and what its plan comes to beside the plan of the job as it is.

    ``least`` and ``most`` enclose the difference in money: they are equal when both
    plans are proven. ``money`` is what is compared: lengths, deliveries, minimum orders made up and book value of
    offcuts used, less value of offcuts kept; tax apart. It is whole cents, each order line rounded as it is billed, and
    so is the difference of two that are proven. All figures but the words are None where no plan is possible,
    and ``why_not`` says why. ``as_dealt`` is true where
    that is proven only for bars dealt to the saws as they are. ``groups`` has the whole lengths of each section.
    ``warnings`` are of a list that came with the change.
    """

    words: str
    money: Money | None = None
    least: Money | None = None
    most: Money | None = None
    bought_mass: Mass | None = None
    scrap_mass: Mass | None = None
    offcuts_kept: int | None = None
    status: Status | None = None
    as_dealt: bool = False
    stopped_by: str = ""
    why_not: str = ""
    groups: tuple[GroupLengths, ...] = ()
    warnings: tuple[Problem, ...] = ()


def compared(words: str, plans: Sequence[tuple[Job, Plan]], base: tuple[Job, Plan]) -> Compared:
    """The row of one plan, or of several added up, beside ``base``; what is not proven widens the difference."""
    totals = [totals_of(job, plan) for job, plan in plans]
    cost = rounded_to_cents(sum(each.money.weighed for each in totals))
    before = rounded_to_cents(totals_of(*base).money.weighed)
    saving = sum(plan.possible_saving for _, plan in plans)
    return Compared(
        words=words,
        money=cost,
        least=cost - saving - before,
        most=cost - before + base[1].possible_saving,
        bought_mass=sum(each.bought_mass for each in totals),
        scrap_mass=sum(each.scrap_mass for each in totals),
        offcuts_kept=sum(each.offcuts_kept for each in totals),
        status=max((plan.status for _, plan in plans), key=list(Status).index),
        as_dealt=any(dealt_out(job) for job, _ in plans),
        stopped_by=next((plan.stopped_by for _, plan in plans if plan.stopped_by), ""),
        # Several plans have the same groups more than once; each has its own sheets for that.
        groups=lengths_of(*plans[0]) if len(plans) == 1 else (),
    )


def not_possible(words: str, why_not: str) -> Compared:
    """The row of a change that leaves no plan."""
    return Compared(words=words, why_not=why_not)


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedCells:
    """A row of the table as its cells; those of a change that leaves no plan are blank but for ``change``."""

    change: str
    amount: str = ""
    difference: str = ""
    bought: str = ""
    scrap: str = ""
    kept: str = ""
    notes: tuple[str, ...] = ()


def heads_of(job: Job) -> ComparedCells:
    """What stands above the cells."""
    unit = job.workshop.printing.mass_unit
    money = f"amount, {job.workshop.currency}"
    return ComparedCells(
        change="", amount=money, difference="difference", bought=f"to buy {unit}", scrap=f"scrap {unit}", kept="kept"
    )


def cells_of(job: Job, row: Compared) -> ComparedCells:
    """A row as its cells; what is not proven, or stopped, in ``notes``."""
    how = job.workshop.printing
    if row.money is None or row.bought_mass is None or row.scrap_mass is None:
        return ComparedCells(change=row.words, amount="no plan", notes=(row.why_not, *_warned(row)))
    return ComparedCells(
        change=row.words,
        amount=money_text(row.money),
        difference=_difference(row),
        bought=mass_figure(row.bought_mass, how),
        scrap=mass_figure(row.scrap_mass, how),
        kept=f"{row.offcuts_kept}",
        notes=(*(note.strip() for note in _how_known(row)), *_warned(row)),
    )


def comparison_text(job: Job, rows: Sequence[Compared], width: int, *, by_section: bool = False) -> str:
    """The table as plain text at most ``width`` characters wide; the first row is the job as it is.

    With ``by_section`` the whole lengths of each section stand below each row.
    """
    how = job.workshop.printing
    names = max(24, min(34, width - 56))
    counted = f"deliveries, {'trips, ' * bool(job.workshop.trip_cost)}cuts, own work and offcuts used, without tax"
    lines = [
        f"{job.name}: what each change would cost or save",
        f"  amounts in {job.workshop.currency}, with {counted}",
    ]
    if all(row.status not in (None, Status.NOT_PROVEN) for row in rows if row.money is not None):
        lines.append(f"  {PROVEN}{' as bars are dealt to the saws' * any(row.as_dealt for row in rows)}")
    for warning in job.warnings:
        if warning.code == OTHERWISE:
            lines += wrap(f"{warning.where}: {warning.found}", width, initial_indent="  ", subsequent_indent="    ")
    bought, scrap = f"to buy {how.mass_unit}", f"scrap {how.mass_unit}"
    lines.append(f"{'':<{names}}{'amount':>12}{'difference':>14}{bought:>11}{scrap:>10}{'kept':>6}")
    for row in rows:
        words = wrap(row.words, names - 1, subsequent_indent="  ") or [""]
        lines += words[:-1]
        figures = [words[-1].ljust(names)]
        if row.money is not None and row.bought_mass is not None and row.scrap_mass is not None:
            figures.append(f"{money_text(row.money):>12}{_difference(row):>14}")
            masses = f"{mass_figure(row.bought_mass, how):>11}{mass_figure(row.scrap_mass, how):>10}"
            figures.append(f"{masses}{row.offcuts_kept:>6}")
            lines.append("".join(figures))
            lines += _how_known(row)
            for group in row.groups if by_section else ():
                lines += wrap(lengths_text(group, how), width, initial_indent="  ", subsequent_indent="    ")
        else:
            lines.append("".join(figures) + "no plan")
            lines += wrap(row.why_not, width, initial_indent="  ", subsequent_indent="  ")
        for warned in _warned(row):
            lines += wrap(warned, width, initial_indent="  ", subsequent_indent="    ")
    return "\n".join(lines)


def _difference(row: Compared) -> str:
    if row.least != row.most or row.least is None:
        return "see below"
    return "0.00" if row.least == 0 else _signed(row.least)


def _signed(amount: Money) -> str:
    """``+10.00``"""
    return f"{'-' if amount < 0 else '+'}{money_text(abs(amount))}"


def _how_known(row: Compared) -> list[str]:
    told = [f"  stopped by: {row.stopped_by}"] if row.stopped_by else []
    if row.as_dealt:
        told.append("  as bars are dealt to the saws; other ways to deal them were not tried")
    if row.least is not None and row.most is not None and row.least != row.most:
        least, most = _signed(row.least // CENT * CENT), _signed(-(-row.most // CENT) * CENT)
        told.append(f"  difference between {least} and {most}: not both plans are proven")
    return told


def _warned(row: Compared) -> list[str]:
    return [f"to look at, {warning.where}: {warning.found}" for warning in row.warnings[:SHOWN_AT_ONCE]]


def comparison_document(job: Job, rows: Sequence[Compared]) -> dict[str, Any]:
    """The table as values: money as exact decimals in the currency, masses in kg."""
    return {
        "job": job.name,
        "currency": job.workshop.currency,
        "rows": [
            {
                "change": row.words,
                "money": _money(row.money),
                "difference_least": _money(row.least),
                "difference_most": _money(row.most),
                "bought_kg": None if row.bought_mass is None else kg_text(row.bought_mass, 3),
                "scrap_kg": None if row.scrap_mass is None else kg_text(row.scrap_mass, 3),
                "offcuts_kept": row.offcuts_kept,
                "status": row.status.value if row.status else None,
                "as_dealt": row.as_dealt,
                "stopped_by": row.stopped_by,
                "why_not": row.why_not,
                "groups": [lengths_values(group) for group in row.groups],
                "warnings": [problem_values(warning) for warning in row.warnings],
            }
            for row in rows
        ],
    }


def _money(amount: Money | None) -> str | None:
    return None if amount is None else exact_money_text(amount)
