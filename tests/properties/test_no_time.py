"""With no time at all: a plan that the checker confirms, and a bound that says something."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings

from cutplan.checking import check
from cutplan.model import Job
from cutplan.planning import plan_job
from cutplan.problems import NoPlan
from tests import builders
from tests.effort import examples
from tests.properties.small_jobs import Sizes, jobs


@settings(max_examples=examples(100), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(jobs(Sizes(parts=5, pieces=20, offers=3, offcuts=2)))
def test_a_plan_comes_out(any_job: Job) -> None:
    try:
        plan = plan_job(any_job, time_limit=0)
    except NoPlan:
        return
    assert check(any_job, plan) == ()
    assert plan.bound <= plan.cost


def test_what_is_free_does_not_make_the_bound_nothing() -> None:
    """Three offcuts of 1 m for nothing, and 40 parts that want 16 m in all, of which no offcut holds more than two."""
    parts = [builders.part("A", 30, 380), builders.part("B", 10, 460)]
    offers = [builders.offer("P", 6000, 60), builders.offer("Q", 7500, 76)]
    rack = [builders.offcut(mark, 1000) for mark in ("K1", "K2", "K3")]
    job = builders.job(parts, offers, rack, kerf=3, safe_hold=120, keep=300, offcut_value_per_mm=1000)
    plan = plan_job(job, time_limit=0)
    assert check(job, plan) == ()
    assert plan.stopped_by == "time limit"
    assert plan.bound > 0.8 * plan.cost
