"""The best plan so far and the mark a better one must beat."""

from __future__ import annotations

import pytest

from cutplan.solving.incumbent import Incumbent
from cutplan.solving.instance import Instance
from cutplan.solving.quick import Bars
from tests import builders
from tests.solver_instances import instance_for

SINGLES = [Bars(0, (1,), 4)]
PAIRS = [Bars(0, (2,), 2)]


@pytest.fixture
def instance() -> Instance:
    """Four parts of 500 from bars of 1000 at 10: two bars, 20."""
    return instance_for(builders.job([builders.part("A", 4, 500)], [builders.offer("P", 1000, 10)]))


def test_the_cheapest_whole_plan_is_kept(instance: Instance) -> None:
    best = Incumbent(instance)
    best.offer(None)
    best.offer([Bars(0, (2,), 1)])
    assert best.plan is None, "half of the parts are missing"
    best.offer(SINGLES)
    assert (best.plan, best.cost) == (SINGLES, 40_000_000)
    best.offer(PAIRS)
    assert (best.plan, best.cost) == (PAIRS, 20_000_000)
    best.offer(SINGLES)
    assert best.cost == 20_000_000


def test_plans_are_tidied_before_they_are_measured(instance: Instance) -> None:
    best = Incumbent(instance)
    best.offer([*PAIRS, Bars(0, (2,), 1)])
    assert (best.plan, best.cost) == (PAIRS, 20_000_000)


def test_before_any_plan_the_mark_is_above_all_sensible_ones(instance: Instance) -> None:
    best = Incumbent(instance)
    assert best.mark() > 40_000_000
    assert not best.is_marked()
    assert not best.settled(40_000_000)


def test_the_mark_is_the_lesser_of_cost_and_enough(instance: Instance) -> None:
    best = Incumbent(instance, enough=30_000_000)
    assert best.mark() == 30_000_000
    assert best.settled(30_000_000)
    best.offer(SINGLES)
    assert best.mark() == 30_000_000
    assert not best.is_marked(), "the plan at hand is of no use"
    best.offer(PAIRS)
    assert best.mark() == 20_000_000
    assert best.is_marked()


def test_enough_between_two_costs_a_plan_can_have_is_the_upper_one(instance: Instance) -> None:
    # A plan of 20 costs less than 23, and a bound of more than 20 means one of 30.
    best = Incumbent(instance, enough=23_000_000)
    assert best.mark() == 30_000_000
    assert not best.settled(20_000_000)
    assert best.settled(30_000_000)
