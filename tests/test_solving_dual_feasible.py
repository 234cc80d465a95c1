"""Bounds by length alone: never above the least cost, and what the papers say of their functions."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from cutplan.solving.certificate import dual_bound
from cutplan.solving.dual_feasible import borders, functions, length_duals, without_short
from cutplan.solving.instance import Instance
from cutplan.solving.nodes import by_length
from cutplan.solving.parameters import Parameters
from cutplan.solving.pricing import Grid
from tests import builders
from tests.effort import seeds
from tests.solver_instances import instance_for, least_cost, some_instance

UNIT = 1_000


@pytest.mark.parametrize("longest", [7, 12, 30])
def test_functions_keep_every_set_that_fits(longest: int) -> None:
    """f(x) + f(y) <= f(x + y) up to the whole bar, by trying every pair: then it holds for any number of parts."""
    takes = list(range(1, longest + 1))
    for function in functions(takes, longest, 4, 16):
        f = function(np.arange(longest + 1))
        assert f[0] == 0
        assert all(f[x] + f[y] <= f[x + y] for x, y in itertools.product(takes, takes) if x + y <= longest)


def test_functions_by_hand() -> None:
    """u^(1) of Lueker: 0 below half a bar, a half at it, one above; u^(2) by thirds."""
    assert borders(np.array([4, 5, 6, 10]), 10, 1).tolist() == [0, 1, 2, 2]
    assert borders(np.array([3, 4, 6, 8, 12]), 12, 2).tolist() == [0, 2, 3, 4, 6]
    assert without_short(np.array([2, 3, 7, 8, 10]), 10, 3).tolist() == [0, 3, 7, 10, 10]


def bound(instance: Instance) -> float:
    return by_length(instance, UNIT, Parameters()).bound / 1_000_000


def test_parts_of_which_no_two_fit_want_a_bar_each() -> None:
    # By material 5.5 bars; the LP would say ten as well.
    assert bound(instance_for(builders.job([builders.part("A", 10, 550)], [builders.offer("P", 1000, 10)]))) == 100


def test_parts_over_a_third_want_half_a_bar_each() -> None:
    assert bound(instance_for(builders.job([builders.part("A", 10, 340)], [builders.offer("P", 1000, 10)]))) == 50


def test_an_offcut_that_costs_nothing_does_not_make_the_bound_nothing() -> None:
    # 20 x 400 less the 1000 on hand is 7 bars of 10.
    job = builders.job([builders.part("A", 20, 400)], [builders.offer("P", 1000, 10)], [builders.offcut("K", 1000)])
    assert bound(instance_for(job)) >= 70


def test_what_is_left_over_is_paid_back_at_its_value_only() -> None:
    # A bar is worth 9 of its 10 when it is left whole: each metre of parts costs that and what a bar loses besides.
    job = builders.job(
        [builders.part("A", 20, 400)], [builders.offer("P", 1000, 10)], keep=300, offcut_value_per_mm=9_000
    )
    assert bound(instance_for(job)) >= 72


@pytest.mark.parametrize("seed", seeds(150))
def test_never_above_the_least_cost(seed: int) -> None:
    instance = some_instance(seed)
    node = by_length(instance, UNIT, Parameters())
    truth = least_cost(instance, node.ranges)
    assert truth is None or node.bound <= truth


@pytest.mark.parametrize("seed", seeds(60))
def test_every_way_bounds_about_what_it_promises(seed: int) -> None:
    """By the knapsack, where left overs have no value."""
    instance = some_instance(seed)
    if instance.valued:
        return
    grid = Grid.of(instance, instance.divisor, for_bound=True)
    ranges = tuple((0, source.most) for source in instance.sources)
    for about, duals in length_duals(grid, ranges, UNIT, Parameters()):
        assert dual_bound(grid, duals, ranges, UNIT)[0] >= about - 1


def test_fewer_functions_are_tried_where_they_are_to_be_few() -> None:
    """Of ten lengths under half a bar, each a place to leave shorter ones aside, one is tried."""
    parts = [builders.part(f"P{n}", 2, 40 * n) for n in range(1, 11)]
    instance = instance_for(builders.job(parts, [builders.offer("P", 1000, 10)]))
    grid = Grid.of(instance, instance.divisor, for_bound=True)
    ranges = ((0, instance.sources[0].most),)
    tried = [len(list(length_duals(grid, ranges, UNIT, Parameters(), few=few))) for few in (False, True)]
    assert tried[1] < tried[0] / 2
