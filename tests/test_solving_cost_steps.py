"""What bars of a case can cost, as the solver sees it: no more and no less than the checker does."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from cutplan.checking.possible_costs import next_cost as checked
from cutplan.solving.cost_steps import dearest_below, next_cost
from cutplan.units import CURRENCY
from tests.effort import seeds
from tests.solver_instances import instance_for
from tests.test_checking_possible_costs import CENT, fetched, problem_of

ROOT = ((0, 9), (0, 9), (0, 1))


def test_whole_or_with_the_offcut() -> None:
    instance = instance_for(fetched())
    assert next_cost(instance, ROOT, 98_300_000) == 99 * CURRENCY
    assert next_cost(instance, ROOT, 98_200_000) == 98_290_000
    assert dearest_below(instance, ROOT, 99 * CURRENCY) == 98_290_000
    assert dearest_below(instance, ROOT, 98_290_000) == 98 * CURRENCY


def test_the_dearest_below_is_the_last_from_which_on_the_next_is_not_reached() -> None:
    instance = instance_for(fetched(charge=0))
    one = ((1, 1), (0, 1), (0, 0))
    assert dearest_below(instance, one, 177 * CURRENCY) == 60 * CURRENCY
    assert dearest_below(instance, one, 177 * CURRENCY + 1) == 177 * CURRENCY
    assert dearest_below(instance, one, 60 * CURRENCY) == -1
    assert next_cost(instance, one, 178 * CURRENCY) == 178 * CURRENCY


def test_where_nothing_is_cut_for_the_carry_costs_are_multiples_of_a_step() -> None:
    job = fetched()
    instance = instance_for(replace(job, workshop=replace(job.workshop, longest_carry=0, merchants=())))
    assert instance.cost_step == CENT
    assert next_cost(instance, ROOT, 98_300_001) == 98_310_000
    assert dearest_below(instance, ROOT, 98_300_000) == 98_290_000


@pytest.mark.parametrize("seed", seeds(200))
def test_as_the_checker_derives_it(seed: int) -> None:
    draw = random.Random(f"both {seed}")
    job = fetched(charge=draw.choice([0, 1, 2, 5]), book=str(draw.randint(1, 900) / 100))
    ranges = tuple(tuple(sorted(draw.choices(range(most + 1), k=2))) for most in (9, 9, 1))
    bound = draw.randint(0, 40_000) * CENT
    found = next_cost(instance_for(job), ranges, bound)  # type: ignore[arg-type]
    assert found == checked(problem_of(job), ranges, bound)  # type: ignore[arg-type]
    below = dearest_below(instance_for(job), ranges, found)  # type: ignore[arg-type]
    assert below < bound or found == bound
