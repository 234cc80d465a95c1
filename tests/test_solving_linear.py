"""The pattern LP and the integer program over known patterns, on sums that can be done by hand."""

from __future__ import annotations

import pytest

from cutplan.solving.linear import LARGEST_TOTAL, Column, Master, whole_bars
from cutplan.solving.problem import Problem
from tests import builders
from tests.solver_problems import problem_for

PENALTY = 1_000_000_000


@pytest.fixture
def problem() -> Problem:
    """Three of A at 500 and two of B at 400; bars of 1000 for 10 and of 1300 for 12."""
    parts = [builders.part("A", 3, 500), builders.part("B", 2, 400)]
    return problem_for(builders.job(parts, [builders.offer("P1", 1000, 10), builders.offer("P2", 1300, 12)]))


def columns() -> list[Column]:
    price = 1_000_000
    return [
        Column(0, (2, 0), 10 * price),
        Column(0, (0, 2), 10 * price),
        Column(0, (1, 1), 10 * price),
        Column(1, (1, 2), 12 * price),
    ]


def master(problem: Problem) -> Master:
    made = Master(problem)
    made.set_penalty(PENALTY)
    assert all(made.add(column) for column in columns())
    return made


def test_the_least_cost_in_fractions_and_what_parts_are_worth(problem: Problem) -> None:
    lp = master(problem)
    relaxed = lp.solve()
    assert relaxed is not None
    # One bar of 1300 with A B B, one of 1000 with A A.
    assert relaxed.value == pytest.approx(22e6)
    assert relaxed.missing == pytest.approx(0)
    assert sum(use * column.cost for use, column in zip(lp.uses(), columns(), strict=True)) == pytest.approx(22e6)
    assert sum(worth * piece.demand for worth, piece in zip(relaxed.worths, problem.pieces, strict=True)) == (
        pytest.approx(22e6)
    )
    for column in columns():
        worth = sum(n * y for n, y in zip(column.pattern, relaxed.worths, strict=True))
        assert worth <= column.cost + 1


def test_count_ranges_push_bars_in_and_out(problem: Problem) -> None:
    lp = master(problem)
    lp.set_ranges([(0, 5), (0, 0)])
    without = lp.solve()
    assert without is not None
    # 1.5 bars of A A and one of B B, or the like: 2.5 bars of 1000.
    assert without.value == pytest.approx(25e6)
    lp.set_ranges([(0, 0), (0, 5)])
    only = lp.solve()
    assert only is not None
    assert only.value == pytest.approx(36e6)
    assert only.count_duals[0] <= 0, "a bar of 1000 would save money if one were allowed"
    lp.set_ranges([(4, 5), (0, 5)])
    forced = lp.solve()
    assert forced is not None
    assert forced.value == pytest.approx(40e6)
    assert forced.count_duals[0] == pytest.approx(10e6)


def test_the_demand_can_be_lowered(problem: Problem) -> None:
    lp = master(problem)
    lp.set_demand((1, 2))
    relaxed = lp.solve()
    assert relaxed is not None
    assert relaxed.value == pytest.approx(12e6)


def test_parts_that_no_bar_may_hold_are_left_out_at_the_penalty(problem: Problem) -> None:
    lp = master(problem)
    lp.set_ranges([(0, 1), (0, 0)])
    relaxed = lp.solve()
    assert relaxed is not None
    assert relaxed.missing == pytest.approx(3)
    assert relaxed.value == pytest.approx(10e6 + 3 * PENALTY)
    assert max(relaxed.worths) == pytest.approx(PENALTY)


def test_a_column_enters_once(problem: Problem) -> None:
    lp = master(problem)
    assert not lp.add(columns()[0])
    assert lp.add(Column(1, (2, 0), 12_000_000)), "the same set from another bar is another column"
    assert len(lp.columns) == 5


ROOT = ((0, 5), (0, 5))


def chosen(problem: Problem, below: int, ranges=ROOT, effort: float = 10.0):  # type: ignore[no-untyped-def]
    return whole_bars(problem, columns(), problem.demand, ranges, below, effort, seconds=60.0)


def test_whole_bars_for_less_than_a_mark(problem: Problem) -> None:
    found, ended = chosen(problem, 30_000_000)
    assert ended
    assert found is not None
    assert sum(column.cost * count for column, count in found) == 22_000_000
    assert [sum(column.pattern[i] * count for column, count in found) for i in range(2)] == [3, 2]


def test_costs_beyond_64_bits_are_left_to_others(problem: Problem) -> None:
    # What is summed is counted in the steps that costs come in.
    assert chosen(problem, LARGEST_TOTAL * problem.cost_step) == (chosen(problem, 30_000_000)[0], True)
    assert chosen(problem, LARGEST_TOTAL * problem.cost_step + 1) == (None, False)


def test_whole_bars_for_a_part_of_what_is_wanted(problem: Problem) -> None:
    found, ended = whole_bars(problem, columns(), (1, 0), ROOT, 30_000_000, 10.0, 60.0)
    assert ended
    assert found is not None
    assert sum(column.cost * count for column, count in found) == 10_000_000
    assert whole_bars(problem, columns(), (0, 0), ROOT, 30_000_000, 10.0, 60.0) == ([], True)


def test_nothing_below_the_mark_is_known_when_the_program_ends(problem: Problem) -> None:
    assert chosen(problem, 22_000_000) == (None, True)
    found, _ = chosen(problem, 22_000_001)
    assert found is not None


def test_whole_bars_keep_to_the_ranges(problem: Problem) -> None:
    found, ended = chosen(problem, 99_000_000, ranges=((0, 5), (0, 0)))
    assert ended
    assert found is not None
    assert sum(count for _, count in found) == 3
    assert all(column.source == 0 for column, _ in found)
    assert chosen(problem, 99_000_000, ranges=((0, 1), (0, 0))) == (None, True)
    found, _ = chosen(problem, 99_000_000, ranges=((0, 5), (2, 5)))
    assert found is not None
    assert sum(count for column, count in found if column.source == 1) >= 2


def test_costs_that_are_no_multiples_of_a_step_are_taken_as_they_are(problem: Problem) -> None:
    odd = [Column(column.source, column.pattern, column.cost - 3 * k) for k, column in enumerate(columns())]
    found, ended = whole_bars(problem, odd, problem.demand, ROOT, 22_000_000, 10.0, 60.0)
    assert ended
    assert found is not None
    assert sum(column.cost * count for column, count in found) == 22_000_000 - 9


def test_no_columns_cover_nothing(problem: Problem) -> None:
    assert whole_bars(problem, [], problem.demand, ROOT, 99_000_000, 10.0, 60.0) == (None, True)
    only_first = [column for column in columns() if column.source == 0]
    assert whole_bars(problem, only_first, problem.demand, ((0, 5), (1, 5)), 99_000_000, 10.0, 60.0) == (None, True)


def test_a_program_cut_short_claims_nothing() -> None:
    parts = [builders.part(f"M{i}", 7, 211 + 13 * i) for i in range(9)]
    problem = problem_for(builders.job(parts, [builders.offer("P", 1000, 1)]))
    pairs = [
        Column(0, tuple(int(k in (i, j)) + int(i == j == k) for k in range(9)), 1_000_000)
        for i in range(9)
        for j in range(i, 9)
    ]
    found, ended = whole_bars(problem, pairs, problem.demand, ((0, 63),), 99_000_000, 0.0, 60.0)
    assert found is None
    assert not ended
