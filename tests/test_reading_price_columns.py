"""How many a merchant has, as typed."""

from __future__ import annotations

import pytest

from cutplan.problems import Refused
from cutplan.reading.lists.price_columns import AVAILABLE_FORMS, parse_available


@pytest.mark.parametrize(("text", "number"), [("0", 0), ("1", 1), ("12", 12), ("100000", 100_000)])
def test_available(text: str, number: int) -> None:
    assert parse_available(text) == number


@pytest.mark.parametrize("text", ["-1", "2.5", "some", "100001"])
def test_what_is_no_such_number(text: str) -> None:
    with pytest.raises(Refused) as refused:
        parse_available(text)
    assert (refused.value.accepted, refused.value.code) == (AVAILABLE_FORMS, "price.available")
