"""What merchants charge on top of the prices of bars, and what the money of a whole job comes to."""

from __future__ import annotations

import math
from collections.abc import Sequence

from cutplan.model import Goal, GroupPlan, Job, groups_of
from cutplan.units import Money, ceil_div


def job_cost(job: Job, plans: Sequence[GroupPlan]) -> Money:
    """Money of all priced groups: bars less kept left overs, deliveries and shortfalls to minimum orders."""
    return sum(_group_cost(plan) for plan in plans) + _charges(job, plans)


def _group_cost(plan: GroupPlan) -> Money:
    return sum(bar.cost for bar in plan.bars) if plan.goal is Goal.MONEY else 0


def spend(job: Job, plans: Sequence[GroupPlan]) -> dict[str, Money]:
    """What the bars bought from each merchant cost, in groups planned by money."""
    offers = {offer.id: offer for offer in job.offers}
    spent: dict[str, Money] = {}
    for plan in plans:
        if plan.goal is Goal.MONEY:
            for bar in plan.bars:
                if bar.buys:
                    offer = offers[bar.source]
                    spent[offer.merchant] = spent.get(offer.merchant, 0) + (offer.bar_price or 0)
    return spent


def _charges(job: Job, plans: Sequence[GroupPlan]) -> Money:
    merchant = job.workshop.merchant
    return sum(merchant(name).bill(spent).on_top(spent) for name, spent in spend(job, plans).items())


def cost_step(job: Job) -> Money:
    """What the cost of every plan is a multiple of; 1 where left overs have a value, which any length can have."""
    step = 0
    for group in groups_of(job):
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
            *(amount for one in terms for bill in one.bills for amount in (bill.delivery, bill.minimum)),
            *(amount for one in work for amount in (one.per_bar, one.per_cut, one.per_setup)),
        )
    return step or 1


def next_cost(least: Money, step: Money) -> Money:
    """The least cost a plan can have that is not below ``least``."""
    return ceil_div(least, step) * step
