"""How many savings are taken back where hands are matched, held to trying every order and turn."""

from __future__ import annotations

import random
from itertools import pairwise, permutations, product

import pytest

from cutplan.checking.hands import LACKING, Matched, matched, taken_back
from tests.effort import seeds

FORMS = [(-1, -1), (1, 1), (-1, 1), (-1, 0), (0, 1), (0, 0)]


def most_shared(parts: list[tuple[int, int]]) -> int:
    """The most neighbours of opposite hands that any order and turn of parts has."""
    return max(
        sum(one[1] == -other[0] != 0 for one, other in pairwise(laid))
        for order in set(permutations(parts))
        for laid in product(*({each, each[::-1]} for each in order))
    )


@pytest.mark.parametrize("seed", seeds(150))
def test_as_many_are_taken_back_as_the_best_order_lacks(seed: int) -> None:
    draw = random.Random(seed)
    parts = [draw.choice(FORMS) for _ in range(draw.randint(1, 5))]
    state = Matched()
    for each in sorted(parts, key=sum):
        state = matched(state, each, 1)
    fewer = sum(hand == -1 for each in parts for hand in each)
    assert taken_back(state) == fewer - most_shared(parts)
    # In any other order it is not more.
    other = Matched()
    for each in parts:
        other = matched(other, each, 1)
    assert taken_back(other) <= taken_back(state)


def test_copies_at_once_are_as_one_by_one() -> None:
    for start, hands in product([Matched(), matched(Matched(), (-1, -1), 2), matched(Matched(), (1, 0), 1)], FORMS):
        one_by_one = start
        for _ in range(3):
            one_by_one = matched(one_by_one, hands, 1)
        assert matched(start, hands, 3) == one_by_one


def test_no_more_are_followed_than_is_said() -> None:
    assert taken_back(matched(Matched(), (-1, -1), LACKING)) == LACKING
