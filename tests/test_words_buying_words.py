"""What a merchant charges beside the bars."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Any

import openpyxl
import pytest

from cutplan.model import Merchant, as_brought
from cutplan.model.totals import totals_of
from cutplan.planning import plan_job
from cutplan.reports.paper.buying import buy_sheet
from cutplan.reports.rows import rows_of
from cutplan.reports.terminal.plan_text import summary
from cutplan.reports.workbook.plan_xlsx import workbook_bytes
from cutplan.units import CURRENCY, INCH, KG, MILLIMETRES, MM, Printing
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


@pytest.mark.parametrize(
    ("charge", "free", "lines"),
    [
        (2, 0, [("2 cuts made to be carried", 4)]),
        (2, 1, [("2 cuts made to be carried, 1 of them free", 2)]),
        (2, 2, [("2 cuts made to be carried, free", 0)]),
        (2, 5, [("2 cuts made to be carried, free", 0)]),
        (0, 5, []),
    ],
)
def test_what_cuts_for_the_carry_come_to(charge: int, free: int, lines: list[tuple[str, int]]) -> None:
    """Two bars of 2000, each cut once for a carry of 1100. A cut that is free says so, where cuts are charged for."""
    yard = Merchant(name="Yard", cuts_to_carry=True, carry_cut_charge=charge * CURRENCY, carry_cuts_free=free)
    offers = [builders.offer("P", 2000, 10, merchant="Yard")]
    job = builders.job([builders.part("A", 4, 900)], offers, merchants=[yard], longest_carry=1100)
    (order,) = totals_of(job, plan_job(job)).orders
    assert [(text, money // CURRENCY) for text, money in buying_words.all_charge_lines(order, yard)] == lines


def test_cuts_of_what_has_no_price_are_left_out_and_told() -> None:
    """A bar of either section is cut once; only one of them has a price, and its cut alone is in the sum."""
    yard = Merchant(name="Yard", cuts_to_carry=True, carry_cut_charge=2 * CURRENCY)
    other = builders.square_tube(50)
    offers = [builders.offer("P", 2000, 10), builders.offer("Q", 2000, None, section=other)]
    parts = [builders.part("A", 2, 900), builders.part("B", 2, 900, section=other)]
    job = builders.job(parts, offers, merchants=[yard], longest_carry=1100)
    (order,) = totals_of(job, plan_job(job)).orders
    assert buying_words.all_charge_lines(order, yard) == [("2 cuts made to be carried, 1 left out", 2 * CURRENCY)]


def test_how_near_to_its_order_a_piece_is_to_be() -> None:
    some, none = (Merchant(name="Yard", carry_tolerance=tolerance * MM) for tolerance in (5, 0))
    coarse = Printing("in", INCH // 8, "lb")
    told = buying_words.tolerance_text
    assert told(some, MILLIMETRES) == "no piece longer than ordered, none more than 5 mm shorter"
    assert told(some, coarse) == "no piece longer than ordered, none more than ~13/64 in shorter"
    assert told(none, MILLIMETRES) == "no piece longer or shorter than ordered"


@pytest.mark.parametrize(
    ("terms", "trip", "payload", "text", "said"),
    [
        ({}, 0, 0, "to be fetched", False),
        ({}, 8, 0, "to be fetched in one trip, counted at 8.00 EUR", True),
        ({}, 8, 4, "to be fetched in 2 trips, counted at 16.00 EUR", True),
        ({"delivers": True, "delivery": 20 * CURRENCY}, 8, 4, "to be fetched in 2 trips, counted at 16.00 EUR", True),
        ({"delivers": True, "delivery": 15 * CURRENCY}, 8, 4, "delivered", True),
    ],
)
def test_how_an_order_comes(terms: dict[str, Any], trip: int, payload: int, text: str, said: bool) -> None:
    """Two bars of 1000 weigh 6 kg."""
    yard = Merchant(name="Yard", **terms)
    made = builders.job([builders.part("A", 2, 1000)], [builders.offer("P", 1000, 10)], merchants=[yard])
    made = replace(made, workshop=replace(made.workshop, trip_cost=trip * CURRENCY, payload=payload * KG))
    plan = plan_job(made)
    (order,) = totals_of(made, plan).orders
    settled = as_brought(made, plan).workshop
    assert buying_words.comes_text(order, settled.merchant("Yard"), "EUR") == text
    assert buying_words.is_said(order) is said
    assert totals_of(made, plan).money.trips == order.trip_cost


@pytest.mark.parametrize(("free_from", "said"), [(0, "25.00 EUR"), (500, "25.00 EUR at most")])
def test_delivery_of_an_order_without_a_price_is_said_not_to_be_counted(free_from: int, said: str) -> None:
    """Northgate charges 25 for delivery; no price of what is ordered there is known. Yard's 15 are in the sums."""
    job = builders.job(
        [builders.part("A", 1, 1000), builders.part("B", 1, 1000, section=builders.square_tube(50))],
        [
            builders.offer("P", 1000, 10, merchant="Yard"),
            builders.offer("Q", 1000, None, section=builders.square_tube(50), merchant="Northgate"),
        ],
        merchants=[
            Merchant(name="Yard", delivery=15 * CURRENCY),
            Merchant(name="Northgate", delivery=25 * CURRENCY, free_delivery_from=free_from * CURRENCY),
        ],
    )
    plan = plan_job(job)
    rows = rows_of(job, plan)
    assert rows.totals.money.delivery == 15 * CURRENCY
    assert rows.not_counted == (f"delivery by Northgate, {said}",)
    printed = buy_sheet(rows, "1a2b3c4d")["parts"][-1]["after"]
    assert printed[-1] == f"Not in the amounts: delivery by Northgate, {said}."
    assert f"Not counted        delivery by Northgate, {said}" in summary(job, plan, 80)
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(job, plan)))
    assert printed[-1] in [cell.value for row in book["Buy"].iter_rows() for cell in row]
