"""How many draws advice rests on: the level by hand, and what chance makes of keys that change nothing."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from cutplan.words.season_luck import SELDOM, better_throughout, fewest, once_in, times_less


@pytest.mark.parametrize(
    ("sets", "draws"),
    [
        (1, 5),  # 1/32; four draws are 1/16
        (2, 6),  # 2/64
        (3, 6),  # 3/64
        (4, 7),  # 4/64 are more than 1/20
        (12, 8),  # 12/256
        (13, 9),
    ],
)
def test_the_level_by_hand(sets: int, draws: int) -> None:
    assert fewest(sets) == draws


@pytest.mark.parametrize("sets", range(1, 60))
def test_one_draw_fewer_would_be_luck_too_often(sets: int) -> None:
    assert Fraction(sets, 2 ** fewest(sets)) <= Fraction(1, SELDOM) < Fraction(sets, 2 ** (fewest(sets) - 1))


@pytest.mark.parametrize(
    ("differences", "sure"),
    [
        ([-1, -2, -3, -4, -5], True),
        ([-1, -2, -3, -4, 0, 0, 0, 0], False),  # alike in the others, which say nothing
        ([-1, -2, -3, -4, -5, 0], True),
        ([-1, -2, -3, -4, -5, 1], False),
    ],
)
def test_draws_that_are_alike_do_not_count(differences: list[int], sure: bool) -> None:
    assert better_throughout(differences, 1) is sure
    assert times_less(differences) == sum(each < 0 for each in differences)


def test_chance_in_words() -> None:
    assert [once_in(5, 1), once_in(8, 3)] == [32, 85]


@pytest.mark.parametrize("sets", [1, 4, 11])
@pytest.mark.parametrize("alike", [0.0, 0.5])
def test_keys_that_change_nothing_are_seldom_advised(sets: int, alike: float) -> None:
    """Thrown 4,000 times: as often cheaper as dearer, some draws alike; the level may be missed by three deviations."""
    dice = random.Random(f"{sets} {alike}")
    seasons, advised = 4000, 0
    for _ in range(seasons):
        keys = [
            [0 if dice.random() < alike else dice.choice((-1, 1)) * dice.randrange(1, 900) for _ in range(fewest(sets))]
            for _ in range(sets)
        ]
        advised += any(better_throughout(each, sets) for each in keys)
    assert advised / seasons <= 1 / SELDOM + 3 * (0.05 * 0.95 / seasons) ** 0.5
    if not alike:
        # Keys apart from one another: 1 - (1 - 1/2**n)**sets, a little below the level.
        assert advised / seasons == pytest.approx(1 - (1 - 0.5 ** fewest(sets)) ** sets, abs=0.012)
