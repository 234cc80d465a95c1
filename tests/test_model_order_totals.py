"""What is ordered, against sums done by hand."""

from __future__ import annotations

from cutplan.model import Merchant
from cutplan.model.totals import totals_of
from cutplan.units import KG
from tests.builders import job, offer, part, square_tube
from tests.first_fit import first_fit_plan
from tests.frame_totals import euros, planned


def test_orders_follow_the_price_list() -> None:
    tiny = job(
        [part("P1", 3, 1000), part("P2", 1, 600)],
        [
            offer("B", 600, 4, merchant="Yard"),
            offer("A", 1000, 10, merchant="Northgate"),
            offer("C", 1000, 11, merchant="Yard", available=1),
        ],
        merchants=[Merchant(name="Northgate", delivery=euros("5"), minimum_order=euros("40"))],
    )
    yard, north = planned(tiny).orders
    assert [(line.offer, line.count, line.money) for line in yard.lines] == [("B", 1, euros("4"))]
    assert [(line.offer, line.count, line.money, line.mass) for line in north.lines] == [("A", 3, euros("30"), 9 * KG)]
    assert (yard.delivery, yard.shortfall, yard.money) == (0, 0, euros("4"))
    assert (north.delivery, north.shortfall, north.money) == (euros("5"), euros("10"), euros("45"))


def test_order_lines_are_rounded_once_and_add_up_to_what_is_paid() -> None:
    """20.004, 13.334 and 6.684 are 40.022 to the proof, and 20.00, 13.33 and 6.68, so 40.01, on every sheet."""
    sides = (40, 50, 60)
    parts = [part(f"P{side}", 1, 900, section=square_tube(side), assembly=f"frame {side}") for side in sides]
    prices = zip(sides, ("20.004", "13.334", "6.684"), strict=True)
    tiny = job(parts, [offer(f"A{side}", 1000, price, section=square_tube(side)) for side, price in prices])
    plan = first_fit_plan(tiny)
    totals = totals_of(tiny, plan)
    assert plan.cost == euros("40.022")
    lines = [line.money for order in totals.orders for line in order.lines]
    assert lines == [euros("20"), euros("13.33"), euros("6.68")]
    assert [total.money for total in totals.sections] == lines
    assert [total.money for total in totals.assemblies] == lines
    assert totals.money.to_pay == totals.money.bars == euros("40.01")
    assert totals.money.work == 0, "what is rounded off is no work"


def test_a_minimum_order_is_made_up_from_what_is_printed() -> None:
    tiny = job(
        [part("P", 1, 900)],
        [offer("A", 1000, "9.996")],
        merchants=[Merchant(name="Yard", minimum_order=euros("12.5"), delivery=euros("2.005"))],
    )
    (order,) = planned(tiny).orders
    assert (order.bars, order.shortfall, order.delivery) == (euros("10"), euros("2.5"), euros("2.01"))
