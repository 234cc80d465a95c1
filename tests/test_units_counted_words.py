"""One is singular, and large numbers have their thousands marked."""

from __future__ import annotations

import pytest

from cutplan.units import counted


@pytest.mark.parametrize(
    ("number", "plural", "text"), [(0, "", "0 bars"), (1, "", "1 bar"), (1200, "", "1,200 bars"), (2, "feet", "2 feet")]
)
def test_a_number_with_its_noun(number: int, plural: str, text: str) -> None:
    assert counted(number, "bar", plural) == text
