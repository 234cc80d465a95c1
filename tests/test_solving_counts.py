"""The space of square parts: sums, safe hold, and bars that end flush."""

from __future__ import annotations

import pytest

from cutplan.model import Work
from cutplan.solving.patterns.counts import fills
from tests import builders
from tests.solver_instances import instance_for


@pytest.mark.parametrize("room", range(-1, 45))
def test_which_rooms_two_sevens_three_fives_and_a_ten_fill(room: int) -> None:
    sums = {7 * a + 5 * b + 10 * c for a in range(3) for b in range(4) for c in range(2)}
    assert fills([7, 5, 10], [2, 3, 1], room, 1000) is (room in sums)


def test_very_fine_steps_may_fill_anything() -> None:
    assert fills([1, 2], [1, 1], 10**9, 1000)


def test_the_last_cut_is_spared_where_a_set_fills_a_bar() -> None:
    parts = [builders.part("A", 2, "498.75"), builders.part("B", 2, 400)]
    job = builders.job(parts, [builders.offer("P", 1000, 8)], kerf="2.5", work=Work(per_cut=100))
    instance = instance_for(job)
    assert instance.cost(0, (2, 0)) == instance.cost(0, (1, 0)), "the second cut is flush"
    assert instance.cost(0, (0, 2)) == instance.cost(0, (0, 1)) + 100


def test_a_bar_that_is_the_part_needs_no_hold() -> None:
    job = builders.job([builders.part("A", 2, 100)], [], [builders.offcut("K", 100)], safe_hold=120)
    assert instance_for(job).space.can_be_cut(0, (1,))
    assert not instance_for(job).space.can_be_cut(0, (2,))
