"""Noting that what a plan buys was ordered, of one merchant or of all."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from cutplan.actions.checked import read_plan
from cutplan.actions.gone_wrong import Unsaid
from cutplan.actions.kept_prices import add_prices, past_prices_file
from cutplan.actions.rack_found import Rack
from cutplan.actions.rack_plans import plan_note
from cutplan.actions.recording import uses_rack
from cutplan.actions.typed_values import printable
from cutplan.problems import Problem, ProblemsFound
from cutplan.words.job_words import Ordered

if TYPE_CHECKING:
    from cutplan.model import Job, Plan
    from cutplan.rack.store import Ledger


def job_ordered(
    plan_file: Path | str, rack: Rack, *, merchant: str = "", number: str = "", day: str = "", reason: str = ""
) -> Ordered:
    """Note that what a plan buys was ordered, of one merchant or of all, and keep its prices with those of the past.

    Parameters
    ----------
    number
        The order's own number, as the workshop or the merchant counts; kept as it is given.
    day
        The day it was ordered, if it is given. [``2031-06-01``]

    Raises
    ------
    Unsaid
        When there is one number and more than one merchant to order from.
    ProblemsFound
        When the plan buys nothing, or not from this merchant, the order was noted otherwise before, or the past prices
        cannot be read or written.
    """
    from datetime import date

    from cutplan.rack.entry import action
    from cutplan.rack.job_events import note_step
    from cutplan.rack.stages import Step
    from cutplan.reading.forms.past_prices import quoted_on, read_past_prices

    job, plan = read_plan(plan_file)
    note = plan_note(rack, job, plan, Path(plan_file).parent)
    shares = _to_pay_by_merchant(job, plan)
    path = past_prices_file(rack.path)
    kept = read_past_prices(path)
    chosen = chosen_merchants(job, list(shares), merchant, number)
    when, own = day_typed(day), printable("--number", number)
    with rack.open(create=not uses_rack(plan)) as ledger:
        doing = rack.doing("ordered", job=job.name, plan=note.plan, reason=reason)
        with ledger.changing() as db:
            before = _ordered_before(ledger, note.plan, chosen, own, when)
            new = [name for name in chosen if name not in before]
            if new:
                with action(db, doing) as writing:
                    for name in new:
                        note_step(writing, note, Step.ORDERED, merchant=name, number=own, day=when, amount=shares[name])
    bought = {bar.source for bar in plan.bars if bar.buys}
    agreed = [offer for offer in job.offers if offer.id in bought and offer.merchant in new]
    prices = quoted_on(date.fromisoformat(when) if when else date.today(), agreed, job.workshop)
    noted = len(add_prices(path, prices, kept))
    return Ordered(job=job, merchants=tuple(new), before=tuple(before), prices=noted)


def _to_pay_by_merchant(job: Job, plan: Plan) -> dict[str, int]:
    """What each merchant's order comes to, tax and all; what names no merchant goes with the only one there is."""
    from cutplan.model.totals import totals_of
    from cutplan.words.order_words import orders_of

    totals = totals_of(job, plan)
    if len(totals.orders) == 1:
        return {totals.orders[0].merchant: totals.money.to_pay}
    return {order.merchant: order.to_pay for order in orders_of(job, plan, "") if order.total}


def chosen_merchants(
    job: Job, names: Sequence[str], merchant: str, number: str, said_by: str = "--merchant"
) -> Sequence[str]:
    """The merchant of a plan that is meant, or all of them; refused or asked where that is not clear.

    ``said_by`` is where the command takes the merchant, for messages.
    """
    listed = ", ".join(name or "the one merchant of the price list" for name in names)
    if not names:
        raise ProblemsFound(
            [
                Problem.statement(
                    job.name, "a plan that buys nothing", "a plan with lengths to buy", code="job.buys_nothing"
                )
            ]
        )
    if merchant:
        found = [name for name in names if name.casefold() == " ".join(merchant.split()).casefold()]
        if not found:
            raise ProblemsFound(
                [Problem.statement(said_by, merchant, f"a merchant of the plan: {listed}", code="job.merchant")]
            )
        return found
    if number and len(names) > 1:
        found_text = f"one number for orders at {len(names)} merchants"
        raise Unsaid(
            Problem.statement("--number", found_text, f"also {said_by}, one of: {listed}", code="job.merchant"),
            "merchant",
            names,
        )
    return names


def _ordered_before(ledger: Ledger, plan: str, merchants: Sequence[str], number: str, day: str) -> list[str]:
    """Of which merchants the same order was noted before; refused where it was noted otherwise."""
    from cutplan.rack.job_events import orders_of

    with ledger.reading() as db:
        known = {event.merchant: event for event in orders_of(db, plan)}
    problems = []
    for name in merchants:
        event = known.get(name)
        if event is not None and (event.number, event.day) != (number, day):
            was = ", ".join(filter(None, (event.number and f"number {event.number}", event.day and f"of {event.day}")))
            at = f" on {event.at[:10]}" + (f", {was}" if was else "")
            accepted = "the same again, or an order that was not noted yet"
            hint = "cutplan undo takes the last thing done back"
            problems.append(
                Problem.statement(name or "order", f"an order that was noted{at}", accepted, hint, code="job.ordered")
            )
    if problems:
        raise ProblemsFound(problems)
    return [name for name in merchants if name in known]


def day_typed(text: str, option: str = "--date") -> str:
    """A day as it is kept: ``2031-06-01``; blank where none is given; refused where it is none."""
    from datetime import date

    try:
        return date.fromisoformat(text).isoformat() if text else ""
    except ValueError:
        raise ProblemsFound(
            [Problem(code="job.day", where=option, found=text, accepted="a day such as 2031-06-01: year, month, day")]
        ) from None
