"""Multipliers of merchants' prices at which an order costs most at least, on sums that can be done by hand."""

from __future__ import annotations

import math
import time
from fractions import Fraction

import pytest

from cutplan.model import Merchant, groups_of
from cutplan.planning.multipliers import best_lp
from cutplan.solving import Clock, Order, Parameters
from cutplan.units import CURRENCY
from tests import builders


def order(minimum: int, *, seconds: float = 60.0) -> Order:
    """Four whole bars of 1000, for 10 at the Depot with its minimum order, or for 15 at the Yard."""
    offers = [builders.offer("D", 1000, 10, merchant="Depot"), builders.offer("Y", 1000, 15)]
    depot = Merchant(name="Depot", minimum_order=minimum * CURRENCY)
    job = builders.job([builders.part("A", 4, 1000)], offers, merchants=[depot])
    clock = Clock(deadline=time.monotonic() + seconds)
    groups = [(group, group.offers) for group in groups_of(job)]
    return Order(groups, job.workshop, [depot.name], depot.bills(), Parameters(), clock)


@pytest.mark.parametrize(
    ("minimum", "multiplier", "bound"),
    [
        # All four bars come from the Depot and reach 30.
        (30, Fraction(1), 40),
        # They do not reach 45, which is paid then whatever is bought.
        (45, Fraction(0), 45),
    ],
)
def test_where_the_bound_is_highest(minimum: int, multiplier: Fraction, bound: int) -> None:
    lp = best_lp(order(minimum), math.inf)
    assert lp is not None
    assert lp.multipliers == {"Depot": multiplier}
    assert lp.bound == pytest.approx(bound * CURRENCY)


def test_between_two_plans_the_multiplier_is_a_fraction() -> None:
    """Three parts from bars of 1000 for 8 at the Depot, minimum order 12, or of 2000 for 10 at the Yard."""
    offers = [builders.offer("D", 1000, 8, merchant="Depot"), builders.offer("Y", 2000, 10)]
    depot = Merchant(name="Depot", minimum_order=12 * CURRENCY)
    job = builders.job([builders.part("A", 3, 1000)], offers, merchants=[depot])
    groups = [(group, group.offers) for group in groups_of(job)]
    made = Order(groups, job.workshop, [depot.name], depot.bills(), Parameters(), Clock(deadline=time.monotonic() + 60))
    lp = best_lp(made, math.inf)
    assert lp is not None
    # Bars of the Depot at 8x serve all three parts up to x = 5/8, where the Yard's are as cheap for a part: there the
    # order costs 15 + 12 * 3/8. Beyond it nothing is spent at the Depot, below it 24, twice the minimum order.
    assert lp.multipliers["Depot"] == Fraction(5, 8)
    assert lp.bound == pytest.approx((15 + 4.5) * CURRENCY)


def test_enough_is_enough() -> None:
    lp = best_lp(order(45), 39 * CURRENCY)
    assert lp is not None
    assert lp.multipliers == {"Depot": Fraction(1)}
    assert lp.bound == pytest.approx(40 * CURRENCY)


def test_without_time_nothing_is_known() -> None:
    assert best_lp(order(45, seconds=-1), math.inf) is None
