"""Diagonals of frames, against right triangles that are known."""

from __future__ import annotations

import pytest

from cutplan.reports.diagonals import diagonal, frame_words
from cutplan.units import MILLIMETRES, MM
from tests import builders


@pytest.mark.parametrize(("one", "other", "corner"), [(3, 4, 5), (5, 12, 13), (8, 15, 17), (20, 21, 29)])
def test_pythagorean_triples(one: int, other: int, corner: int) -> None:
    """Euclid, Elements, book X, lemma 1 to proposition 29: sides of right triangles in whole numbers."""
    assert diagonal(one * 100 * MM, other * 100 * MM) == corner * 100 * MM


def test_a_diagonal_is_rounded_to_the_nearest() -> None:
    assert diagonal(1, 1) == 1
    assert diagonal(2, 2) == 3
    assert diagonal(1000 * MM, 1000 * MM) == 1_414_213_562, "square root of two, 1.414213562373"


def test_a_frame_is_told_by_its_mitred_pairs() -> None:
    sides = [builders.part("A", 2, 1200, mitres=(45, 45)), builders.part("B", 2, 500, mitres=(45, 45))]
    assert frame_words([*sides, builders.part("C", 1, 900)], MILLIMETRES) == [
        "Frame of A and B, 1200 x 500 mm outside: both diagonals 1300 mm, corner to corner outside."
    ]


def test_four_alike_make_a_square() -> None:
    (words,) = frame_words([builders.part("A", 4, 1000, mitres=(45, 45))], MILLIMETRES)
    assert words.startswith("Frame of A, 1000 x 1000 mm outside: both diagonals ~1414.2 mm")


@pytest.mark.parametrize(
    "parts",
    [
        [builders.part("A", 2, 1200), builders.part("B", 2, 500)],
        [builders.part("A", 2, 1200, mitres=(45, 0)), builders.part("B", 2, 500, mitres=(45, 45))],
        [builders.part("A", 2, 1200, mitres=(45, 45)), builders.part("B", 1, 500, mitres=(45, 45))],
        [builders.part("A", 2, 1200, mitres=(45, 45))],
        [
            builders.part("A", 2, 1200, mitres=(45, 45)),
            builders.part("B", 2, 500, mitres=(45, 45), section=builders.square_tube(50)),
        ],
        [],
    ],
)
def test_what_is_no_rectangle_is_not_guessed(parts: list[object]) -> None:
    assert frame_words(parts, MILLIMETRES) == []  # type: ignore[arg-type]
