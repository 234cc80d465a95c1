"""Exact decimals: the shortest text of every whole number of millionths, and no other spelling."""

from __future__ import annotations

import pytest

from cutplan.fields.decimals import decimal_text, millionths


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0, "0"),
        (1, "0.000001"),
        (-1, "-0.000001"),
        (1_200_500_000, "1200.5"),
        (12_000_000_000, "12000"),
        (31_500_000, "31.5"),
        (-250_000, "-0.25"),
        (10**30 + 1, "1000000000000000000000000.000001"),
    ],
)
def test_text_and_value(value: int, text: str) -> None:
    assert decimal_text(value) == text
    assert millionths(text) == value


@pytest.mark.parametrize(
    "text",
    [
        "",
        "-",
        "1.",
        ".5",
        "1.50",
        "01",
        "-0",
        "1e3",
        "1.0000001",
        " 1",
        "1,5",
        "+1",
        "--1",
        "١",
        "1\n",
        "1_0",
    ],
)
def test_other_spellings_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"exact decimal|shortest spelling"):
        millionths(text)
