"""Views of a mitred instance: what adds up for bounds sees every set that fits, what adds up for plans only such."""

from __future__ import annotations

import pytest

from cutplan.solving.views import view_for_plans, views_for_bounds
from tests.effort import seeds
from tests.solver_instances import instance_for, sets_of
from tests.test_solving_laying import mitred_job


@pytest.mark.parametrize("seed", seeds(60))
def test_views_lie_on_either_side_of_the_truth(seed: int) -> None:
    instance = instance_for(mitred_job(seed))
    for_plans = view_for_plans(instance).instance
    for index in range(len(instance.sources)):
        for pattern in sets_of(instance.demand):
            if not any(pattern) or any(pattern[i] for i in instance.unserved[index]):
                continue
            seen = [
                view.instance
                for view in views_for_bounds(instance)
                if all(n <= most for n, most in zip(pattern, view.limits, strict=True))
            ]
            if instance.allowed(index, pattern):
                assert any(view.fill(pattern) <= view.sources[index].room for view in seen)
                cuts = sum(n * piece.cuts for n, piece in zip(pattern, instance.pieces, strict=True))
                least = min(view.sources[index].price + cuts * view.sources[index].per_cut for view in seen)
                assert least <= instance.cost(index, pattern) + instance.value_left(index, pattern) + (
                    0 if instance.mitred else instance.sources[index].per_cut
                )
            elif not instance.hold:
                to_fit = any(piece.kind.to_fit for piece in instance.pieces)
                assert to_fit or for_plans.fill(pattern) > for_plans.sources[index].room
