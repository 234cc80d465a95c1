"""Merchants for tiny jobs, and plans of these held to what trying everything finds."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from cutplan.checking import check
from cutplan.model import Job, Merchant, Plan, Status
from cutplan.planning import plan_job
from cutplan.units import CURRENCY
from tests import brute_force, builders
from tests.order_optimum import Order


def terms(name: str, delivery: int = 0, minimum: int = 0, free_from: int = 0, **other: Any) -> Merchant:
    return Merchant(
        name=name,
        delivery=delivery * CURRENCY,
        minimum_order=minimum * CURRENCY,
        free_delivery_from=free_from * CURRENCY,
        **other,
    )


def planned(job: Job) -> Plan:
    """A plan that the checker passes, proven, and as cheap as trying everything."""
    plan = plan_job(job)
    assert check(job, plan) == ()
    assert plan.status is not Status.NOT_PROVEN
    assert plan.bound == plan.cost == brute_force.least_cost(job)
    return plan


def bought_from(job: Job, plan: Plan) -> set[str]:
    offers = {offer.id: offer.merchant for offer in job.offers}
    return {offers[bar.source] for bar in plan.bars if bar.source in offers}


def job_of(order: Order) -> Job:
    """An order as the package reads it."""
    parts, offers, offcuts = [], [], []
    for number, wanted in enumerate(order.sections):
        section = builders.square_tube(40 + 10 * number)
        for k, (length, quantity) in enumerate(wanted.wanted):
            parts.append(builders.part(f"P{number}{k}", quantity, length, section=section))
        for k, bar in enumerate(wanted.bars):
            price = str(Fraction(bar.price, CURRENCY))
            if bar.merchant:
                offers.append(
                    builders.offer(f"S{number}{k}", bar.length, price, merchant=bar.merchant, section=section)
                )
            else:
                offcuts.append(builders.offcut(f"K{number}{k}", bar.length, price, section=section))
    merchants = [
        Merchant(name=name, delivery=delivery, minimum_order=minimum, free_delivery_from=free_from)
        for name, (delivery, minimum, free_from) in order.terms.items()
    ]
    return builders.job(
        parts, offers, offcuts, merchants=merchants, kerf=order.kerf, end_trim=order.trim, keep=order.keep,
        offcut_value_per_mm=order.value,
    )  # fmt: skip
