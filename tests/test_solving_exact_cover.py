"""Covers of what is wanted by patterns, against trying everything."""

from __future__ import annotations

import random

import numpy as np
import pytest

from cutplan.solving.exact_cover import exact_cover
from tests.effort import seeds


def least(counts: list[list[int]], wanted: list[int], costs: list[float]) -> float | None:
    """What the cheapest cover costs, by trying every number of every row; None where there is none."""
    if not counts:
        return None if any(wanted) else 0.0
    found = []
    left, spent = list(wanted), 0.0
    while min(left) >= 0:
        after = least(counts[1:], left, costs[1:])
        if after is not None:
            found.append(spent + after)
        left = [n - m for n, m in zip(left, counts[0], strict=True)]
        spent += costs[0]
    return min(found, default=None)


def some(seed: int, *, most_wanted: int = 3, things: int = 5) -> tuple[list[list[int]], list[int], list[float]]:
    """Rows, what is wanted, and costs."""
    draw = random.Random(seed)
    wanted = [draw.randint(0, most_wanted) for _ in range(things)]
    rows = [[draw.choice([0, 0, 1, 2]) for _ in wanted] for _ in range(9)]
    rows = [row if any(row) else [1] + [0] * (things - 1) for row in rows]
    return rows, wanted, [float(draw.randint(0, 6)) for _ in rows]


def covered(
    rows: list[list[int]], wanted: list[int], costs: list[float], budget: float, most: int = 10_000
) -> tuple[float | None, bool]:
    """What the cover that is found costs, which holds what is wanted; and whether it ended."""
    cover = exact_cover(np.array(rows), wanted, np.array(costs), budget, most, lambda: False)
    if cover.rows is None:
        return None, cover.ended
    assert np.array(rows)[cover.rows].sum(axis=0).tolist() == wanted
    return sum(costs[row] for row in cover.rows), cover.ended


@pytest.mark.parametrize("seed", seeds(600))
def test_the_cheapest_cover_is_found_and_none_where_there_is_none(seed: int) -> None:
    rows, wanted, costs = some(seed)
    truth = least(rows, wanted, costs)
    assert covered(rows, wanted, costs, 100.0) == (truth, True)
    if truth:
        assert covered(rows, wanted, costs, truth) == (truth, True)
        assert covered(rows, wanted, costs, truth - 0.5) == (None, True)


@pytest.mark.parametrize("seed", seeds(200))
def test_of_few_states_the_cover_may_be_dearer_and_says_so(seed: int) -> None:
    rows, wanted, costs = some(seed)
    truth = least(rows, wanted, costs)
    found, ended = covered(rows, wanted, costs, 100.0, most=2)
    if ended or truth is None:
        assert found == truth
    else:
        assert found is None or found >= truth


def test_more_things_than_one_word_holds_are_told_apart() -> None:
    # Forty pairs, each of two neighbours: only every other of them covers all.
    rows = [[int(thing in (pair, pair + 1)) for thing in range(80)] for pair in range(79)]
    cover = exact_cover(np.array(rows), [1] * 80, np.zeros(79), 0.0, 1000, lambda: False)
    assert cover.rows is not None
    assert sorted(cover.rows) == list(range(0, 79, 2))
    assert cover.ended


def test_of_two_ways_to_leave_the_same_the_cheaper_is_taken() -> None:
    rows = [[1, 1, 0], [2, 0, 0], [0, 2, 0], [0, 0, 1]]
    assert covered(rows, [2, 2, 1], [3.0, 2.0, 1.0, 0.0], 10.0) == (3.0, True)


def test_nothing_is_covered_when_time_is_up() -> None:
    cover = exact_cover(np.array([[1]]), [1], np.zeros(1), 1.0, 10, lambda: True)
    assert cover == (None, False)
