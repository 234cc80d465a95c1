"""Whole numbers, their scales and their rounding."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cutplan.units import (
    FOOT,
    INCH,
    KG,
    METRE,
    MM,
    POUND_IN_KG,
    TONNE,
    UM,
    ceil_div,
    round_half_up,
)


def test_inch_and_pound_are_those_of_1959() -> None:
    # International yard and pound agreement of 1959; NIST Special Publication 811 (2008), appendix B:
    # 1 in = 25.4 mm, 1 ft = 304.8 mm, 1 lb = 0.45359237 kg, all exact.
    assert Fraction(INCH, MM) == Fraction("25.4")
    assert Fraction(FOOT, MM) == Fraction("304.8")
    assert Fraction("0.45359237") == POUND_IN_KG


def test_scales_fit_together() -> None:
    assert (UM, MM, METRE) == (10**3, 10**6, 10**9)
    assert (KG, TONNE) == (10**6, 10**9)
    assert INCH % 64 == 0


@pytest.mark.parametrize(("value", "rounded"), [("0.5", 1), ("0.49", 0), ("1.5", 2), ("2", 2), ("2.51", 3)])
def test_halves_are_rounded_up(value: str, rounded: int) -> None:
    assert round_half_up(Fraction(value)) == rounded


@pytest.mark.parametrize(("value", "step", "up"), [(0, 3, 0), (1, 3, 1), (3, 3, 1), (4, 3, 2)])
def test_division_rounded_up(value: int, step: int, up: int) -> None:
    assert ceil_div(value, step) == up
