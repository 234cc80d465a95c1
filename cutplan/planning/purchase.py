"""A whole job planned: its groups, the choice of merchants, what is known of the money, and what the carry forgoes."""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable, Sequence
from dataclasses import replace

from cutplan.model import (
    Goal,
    Group,
    Job,
    MerchantCase,
    Plan,
    Status,
    as_weighed,
    dealt_out,
    groups_of,
    obtainable,
    with_no_limit,
    within_carry,
)
from cutplan.planning.cases import choose
from cutplan.planning.charges import carry_cuts_saved_at_most, job_cost, spend
from cutplan.planning.desk import Desk
from cutplan.problems import NoPlan
from cutplan.solving import Pace, Parameters, Solved, group_plans
from cutplan.units import Money, counted, stock_text


def plan_job(
    job: Job,
    *,
    parameters: Parameters | None = None,
    time_limit: float = 120.0,
    progress: Callable[[str], None] | None = None,
    processes: int | None = None,
    cluster: str = "",
) -> Plan:
    """Plan a whole job.

    Parameters
    ----------
    parameters
        Counters that end the search of a group; they bind before the clock does.
    time_limit
        Seconds for the whole job; when it strikes the plan says so.
    progress
        Called with a line of text now and then.
    processes
        Helper processes that may run at once where groups are large: 0 for none, None for as many as there are
        processors. The plan is the same.
    cluster
        The address of the scheduler of a dask cluster, whose workers then take large groups instead.

    Raises
    ------
    ProblemsFound
        When that cluster cannot be reached, or its workers have other releases.
    NoPlan
        When some part can be cut from nothing that may be had.
    KeyboardInterrupt
        When interrupted before there was a plan for a group, or once more; at first the best plan is taken.
    """
    groups, parameters = groups_of(job), parameters or Parameters()
    desk = Desk(
        job=job,
        groups=groups,
        parameters=parameters,
        deadline=time.monotonic() + time_limit,
        say=progress or (lambda text: None),
        processes=processes,
        cluster=cluster,
        pace=Pace(parameters.pace_assumed),
        kept_at_most=max(0.0, time_limit) * parameters.kept_at_most,
        kept_back=sum(_work_after(job, group, parameters) for group in groups),
    )
    plan = plan_at(desk)
    return replace(plan, if_delivered=if_delivered(desk, plan))


def _work_after(job: Job, group: Group, parameters: Parameters) -> float:
    """How long a processor takes to lay out, weigh and check a plan of a group, without its proof. [s]"""
    if not all(within_carry(offer, job.workshop) for offer in group.offers):
        return parameters.carried_work * group.pieces
    apart = min(group.pieces, parameters.parts_apart * len(group.parts))
    return parameters.part_work * apart + parameters.alike_work * (group.pieces - apart)


def plan_at(desk: Desk) -> Plan:
    """The plan of a desk's job.

    Where cuts for the carry are free up to a number per order, each counts at its charge at first, and the bound is
    less by what free ones save at most: that is exact where a plan uses them up. Then those of some merchants count
    nothing, which bounds all plans too; the best of these bounds and the best of these plans are taken. What that
    leaves open a search over all groups decides, which counts free cuts as they are.
    """
    best = bounding = _planned(desk)
    names = sorted(carry_cuts_saved_at_most(desk.job, desk.groups))
    sets = (some for number in range(1, len(names) + 1) for some in itertools.combinations(names, number))
    try:
        for uncharged in itertools.islice(sets, desk.parameters.free_cut_sets):
            if bounding.bound >= best.cost or bounding.stopped_by:
                break
            shop = desk.job.workshop
            merchants = (replace(one, carry_cut_charge=0) if one.name in uncharged else one for one in shop.merchants)
            job = replace(desk.job, workshop=replace(shop, merchants=tuple(merchants)))
            other = _planned(replace(desk, job=job, solved={}))
            other = replace(other, cases=tuple(replace(case, carry_uncharged=uncharged) for case in other.cases))
            bounding = max(bounding, other, key=lambda plan: plan.bound)
            best = min(best, _charged(desk, other, uncharged), key=lambda plan: plan.cost)
        if names and bounding.bound < best.cost and not bounding.stopped_by:
            searched = _planned(replace(desk, lets_off=True))
            bounding = max(bounding, searched, key=lambda plan: plan.bound)
            best = min(best, searched, key=lambda plan: plan.cost)
    except KeyboardInterrupt:
        bounding = replace(bounding, stopped_by="user")
    bound = min(best.cost, bounding.bound)
    status = _status(bounding.cases, best.cost, bound)
    return replace(best, cases=bounding.cases, bound=bound, status=status, stopped_by=bounding.stopped_by)


def _charged(desk: Desk, plan: Plan, uncharged: Sequence[str]) -> Plan:
    """A plan made with no charge for cuts for the carry of some merchants, with that charge in its bars.

    What is known of each group is what is found with that charge, buying where the plan does and as it is brought.
    """
    job = as_weighed(desk.job)
    shop = job.workshop.as_brought(plan.fetched)
    charges = {
        offer.id: shop.merchant(offer.merchant).carry_cut_charge for offer in job.offers if offer.merchant in uncharged
    }
    spent, at = frozenset(spend(job, plan.groups)), replace(desk, job=job)
    groups = []
    for n, group in enumerate(plan.groups):
        if group.goal is Goal.MONEY:
            bars = tuple(
                replace(bar, cost=bar.cost + (len(bar.piece_of.ordered) - 1) * charges.get(bar.source, 0))
                if bar.buys and bar.piece_of
                else bar
                for bar in group.bars
            )
            cost = sum(bar.cost for bar in bars)
            (known,) = at.solve([(n, at.open_offers(desk.groups[n], spent, shop), cost)], shop=shop)
            proof = known.proof
            if proof.status is not Status.NOT_PROVEN and proof.bound < cost:
                proof = replace(proof, status=Status.NOT_PROVEN, stopped_by="free cuts")
            group = replace(group, bars=bars, proof=replace(proof, bound=min(proof.bound, cost)))
        groups.append(group)
    return replace(plan, groups=tuple(groups), cost=job_cost(replace(job, workshop=shop), groups))


def _planned(desk: Desk) -> Plan:
    """The plan with each cut for the carry at its charge."""
    job, groups = desk.job, desk.groups
    # Groups alone know nothing of charges: they leave some time to weigh these.
    left = desk.deadline - time.monotonic()
    desk = replace(desk, job=as_weighed(job))
    alone = replace(desk, deadline=desk.deadline - (left * desk.parameters.weighing if desk.charging() else 0))
    everything = alone.solve([(n, desk.open_offers(group, None), None) for n, group in enumerate(groups)])
    desk.kept_back = alone.kept_back
    desk.stopped_by = "user" if alone.stopped_by == "user" else desk.stopped_by
    for solved in everything:
        if solved.cost is None:
            raise NoPlan(_why_no_plan(job, solved), code="plan.impossible")
    cases, chosen, fetched = choose(desk, everything)
    shop = desk.job.workshop.as_brought(fetched)
    plans = group_plans(chosen, shop)
    cost = job_cost(replace(job, workshop=shop), plans)
    bound = min(cost, min(case.bound for case in cases))
    return Plan(
        job_name=job.name,
        groups=tuple(plans),
        cases=tuple(cases),
        status=_status(cases, cost, bound),
        bound=bound,
        cost=cost,
        stopped_by=desk.stopped_by or alone.stopped_by,
        fetched=fetched,
    )


def if_delivered(desk: Desk, plan: Plan) -> Plan | None:
    """The plan were every bar delivered, where what it saves is proven; charges of merchants are counted in both.

    What it takes is no part of the plan, so a limit that strikes leaves it out without a word.
    """
    job = desk.job
    proven = plan.status is not Status.NOT_PROVEN or any(group.goal is Goal.MASS for group in plan.groups)
    if plan.stopped_by or not proven or all(within_carry(offer, job.workshop) for offer in job.offers):
        return None
    desk.say("were every bar delivered")
    delivered = with_no_limit(job)
    # Groups without such bars are what they were.
    solved = {
        key: one for key, one in desk.solved.items() if not any(source.carrying for source in one.instance.sources)
    }
    try:
        other = replace(plan, if_delivered=plan_at(replace(desk, job=delivered, solved=solved)))
    except (KeyboardInterrupt, NoPlan):
        return None
    found = other.if_delivered
    saves = other.money_forgone and found is not None and _paid(found) < _paid(plan)
    return found if saves or other.mass_forgone else None


def _paid(plan: Plan) -> Money:
    """What a plan costs before left overs count: none is bought to lie on the rack, however long."""
    return plan.cost + sum(bar.drop.value for bar in plan.bars)


def _status(cases: Sequence[MerchantCase], cost: Money, bound: Money) -> Status:
    if bound < cost:
        return Status.NOT_PROVEN
    by_search = any(case.by_search for case in cases)
    by_search |= any(proof.status is Status.BY_SEARCH for case in cases for proof in case.proofs)
    return Status.BY_SEARCH if by_search else Status.RECHECKED


def _why_no_plan(job: Job, solved: Solved) -> str:
    group, workshop = solved.group, job.workshop.at_saw(solved.group.saw)
    if not group.offers:
        rack = ", and what lies on the rack is not enough" if group.offcuts else ", nor on the rack"
        return f"{group.title}: nothing of it is on sale{rack}."
    carry = stock_text(workshop.carry, workshop.printing)
    reach = [offer for offer in group.offers if obtainable(offer, workshop, group.parts)]
    if not reach:
        return (
            f"{group.title}: every stock length on offer is longer than the longest carry of {carry}, "
            "and none of its merchants delivers or cuts it to be carried."
        )
    marks = solved.not_placed()
    if marks:
        longest = max(offer.counted for offer in group.offers) - 2 * workshop.saw.mill_trim
        fit_whole = all(part.length <= longest for part in group.parts if part.mark in marks)
        too_long = fit_whole and not all(within_carry(offer, workshop) for offer in group.offers)
        had = f"can be carried, up to {carry}," if too_long else "may be had"
        return (
            f"{group.title}: no bar that {had} can be cut into {', '.join(marks)} "
            "with the trims and the safe hold set in the workshop file."
        )
    too_few = f"{group.title}: the bars available are too few for the {counted(group.pieces, 'part')} wanted."
    shared = group.title in dealt_out(job)
    return f"{too_few} Other saws have a share of them: one saw for all its parts has all." if shared else too_few
