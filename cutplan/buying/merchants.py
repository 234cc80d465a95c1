"""A whole job planned: its groups, the choice of merchants, what is known of the money, and what the carry forgoes."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence

from cutplan.buying.cases import choose
from cutplan.buying.charges import job_cost
from cutplan.buying.desk import Desk
from cutplan.model import (
    Forgone,
    GroupPlan,
    Job,
    MerchantCase,
    Plan,
    Status,
    groups_of,
    within_carry,
)
from cutplan.problems import NoPlan
from cutplan.solving import Limits, Solved
from cutplan.units import Money, stock_text


def plan_job(
    job: Job,
    *,
    limits: Limits | None = None,
    time_limit: float = 120.0,
    progress: Callable[[str], None] | None = None,
) -> Plan:
    """Plan a whole job.

    Parameters
    ----------
    limits
        Counters that end the search of a group; they bind before the clock does.
    time_limit
        Seconds for the whole job; when it strikes the plan says so.
    progress
        Called with a line of text now and then.

    Raises
    ------
    NoPlan
        When some part can be cut from nothing that may be had.
    KeyboardInterrupt
        When interrupted before there was a plan for every group.
    """
    groups = groups_of(job)
    desk = Desk(
        job=job,
        groups=groups,
        limits=limits or Limits(),
        deadline=time.monotonic() + time_limit,
        say=progress or (lambda text: None),
    )
    everything = desk.solve([(n, desk.open_offers(group, None), None) for n, group in enumerate(groups)])
    for solved in everything:
        if solved.cost is None:
            raise NoPlan(_why_no_plan(job, solved))
    cases, chosen = choose(desk, everything)
    plans: list[GroupPlan] = []
    first = 1
    for solved in chosen:
        plans.append(solved.group_plan(job.workshop, first))
        first += len(plans[-1].bars)
    cost = job_cost(job, plans)
    bound = min(cost, min(case.bound for case in cases))
    return Plan(
        job_name=job.name,
        groups=tuple(plans),
        cases=tuple(cases),
        status=_status(cases, cost, bound),
        bound=bound,
        cost=cost,
        forgone=tuple(_forgone(desk, chosen)),
        stopped_by=desk.stopped_by,
    )


def _status(cases: Sequence[MerchantCase], cost: Money, bound: Money) -> Status:
    if bound < cost:
        return Status.NOT_PROVEN
    by_search = any(case.by_search for case in cases)
    by_search |= any(proof.status is Status.BY_SEARCH for case in cases for proof in case.proofs)
    return Status.BY_SEARCH if by_search else Status.RECHECKED


def _forgone(desk: Desk, chosen: Sequence[Solved]) -> list[Forgone]:
    """For each group with offers too long to carry, what they would save."""
    workshop = desk.job.workshop
    forgone = []
    for n, group in enumerate(desk.groups):
        too_long = [offer for offer in group.offers if not within_carry(offer, workshop)]
        if not too_long or desk.stopped_by:
            continue
        sources = chosen[n].proof.sources
        # Offer ids come before offcut marks, and a mark may be spelled like an id.
        taken = set(sources[: len(sources) - len(group.offcuts)])
        (with_them,) = desk.solve([(n, [o for o in group.offers if o.id in taken or o in too_long], None)])
        cost = chosen[n].cost
        if with_them.cost is not None and cost is not None and with_them.cost < cost:
            forgone.append(
                Forgone(
                    group=group.title,
                    offers=tuple(offer.id for offer in too_long),
                    saving=cost - with_them.cost,
                    goal=with_them.goal,
                )
            )
    return forgone


def _why_no_plan(job: Job, solved: Solved) -> str:
    group, workshop = solved.group, job.workshop
    reach = [offer for offer in group.offers if within_carry(offer, workshop)]
    if group.offers and not reach:
        carry = stock_text(workshop.longest_carry, workshop.printing)
        return (
            f"{group.title}: every stock length on offer is longer than the longest carry of {carry}, "
            "and none of its merchants delivers."
        )
    marks = solved.not_placed()
    if marks:
        return (
            f"{group.title}: no bar that may be had can be cut into {', '.join(marks)} "
            "with the trims and the safe hold set in the workshop file."
        )
    return f"{group.title}: the bars available are too few for the {group.pieces} parts wanted."
