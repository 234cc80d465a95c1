"""A merchant's terms: what is paid on top of bars, and by which bill."""

from __future__ import annotations

import pytest

from cutplan.model import Bill, Merchant


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
    assert terms.has_fixed_charge is answer


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
    assert terms.bill(spend).on_top(spend) == on_top
    assert len(terms.bills) == 1 + bool(delivery and free_from)


@pytest.mark.parametrize(("spend", "lacking", "on_top"), [(0, 60, 65), (59, 1, 6), (60, 0, 5), (100, 0, 5)])
def test_what_bars_lack_to_a_minimum_order_is_paid(spend: int, lacking: int, on_top: int) -> None:
    bill = Merchant(name="Yard", delivery=5, minimum_order=60).bill(spend)
    assert bill == Bill(merchant="Yard", delivery=5, minimum=60)
    assert (bill.least, bill.lacking(spend), bill.on_top(spend)) == (60, lacking, on_top)
