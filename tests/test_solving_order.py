"""All groups of an order at once: LPs at multipliers of prices, and whole plans, on sums that can be done by hand."""

from __future__ import annotations

import time
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from cutplan.model import Job, Merchant, groups_of
from cutplan.solving import Clock, Order, Parameters
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.plans import PatternUse
from cutplan.units import CURRENCY
from tests import builders

OTHER = builders.square_tube(50)


def two_groups(minimum: int = 30, **other: Any) -> Job:
    """Two bars of each tube: for 10 and 14 at the Depot, which delivers for 1, for 20 and 12 at the Yard."""
    offers = [
        builders.offer("D", 1000, 10, merchant="Depot"),
        builders.offer("D2", 1000, 14, merchant="Depot", section=OTHER),
        builders.offer("Y", 1000, 20),
        builders.offer("Y2", 1000, 12, section=OTHER),
    ]
    depot = Merchant(name="Depot", delivery=CURRENCY, minimum_order=minimum * CURRENCY)
    parts = [builders.part("A", 4, 500), builders.part("B", 4, 500, section=OTHER)]
    return builders.job(parts, offers, merchants=[depot], **other)


def order(job: Job, must: tuple[str, ...] | None = ("Depot",), parameters: Parameters | None = None) -> Order:
    clock = Clock(deadline=time.monotonic() + 60)
    groups = [(group, group.offers) for group in groups_of(job)]
    bills = None if must is None else [bill for name in must for bill in job.workshop.bills(name)]
    names = [terms.name for terms in job.workshop.merchants]
    return Order(groups, job.workshop, names, bills, parameters or Parameters(), clock)


def sold(made: Order, plans: list[list[PatternUse]] | None) -> list[list[tuple[str, int]]]:
    """What is bought for each group: offers and how many bars of them."""
    assert plans is not None
    return [
        sorted((instance.sources[bars.source].id, bars.count) for bars in plan)
        for instance, plan in zip(made.instances, plans, strict=True)
    ]


@pytest.mark.parametrize(
    ("multiplier", "bound", "spent"),
    [
        (Fraction(1), 20 + 24 + 1, 20),
        # At half their price the Depot's bars are the cheapest of both tubes, and half of 30 is paid anyway.
        (Fraction(1, 2), 10 + 14 + 15 + 1, 48),
    ],
)
def test_what_an_order_costs_at_least_at_a_multiplier(multiplier: Fraction, bound: int, spent: int) -> None:
    lp = order(two_groups()).at({"Depot": multiplier})
    assert lp is not None
    assert lp.bound == pytest.approx(bound * CURRENCY)
    assert lp.spends["Depot"] == pytest.approx(spent * CURRENCY)
    assert sum(lp.leasts) == pytest.approx((bound - 1 - float(30 * (1 - multiplier))) * CURRENCY)


def test_at_nothing_the_minimum_order_is_paid_whatever_is_bought() -> None:
    lp = order(two_groups()).at({"Depot": Fraction(0)})
    assert lp is not None
    assert lp.bound == pytest.approx(31 * CURRENCY)
    assert lp.spends["Depot"] >= 30 * CURRENCY


def test_the_best_of_what_is_known_reaches_the_minimum_order() -> None:
    """20 and 14 at the Depot and 12 at the Yard are 46, a delivery of 1 included 47; without D2 20, 10 short and 24."""
    made = order(two_groups())
    lp = made.at({"Depot": Fraction(1, 2)})
    assert lp is not None
    assert sold(made, made.cheapest_known(lp, 48 * CURRENCY)) == [[("D", 2)], [("D2", 1), ("Y2", 1)]]
    assert made.cheapest_known(lp, 47 * CURRENCY) is None
    few = order(two_groups(), parameters=Parameters(whole_columns=2))
    lp = few.at({"Depot": Fraction(1)})
    assert lp is not None
    # Two halves from the cheapest bar of each tube pay best, and are all that is looked at.
    assert sold(few, few.cheapest_known(lp, 99 * CURRENCY)) == [[("D", 2)], [("Y2", 2)]]


def test_an_order_is_decided_by_listing() -> None:
    made = order(two_groups())
    lp = made.at({"Depot": Fraction(1)})
    assert lp is not None
    plans, stopped_by = made.decide(lp, 60 * CURRENCY, CURRENCY)
    assert stopped_by == ""
    assert sold(made, plans) == [[("D", 2)], [("D2", 1), ("Y2", 1)]]
    assert made.decide(lp, 47 * CURRENCY, CURRENCY) == (None, "")


def test_where_it_is_open_who_is_bought_from_the_program_chooses() -> None:
    made = order(two_groups(minimum=90), must=None)
    lp = made.at({})
    assert lp is not None
    assert lp.bound == pytest.approx(44 * CURRENCY), "no charge is certain"
    plans, stopped_by = made.decide(lp, 80 * CURRENCY, CURRENCY)
    assert stopped_by == ""
    assert sold(made, plans) == [[("Y", 2)], [("Y2", 2)]]


def test_what_stopped_it_is_named() -> None:
    short = order(two_groups(), parameters=Parameters(listed=0))
    lp = short.at({})
    assert lp is not None
    assert short.decide(lp, 60 * CURRENCY, CURRENCY) == (None, "pattern limit")
    idle = order(two_groups(), parameters=replace(Parameters(), listed_effort=0.0))
    lp = idle.at({})
    assert lp is not None
    assert idle.decide(lp, 60 * CURRENCY, CURRENCY) == (None, "effort limit")


def test_an_lp_is_not_filled_with_known_sets_once_time_is_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """With sixty merchants that took a second on a machine that does other work too."""
    made = order(two_groups())
    made.know([[PatternUse(0, (3,), 1), PatternUse(0, (4,), 1)], []])
    asked: list[tuple[int, tuple[int, ...]]] = []

    def counted(self: ColumnGenerator, index: int, pattern: tuple[int, ...]) -> bool:
        asked.append((index, pattern))
        if pattern == (3,):
            made.clock.stopped_by = "time limit"
        return False

    monkeypatch.setattr(ColumnGenerator, "add", counted)
    assert made.at({}) is None
    assert asked[-1] == (1, (3,)), "the first set from both bars, and no other"


def test_a_bar_is_not_bought_for_its_left_over_alone() -> None:
    """Under a minimum order of 40 bars cost nothing, and what is left of each of two earns 5; no third is cut."""
    offers = [builders.offer("D", 1000, 10, merchant="Depot")]
    depot = Merchant(name="Depot", minimum_order=40 * CURRENCY)
    job = builders.job(
        [builders.part("A", 2, 500)], offers, merchants=[depot], keep=100, offcut_value_per_mm=CURRENCY // 100
    )
    made = order(job)
    lp = made.at({"Depot": Fraction(0)})
    assert lp is not None
    plans, stopped_by = made.decide(lp, 99 * CURRENCY, 1)
    assert stopped_by == ""
    assert sold(made, plans) == [[("D", 2)]]
    assert made.decide(lp, 30 * CURRENCY, 1) == (None, ""), "40 less twice 5"
