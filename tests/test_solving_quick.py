"""Quick plans: whole, allowed, and never made dearer by tidying."""

from __future__ import annotations

import random

import pytest

from cutplan.solving.grid import Grid
from cutplan.solving.problem import Problem
from cutplan.solving.quick import Bars, by_worth, covers, first_fit, preferences, tidy, total_cost
from tests import builders
from tests.solver_problems import problem_for, sets_of, some_problem


def never() -> bool:
    return False


def most(problem: Problem) -> list[int]:
    return [source.most for source in problem.sources]


@pytest.fixture
def problem() -> Problem:
    """Three of 500 and two of 400 from 1000 at 10 and 1300 at 12, with an offcut of 510 on hand."""
    parts = [builders.part("A", 3, 500), builders.part("B", 2, 400)]
    offers = [builders.offer("P1", 1000, 10), builders.offer("P2", 1300, 12)]
    return problem_for(builders.job(parts, offers, [builders.offcut("K", 510)]))


def test_first_fit_places_the_longest_parts_first(problem: Problem) -> None:
    assert first_fit(problem, [0, 1], problem.demand, most(problem)) == [
        Bars(0, (2, 0), 1),
        Bars(0, (1, 1), 1),
        Bars(0, (0, 1), 1),
    ]
    assert first_fit(problem, [2, 1], problem.demand, most(problem)) == [
        Bars(2, (1, 0), 1),
        Bars(1, (2, 0), 1),
        Bars(1, (0, 2), 1),
    ]


def test_first_fit_repeats_a_pattern_while_it_is_wanted() -> None:
    problem = problem_for(builders.job([builders.part("A", 7, 500)], [builders.offer("P1", 1000, 10, available=9)]))
    assert first_fit(problem, [0], (7,), [9]) == [Bars(0, (2,), 3), Bars(0, (1,), 1)]
    assert first_fit(problem, [0], (7,), [3]) is None, "three bars are too few"
    assert first_fit(problem, [0], (0,), [3]) == []


def test_first_fit_takes_off_what_cannot_be_held() -> None:
    job = builders.job([builders.part("B", 9, 100)], [builders.offer("P1", 600, 8)], safe_hold=150)
    problem = problem_for(job)
    plan = first_fit(problem, [0], problem.demand, most(problem))
    assert plan == [Bars(0, (4,), 2), Bars(0, (1,), 1)]


def test_every_stock_length_is_tried_first_with_and_without_offcuts_before_it(problem: Problem) -> None:
    # P2 is cheaper for its length; offcut 2.
    assert list(preferences(problem)) == [[2, 1, 0], [1, 0, 2], [2, 0, 1], [0, 1, 2]]
    only_offcuts = problem_for(builders.job([builders.part("A", 1, 50)], [], [builders.offcut("K", 510)]))
    assert list(preferences(only_offcuts)) == [[0]]


def test_covers_counts_parts_and_bars(problem: Problem) -> None:
    whole = [Bars(0, (2, 0), 1), Bars(1, (1, 2), 1)]
    assert covers(problem, whole)
    assert covers(problem, [*whole, Bars(2, (1, 0), 1)]), "a surplus is no fault"
    assert not covers(problem, whole[:1])
    assert not covers(problem, [Bars(0, (3, 0), 1), Bars(0, (0, 2), 1)]), "1500 from 1000"
    assert not covers(problem, [*whole, Bars(2, (1, 0), 2)]), "one offcut, used twice"
    assert total_cost(problem, whole) == 22_000_000


@pytest.mark.parametrize("seed", range(60))
def test_quick_plans_are_whole(seed: int) -> None:
    problem = some_problem(seed, most_parts=4, most_pieces=9)
    grid = Grid.of(problem, problem.divisor, for_bound=False)
    draw = random.Random(seed)
    plans = [first_fit(problem, order, problem.demand, most(problem)) for order in preferences(problem)]
    for _ in range(3):
        worths = [draw.choice([0.0, draw.uniform(0, 20e6)]) for _ in problem.pieces]
        plans.append(by_worth(problem, grid, worths, problem.demand, most(problem), never))
    for plan in plans:
        if plan is not None:
            assert covers(problem, plan)
            made = [sum(bars.count * bars.pattern[i] for bars in plan) for i in range(len(problem.pieces))]
            assert tuple(made) == problem.demand, "greedy plans make no surplus"


def test_filling_by_worth_finds_the_pair_that_first_fit_breaks(problem: Problem) -> None:
    grid = Grid.of(problem, problem.divisor, for_bound=False)
    plan = by_worth(problem, grid, (4e6, 4e6), problem.demand, [5, 5, 0], never)
    assert plan is not None
    assert covers(problem, plan)
    assert total_cost(problem, plan) == 22_000_000
    assert by_worth(problem, grid, (4e6, 4e6), problem.demand, [1, 0, 0], never) is None
    assert by_worth(problem, grid, (4e6, 4e6), problem.demand, [5, 5, 0], lambda: True) is None


def some_plan(problem: Problem, draw: random.Random) -> list[Bars] | None:
    """A wasteful plan of random allowed sets, surplus and all."""
    left, wanted = most(problem), list(problem.demand)
    options = [
        [set_ for set_ in sets_of(problem.demand) if any(set_) and problem.allowed(index, set_)]
        for index in range(len(problem.sources))
    ]
    plan = []
    for _ in range(60):
        if not any(wanted):
            return plan
        index = draw.randrange(len(problem.sources))
        if left[index] and options[index]:
            pattern = draw.choice(options[index])
            left[index] -= 1
            plan.append(Bars(index, pattern, 1))
            wanted = [max(0, w - n) for w, n in zip(wanted, pattern, strict=True)]
    return None


@pytest.mark.parametrize("seed", range(150))
def test_tidying_never_makes_a_plan_dearer_or_unsafe(seed: int) -> None:
    problem = some_problem(seed, most_parts=4, most_pieces=8)
    plan = some_plan(problem, random.Random(seed))
    if plan is None:
        return
    assert covers(problem, plan)
    tidied = tidy(problem, plan)
    assert covers(problem, tidied), "subsets and cheaper bars must be allowed as well"
    assert total_cost(problem, tidied) <= total_cost(problem, plan)
    made = [sum(bars.count * bars.pattern[i] for bars in tidied) for i in range(len(problem.pieces))]
    assert tuple(made) == problem.demand
    assert all(any(bars.pattern) for bars in tidied)


def test_tidying_moves_a_set_to_the_cheapest_bar_that_serves(problem: Problem) -> None:
    plan = [Bars(1, (2, 0), 1), Bars(1, (1, 0), 1), Bars(1, (0, 2), 1)]
    assert tidy(problem, plan) == [Bars(0, (0, 2), 1), Bars(0, (2, 0), 1), Bars(2, (1, 0), 1)]


def test_tidying_takes_surplus_from_the_emptiest_bars(problem: Problem) -> None:
    plan = [Bars(1, (1, 2), 1), Bars(0, (2, 0), 1), Bars(0, (1, 1), 1)]
    assert tidy(problem, plan) == [Bars(0, (2, 0), 1), Bars(1, (1, 2), 1)]
