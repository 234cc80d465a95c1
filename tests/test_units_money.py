"""Amounts of money in and out."""

from __future__ import annotations

import pytest

from cutplan.problems import Refused
from cutplan.units import (
    CURRENCY,
    exact_money_text,
    money_text,
    parse_money,
)


def test_money_is_rounded_once_to_a_millionth() -> None:
    assert parse_money("31.50") == 31_500_000
    assert parse_money("0.0000004") == 0
    assert parse_money("0.0000005") == 1
    assert parse_money("10000000") == 10_000_000 * CURRENCY
    with pytest.raises(Refused, match="up to 10000000"):
        parse_money("10000000.01")
    with pytest.raises(Refused):
        parse_money("$31.50")


def test_texts_of_money() -> None:
    assert money_text(31_500_000) == "31.50"
    assert money_text(-31_505_000) == "-31.51"
    assert money_text(-1) == "0.00"
    assert money_text(5_000, 0) == "0"
    assert exact_money_text(31_500_000) == "31.5"
    assert exact_money_text(1) == "0.000001"
    assert exact_money_text(-2_000_000) == "-2"
