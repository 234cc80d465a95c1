"""Lengths and masses as the workshop reads them."""

from __future__ import annotations

import pytest

from cutplan.units import (
    FOOT,
    INCH,
    METRE,
    MM,
    kg_text,
    length_text,
    mm_text,
)


@pytest.mark.parametrize(
    ("length", "text"),
    [
        (1_200_500_000, "1200.5"),
        (1, "0.000001"),
        (0, "0"),
        (12 * METRE, "12000"),
        (100 * MM, "100"),
        (INCH // 64, "0.396875"),
    ],
)
def test_exact_millimetres(length: int, text: str) -> None:
    assert mm_text(length) == text


@pytest.mark.parametrize(
    ("length", "unit", "text"),
    [
        (1_200_500_000, "mm", "1200.5 mm"),
        (1_200_000_000, "mm", "1200 mm"),
        (1_587_500, "mm", "1.6 mm"),
        (0, "mm", "0 mm"),
        (6_500 * MM, "m", "6.5 m"),
        (6 * METRE, "m", "6 m"),
        (6_000_400_000, "m", "6 m"),
        (47 * INCH + INCH // 4, "in", "47 1/4 in"),
        (INCH // 2, "in", "1/2 in"),
        (3 * INCH, "in", "3 in"),
        (0, "in", "0 in"),
        (10 * MM, "in", "~25/64 in"),
        (-INCH // 2, "in", "-1/2 in"),
        (47 * INCH + INCH // 4, "ft", "3 ft 11 1/4 in"),
        (20 * FOOT, "ft", "20 ft"),
        (INCH // 2, "ft", "1/2 in"),
        (1000 * MM, "ft", "~3 ft 3 3/8 in"),
        (FOOT - 1000, "ft", "~1 ft"),
        (2 * FOOT - 1000, "ft", "~2 ft"),
        (-(FOOT + INCH), "ft", "-1 ft 1 in"),
    ],
)
def test_length_as_the_workshop_reads_it(length: int, unit: str, text: str) -> None:
    assert length_text(length, unit) == text


def test_length_without_its_unit() -> None:
    assert length_text(1_200_500_000, with_unit=False) == "1200.5"
    assert length_text(47 * INCH + INCH // 4, "in", with_unit=False) == "47 1/4"


def test_unknown_unit_of_a_text_is_a_mistake_in_the_program() -> None:
    with pytest.raises(ValueError, match="furlong"):
        length_text(MM, "furlong")


def test_kilograms_are_rounded_to_the_places_asked_for() -> None:
    assert kg_text(27_625_000) == "27.6"
    assert kg_text(27_650_000) == "27.7"
    assert kg_text(27_625_000, 0) == "28"
