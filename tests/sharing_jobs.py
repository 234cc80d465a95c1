"""What jobs whose mitres may share cuts are held to, whatever their section."""

from __future__ import annotations

from dataclasses import replace

from cutplan.checking import check
from cutplan.model import Job, Part, Plan, Status
from cutplan.planning import plan_job
from tests.builders import job, offer


def planned(made: Job) -> Plan:
    """The plan, which the checker has nothing against."""
    plan = plan_job(made)
    assert check(made, plan) == ()
    return plan


def without_sharing(made: Job) -> Job:
    """The same with every mitre cut for itself."""
    saw = replace(made.workshop.saw, share_mitres=False)
    return replace(made, workshop=replace(made.workshop, saw=saw))


def one_bar(parts: list[Part], length: float | str) -> bool:
    """Do all parts fit one bar of a length?"""
    made = job(parts, [offer("A", length, 10, section=parts[0].section)], kerf="2.5", share_mitres=True)
    return len(list(planned(made).bars)) == 1


def enclosed(plan: Plan, truth: int | None) -> None:
    """Bound and cost enclose the least cost there is, and meet at it in a plan that is called proven."""
    assert truth is not None
    assert plan.bound <= truth <= plan.cost
    if plan.status is not Status.NOT_PROVEN:
        assert plan.cost == truth
