"""Orders that may be fetched or delivered, against an optimum found without the package."""

from __future__ import annotations

import pytest

from cutplan.checking import check
from cutplan.model import Status
from cutplan.planning import plan_job
from tests.effort import some
from tests.fetching_orders import driving


def held_to_the_optimum(seed: int) -> bool:
    """Is the plan called proven? It is then the cheapest; a bound never lies above that."""
    made = driving(seed)
    plan, least = plan_job(made.job), made.least()
    assert check(made.job, plan) == ()
    assert least is not None
    assert plan.bound <= least <= plan.cost
    assert plan.status is Status.NOT_PROVEN or plan.cost == least
    return plan.status is not Status.NOT_PROVEN


@pytest.mark.parametrize("seed", some(range(40), 2, 5))
def test_an_order_comes_the_cheaper_way(seed: int) -> None:
    held_to_the_optimum(seed)


@pytest.mark.slow
def test_nearly_all_are_proven() -> None:
    assert sum(held_to_the_optimum(seed) for seed in range(100)) >= 95
