"""The pattern LP, on sums that can be done by hand."""

from __future__ import annotations

import time
from collections.abc import Sequence
from typing import Any

import pytest

from cutplan.solving import master as masters
from cutplan.solving.instance import Instance
from cutplan.solving.master import ANEW, EXACT, Column, Master, highest, solved
from tests.solver_instances import two_part_columns, two_part_instance

PENALTY = 1_000_000_000


@pytest.fixture
def instance() -> Instance:
    return two_part_instance()


def master(instance: Instance) -> Master:
    made = Master(instance)
    made.set_penalty(PENALTY)
    assert all(made.add(column) for column in two_part_columns())
    return made


def test_the_least_cost_in_fractions_and_what_parts_are_worth(instance: Instance) -> None:
    lp = master(instance)
    solution = lp.solve(60.0)
    assert solution is not None
    # One bar of 1300 with A B B, one of 1000 with A A.
    assert solution.value == pytest.approx(22e6)
    assert solution.missing == pytest.approx(0)
    assert sum(use * column.cost for use, column in zip(lp.uses(), two_part_columns(), strict=True)) == pytest.approx(
        22e6
    )
    assert sum(worth * piece.demand for worth, piece in zip(solution.duals, instance.pieces, strict=True)) == (
        pytest.approx(22e6)
    )
    for column in two_part_columns():
        worth = sum(n * y for n, y in zip(column.pattern, solution.duals, strict=True))
        assert worth <= column.cost + 1


def test_count_ranges_push_bars_in_and_out(instance: Instance) -> None:
    lp = master(instance)
    lp.set_ranges([(0, 5), (0, 0)])
    without = lp.solve(60.0)
    assert without is not None
    # 1.5 bars of A A and one of B B, or the like: 2.5 bars of 1000.
    assert without.value == pytest.approx(25e6)
    lp.set_ranges([(0, 0), (0, 5)])
    only = lp.solve(60.0)
    assert only is not None
    assert only.value == pytest.approx(36e6)
    assert only.count_duals[0] <= 0, "a bar of 1000 would save money if one were allowed"
    lp.set_ranges([(4, 5), (0, 5)])
    forced = lp.solve(60.0)
    assert forced is not None
    assert forced.value == pytest.approx(40e6)
    assert forced.count_duals[0] == pytest.approx(10e6)


def test_the_demand_can_be_lowered(instance: Instance) -> None:
    lp = master(instance)
    lp.set_demand((1, 2))
    solution = lp.solve(60.0)
    assert solution is not None
    assert solution.value == pytest.approx(12e6)


def test_parts_that_no_bar_may_hold_are_left_out_at_the_penalty(instance: Instance) -> None:
    lp = master(instance)
    lp.set_ranges([(0, 1), (0, 0)])
    solution = lp.solve(60.0)
    assert solution is not None
    assert solution.missing == pytest.approx(3)
    assert solution.value == pytest.approx(10e6 + 3 * PENALTY)
    assert max(solution.duals) == pytest.approx(PENALTY)


def test_each_part_can_be_left_out_at_a_penalty_of_its_own(instance: Instance) -> None:
    lp = master(instance)
    lp.set_penalties([1_000_000.0, 2_000_000.0])
    cheap = lp.solve(60.0)
    assert cheap is not None
    # Less than any bar costs for its parts, so that none is cut.
    wanted = [piece.demand for piece in instance.pieces]
    assert cheap.missing == pytest.approx(sum(wanted))
    assert cheap.value == pytest.approx(wanted[0] * 1e6 + wanted[1] * 2e6)
    lp.set_penalty(PENALTY)
    whole = lp.solve(60.0)
    assert whole is not None
    assert whole.value == pytest.approx(22e6)


def test_where_ranges_were_moved_the_dual_simplex_method_goes_on(
    monkeypatch: pytest.MonkeyPatch, instance: Instance
) -> None:
    lp, first = master(instance), list[str]()

    def noted(solver: Any, seconds: float, ways: Sequence[str]) -> bool:
        first.append(ways[0])
        return solved(solver, seconds, ways)

    monkeypatch.setattr(masters, "solved", noted)
    wanted = [piece.demand for piece in instance.pieces]
    lp.solve(60.0)
    lp.set_demand(wanted)
    lp.solve(60.0)
    lp.set_ranges([(4, 5), (0, 5)])
    moved = lp.solve(60.0)
    assert first == [EXACT, EXACT, ANEW]
    fresh = master(instance)
    fresh.set_ranges([(4, 5), (0, 5)])
    anew = fresh.solve(60.0)
    assert moved is not None
    assert anew is not None
    assert moved.value == pytest.approx(anew.value)
    # With less to cut, as in a dive, it would find corners that are whole too soon.
    lp.set_demand([n - 1 for n in wanted])
    lp.set_ranges([(0, 5), (0, 5)])
    lp.solve(60.0)
    lp.solve(60.0)
    assert first[-2:] == [EXACT, EXACT]


def test_a_column_enters_once(instance: Instance) -> None:
    lp = master(instance)
    assert not lp.add(two_part_columns()[0])
    assert lp.add(Column(1, (2, 0), 12_000_000)), "the same set from another bar is another column"
    assert len(lp.columns) == 5


class Slow:
    """A solver that takes four seconds, or the time it is given, and comes to nothing."""

    def __init__(self) -> None:
        self.now = 100.0
        self.given: list[int] = []

    def SetSolverSpecificParametersAsString(self, how: str) -> None:  # noqa: N802
        """Any way."""

    def SetTimeLimit(self, milliseconds: int) -> None:  # noqa: N802
        self.given.append(milliseconds)

    def Solve(self) -> int:  # noqa: N802
        self.now += min(self.given[-1] / 1000, 4.0)
        return -1


def test_all_ways_to_the_optimum_have_the_time_of_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each had all of it: a linear program that time ran out for was begun twice more."""
    slow = Slow()
    monkeypatch.setattr(time, "monotonic", lambda: slow.now)
    assert not solved(slow, 5.0)
    assert slow.given == [5000, 1000]


def test_where_the_lowest_of_some_planes_is_highest() -> None:
    # On one axis 10 + 4x and 16 - 8x cross at x = 0.5; the plane of 13 lies above that.
    at, height = highest([10.0, 16.0, 13.0], [[4.0], [-8.0], [0.0]]) or ((), 0.0)
    assert at == pytest.approx((0.5,))
    assert height == pytest.approx(12.0)
    corner, height = highest([0.0], [[-3.0, 5.0]]) or ((), 0.0)
    assert corner == pytest.approx((0.0, 1.0))
    assert height == pytest.approx(5.0)
