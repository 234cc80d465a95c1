"""Roots and quotients: nearest, exact for squares, rounded up only where something is left."""

from __future__ import annotations

from decimal import Decimal, localcontext

import pytest

from cutplan.calculators.exact import hypotenuse, nearest_root, quotient, saw_angle, to_saw_up
from cutplan.units import DEGREE, INCH, MM


@pytest.mark.parametrize("value", [0, 1, 2, 3, 6, 7, 12, 13, 10**30, 10**30 + 1, 2 * 10**25])
def test_nearest_root_is_what_long_decimals_round_to(value: int) -> None:
    with localcontext() as context:
        context.prec = 60
        assert nearest_root(value) == int(Decimal(value).sqrt().quantize(Decimal(1)))


def test_hypotenuse_of_a_metre_square() -> None:
    assert hypotenuse(1000 * MM, 1000 * MM) == 1_414_213_562


def test_quotient_rounds_halves_up() -> None:
    assert [quotient(n, 2) for n in (1, 2, 3)] == [1, 1, 2]


def test_saw_angle_to_a_hundredth_of_a_degree() -> None:
    assert saw_angle(1, 1) == 45 * DEGREE
    assert saw_angle(3, 4) == 3687 * DEGREE // 100


@pytest.mark.parametrize(
    ("length", "unit", "expected"),
    [
        (1000 * MM, "mm", 1000 * MM),
        (1000 * MM + 2, "mm", 1000 * MM),
        (1000 * MM + 50, "mm", 1000 * MM + 100_000),
        (INCH + 1000, "in", INCH + INCH // 64),
        (INCH, "in", INCH),
    ],
)
def test_rounded_up_to_what_a_saw_can_be_set_to(length: int, unit: str, expected: int) -> None:
    assert to_saw_up(length, unit) == expected
