"""A quote from a cost: what it expects by assembly adds up."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.costing.costs import cost_of
from cutplan.costing.quote import Quote, quote_of
from tests.costed import FIGURES, PAINT, bench_planned


@pytest.fixture(scope="module")
def quote() -> Quote:
    figures = replace(FIGURES, coats=(PAINT,), included="delivery;  ; fitting")
    cost = cost_of(*bench_planned(), figures)
    pieces = {"frame": 2, "shelf": 1}
    return quote_of(cost, number="Q1", customer="Fernhollow", day="2031-05-04", valid_until="", rate=0, pieces=pieces)


def test_items_add_up(quote: Quote) -> None:
    for name in ("materials", "work", "minutes", "cost", "price"):
        assert sum(getattr(item, name) for item in quote.items) == getattr(quote, name), name


def test_materials_by_hand(quote: Quote) -> None:
    """60.00 of steel and two hinges of 5.00."""
    assert quote.materials == 70_000_000
    assert quote.included == ("delivery", "fitting")
    assert [item.pieces for item in quote.items] == [2, 1]
    assert quote.to_pay == quote.price + quote.tax
