"""How orders come and what is driven for, by the checker."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from cutplan.checking import check
from cutplan.checking.fetching import (
    bought_mass,
    delivery,
    is_driven_to,
    may_be_fetched,
    one_way,
    trips,
    trips_at_least,
    weighed,
    where_priced,
)
from cutplan.model import Brought, Job, Merchant, Plan, Status, groups_of
from cutplan.planning import plan_job
from cutplan.units import CURRENCY, KG
from tests import builders

DEPOT = Merchant(name="Depot", delivers=True, delivery=20 * CURRENCY)


def two_ways(trip: int = 8, payload: int = 0, longest_carry: int = 6000, **terms: Any) -> Job:
    """Four of 2.9 m from the Depot: a bar of 12 m for 40, delivered for 20, or two of 6 m for 44, to be fetched.

    The tube weighs 3 kg a metre.
    """
    made = builders.job(
        [builders.part("A", 4, 2900)],
        [builders.offer("L", 12000, 40, merchant="Depot"), builders.offer("S", 6000, 22, merchant="Depot")],
        longest_carry=longest_carry,
        merchants=[replace(DEPOT, **terms)],
    )
    return replace(made, workshop=replace(made.workshop, trip_cost=trip * CURRENCY, payload=payload * KG))


@pytest.mark.parametrize(
    ("settings", "cost", "fetched"),
    [
        ({}, 44 + 8, True),
        ({"trip": 16}, 40 + 20, False),  # either way
        ({"trip": 20}, 40 + 20, False),
        ({"payload": 20}, 44 + 2 * 8, False),  # 36 kg are two trips: either way
        ({"payload": 20, "trip": 7}, 44 + 2 * 7, True),
        ({"payload": 12, "trip": 5}, 44 + 3 * 5, True),
        ({"payload": 11, "trip": 5}, 40 + 20, False),  # four trips
        ({"brought": Brought.DELIVERED}, 60, False),
        ({"trip": 30, "brought": Brought.FETCHED}, 74, False),  # there is nothing to choose
        ({"free_delivery_from": 40 * CURRENCY}, 40, False),
        ({"longest_delivered": builders.mm(6000)}, 52, True),
        ({"longest_carry": 0}, 40 + 8, True),
    ],
)
def test_an_order_comes_the_cheaper_way(settings: dict[str, Any], cost: int, fetched: bool) -> None:
    """Worked by hand: two bars of 6 m weigh 36 kg, as one of 12 m does."""
    made = two_ways(**settings)
    plan = plan_job(made)
    assert check(made, plan) == ()
    assert plan.status is not Status.NOT_PROVEN
    assert plan.cost == cost * CURRENCY
    if cost != 60:
        assert plan.fetched == (("Depot",) if fetched else ())


def told(made: Job, plan: Plan) -> str:
    return "\n".join(check(made, plan))


def test_what_a_plan_says_of_fetching_is_held_to_its_bars() -> None:
    made = two_ways()
    plan = plan_job(made)
    assert "the plan costs 52 EUR by its statement, 64 EUR by its bars and charges" in told(
        made, replace(plan, fetched=())
    )
    assert "the order from Yard is said to be fetched" in told(made, replace(plan, fetched=("Depot", "Yard")))
    assert "is said to be fetched twice" in told(made, replace(plan, fetched=("Depot", "Depot")))
    dear = two_ways(trip=20)
    delivered = plan_job(dear)
    assert "longer than the longest carry" in told(dear, replace(delivered, fetched=("Depot",)))


def test_a_case_for_each_way_is_wanted() -> None:
    made = two_ways()
    plan = plan_job(made)
    assert sorted((case.merchants, case.fetched) for case in plan.cases) == [
        ((), ()), (("Depot",), ()), (("Depot",), ("Depot",)),
    ]  # fmt: skip
    for left_out in plan.cases:
        rest = tuple(case for case in plan.cases if case is not left_out)
        assert "no case covers buying from" in told(made, replace(plan, cases=rest))
    wrong = tuple(replace(case, fetched=("Yard",)) for case in plan.cases)
    assert "Yard is not bought from, or its order comes one way only" in told(made, replace(plan, cases=wrong))
    cheap = tuple(replace(case, charges=case.charges + 1) if case.fetched else case for case in plan.cases)
    assert "its deliveries and trips at least come to 8 EUR" in told(made, replace(plan, cases=cheap))


@pytest.mark.parametrize(("mass", "payload", "number"), [(1, 0, 1), (400, 400, 1), (401, 400, 2), (1201, 400, 4)])
def test_trips(mass: int, payload: int, number: int) -> None:
    made = two_ways(payload=payload)
    assert trips(made, mass * KG) == number


def test_what_is_driven_for_at_least() -> None:
    """Parts of 11.6 m weigh 34.8 kg: at 20 kg two trips, unless some of it may come otherwise."""
    made = one_way(two_ways(payload=20), ["Depot"])
    groups = groups_of(made)
    assert trips_at_least(made, groups, ["Depot"], [{"L", "S"}].__getitem__) == 2
    assert trips_at_least(made, groups, [], [{"L", "S"}].__getitem__) == 0
    assert trips_at_least(one_way(two_ways(), ["Depot"]), groups, ["Depot"], [{"S"}].__getitem__) == 1
    assert trips_at_least(one_way(two_ways(payload=20), ()), groups, ["Depot"], [{"L", "S"}].__getitem__) == 0
    yard = builders.offer("Y", 6000, 30)
    other = replace(made, offers=(*made.offers, yard), workshop=replace(made.workshop, merchants=(
        *made.workshop.merchants, Merchant(name="Yard", delivers=True, brought=Brought.DELIVERED))))  # fmt: skip
    assert trips_at_least(other, groups_of(other), ["Depot"], [{"S", "Y"}].__getitem__) == 1
    rack = replace(made, offcuts=(builders.offcut("K", 6000),))
    assert trips_at_least(rack, groups_of(rack), ["Depot"], [{"S"}].__getitem__) == 1


def test_who_may_be_driven_to() -> None:
    made = two_ways()
    assert weighed(made) == {"Depot"}
    assert may_be_fetched(made, "Depot")
    assert may_be_fetched(made, "Yard")
    quiet = two_ways(trip=0, longest_carry=0)
    assert weighed(quiet) == frozenset()
    assert not may_be_fetched(quiet, "Depot")
    fetched, delivered = one_way(made, ["Depot"]), one_way(made, ())
    assert (delivery(fetched, "Depot"), is_driven_to(fetched, "Depot")) == (0, True)
    assert (delivery(delivered, "Depot"), is_driven_to(delivered, "Depot")) == (20 * CURRENCY, False)
    assert is_driven_to(made, "Yard")
    assert not is_driven_to(quiet, "Yard")


def test_without_a_price_whoever_delivers_delivers() -> None:
    made = two_ways()
    side = builders.square_tube(50)
    unpriced = replace(
        made,
        parts=(*made.parts, builders.part("B", 1, 2900, section=side)),
        offers=(*made.offers, builders.offer("U", 6000, None, merchant="Depot", section=side)),
    )
    assert weighed(where_priced(unpriced, groups_of(unpriced))) == frozenset()
    assert where_priced(made, groups_of(made)) is made
    plan = plan_job(unpriced)
    assert check(unpriced, plan) == ()
    assert (plan.cost, plan.fetched) == (60 * CURRENCY, ())


def test_what_is_bought_weighs() -> None:
    made = two_ways()
    assert bought_mass(groups_of(made), plan_job(made)) == {"Depot": 36 * KG}
