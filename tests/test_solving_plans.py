"""Whole plans: whether they hold, and that tidying makes none dearer."""

from __future__ import annotations

import random

import pytest

from cutplan.solving.instance import Instance
from cutplan.solving.plans import PatternUse, covers, tidy, total_cost
from tests import builders
from tests.effort import seeds
from tests.solver_instances import most, sets_of, some_instance, two_part_instance


@pytest.fixture
def instance() -> Instance:
    return two_part_instance(builders.offcut("K", 510))


def test_covers_counts_parts_and_bars(instance: Instance) -> None:
    whole = [PatternUse(0, (2, 0), 1), PatternUse(1, (1, 2), 1)]
    assert covers(instance, whole)
    assert covers(instance, [*whole, PatternUse(2, (1, 0), 1)]), "a surplus is no fault"
    assert not covers(instance, whole[:1])
    assert not covers(instance, [PatternUse(0, (3, 0), 1), PatternUse(0, (0, 2), 1)]), "1500 from 1000"
    assert not covers(instance, [*whole, PatternUse(2, (1, 0), 2)]), "one offcut, used twice"
    assert total_cost(instance, whole) == 22_000_000


def some_plan(instance: Instance, draw: random.Random) -> list[PatternUse] | None:
    """A wasteful plan of random allowed sets, surplus and all."""
    left, wanted = most(instance), list(instance.demand)
    options = [
        [set_ for set_ in sets_of(instance.demand) if any(set_) and instance.allowed(index, set_)]
        for index in range(len(instance.sources))
    ]
    plan: list[PatternUse] = []
    for _ in range(60):
        if not any(wanted):
            return plan
        index = draw.randrange(len(instance.sources))
        if left[index] and options[index]:
            pattern = draw.choice(options[index])
            left[index] -= 1
            plan.append(PatternUse(index, pattern, 1))
            wanted = [max(0, w - n) for w, n in zip(wanted, pattern, strict=True)]
    return None


@pytest.mark.parametrize("seed", seeds(150))
def test_tidying_never_makes_a_plan_dearer_or_unsafe(seed: int) -> None:
    instance = some_instance(seed, most_parts=4, most_pieces=8)
    plan = some_plan(instance, random.Random(seed))
    if plan is None:
        return
    assert covers(instance, plan)
    tidied = tidy(instance, plan)
    assert covers(instance, tidied), "subsets and cheaper bars must be allowed as well"
    assert total_cost(instance, tidied) <= total_cost(instance, plan)
    made = [sum(bars.count * bars.pattern[i] for bars in tidied) for i in range(len(instance.pieces))]
    assert tuple(made) == instance.demand
    assert all(any(bars.pattern) for bars in tidied)


def test_tidying_moves_a_set_to_the_cheapest_bar_that_serves(instance: Instance) -> None:
    plan = [PatternUse(1, (2, 0), 1), PatternUse(1, (1, 0), 1), PatternUse(1, (0, 2), 1)]
    assert tidy(instance, plan) == [PatternUse(0, (0, 2), 1), PatternUse(0, (2, 0), 1), PatternUse(2, (1, 0), 1)]


def test_tidying_takes_surplus_from_the_emptiest_bars(instance: Instance) -> None:
    plan = [PatternUse(1, (1, 2), 1), PatternUse(0, (2, 0), 1), PatternUse(0, (1, 1), 1)]
    assert tidy(instance, plan) == [PatternUse(0, (2, 0), 1), PatternUse(1, (1, 2), 1)]
