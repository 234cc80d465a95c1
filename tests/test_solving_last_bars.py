"""The last bars of a plan, against trying everything."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from cutplan.model import Job
from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.last_bars import with_kept_bars
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import covers, total_cost
from tests import brute_force, builders
from tests.effort import seeds
from tests.solver_instances import instance_for


def some_job(draw: random.Random) -> Job:
    parts = [
        builders.part(mark, draw.randint(1, 3), length)
        for mark, length in zip("ABC", draw.sample(range(150, 600, 7), 3), strict=True)
    ]
    return builders.job(parts, [builders.offer("P", 1000, 10)], keep=200, offcut_value_per_mm=2000)


def generator_of(job: Job, **figures: int) -> ColumnGenerator:
    return ColumnGenerator(instance_for(job), 10**9, Clock(deadline=1e9), replace(Parameters(), **figures))


@pytest.mark.parametrize("seed", seeds(100))
def test_the_cheapest_bars_are_put_beside_those_that_are_known(seed: int) -> None:
    job = some_job(random.Random(seed))
    generator = generator_of(job)
    instance, truth = generator.instance, brute_force.least_cost(job)
    assert truth is not None
    least = truth - instance.outside
    plan = with_kept_bars(generator, generator.root_ranges, [], 10**9)
    assert plan is not None
    assert covers(instance, plan)
    assert total_cost(instance, plan) == least
    # Beside any bars of a cheapest plan the others are found again, and none for less.
    for known in range(len(plan) + 1):
        again = with_kept_bars(generator, generator.root_ranges, plan[:known], least + 1)
        assert again is not None
        assert again[:known] == plan[:known]
        assert total_cost(instance, again) == least
    if len(plan) > 1:
        assert with_kept_bars(generator, generator.root_ranges, plan[:1], least) is None


def test_no_more_bars_are_used_than_there_are() -> None:
    job = builders.job([builders.part("A", 3, 600)], [builders.offer("P", 1000, 10)], keep=200, offcut_value_per_mm=1)
    generator = generator_of(job)
    assert with_kept_bars(generator, ((0, 2),), [], 10**9) is None
    plan = with_kept_bars(generator, ((0, 3),), [], 10**9)
    assert plan is not None
    assert sum(bars.count for bars in plan) == 3


def test_too_many_patterns_are_not_gone_through() -> None:
    job = some_job(random.Random(1))
    generator = generator_of(job, kept_listed=1)
    assert with_kept_bars(generator, generator.root_ranges, [], 10**9) is None
