"""What merchants charge beside the prices of bars, and what every cost is a multiple of."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from cutplan.model import Bill, Job, Merchant, Work, groups_of
from cutplan.planning.charges import cost_step, job_cost, least_trips, next_cost, spend
from cutplan.units import CURRENCY, KG
from tests import builders
from tests.first_fit import first_fit_plan

DEPOT = Merchant(name="Depot", delivery=5 * CURRENCY, minimum_order=40 * CURRENCY)


def two_bars(**other: Any) -> Job:
    """Two bars of 12 from the Depot."""
    offers = [builders.offer("D", 1000, 12, merchant="Depot"), builders.offer("Y", 1000, 99)]
    return builders.job([builders.part("A", 2, 1000)], offers, merchants=[DEPOT], **other)


def test_what_is_spent_and_what_it_comes_to_with_charges() -> None:
    """24 for two bars, 16 short of 40, 5 for delivery."""
    plan = first_fit_plan(two_bars())
    assert spend(two_bars(), plan.groups) == {"Depot": 24 * CURRENCY}
    assert job_cost(two_bars(), plan.groups) == 45 * CURRENCY


@pytest.mark.parametrize(
    ("job", "step"),
    [
        (two_bars(), CURRENCY),  # 12, 99, 5 and 40
        (two_bars(work=Work(per_bar=CURRENCY // 2)), CURRENCY // 2),
        (two_bars(offcut_value_per_mm=1), 1),
        (builders.job([builders.part("A", 1, 500)], [builders.offer("Y", 1000, 12)]), 12 * CURRENCY),
        (builders.job([builders.part("A", 1, 500)], [builders.offer("Y", 1000, None)]), 1),
    ],
)
def test_what_every_cost_is_a_multiple_of(job: Job, step: int) -> None:
    assert cost_step(job, groups_of(job)) == step


def test_the_next_cost_a_plan_can_have() -> None:
    assert [next_cost(least, 50) for least in (100, 101, 150, -49)] == [100, 150, 150, 0]


def test_what_is_driven_for_at_least() -> None:
    """Two of 1 m weigh 6 kg, two milligrams are let go; mitres are no part of what is surely whole of a part."""
    made = builders.job([builders.part("A", 2, 1000)], [builders.offer("P", 3000, 12, merchant="Depot")])
    (group,) = groups_of(made)
    way = Bill(merchant="Depot", delivery=0, minimum=0, fetched=True, trip=8, payload=2 * KG)
    assert least_trips([(group, group.offers)], [way]) == 3
    assert least_trips([(group, group.offers)], [replace(way, payload=0)]) == 1
    assert least_trips([(group, group.offers)], [replace(way, trip=0)]) == 0
    assert least_trips([(group, [*group.offers, builders.offer("Y", 3000, 12)])], [way]) == 1
    mitred = builders.job([builders.part("A", 2, 1000, mitres=(45, 45))], made.offers)
    assert least_trips([(groups_of(mitred)[0], group.offers)], [replace(way, payload=5_519_998)]) == 1, (
        "40 mm at each end"
    )
    assert least_trips([(groups_of(mitred)[0], group.offers)], [replace(way, payload=5_519_997)]) == 2
