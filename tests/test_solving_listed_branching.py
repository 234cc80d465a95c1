"""Nodes closed over a list of patterns: what their leaves claim is true, and the checker lists no more than that."""

from __future__ import annotations

import pytest

from cutplan.checking import check
from cutplan.model import Status
from cutplan.planning import plan_job
from cutplan.problems import NoPlan
from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.listed_branching import can_be_listed
from cutplan.solving.parameters import Parameters
from tests import brute_force, builders
from tests.effort import runs, some
from tests.properties.test_told_apart import some_job
from tests.solver_instances import instance_for

FEW = range(13, 50)
"""Seeds of jobs of which some leave leaves over lists."""


@pytest.mark.parametrize("seeds", some([FEW, *runs(range(2000, 2600), of=50)], FEW))
def test_what_leaves_over_lists_claim_is_true_and_rechecked(seeds: range) -> None:
    """Small jobs with set-ups, cuts, values and limits on kept left overs, against trying everything."""
    listed = 0
    for seed in seeds:
        job = some_job(seed)
        try:
            plan = plan_job(job)
        except NoPlan:
            continue
        assert check(job, plan) == (), seed
        if any(leaf.listing for group in plan.groups for leaf in group.proof.leaves):
            listed += 1
            truth = brute_force.least_cost(job)
            assert truth is not None
            assert plan.bound <= truth <= plan.cost, seed
            assert plan.status is not Status.RECHECKED or plan.cost == truth, seed
    assert listed > 0


def test_what_the_checker_does_not_list_is_not_listed() -> None:
    offers = [builders.offer("P", 1000, 9)]
    for parts, listed in (
        ([builders.part("A", 2, 300)], True),
        ([builders.part("A", 2, 300, mitres=(45, 45))], False),
    ):
        instance = instance_for(builders.job(parts, offers, keep=200, offcut_value_per_mm=1000))
        generator = ColumnGenerator(instance, 10**9, Clock(deadline=1e9), Parameters())
        assert can_be_listed(generator) is listed
