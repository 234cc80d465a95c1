"""What a merchant charges beside the bars."""

from __future__ import annotations

import pytest

from cutplan.model import Merchant
from cutplan.model.totals import totals_of
from cutplan.planning import plan_job
from cutplan.units import CURRENCY
from cutplan.words import buying_words
from tests import builders


@pytest.mark.parametrize(
    ("free_from", "quantity", "lines"),
    [
        (0, 2, [("delivery", 15), ("to make up the minimum order", 5)]),
        (20, 2, [("delivery, free from 20.00", 0), ("to make up the minimum order", 5)]),
        (21, 3, [("delivery, free from 21.00", 0)]),
        (31, 3, [("delivery, free from 31.00", 15)]),
    ],
)
def test_what_a_merchant_charges_on_top(free_from: int, quantity: int, lines: list[tuple[str, int]]) -> None:
    """Bars of 1000 for 10; the minimum order is 25."""
    yard = Merchant(
        name="Yard", delivery=15 * CURRENCY, minimum_order=25 * CURRENCY, free_delivery_from=free_from * CURRENCY
    )
    offers = [builders.offer("P", 1000, 10, merchant="Yard")]
    job = builders.job([builders.part("A", quantity, 1000)], offers, merchants=[yard])
    (order,) = totals_of(job, plan_job(job)).orders
    assert [(text, money // CURRENCY) for text, money in buying_words.charge_lines(order, yard)] == lines
