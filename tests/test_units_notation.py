"""Numbers as people type them."""

from __future__ import annotations

from decimal import Decimal

import pytest

from cutplan.problems import Refused
from cutplan.units import (
    QUANTITY_FORMS,
    parse_decimal,
    parse_quantity,
    tidy_text,
)


def test_tidying_writes_glyphs_out() -> None:
    assert tidy_text("  47½  ″ ") == '47 1/2 "'
    assert tidy_text("¾’") == "3/4'"


@pytest.mark.parametrize(
    ("text", "value"), [("31.50", "31.50"), ("7", "7"), (".5", "0.5"), ("7.", "7"), ("0", "0"), (" 12 ", "12")]
)
def test_decimal_is_read(text: str, value: str) -> None:
    assert parse_decimal(text, "a number") == Decimal(value)


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("", ""),
        ("twelve", ""),
        ("1,5", "a comma may stand for thousands or for decimals: write 1200 or 1.2"),
        ("1O", "letter O where a digit is expected"),
        ("-3", "a negative amount has no meaning here"),
        ("1e5", ""),
        ("nan", ""),
        ("inf", ""),
        ("9" * 5000, ""),
    ],
)
def test_decimal_is_refused(text: str, hint: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_decimal(text, "a number")
    assert (refusal.value.found, refusal.value.accepted, refusal.value.hint) == (text, "a number", hint)


@pytest.mark.parametrize(("text", "quantity"), [("4", 4), ("4.0", 4), (" 12 ", 12), ("100000", 100_000)])
def test_quantity_is_read(text: str, quantity: int) -> None:
    assert parse_quantity(text) == quantity


@pytest.mark.parametrize("text", ["", "0", "2.5", "-1", "100001", "four", "1,000", "9" * 5000])
def test_quantity_is_refused(text: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_quantity(text)
    assert (refusal.value.found, refusal.value.accepted) == (text, QUANTITY_FORMS)


def test_quantity_hints_at_letters() -> None:
    with pytest.raises(Refused) as refusal:
        parse_quantity("1O")
    assert refusal.value.hint == "letter O where a digit is expected"
