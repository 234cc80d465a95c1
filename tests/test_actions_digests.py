"""Digests that are kept are those that would be worked out."""

from __future__ import annotations

from dataclasses import replace

from cutplan import planfile
from cutplan.actions import digests
from cutplan.model import Job, Plan


def test_a_digest_is_that_of_its_job_and_plan_and_of_no_other(small_job: Job, small_plan: Plan) -> None:
    other = replace(small_job, name="other")
    for job in (small_job, other, small_job):
        assert digests.plan_digest(job, small_plan) == planfile.plan_digest(job, small_plan)
    copies = [replace(small_plan) for _ in range(40)]
    assert {digests.plan_digest(small_job, each) for each in copies} == {planfile.plan_digest(small_job, small_plan)}
    assert len(digests._known) <= 16
