"""Plans of constructive heuristics: whole and allowed."""

from __future__ import annotations

import random

import pytest

from cutplan.solving.constructive import fill_by_duals, first_fit, preferences
from cutplan.solving.instance import Instance
from cutplan.solving.plans import PatternUse, covers, total_cost
from cutplan.solving.pricing import Grid
from tests import builders
from tests.effort import seeds
from tests.solver_instances import instance_for, most, some_instance, two_part_instance


def never() -> bool:
    return False


@pytest.fixture
def instance() -> Instance:
    return two_part_instance(builders.offcut("K", 510))


def test_first_fit_places_the_longest_parts_first(instance: Instance) -> None:
    assert first_fit(instance, [0, 1], instance.demand, most(instance)) == [
        PatternUse(0, (2, 0), 1),
        PatternUse(0, (1, 1), 1),
        PatternUse(0, (0, 1), 1),
    ]
    assert first_fit(instance, [2, 1], instance.demand, most(instance)) == [
        PatternUse(2, (1, 0), 1),
        PatternUse(1, (2, 0), 1),
        PatternUse(1, (0, 2), 1),
    ]


def test_first_fit_repeats_a_pattern_while_it_is_wanted() -> None:
    instance = instance_for(builders.job([builders.part("A", 7, 500)], [builders.offer("P1", 1000, 10, available=9)]))
    assert first_fit(instance, [0], (7,), [9]) == [PatternUse(0, (2,), 3), PatternUse(0, (1,), 1)]
    assert first_fit(instance, [0], (7,), [3]) is None, "three bars are too few"
    assert first_fit(instance, [0], (0,), [3]) == []


def test_first_fit_takes_off_what_cannot_be_held() -> None:
    job = builders.job([builders.part("B", 9, 100)], [builders.offer("P1", 600, 8)], safe_hold=150)
    instance = instance_for(job)
    plan = first_fit(instance, [0], instance.demand, most(instance))
    assert plan == [PatternUse(0, (4,), 2), PatternUse(0, (1,), 1)]


def test_every_stock_length_is_tried_first_with_and_without_offcuts_before_it(instance: Instance) -> None:
    # P2 is cheaper for its length; offcut 2.
    assert list(preferences(instance)) == [[2, 1, 0], [1, 0, 2], [2, 0, 1], [0, 1, 2]]
    only_offcuts = instance_for(builders.job([builders.part("A", 1, 50)], [], [builders.offcut("K", 510)]))
    assert list(preferences(only_offcuts)) == [[0]]


@pytest.mark.parametrize("seed", seeds(60))
def test_constructed_plans_are_whole(seed: int) -> None:
    instance = some_instance(seed, most_parts=4, most_pieces=9)
    grid = Grid.of(instance, instance.divisor, for_bound=False)
    draw = random.Random(seed)
    plans = [first_fit(instance, order, instance.demand, most(instance)) for order in preferences(instance)]
    for _ in range(3):
        duals = [draw.choice([0.0, draw.uniform(0, 20e6)]) for _ in instance.pieces]
        plans.append(fill_by_duals(instance, grid, duals, instance.demand, most(instance), never, 1e-3))
    for plan in plans:
        if plan is not None:
            assert covers(instance, plan)
            made = [sum(bars.count * bars.pattern[i] for bars in plan) for i in range(len(instance.pieces))]
            assert tuple(made) == instance.demand, "greedy plans make no surplus"


def test_filling_by_worth_finds_the_pair_that_first_fit_breaks(instance: Instance) -> None:
    grid = Grid.of(instance, instance.divisor, for_bound=False)
    plan = fill_by_duals(instance, grid, (4e6, 4e6), instance.demand, [5, 5, 0], never, 1e-3)
    assert plan is not None
    assert covers(instance, plan)
    assert total_cost(instance, plan) == 22_000_000
    assert fill_by_duals(instance, grid, (4e6, 4e6), instance.demand, [1, 0, 0], never, 1e-3) is None
    assert fill_by_duals(instance, grid, (4e6, 4e6), instance.demand, [5, 5, 0], lambda: True, 1e-3) is None
