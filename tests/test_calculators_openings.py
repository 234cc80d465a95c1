"""Sizes as typed: two lengths in workshop notation with an x between them."""

from __future__ import annotations

import pytest

from cutplan.calculators.openings import SIZE_FORMS, parse_size
from cutplan.problems import Refused
from cutplan.units import INCH, MM


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("1000 x 800", "mm", (1000 * MM, 800 * MM)),
        ("1000x800", "mm", (1000 * MM, 800 * MM)),
        ("1.2 m X 800 mm", "in", (1200 * MM, 800 * MM)),
        ('40" × 32 1/2"', "mm", (40 * INCH, 32 * INCH + INCH // 2)),
        ("40 x 30", "in", (40 * INCH, 30 * INCH)),
    ],
)
def test_sizes_read(text: str, unit: str, expected: tuple[int, int]) -> None:
    assert parse_size(text, unit) == expected


@pytest.mark.parametrize("text", ["1000", "1000 x 800 x 600", "1,000 x 800", "a x b", ""])
def test_sizes_refused(text: str) -> None:
    with pytest.raises(Refused) as refused:
        parse_size(text, "mm")
    assert refused.value.accepted == SIZE_FORMS


def test_examples_accepted_are_accepted() -> None:
    for example in ("1000 x 800", "1.2 m x 800 mm", '40" x 32 1/2"'):
        assert example in SIZE_FORMS
        parse_size(example, "mm")
