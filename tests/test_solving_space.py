"""What every pattern space must answer: bounds below and plans above the truth, and one answer however it is asked."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from cutplan.solving.instance import Instance
from tests.effort import seeds
from tests.solver_instances import instance_for, sets_of, some_instance
from tests.test_laying import mitred_job


def mitred(seed: int) -> Instance:
    return instance_for(mitred_job(seed))


def any_instance(seed: int) -> Instance:
    return some_instance(seed, most_pieces=4)


@pytest.mark.parametrize("make", [any_instance, mitred])
@pytest.mark.parametrize("seed", seeds(60))
def test_views_lie_on_either_side_of_the_truth(seed: int, make: Callable[[int], Instance]) -> None:
    instance = make(seed)
    space = instance.space
    for_plans = instance.seen(space.view_for_plans())
    for index in range(len(instance.sources)):
        for pattern in sets_of(instance.demand):
            if not any(pattern) or any(pattern[i] for i in instance.unserved[index]):
                continue
            seen = [
                instance.seen(view)
                for view in space.views_for_bounds()
                if all(n <= most for n, most in zip(pattern, view.limits, strict=True))
            ]
            if instance.allowed(index, pattern):
                assert any(view.fill(pattern) <= view.sources[index].room for view in seen)
                cuts = sum(n * piece.cuts for n, piece in zip(pattern, instance.pieces, strict=True))
                least = min(view.sources[index].price + cuts * view.sources[index].per_cut for view in seen)
                assert least <= instance.cost(index, pattern) + instance.value_left(index, pattern) + (
                    instance.sources[index].per_cut if space.adds_up else 0
                )
            elif not instance.hold:
                to_fit = any(piece.kind.to_fit for piece in instance.pieces)
                assert to_fit or for_plans.fill(pattern) > for_plans.sources[index].room


@pytest.mark.parametrize("make", [any_instance, mitred])
@pytest.mark.parametrize("seed", seeds(60))
def test_many_sets_are_judged_as_each_by_itself_is(seed: int, make: Callable[[int], Instance]) -> None:
    instance = make(seed)
    for index, unserved in enumerate(instance.unserved):
        sets = [one for one in sets_of(instance.demand) if any(one) and not any(one[i] for i in unserved)]
        found = instance.space.which_can_be_cut(index, np.array(sets).reshape(len(sets), len(instance.pieces)))
        assert found.tolist() == [instance.allowed(index, one) for one in sets]


@pytest.mark.parametrize("seed", seeds(60))
def test_parts_of_a_set_can_be_cut_where_sets_add_up(seed: int) -> None:
    instance = any_instance(seed)
    if not instance.space.adds_up or instance.hold:
        return
    for index in range(len(instance.sources)):
        for pattern in sets_of(instance.demand):
            if instance.allowed(index, pattern):
                fewer = [tuple(n - (i == k) for i, n in enumerate(pattern)) for k, n in enumerate(pattern) if n]
                assert all(instance.allowed(index, one) for one in fewer)
