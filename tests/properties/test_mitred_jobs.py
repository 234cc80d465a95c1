"""Whole plans of tiny mitred jobs, against trying every order of every set, and bounds by any duals."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cutplan.checking import check
from cutplan.checking.proof import review_proof
from cutplan.model import Job, Leaf, Proof, Status, groups_of
from cutplan.planning import plan_job
from cutplan.problems import NoPlan
from tests.brute_force import least_cost, least_group_cost, stocks_of
from tests.effort import examples, some
from tests.test_laying import mitred_job

QUICK = settings(max_examples=examples(60), deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
SEEDS = st.integers(0, 10**6)


def held_to_the_truth(job: Job) -> Status | None:
    """Plan, let the checker look, and compare with trying everything; the status."""
    truth = least_cost(job)
    try:
        plan = plan_job(job)
    except NoPlan:
        assert truth is None
        return None
    assert check(job, plan) == ()
    assert truth is not None
    assert plan.bound <= truth <= plan.cost
    if plan.status is not Status.NOT_PROVEN:
        assert plan.cost == truth
    return plan.status


@pytest.mark.parametrize("share", [False, True])
@QUICK
@given(SEEDS)
def test_a_plan_is_the_cheapest_there_is(share: bool, seed: int) -> None:
    held_to_the_truth(mitred_job(seed, most_pieces=4, share=share))


@pytest.mark.parametrize(
    "ends", some([[(45, 45), (0, 0)], [(45, 45)], [(45, 0)], [(0, 45)]], [(45, 45), (0, 0)], [(45, 0)]), ids=str
)
@pytest.mark.parametrize("share", [False, True])
@pytest.mark.parametrize("seed", some(range(8), 1))
def test_frames_and_braces_are_proven(ends: list[tuple[float, float]], seed: int, share: bool) -> None:
    """Where all parts are alike at both ends, or all the same at each, what adds up is what they take.

    With shared cuts, so does what adds up by state.
    """
    assert held_to_the_truth(mitred_job(seed, ends=ends, share=share)) is not Status.NOT_PROVEN


@QUICK
@given(SEEDS, st.data())
def test_no_duals_bound_above_the_least_cost(seed: int, data: st.DataObject) -> None:
    job = mitred_job(seed, most_pieces=4)
    group = groups_of(job)[0]
    stocks = stocks_of(job, group)
    truth = least_group_cost(job, group)
    denominator = data.draw(st.sampled_from([1, 8]))
    highest = max(stock.price for stock in stocks) * denominator
    duals = tuple(data.draw(st.integers(0, highest)) for _ in group.parts)
    proof = Proof(
        sources=tuple(stock.name for stock in stocks),
        status=Status.NOT_PROVEN,
        denominator=denominator,
        step=data.draw(st.sampled_from([1, 100_000, 7_000_000])),
        leaves=(Leaf(ranges=tuple((0, stock.most) for stock in stocks), duals=duals),),
        bound=0,
    )
    answer = review_proof(job, group, proof)
    # The finest step may be more than the checker works through.
    assert all("are too many" in failure for failure in answer.failures)
    assert truth is None or answer.bound is None or answer.bound <= truth
