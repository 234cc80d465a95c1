"""What merchants charge on top of the prices of bars, and what the money of a whole job comes to."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Sequence

from cutplan.model import Bill, Goal, Group, GroupPlan, Job, StockLength, carrying
from cutplan.units import Mass, Money, ceil_div


def job_cost(job: Job, plans: Sequence[GroupPlan]) -> Money:
    """Money of all priced groups: bars less kept left overs, deliveries and shortfalls to minimum orders."""
    return sum(_group_cost(plan) for plan in plans) + _charges(job, plans)


def _group_cost(plan: GroupPlan) -> Money:
    return sum(bar.cost for bar in plan.bars) if plan.goal is Goal.MONEY else 0


def spend(job: Job, plans: Sequence[GroupPlan]) -> dict[str, Money]:
    """What the bars bought from each merchant cost, in groups planned by money."""
    offers = {offer.id: offer for offer in job.offers}
    spent: dict[str, Money] = {}
    for id, number in _bought(plans).items():
        offer = offers[id]
        spent[offer.merchant] = spent.get(offer.merchant, 0) + number * (offer.bar_price or 0)
    return spent


def _bought(plans: Sequence[GroupPlan]) -> Counter[str]:
    """How many bars of each offer are bought, in groups planned by money."""
    return Counter([bar.source for plan in plans if plan.goal is Goal.MONEY for bar in plan.bars if bar.buys])


def _charges(job: Job, plans: Sequence[GroupPlan]) -> Money:
    spent, masses, cuts = spend(job, plans), _masses(job, plans), _carry_cuts(job, plans)
    on_top = sum(job.workshop.bill(name, spent[name], masses[name]).on_top(spent[name], masses[name]) for name in spent)
    return on_top - sum(job.workshop.merchant(name).carry_cuts_saved(number) for name, number in cuts.items())


def _carry_cuts(job: Job, plans: Sequence[GroupPlan]) -> Counter[str]:
    """How often each merchant cuts for the carry, in groups planned by money."""
    offers = {offer.id: offer for offer in job.offers}
    found: Counter[str] = Counter()
    for plan in plans:
        if plan.goal is Goal.MONEY:
            for bar in plan.bars:
                if bar.piece_of is not None and bar.buys:
                    found[offers[bar.source].merchant] += len(bar.piece_of.ordered) - 1
    return found


def carry_cuts_saved_at_most(job: Job, groups: Sequence[Group]) -> dict[str, Money]:
    """What free cuts can save in an order, by merchant, where some length of a priced group is cut for the carry.

    An order that may be fetched and may be delivered is taken to be fetched: what is delivered is not cut.
    """
    shop = job.workshop.as_brought([terms.name for terms in job.workshop.merchants])
    saved = {terms.name: terms.carry_cuts_saved(terms.carry_cuts_free) for terms in shop.merchants}
    free = {name for name, amount in saved.items() if amount}
    names = {
        offer.merchant
        for group in groups
        if group.priced
        for offer in group.offers
        if offer.merchant in free and carrying(offer, shop.at_saw(group.saw), group.parts)
    }
    return {name: saved[name] for name in sorted(names)}


def better_cut_for_carry(job: Job, groups: Sequence[Group], of: Collection[str]) -> frozenset[str]:
    """Merchants ``of`` whose lengths some may hold more, or cost less to saw, in pieces for the carry than whole.

    That is so where no end that such a cut leaves is trimmed: then a piece may need no stroke, nothing is lost at an
    end that a mill end would lose, and a part may be ordered just as long as it is. Whole, a length of an order that
    may be delivered too is no bound then of what is fetched.
    """
    shop = job.workshop.as_brought([terms.name for terms in job.workshop.merchants])
    found = set()
    for group in groups:
        at = shop.at_saw(group.saw)
        for offer in [offer for offer in group.offers if group.priced and offer.merchant in of]:
            way = carrying(offer, at, group.parts)
            untrimmed = way is not None and not way.new_trim and (way.mill_trim or at.saw.safe_hold)
            counted = at.work_on(offer.merchant).per_cut or at.offcut_value(group.section.family)
            if way is not None and (untrimmed or counted):
                found.add(offer.merchant)
    return frozenset(found)


def _masses(job: Job, plans: Sequence[GroupPlan]) -> dict[str, Mass]:
    """What the bars bought from each merchant weigh, in groups planned by money."""
    offers = {offer.id: offer for offer in job.offers}
    found: Counter[str] = Counter()
    for id, number in _bought(plans).items():
        found[offers[id].merchant] += number * offers[id].mass
    return found


def least_trips(groups: Sequence[tuple[Group, Sequence[StockLength]]], bills: Sequence[Bill]) -> int:
    """How often a plan that is billed so is driven for at least, each group with the offers open to it.

    Where all that may be bought is fetched, it weighs no less than the parts do, what lies on the rack aside.
    """
    driven = {bill.merchant: bill for bill in bills if bill.trip}
    once = len(driven)
    payload = max((bill.payload for bill in driven.values()), default=0)
    if not payload or any(offer.merchant not in driven for _, offers in groups for offer in offers):
        return once
    return max(once, ceil_div(sum(_least_bought(group) for group, _ in groups), payload))


def _least_bought(group: Group) -> Mass:
    """What is bought for a group weighs this much at least: its parts less their mitres, less all offcuts.

    Between its mitres a part has its whole section, and no two lie there in one another. The mass of a bar is rounded
    to the milligram, and there are no more bars than parts.
    """
    parts = sum(max(0, part.length - sum(part.runs)) * part.quantity for part in group.parts)
    rack = sum(offcut.length * offcut.quantity for offcut in group.offcuts)
    return max(0, group.section.mass_of(max(0, parts - rack)) - group.pieces)


def cost_step(job: Job, groups: Sequence[Group]) -> Money:
    """What the cost of every plan is a multiple of; 1 where left overs have a value, which any length can have."""
    step = 0
    for group in groups:
        if not group.priced:
            continue
        if job.workshop.offcut_value(group.section.family):
            return 1
        names = {offer.merchant for offer in group.offers}
        prices = [offer.bar_price or 0 for offer in group.offers] + [offcut.book_value for offcut in group.offcuts]
        terms = [job.workshop.merchant(name) for name in names]
        work = [job.workshop.work_on(name) for name in ("", *names)]
        step = math.gcd(
            step,
            *prices,
            *(one.carry_cut_charge for one in terms),
            *(
                x
                for name in names
                for bill in job.workshop.bills(name)
                for x in (bill.delivery, bill.minimum, bill.trip)
            ),
            *(amount for one in work for amount in (one.per_bar, one.per_cut, one.per_setup)),
        )
    return step or 1


def next_cost(least: Money, step: Money) -> Money:
    """The least cost a plan can have that is not below ``least``."""
    return ceil_div(least, step) * step
