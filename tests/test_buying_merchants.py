"""Which merchants to buy from: deliveries, minimum orders, every set of them bounded, and what the carry forgoes."""

from __future__ import annotations

import itertools

import pytest

from cutplan.buying import merchants, plan_job
from cutplan.checking import check
from cutplan.model import Goal, Job, Merchant, Plan, Status, groups_of
from cutplan.problems import NoPlan
from cutplan.solving import Limits
from cutplan.units import CURRENCY
from tests import brute_force, builders

A = builders.part("A", 4, 500)
"""Four parts of 500: two bars of 1000."""


def terms(name: str, delivery: int = 0, minimum: int = 0, **other: bool) -> Merchant:
    return Merchant(name=name, delivery=delivery * CURRENCY, minimum_order=minimum * CURRENCY, **other)


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
    plan = plan_job(job)
    assert check(job, plan) == ()
    assert bought_from(job, plan) == {"Depot"}
    assert plan.cost == brute_force.least_cost(job) == 34 * CURRENCY
    # What the Yard's price leaves open is told: the bound counts on both, 20 at the Depot and 12 at the Yard.
    assert (plan.status, plan.bound) == (Status.NOT_PROVEN, 32 * CURRENCY)


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


def test_more_charging_merchants_than_are_looked_at_leave_one_open_case() -> None:
    job = nine_merchants()
    plan = plan_job(job)
    assert check(job, plan) == ()
    (case,) = plan.cases
    assert case.and_more
    assert case.merchants == ()
    assert (plan.bound, plan.cost) == (20 * CURRENCY, 23 * CURRENCY)
    assert plan.status is Status.NOT_PROVEN
    assert plan.possible_saving == 3 * CURRENCY


def test_the_most_that_are_looked_at_is_a_number(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(merchants, "MOST_CHARGING", 9)
    plan = planned(nine_merchants())
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


def test_a_minimum_order_bounds_nothing_where_left_overs_have_a_value() -> None:
    offers = [builders.offer("D", 1000, 10, merchant="Depot")]
    job = builders.job(
        [builders.part("A", 1, 500)],
        offers,
        merchants=[terms("Depot", minimum=30)],
        keep=300,
        offcut_value_per_mm=4000,
    )
    plan = plan_job(job)
    assert check(job, plan) == ()
    # 10 for the bar, 20 short of the minimum order, 2 for the left over: 28 in all, and the bound knows 8 of it.
    assert plan.cost == 28 * CURRENCY
    assert plan.bound <= brute_force.least_cost(job) == plan.cost  # type: ignore[operator]
    assert plan.status is Status.NOT_PROVEN


def test_groups_without_prices_are_planned_by_mass_and_cost_nothing() -> None:
    other = builders.square_tube(50)
    parts = [A, builders.part("B", 3, 400, section=other)]
    offers = [
        builders.offer("Y", 1000, 11),
        builders.offer("D2", 1000, None, merchant="Depot", section=other),
        builders.offer("D3", 1250, 3, merchant="Depot", section=other),
    ]
    job = builders.job(parts, offers, [builders.offcut("K", 450, section=other)], merchants=[terms("Depot", 99)])
    plan = planned(job)
    assert [group.goal for group in plan.groups] == [Goal.MONEY, Goal.MASS]
    assert plan.cost == 22 * CURRENCY, "no delivery: nothing priced is bought at the Depot"
    by_mass = plan.groups[1]
    # One part from the offcut, two from the bar of 1000, which is 3 kg.
    assert sorted(bar.source for bar in by_mass.bars) == ["D2", "K"]
    assert sum(bar.cost for bar in by_mass.bars) == 3_000_000
    assert by_mass.proof.status is Status.RECHECKED
    assert all(len(case.proofs) == 1 for case in plan.cases)


def test_a_job_of_unpriced_groups_alone_costs_nothing_and_says_so() -> None:
    plan = plan_job(builders.job([A], [builders.offer("Y", 1000, None)]))
    assert (plan.cost, plan.bound, plan.status) == (0, 0, Status.RECHECKED)
    assert [case.proofs for case in plan.cases] == [()]


def test_bars_are_numbered_over_the_whole_plan() -> None:
    parts = [A, builders.part("B", 3, 400, section=builders.square_tube(50))]
    offers = [builders.offer("Y", 1000, 11), builders.offer("Y2", 1000, 11, section=builders.square_tube(50))]
    job = builders.job(parts, offers)
    plan = planned(job)
    assert [bar.number for bar in plan.bars] == [1, 2, 3, 4]
    assert [group.title for group in plan.groups] == [group.title for group in groups_of(job)]


LONG = builders.offer("L", 2000, 15)


def test_stock_too_long_to_carry_is_left_out_and_the_saving_forgone_is_told() -> None:
    job = builders.job([A], [builders.offer("Y", 1000, 10), LONG], longest_carry=1500)
    plan = planned(job)
    assert plan.cost == 20 * CURRENCY
    (forgone,) = plan.forgone
    assert (forgone.offers, forgone.saving, forgone.goal) == (("L",), 5 * CURRENCY, Goal.MONEY)
    assert forgone.group == plan.groups[0].title
    assert all("L" not in proof.sources for case in plan.cases for proof in case.proofs)


def test_a_merchant_that_delivers_brings_any_length() -> None:
    offers = [builders.offer("Y", 1000, 10), LONG]
    job = builders.job([A], offers, longest_carry=1500, merchants=[terms("Yard", delivers=True)])
    plan = planned(job)
    assert plan.cost == 15 * CURRENCY
    assert plan.forgone == ()


def test_nothing_is_forgone_where_the_long_stock_is_no_cheaper() -> None:
    dear = builders.offer("L", 2000, 25)
    assert plan_job(builders.job([A], [builders.offer("Y", 1000, 10), dear], longest_carry=1500)).forgone == ()


def test_an_offcut_marked_like_an_offer_does_not_open_that_offer_to_the_saving_forgone() -> None:
    # Two bars of 1,000 cost 20, one of 2,000 would cost 15; the merchant who asks 100 for delivery stays out of it.
    offers = [
        builders.offer("Y", 1000, 10),
        builders.offer("K1", 1000, 1, merchant="Far"),
        builders.offer("L", 2000, 15),
    ]
    job = builders.job(
        [A], offers, [builders.offcut("K1", 100)], longest_carry=1500, merchants=[terms("Far", delivery=100)]
    )
    (forgone,) = plan_job(job).forgone
    assert (forgone.offers, forgone.saving) == (("L",), 5 * CURRENCY)


def test_the_saving_forgone_is_mass_where_mass_is_the_goal() -> None:
    parts = [builders.part("A", 3, 500)]
    offers = [builders.offer("Y", 1000, None), builders.offer("L", 1501, None)]
    (forgone,) = plan_job(builders.job(parts, offers, longest_carry=1500)).forgone
    assert (forgone.goal, forgone.saving) == (Goal.MASS, 6_000_000 - 4_503_000)


@pytest.mark.parametrize(
    ("parts", "offers", "settings", "message"),
    [
        ([builders.part("A", 1, 900), builders.part("B", 1, 1200)], [builders.offer("Y", 1000, 10)], {}, "cut into B "),
        ([A], [builders.offer("Y", 1000, 10, available=1)], {}, "too few for the 4 parts"),
        ([A], [LONG], {"longest_carry": 1500}, "longer than the longest carry of 1.5 m"),
        ([builders.part("A", 1, 100)], [builders.offer("Y", 190, 1)], {"safe_hold": 120}, "safe hold"),
    ],
)
def test_why_there_is_no_plan(parts, offers, settings, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(NoPlan, match=message) as refused:
        plan_job(builders.job(parts, offers, **settings))
    assert str(refused.value).startswith("SHS 40x40x3")


def hard(*, delivery: int = 0) -> Job:
    """A small job that only listing closes."""
    wanted = [("A", 4, 37), ("B", 4, 22), ("C", 3, 54), ("D", 2, 57)]
    offers = [builders.offer("P1", 77, 19), builders.offer("P2", 132, 24, merchant="Depot")]
    offcuts = [builders.offcut("K1", 41), builders.offcut("K2", 88)]
    parts = [builders.part(*part) for part in wanted]
    return builders.job(parts, offers, offcuts, merchants=[terms("Depot", delivery=delivery)])


def test_the_time_limit_is_named_and_the_plan_is_whole() -> None:
    job = hard(delivery=3)
    plan = plan_job(job, time_limit=-1.0)
    assert plan.stopped_by == "time limit"
    assert check(job, plan) == ()
    assert plan.status is Status.NOT_PROVEN
    assert plan.bound <= 89 * CURRENCY <= plan.cost
    assert {case.merchants for case in plan.cases} == {(), ("Depot",)}


def test_counters_bind_for_every_group() -> None:
    job = hard()
    assert planned(job).status is Status.RECHECKED
    plan = plan_job(job, limits=Limits(nodes=1, listed=0))
    assert check(job, plan) == ()
    assert plan.status is Status.NOT_PROVEN
    assert plan.groups[0].proof.stopped_by == "node limit"
    assert plan.stopped_by == "", "neither clock nor user decided anything: the plan is the same everywhere"


def test_progress_names_the_group() -> None:
    said: list[str] = []
    plan_job(builders.job([A], [builders.offer("Y", 1000, 10)]), progress=said.append)
    assert said[0] == "SHS 40x40x3 to EN 10219-2, any grade, black: 4 parts"
