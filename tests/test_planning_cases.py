"""Which merchants to buy from: deliveries, minimum orders, and every set of merchants bounded."""

from __future__ import annotations

import itertools

import pytest

from cutplan.checking import check
from cutplan.model import Job, Merchant, Status
from cutplan.planning import plan_job
from cutplan.solving import Multipliers, Order, OrderLp, Parameters
from cutplan.units import CURRENCY
from tests import builders, order_optimum
from tests.benchmarks.limits import groups
from tests.merchant_jobs import bought_from, job_of, planned, terms

A = builders.part("A", 4, 500)
"""Four parts of 500: two bars of 1000."""


def depot_or_yard(depot: Merchant, yard_price: int = 20) -> Job:
    """Bars of 1000 for 10 at the Depot, dearer at the Yard, which has no charges."""
    offers = [
        builders.offer("D", 1000, 10, merchant="Depot"),
        builders.offer("Y", 1000, yard_price, merchant="Yard"),
    ]
    return builders.job([A], offers, merchants=[depot])


def test_without_charges_there_is_one_case() -> None:
    job = depot_or_yard(terms("Depot", delivers=True))
    plan = planned(job)
    assert plan.cost == 20 * CURRENCY
    assert [(case.merchants, case.and_more, case.charges) for case in plan.cases] == [((), False, 0)]
    assert plan.status is Status.RECHECKED


@pytest.mark.parametrize(("delivery", "where", "cost"), [(19, "Depot", 39), (21, "Yard", 40)])
def test_a_delivery_is_paid_where_it_is_worth_it(delivery: int, where: str, cost: int) -> None:
    job = depot_or_yard(terms("Depot", delivery=delivery))
    plan = planned(job)
    assert bought_from(job, plan) == {where}
    assert plan.cost == cost * CURRENCY
    assert {case.merchants for case in plan.cases} == {(), ("Depot",)}


@pytest.mark.parametrize(("minimum", "where", "cost"), [(15, "Depot", 20), (35, "Depot", 35), (45, "Yard", 40)])
def test_what_is_missing_to_a_minimum_order_is_paid(minimum: int, where: str, cost: int) -> None:
    job = depot_or_yard(terms("Depot", minimum=minimum))
    plan = planned(job)
    assert bought_from(job, plan) == {where}
    assert plan.cost == cost * CURRENCY


def test_without_time_one_case_stands_for_all_sets() -> None:
    """It says as much as the eight would: of each group what it costs at least with every offer open."""
    yards = [terms(f"Yard {n}", delivery=20 + n) for n in range(3)]
    offers = [builders.offer(f"P{n}", 1000, 10 + n, merchant=yard.name) for n, yard in enumerate(yards)]
    job = builders.job([A], offers, merchants=yards)
    assert len(planned(job).cases) == 8
    plan = plan_job(job, time_limit=0)
    assert check(job, plan) == ()
    assert [(case.merchants, case.and_more) for case in plan.cases] == [((), True)]
    assert plan.stopped_by == "time limit"
    assert plan.bound == plan.groups[0].proof.bound == 20 * CURRENCY
    assert plan.cost == 40 * CURRENCY


@pytest.mark.parametrize("call", [1, 3])
def test_a_stop_while_merchants_are_weighed_leaves_the_best_plan(call: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """There is one of every group by then."""
    job, begun, at = groups(2, sellers=2), 0, Order.at

    def stopped(self: Order, multipliers: Multipliers) -> OrderLp | None:
        nonlocal begun
        begun += 1
        if begun == call:
            raise KeyboardInterrupt
        return at(self, multipliers)

    monkeypatch.setattr(Order, "at", stopped)
    plan = plan_job(job, processes=0, parameters=Parameters(listed=100, listed_first=100, nodes=10))
    assert begun == call
    assert check(job, plan) == ()
    assert plan.stopped_by == "user"
    assert plan.bound > 0


def test_a_minimum_order_is_met_by_all_sections_together() -> None:
    other = builders.square_tube(50)
    parts = [A, builders.part("B", 2, 500, section=other)]
    offers = [
        builders.offer("D", 1000, 10, merchant="Depot"),
        builders.offer("D2", 1000, 12, merchant="Depot", section=other),
        builders.offer("Y", 1000, 11, merchant="Yard"),
        builders.offer("Y2", 1000, 13, merchant="Yard", section=other),
    ]
    job = builders.job(parts, offers, merchants=[terms("Depot", minimum=32)])
    plan = planned(job)
    assert bought_from(job, plan) == {"Depot"}
    assert plan.cost == 32 * CURRENCY
    assert all(len(case.proofs) == 2 for case in plan.cases)


def test_a_minimum_order_is_filled_with_what_is_cheaper_elsewhere() -> None:
    """The Depot's tube of 50 is 2 dearer than the Yard's, but saves paying 10 for nothing."""
    other = builders.square_tube(50)
    parts = [A, builders.part("B", 2, 500, section=other)]
    offers = [
        builders.offer("D", 1000, 10, merchant="Depot"),
        builders.offer("D2", 1000, 14, merchant="Depot", section=other),
        builders.offer("Y", 1000, 20, merchant="Yard"),
        builders.offer("Y2", 1000, 12, merchant="Yard", section=other),
    ]
    job = builders.job(parts, offers, merchants=[terms("Depot", minimum=30)])
    plan = planned(job)
    assert bought_from(job, plan) == {"Depot"}
    assert plan.cost == 34 * CURRENCY


def test_one_delivery_serves_every_section() -> None:
    other = builders.square_tube(50)
    parts = [A, builders.part("B", 2, 500, section=other)]
    offers = [
        builders.offer("D", 1000, 10, merchant="Depot"),
        builders.offer("D2", 1000, 10, merchant="Depot", section=other),
        builders.offer("Y", 1000, 14, merchant="Yard"),
        builders.offer("Y2", 1000, 15, merchant="Yard", section=other),
    ]
    # Apart, neither section repays a delivery of 12 (8 and 5 saved); together they do.
    plan = planned(builders.job(parts, offers, merchants=[terms("Depot", delivery=12)]))
    assert plan.cost == 42 * CURRENCY


def test_every_set_of_charging_merchants_is_a_case() -> None:
    names = ["Depot", "Mill", "Wharf"]
    offers = [builders.offer(name, 1000, 10 + k, merchant=name) for k, name in enumerate(names)]
    offers.append(builders.offer("Y", 1000, 30, merchant="Yard"))
    job = builders.job([A], offers, merchants=[terms(name, delivery=5 + k) for k, name in enumerate(names)])
    plan = planned(job)
    expected = [set_ for size in range(4) for set_ in itertools.combinations(names, size)]
    assert [case.merchants for case in plan.cases] == expected
    assert not any(case.and_more for case in plan.cases)
    assert [case.charges for case in plan.cases] == [
        sum(5 + names.index(name) for name in set_) * CURRENCY for set_ in expected
    ]
    assert plan.bound == min(case.bound for case in plan.cases)


def test_a_merchant_that_sells_nothing_needed_makes_no_case() -> None:
    job = depot_or_yard(terms("Depot", delivery=5))
    elsewhere = builders.job([A], job.offers, merchants=[terms("Depot", delivery=5), terms("Far", delivery=1)])
    assert {name for case in plan_job(elsewhere).cases for name in case.merchants} == {"Depot"}


def nine_merchants() -> Job:
    names = [f"Merchant {letter}" for letter in "ABCDEFGHI"]
    offers = [builders.offer(name, 1000, 10 + k, merchant=name) for k, name in enumerate(names)]
    return builders.job([A], offers, merchants=[terms(name, delivery=3) for name in names])


def test_more_charging_merchants_than_are_looked_at_make_one_case() -> None:
    job = nine_merchants()
    plan = planned(job)
    (case,) = plan.cases
    assert case.and_more
    assert case.merchants == ()
    assert case.by_search
    assert (plan.status, plan.cost) == (Status.BY_SEARCH, 23 * CURRENCY)


def test_one_case_of_many_merchants_names_what_left_it_open() -> None:
    job = nine_merchants()
    plan = plan_job(job, parameters=Parameters(listed=0))
    assert check(job, plan) == ()
    assert (plan.status, plan.bound, plan.cost) == (Status.NOT_PROVEN, 20 * CURRENCY, 23 * CURRENCY)
    assert plan.possible_saving == 3 * CURRENCY
    assert [case.stopped_by for case in plan.cases] == ["pattern limit"]


def test_the_most_that_are_looked_at_is_a_number() -> None:
    plan = plan_job(nine_merchants(), parameters=Parameters(charging=9))
    assert len(plan.cases) == 2**9


def test_sets_of_merchants_that_cannot_serve_every_part_are_bounded_too() -> None:
    # The Yard has only short bars; without the Depot there is no plan.
    parts = [builders.part("A", 1, 900), builders.part("B", 2, 300)]
    offers = [
        builders.offer("D", 1000, 10, merchant="Depot"),
        builders.offer("Y", 600, 4, merchant="Yard"),
    ]
    job = builders.job(parts, offers, merchants=[terms("Depot", delivery=7)])
    plan = planned(job)
    assert plan.cost == (10 + 7 + 4) * CURRENCY
    without = next(case for case in plan.cases if not case.merchants)
    assert without.bound >= plan.cost


def test_splitting_the_order_can_be_cheapest() -> None:
    parts = [builders.part("A", 2, 900), builders.part("B", 6, 300)]
    offers = [
        builders.offer("D", 1000, 10, merchant="Depot"),
        builders.offer("W", 600, 3, merchant="Wharf"),
        builders.offer("Y", 1000, 30, merchant="Yard"),
    ]
    job = builders.job(parts, offers, merchants=[terms("Depot", delivery=4), terms("Wharf", delivery=5)])
    plan = planned(job)
    assert bought_from(job, plan) == {"Depot", "Wharf"}
    assert plan.cost == (20 + 9 + 4 + 5) * CURRENCY


def test_offcuts_can_make_buying_needless() -> None:
    job = builders.job(
        [builders.part("A", 2, 500)],
        [builders.offer("D", 1000, 1, merchant="Depot")],
        [builders.offcut("K", 1000, 6)],
        merchants=[terms("Depot", delivery=20)],
    )
    plan = planned(job)
    assert bought_from(job, plan) == set()
    assert plan.cost == 6 * CURRENCY


def test_a_minimum_order_where_left_overs_have_a_value() -> None:
    offers = [builders.offer("D", 1000, 10, merchant="Depot")]
    job = builders.job(
        [builders.part("A", 1, 500)],
        offers,
        merchants=[terms("Depot", minimum=30)],
        keep=300,
        offcut_value_per_mm=4000,
    )
    plan = planned(job)
    # 10 for the bar, 20 short of the minimum order, less 2 for the left over.
    assert plan.cost == 28 * CURRENCY


@pytest.mark.parametrize(
    ("delivery", "free_from", "minimum", "cost"),
    [
        (8, 0, 0, 28),
        (8, 20, 0, 20),
        (8, 21, 0, 24),  # the bar of 2000 for 24 is dearer than two of 1000 for 20, and delivered free
        (3, 21, 0, 23),
        (8, 25, 0, 28),
        (8, 20, 22, 22),  # what is lacking to the minimum order is made up, not reached
        (8, 21, 22, 24),
        (20, 25, 0, 34),  # a bar of each length, a part from each
        (20, 35, 0, 40),  # the Yard's two bars
    ],
)
def test_from_a_sum_on_delivery_is_free(delivery: int, free_from: int, minimum: int, cost: int) -> None:
    offers = [
        builders.offer("D", 1000, 10, merchant="Depot"),
        builders.offer("D2", 2000, 24, merchant="Depot"),
        builders.offer("Y", 1000, 20),
    ]
    depot = terms("Depot", delivery=delivery, free_from=free_from, minimum=minimum)
    plan = planned(builders.job([builders.part("A", 2, 900)], offers, merchants=[depot]))
    assert plan.cost == cost * CURRENCY
    ways = [(case.merchants, case.delivered_free) for case in plan.cases]
    assert ways == [((), ()), (("Depot",), ()), *([(("Depot",), ("Depot",))] if free_from else [])]


def test_no_bar_without_a_part_is_bought_so_that_delivery_is_free() -> None:
    offers = [builders.offer("D", 1000, 10, merchant="Depot")]
    depot = terms("Depot", delivery=12, free_from=20)
    assert planned(builders.job([builders.part("A", 1, 900)], offers, merchants=[depot])).cost == 22 * CURRENCY


def test_a_price_counts_by_a_fraction_where_two_plans_cost_the_same() -> None:
    """Three bars of the Depot at 8 are 24; at 5/8 of that they cost as much as the Yard's, and 3/8 of 20 is added."""
    offers = [builders.offer("D", 1000, 8, merchant="Depot"), builders.offer("Y", 2000, 10)]
    job = builders.job([builders.part("A", 3, 1000)], offers, merchants=[terms("Depot", minimum=20)])
    plan = planned(job)
    assert plan.cost == 20 * CURRENCY, "two bars of the Yard"
    with_depot = next(case for case in plan.cases if case.merchants)
    assert with_depot.bound >= plan.cost
    assert all(0 <= at.numerator < at.denominator for at in with_depot.multipliers)


def test_a_case_closed_by_search_says_so_and_one_left_open_what_stopped_it() -> None:
    """The optimum of seed 29 of the orders made up, 2 merchants, 12 pieces, is found by listing alone."""
    job = job_of(order_optimum.made_up(29))
    plan = plan_job(job)
    assert check(job, plan) == ()
    searched = [case for case in plan.cases if case.by_search]
    assert searched
    assert all(case.bound >= plan.cost and not case.stopped_by for case in searched)
    short = plan_job(job, parameters=Parameters(listed=0, listed_first=0, nodes=1))
    assert check(job, short) == ()
    assert short.status is Status.NOT_PROVEN
    assert {case.stopped_by for case in short.cases if case.bound < short.cost} <= {"node limit", "pattern limit"}
    assert all(case.stopped_by for case in short.cases if case.bound < short.cost)
