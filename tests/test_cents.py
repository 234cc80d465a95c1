"""Cents that add up, as tables of cases worked by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cutplan.costing.cents import shares_of, whole_cents, whole_numbers_of, whole_shares
from cutplan.units import CENT


@pytest.mark.parametrize(
    ("exact", "expected"),
    [
        # Whole ones stay as they are.
        ([2000, 1333, 668], [2000, 1333, 668]),
        # 20.00 + 13.335 + 6.685 is 40.02: each half cent rounded by itself would make 40.03, each dropped 40.01.
        ([2000, Fraction(13335, 10), Fraction(6685, 10)], [2000, 1334, 668]),
        ([Fraction(4000, 3)] * 3, [1334, 1333, 1333]),
        # A third and two thirds: the larger remainder has the cent.
        ([Fraction(1, 3), Fraction(2, 3)], [0, 1]),
        # What is taken off is rounded with the rest.
        ([Fraction(5, 2), Fraction(-1, 2)], [3, -1]),
        ([Fraction(1, 2)], [1]),
        ([], []),
        ([0, 0], [0, 0]),
    ],
)
def test_rounded_figures_add_up(exact: list[Fraction | int], expected: list[int]) -> None:
    found = whole_numbers_of(exact)
    assert found == expected
    assert 2 * abs(sum(found) - Fraction(sum(exact))) <= 1
    assert whole_cents([figure * CENT for figure in exact]) == [figure * CENT for figure in expected]


@pytest.mark.parametrize(
    ("number", "weights", "expected"),
    [
        (4002, [3, 2, 1], [2001, 1334, 667]),
        (100, [1, 1, 1], [34, 33, 33]),
        (-100, [1, 1, 1], [-33, -33, -34]),
        (7, [0, 0], [7, 0]),
        (7, [0, 2], [0, 7]),
        (0, [], []),
    ],
)
def test_shares_add_up(number: int, weights: list[int], expected: list[int]) -> None:
    assert whole_shares(number, weights) == expected
    assert shares_of(number * CENT, weights) == [share * CENT for share in expected]
