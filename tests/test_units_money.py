"""Amounts of money in and out."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cutplan.problems import Refused
from cutplan.units import (
    CURRENCY,
    MONEY_FORMS,
    Amount,
    Tax,
    exact_money_text,
    money_text,
    parse_amount,
    parse_money,
    rounded_to_cents,
    unsaid_comma,
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


@pytest.mark.parametrize(
    ("text", "currency", "value", "tax"),
    [
        ("31.50", "EUR", "31.50", Tax.NOT_SAID),
        ("31.50 EUR", "EUR", "31.50", Tax.NOT_SAID),
        ("EUR 31.50", "EUR", "31.50", Tax.NOT_SAID),
        ("€31.50", "EUR", "31.50", Tax.NOT_SAID),
        ("$ 7", "AUD", "7", Tax.NOT_SAID),
        ("£7.25", "GBP", "7.25", Tax.NOT_SAID),
        ("Rs. 450", "INR", "450", Tax.NOT_SAID),
        ("31.50 inc VAT", "GBP", "31.50", Tax.IN),
        ("31.50 incl.", "GBP", "31.50", Tax.IN),
        ("£31.50 including VAT", "GBP", "31.50", Tax.IN),
        ("31.50 ex GST", "AUD", "31.50", Tax.OUT),
        ("31.50 excl. VAT", "GBP", "31.50", Tax.OUT),
        ("31.50 + GST", "NZD", "31.50", Tax.OUT),
        ("31.50 plus sales tax", "USD", "31.50", Tax.OUT),
        ("31.50 USD without tax", "USD", "31.50", Tax.OUT),
    ],
)
def test_an_amount_may_say_its_currency_and_its_tax(text: str, currency: str, value: str, tax: Tax) -> None:
    assert parse_amount(text, currency) == Amount(Fraction(value), tax)


def test_an_amount_follows_the_decimal_sign() -> None:
    assert parse_amount("1.131,50 €", "EUR", ",").value == Fraction("1131.5")
    assert parse_amount("$1,131.50", "USD", ".").value == Fraction("1131.5")


@pytest.mark.parametrize(
    ("text", "accepted", "hint"),
    [
        ("$31.50", "an amount in EUR, the currency of the workshop", ""),
        ("31.50 GBP", "an amount in EUR, the currency of the workshop", ""),
        ("1,200", MONEY_FORMS, unsaid_comma("1,200")),
        ("1,200 EUR", MONEY_FORMS, unsaid_comma("1,200 EUR")),
        ("-3 EUR", MONEY_FORMS, "a negative amount has no meaning here"),
        ("free", MONEY_FORMS, ""),
        ("31.50 each", MONEY_FORMS, ""),
        ("", MONEY_FORMS, ""),
    ],
)
def test_no_amount_of_the_workshop(text: str, accepted: str, hint: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_amount(text, "EUR")
    assert (refusal.value.found, refusal.value.accepted, refusal.value.hint) == (text, accepted, hint)


def test_cents_are_rounded_half_up() -> None:
    assert rounded_to_cents(1_005_000) == 1_010_000
    assert rounded_to_cents(Fraction(1_005_000) - Fraction(1, 1000)) == 1_000_000
