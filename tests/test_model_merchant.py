"""A merchant's terms: what is paid on top of bars, and by which bill."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from cutplan.model import Bill, Brought, Merchant, Workshop


@pytest.mark.parametrize(
    ("terms", "answer"),
    [
        (Merchant(name="N"), False),
        (Merchant(name="N", delivers=True, cut_charge=5), False),
        (Merchant(name="N", delivery=1), True),
        (Merchant(name="N", minimum_order=1), True),
    ],
)
def test_what_a_fixed_charge_is(terms: Merchant, answer: bool) -> None:
    assert Workshop(merchants=(terms,)).charges("N") is answer


@pytest.mark.parametrize(
    ("delivery", "minimum", "free_from", "spend", "on_top"),
    [
        (5, 0, 50, 49, 5),
        (5, 0, 50, 50, 0),
        (5, 60, 50, 50, 10),
        (5, 60, 50, 49, 16),
        (5, 0, 0, 1000, 5),
        (0, 9, 50, 8, 1),
    ],
)
def test_delivery_is_free_from_a_sum_on(delivery: int, minimum: int, free_from: int, spend: int, on_top: int) -> None:
    terms = Merchant(name="Yard", delivery=delivery, minimum_order=minimum, free_delivery_from=free_from)
    assert Workshop(merchants=(terms,)).bill("Yard", spend, 0).on_top(spend) == on_top
    assert len(terms.bills()) == 1 + bool(delivery and free_from)


@pytest.mark.parametrize(("spend", "lacking", "on_top"), [(0, 60, 65), (59, 1, 6), (60, 0, 5), (100, 0, 5)])
def test_what_bars_lack_to_a_minimum_order_is_paid(spend: int, lacking: int, on_top: int) -> None:
    (bill,) = Merchant(name="Yard", delivery=5, minimum_order=60).bills()
    assert bill == Bill(merchant="Yard", delivery=5, minimum=60)
    assert (bill.least, bill.lacking(spend), bill.on_top(spend)) == (60, lacking, on_top)


@pytest.mark.parametrize(("mass", "trips"), [(1, 1), (400, 1), (401, 2), (1200, 3)])
def test_every_payload_begun_is_a_trip(mass: int, trips: int) -> None:
    """Of 400 kg in the trailer and 8 for a trip: 401 kg are fetched in two, for 16."""
    (bill,) = Merchant(name="Yard").bills(trip=8, payload=400)
    assert (bill.trips(mass), bill.on_top(100, mass)) == (trips, 8 * trips)
    assert replace(bill, payload=0).trips(mass) == 1, "without a payload all goes in one"
    assert replace(bill, trip=0).trips(mass) == 0, "trips that cost nothing are not counted"


def _way(bill: Bill) -> str:
    return "fetched" if bill.fetched else "delivered" if bill.delivery else "delivered free"


@pytest.mark.parametrize(
    ("terms", "shop", "ways"),
    [
        ({}, {}, ["delivered"]),
        ({}, {"longest_carry": 1}, ["delivered", "fetched"]),
        ({}, {"payload": 1}, ["delivered", "fetched"]),
        ({}, {"trip_cost": 1}, ["delivered", "fetched"]),
        ({"free_delivery_from": 9}, {"trip_cost": 1}, ["delivered", "delivered free", "fetched"]),
        ({"brought": Brought.DELIVERED}, {"trip_cost": 1}, ["delivered"]),
        ({"brought": Brought.FETCHED}, {"trip_cost": 1}, ["fetched"]),
        ({"brought": Brought.FETCHED}, {}, ["fetched"]),
    ],
)
def test_an_order_may_come_either_way_where_something_is_said_of_fetching(
    terms: dict[str, Any], shop: dict[str, Any], ways: list[str]
) -> None:
    made = Workshop(merchants=(Merchant(name="Yard", delivers=True, delivery=5, **terms),), **shop)
    words = [
        "fetched" if bill.fetched else "delivered free" * (not bill.delivery) or "delivered"
        for bill in made.bills("Yard")
    ]
    assert words == ways
    assert made.is_weighed("Yard") is (ways[0] != ways[-1] and "fetched" in ways)
    assert made.charges("Yard") is (ways != ["fetched"] or "trip_cost" in shop)


def test_who_does_not_deliver_is_driven_to_unless_it_charges_a_delivery() -> None:
    made = Workshop(merchants=(Merchant(name="Depot", delivery=5),), trip_cost=8)
    assert [bill.on_top(0, 1) for bill in made.bills("Depot")] == [5]
    assert [bill.on_top(0, 1) for bill in made.bills("Yard")] == [8], "one without terms of its own"
    assert made.charges("Yard")


def test_a_workshop_where_orders_come_as_they_do() -> None:
    north = Merchant(name="North", delivers=True, delivery=5, free_delivery_from=9)
    made = Workshop(merchants=(north, replace(north, name="South"), Merchant(name="West")), trip_cost=8)
    found = made.as_brought(["South", "West"])
    assert [(one.delivers, one.delivery) for one in found.merchants] == [(True, 5), (False, 0), (False, 0)]
    assert not any(found.is_weighed(one.name) for one in found.merchants)
    assert found.as_brought([]) is found, "there is nothing left to settle"
