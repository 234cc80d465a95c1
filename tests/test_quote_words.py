"""A quote in words: nothing of the cost is in what the customer reads."""

from __future__ import annotations

import pytest

from cutplan.costing.costs import cost_of
from cutplan.costing.quote import Quote, quote_of
from cutplan.model import Workshop
from cutplan.words.quote_words import facts_of, item_text, price_lines, quote_text, quote_values
from tests.costed import FIGURES, bench_planned


def offered(*, rate: int = 0, valid_until: str = "", customer: str = "") -> Quote:
    cost = cost_of(*bench_planned(), FIGURES)
    return quote_of(
        cost, number="Q1", customer=customer, day="2031-05-04", valid_until=valid_until, rate=rate, pieces={"frame": 2}
    )


@pytest.mark.parametrize(
    ("valid_until", "customer", "names"),
    [
        ("", "", ["quote", "date"]),
        ("2031-06-01", "Fernhollow; 3 Quarry Lane", ["quote", "for", "date", "valid until"]),
    ],
)
def test_only_what_is_given_is_said(valid_until: str, customer: str, names: list[str]) -> None:
    assert [name for name, _ in facts_of(offered(valid_until=valid_until, customer=customer))] == names


def test_items_and_prices() -> None:
    quote = offered()
    assert [item_text(item) for item in quote.items] == ["frame, 2 pieces of steel", "shelf, bought in"]
    assert price_lines(quote) == [("price", quote.price)]
    assert [name for name, _ in price_lines(offered(rate=210_000))] == [
        "price without tax",
        "tax of 21 %",
        "price with tax",
    ]


def test_text_and_json_say_the_same() -> None:
    quote = offered(customer="Fernhollow", valid_until="2031-06-01")
    text, values = quote_text(quote, "tiny", Workshop()), quote_values(quote, "tiny", Workshop())
    for item in values["items"]:
        assert item["price"] in text
    assert f"left of the price {values['left']}" in text
    assert (values["price"], values["cost"]) == ("203.78", "163.02")
