"""The own optimum, on cases worked out by hand and on textbook jobs with their published values."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.published.worked_examples import EXAMPLES, Example
from tests.second_opinion.optimum import Least, least_length, least_money
from tests.second_opinion.shop import MM, MONEY, Part, Shop, Supply, Terms


def part(quantity: int, length: int, grade: str = "") -> Part:
    return Part(f"M{length}{grade}", quantity, "SHS 40x40x3", "black", grade, length * MM)


def bar(name: str, length: int, price: float | None, merchant: str = "Yard", **other: Any) -> Supply:
    nominal, amount = length * MM, None if price is None else round(price * MONEY)
    return Supply(name, "SHS 40x40x3", "black", other.pop("grade", ""), nominal, nominal, amount,
                  other.pop("available", None), merchant, **other)  # fmt: skip


def offcut(length: int, price: float, number: int) -> Supply:
    return bar("K", length, price, "", available=number, mill=(False, False))


LONG = bar("P2", 1000, 10)
BARE = Shop((), (LONG,), kerf=0, end_trim=0, hold=0)


@pytest.mark.parametrize(
    ("why", "shop", "cost"),
    [
        ("two halves of a bar", replace(BARE, parts=(part(2, 500),)), 10),
        ("a kerf keeps them apart", replace(BARE, parts=(part(2, 500),), kerf=MM), 20),
        ("nothing is long enough", replace(BARE, parts=(part(1, 1001),)), None),
        ("two offcuts under one mark", replace(BARE, parts=(part(3, 500),), supplies=(LONG, offcut(500, 1, 2))), 11),
        ("are not three", replace(BARE, parts=(part(3, 500),), supplies=(offcut(500, 1, 2),)), None),
        ("one short bar can be had", replace(BARE, parts=(part(2, 500),), supplies=(
            LONG, bar("P3", 500, 4, available=1))), 10),
        ("a grade wants its own", replace(BARE, parts=(part(1, 500, "S355"), part(1, 500)), supplies=(
            LONG, bar("P3", 1000, 12, grade="s355"))), 12),
        ("per bar, per cut, per set-up", replace(BARE, parts=(part(2, 400), part(1, 200)), work=(
            MONEY, 2 * MONEY, 3 * MONEY)), 10 + 1 + 2 * 2 + 2 * 3),
        ("the merchant cuts in place of that", replace(BARE, parts=(part(2, 400),), work=(MONEY, MONEY, MONEY), terms={
            "Yard": Terms(cuts=True, per_cut=MONEY)}), 10 + 2),
        ("a bill is the larger of minimum and spend, and delivery", replace(BARE, parts=(part(2, 600),), terms={
            "Yard": Terms(delivery=5 * MONEY, minimum=30 * MONEY)}), 35),
        ("from 20 on it is delivered free", replace(BARE, parts=(part(2, 600),), terms={
            "Yard": Terms(delivery=5 * MONEY, free_from=20 * MONEY)}), 20),
        ("below that it is not", replace(BARE, parts=(part(2, 600),), terms={
            "Yard": Terms(delivery=5 * MONEY, free_from=21 * MONEY)}), 25),
        ("400 left are worth 2 a metre", replace(BARE, parts=(part(1, 600),), value_per_m={"SHS": 2 * MONEY}), 9.2),
        ("below the keep length nothing is", replace(BARE, parts=(part(1, 800),), value_per_m={"SHS": 2 * MONEY}), 10),
        ("one of two is kept", replace(BARE, parts=(part(2, 600),), value_per_m={"SHS": 2 * MONEY}, keep_at_most=1),
         19.2),
        ("too long to carry", replace(BARE, parts=(part(2, 300),), carry=900 * MM, supplies=(LONG, bar("P3", 800, 12))),
         12),
        ("unless it is delivered", replace(BARE, parts=(part(2, 300),), carry=900 * MM, supplies=(
            LONG, bar("P3", 800, 12)), terms={"Yard": Terms(delivers=True)}), 10),
    ],
)  # fmt: skip
def test_least_money(why: str, shop: Shop, cost: float | None) -> None:
    found = least_money(shop)
    assert found == (None if cost is None else Least(round(cost * MONEY), round(cost * MONEY))), why


def test_a_group_without_a_price_is_planned_for_the_least_length() -> None:
    shop = replace(BARE, parts=(part(3, 500),), supplies=(bar("P2", 1000, None), bar("P3", 700, 1)))
    (group,) = shop.groups()
    assert least_length(shop, group) == Least(1700 * MM, 1700 * MM)
    assert least_money(shop) == Least(0, 0)


def shop_of(example: Example) -> Shop:
    def lengths(text: str, sign: str) -> list[tuple[int, int]]:
        pairs = [entry.split(sign) for entry in text.split()]
        return [(int(int(length) * example.unit_mm * MM), int(number)) for length, number in pairs]

    parts = [Part(f"M{n}", n_of, "RD 16", "black", "", n) for n, n_of in lengths(example.wanted, "x")]
    supplies = [
        Supply(f"P{n}", "RD 16", "black", "", n, n, price * MONEY, None, "Yard")
        for n, price in lengths(example.stock, "@")
    ]
    return replace(BARE, parts=tuple(parts), supplies=tuple(supplies))


SMALL = [example for example in EXAMPLES if len(example.wanted.split()) <= 5]
"""Few enough lengths for every pattern to be listed at once."""


@pytest.mark.parametrize("example", SMALL, ids=lambda example: example.name)
def test_published_optima(example: Example) -> None:
    assert least_money(shop_of(example)) == Least(example.least_cost, example.least_cost)


def test_the_best_known_textbook_jobs_are_among_them() -> None:
    assert {"gg_5_6_9", "chvatal_100", "ampl_110", "qian_74"} <= {example.name for example in SMALL}
