"""The best plan so far and the cutoff a better one must stay below."""

from __future__ import annotations

import pytest

from cutplan.solving.incumbent import Incumbent
from cutplan.solving.instance import Instance
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse
from tests import builders
from tests.solver_instances import instance_for

SINGLES = [PatternUse(0, (1,), 4)]
PAIRS = [PatternUse(0, (2,), 2)]


@pytest.fixture
def instance() -> Instance:
    """Four parts of 500 from bars of 1000 at 10: two bars, 20."""
    return instance_for(builders.job([builders.part("A", 4, 500)], [builders.offer("P", 1000, 10)]))


def test_the_cheapest_whole_plan_is_kept(instance: Instance) -> None:
    best = Incumbent(instance)
    best.offer(None)
    best.offer([PatternUse(0, (2,), 1)])
    missing = best.plan
    assert missing is None, "half of the parts are missing"
    best.offer(SINGLES)
    assert (best.plan, best.cost) == (SINGLES, 40_000_000)
    best.offer(PAIRS)
    assert (best.plan, best.cost) == (PAIRS, 20_000_000)
    best.offer(SINGLES)
    assert best.cost == 20_000_000


def test_plans_are_tidied_before_they_are_measured(instance: Instance) -> None:
    best = Incumbent(instance)
    best.offer([*PAIRS, PatternUse(0, (2,), 1)])
    assert (best.plan, best.cost) == (PAIRS, 20_000_000)


def test_without_time_second_goals_are_left_alone(instance: Instance, monkeypatch: pytest.MonkeyPatch) -> None:
    best = Incumbent(instance)
    best.offer(PAIRS)

    def unexpected(*_: object) -> None:
        raise AssertionError("time is up")

    monkeypatch.setattr("cutplan.solving.incumbent.improved", unexpected)
    best.improve(lambda: True, Parameters())
    assert (best.plan, best.cost) == (PAIRS, 20_000_000)


def test_before_any_plan_the_cutoff_is_above_all_sensible_ones(instance: Instance) -> None:
    best = Incumbent(instance)
    assert best.cutoff() > 40_000_000
    assert not best.sets_cutoff()
    assert not best.fathoms(40_000_000)


def test_the_cutoff_is_the_lesser_of_cost_and_the_one_given(instance: Instance) -> None:
    best = Incumbent(instance, cutoff=30_000_000)
    assert best.cutoff() == 30_000_000
    assert best.fathoms(30_000_000)
    best.offer(SINGLES)
    assert best.cutoff() == 30_000_000
    assert not best.sets_cutoff(), "the plan at hand is of no use"
    best.offer(PAIRS)
    assert best.cutoff() == 20_000_000
    assert best.sets_cutoff()


def test_a_cutoff_between_two_costs_a_plan_can_have_is_the_upper_one(instance: Instance) -> None:
    # A plan of 20 costs less than 23, and a bound of more than 20 means one of 30.
    best = Incumbent(instance, cutoff=23_000_000)
    assert best.cutoff() == 30_000_000
    assert not best.fathoms(20_000_000)
    assert best.fathoms(30_000_000)
