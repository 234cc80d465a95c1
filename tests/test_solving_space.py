"""What every pattern space must answer: bounds below and plans above the truth, and one answer however it is asked."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from cutplan.solving.instance import Instance
from cutplan.solving.patterns.space import View
from cutplan.solving.solver_pieces import Pattern
from tests.effort import seeds
from tests.solver_instances import instance_for, sets_of, some_instance
from tests.test_laying import mitred_job


def mitred(seed: int) -> Instance:
    return instance_for(mitred_job(seed))


def sharing(seed: int) -> Instance:
    return instance_for(mitred_job(seed, share=True))


def handed(seed: int) -> Instance:
    return instance_for(mitred_job(seed, share=True, handed=True))


def any_instance(seed: int) -> Instance:
    return some_instance(seed, most_pieces=4)


def fits(view: View, index: int, pattern: Pattern, *, up: bool) -> bool:
    """Does a set fit as a view sees it?"""
    fill = sum(n * piece.take for n, piece in zip(pattern, view.pieces, strict=True))
    if view.stated:
        fill += view.stated.beyond(1, view.sources[index], 1, up=up).steps[view.stated.start(pattern)]
    return fill <= view.sources[index].room


def costs(view: View, index: int, pattern: Pattern) -> int:
    """What a bar costs as a view sees it, set-ups and left over aside."""
    source = view.sources[index]
    cost = source.price + source.per_cut * sum(n * p.cuts for n, p in zip(pattern, view.pieces, strict=True))
    if view.stated:
        cost += int(view.stated.beyond(1, source, 1, up=False).costs[view.stated.start(pattern)])
    return cost


@pytest.mark.parametrize("make", [any_instance, mitred, sharing, handed])
@pytest.mark.parametrize("seed", seeds(60))
def test_views_lie_on_either_side_of_the_truth(seed: int, make: Callable[[int], Instance]) -> None:
    instance = make(seed)
    space = instance.space
    for index, source in enumerate(instance.sources):
        for pattern in sets_of(instance.demand):
            if not any(pattern) or any(pattern[i] for i in instance.unserved[index]):
                continue
            seen = [
                view
                for view in space.views_for_bounds()
                if all(n <= most for n, most in zip(pattern, view.limits, strict=True))
            ]
            if instance.allowed(index, pattern):
                assert any(fits(view, index, pattern, up=False) for view in seen)
                least = min(costs(view, index, pattern) for view in seen)
                # Where sets add up, the last cut that a full bar spares is counted for each set by itself.
                spared = source.per_cut if space.adds_up else 0
                assert least <= instance.cost(index, pattern) + instance.value_left(index, pattern) + spared
            elif not instance.hold:
                to_fit = any(piece.kind.to_fit for piece in instance.pieces)
                assert to_fit or not fits(space.view_for_plans(), index, pattern, up=True)


@pytest.mark.parametrize("make", [any_instance, mitred, sharing, handed])
@pytest.mark.parametrize("seed", seeds(60))
def test_many_sets_are_judged_as_each_by_itself_is(seed: int, make: Callable[[int], Instance]) -> None:
    instance = make(seed)
    for index, unserved in enumerate(instance.unserved):
        sets = [one for one in sets_of(instance.demand) if any(one) and not any(one[i] for i in unserved)]
        found = instance.space.which_can_be_cut(
            index, np.array(sets).reshape(len(sets), len(instance.pieces)), lambda: False
        )
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
