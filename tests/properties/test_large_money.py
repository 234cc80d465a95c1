"""Money up to the largest that is read: a plan that the checker confirms comes out of it, with a bound above nothing.

The checker derives bars and bounds in its own way, so that it is the second opinion here.
"""

from __future__ import annotations

import random

import pytest

from cutplan.checking import check
from cutplan.model import Job, Status, Work
from cutplan.planning import plan_job
from cutplan.units import CURRENCY
from tests import builders
from tests.effort import seeds
from tests.solver_instances import FEW

LARGEST_RATE = 10**9
"""A million a metre, in millionths of the currency a millimetre."""
LARGEST_PRICE = 10_000_000
"""Of what is sold each, and of a metre."""


def dear_job(draw: random.Random) -> Job:
    rate = draw.choice([0, 10**6, 10**8, LARGEST_RATE])
    longest = draw.choice([6000, 24_000, 100_000])
    quantity = draw.choice([1, 30, 1000])
    parts = [
        builders.part(f"M{number}", draw.randint(1, quantity), draw.randint(10, longest // 2))
        for number in range(draw.choice([1, 4, 12]))
    ]
    prices = draw.choice([1, LARGEST_PRICE // 2, LARGEST_PRICE * longest // 1000])
    offers = [
        builders.offer(
            f"P{longest - shorter}",
            longest - shorter,
            (longest - shorter) * rate // CURRENCY + prices - shorter // 1000,
        )
        for shorter in draw.sample([0, 1000], draw.randint(1, 2))
    ]
    work = Work(per_bar=draw.choice([0, LARGEST_PRICE * CURRENCY]), per_cut=draw.choice([0, LARGEST_PRICE * CURRENCY]))
    return builders.job(
        parts, offers, kerf="2.5", keep=draw.choice([None, 300]), offcut_value_per_mm=rate,
        most_kept=draw.choice([None, 2]), work=work,
    )  # fmt: skip


@pytest.mark.parametrize("seed", seeds(30))
def test_dear_jobs_have_a_plan_that_holds(seed: int) -> None:
    dear = dear_job(random.Random(seed))
    plan = plan_job(dear, parameters=FEW)
    assert check(dear, plan) == ()
    assert 0 < plan.bound <= plan.cost


def test_an_offcut_value_of_a_thousand_a_metre_is_planned_to_the_end() -> None:
    # Two of 2500 leave 994.5 of 6 m, worth 994.5: four parts want two bars.
    dear = builders.job(
        [builders.part("A", 4, 2500)], [builders.offer("P", 6000, 6100)], kerf=3, offcut_value_per_mm=CURRENCY
    )
    plan = plan_job(dear)
    assert check(dear, plan) == ()
    assert plan.status is Status.RECHECKED
    assert plan.cost == 2 * (6100 * CURRENCY - (6000 - 2 * 2503) * CURRENCY)
