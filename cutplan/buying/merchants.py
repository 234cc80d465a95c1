"""The choice of merchants: every set of those with a delivery charge or a minimum order is bounded.

A merchant costs max(minimum order, spend) + delivery once anything priced is
bought there. Groups are independent once that set is fixed, so each set costs
at least what its groups cost at least, plus its deliveries.
"""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from cutplan.buying.pool import Task, processes_for, solve_side_by_side
from cutplan.model import (
    Forgone,
    Goal,
    Group,
    GroupPlan,
    Job,
    MerchantCase,
    Plan,
    Proof,
    SourceKind,
    Status,
    StockLength,
    groups_of,
    within_carry,
)
from cutplan.problems import NoPlan
from cutplan.solving import Clock, Limits, Solved
from cutplan.units import Money, stock_text

MOST_CHARGING = 8
"""Merchants with fixed charges up to which every set of them is looked at."""


@dataclass
class _Desk:
    """One planning run: what was solved is kept, because sets of merchants share groups."""

    job: Job
    groups: tuple[Group, ...]
    limits: Limits
    deadline: float
    say: Callable[[str], None]
    solved: dict[tuple[int, tuple[str, ...]], Solved]
    stopped_by: str = ""

    def solve(self, wanted: Sequence[tuple[int, Sequence[StockLength], int | None]]) -> list[Solved]:
        """Plan groups: the place of each among the groups, the offers open to it, and from which cost on a plan is
        of no use (None: any is).
        """
        keys = [(number, tuple(offer.id for offer in offers)) for number, offers, _ in wanted]
        tasks = {
            key: Task(
                group=self.groups[number],
                workshop=self.job.workshop,
                offers=tuple(offers),
                limits=self.limits,
                enough=enough,
            )
            for key, (number, offers, enough) in zip(keys, wanted, strict=True)
            if not self._is_known(key, enough)
        }
        processes = processes_for(list(tasks.values()))
        if processes > 1 and self.stopped_by != "user":
            self.say(f"{len(tasks)} groups in {processes} processes")
            answers, stopped_by = solve_side_by_side(list(tasks.values()), processes, self.deadline, self.say)
            self.stopped_by = stopped_by or self.stopped_by
            self.solved |= {key: answer for key, answer in zip(tasks, answers, strict=True) if answer is not None}
            tasks = {key: task for (key, task), answer in zip(tasks.items(), answers, strict=True) if answer is None}
        for key, task in tasks.items():
            self.say(f"{task.group.title}: {task.group.pieces} parts")
            clock = Clock(deadline=self.deadline, stopped_by=self.stopped_by if self.stopped_by == "user" else "")
            self.solved[key] = task.run(clock, self.say)
            if clock.stopped_by in ("user", "time limit"):
                self.stopped_by = clock.stopped_by
        return [self.solved[key] for key in keys]

    def _is_known(self, key: tuple[int, tuple[str, ...]], enough: int | None) -> bool:
        known = self.solved.get(key)
        return known is not None and (known.proof.status is not Status.NOT_PROVEN or known.proof.bound >= (enough or 0))

    def open_offers(self, group: Group, charging: frozenset[str] | None) -> list[StockLength]:
        """Offers that can be brought home, of merchants in ``charging`` or without fixed charges; None for all."""
        workshop = self.job.workshop
        return [
            offer
            for offer in group.offers
            if within_carry(offer, workshop)
            and (
                charging is None or offer.merchant in charging or not workshop.merchant(offer.merchant).has_fixed_charge
            )
        ]


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
    desk = _Desk(
        job=job,
        groups=groups,
        limits=limits or Limits(),
        deadline=time.monotonic() + time_limit,
        say=progress or (lambda text: None),
        solved={},
    )
    everything = desk.solve([(n, desk.open_offers(group, None), None) for n, group in enumerate(groups)])
    for solved in everything:
        if solved.cost is None:
            raise NoPlan(_why_no_plan(job, solved))
    cases, chosen = _choose(desk, everything)
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


def job_cost(job: Job, plans: Sequence[GroupPlan]) -> Money:
    """Money of all priced groups: bars less kept left overs, deliveries and shortfalls to minimum orders."""
    return sum(_group_cost(plan) for plan in plans) + _charges(job, plans)


def _group_cost(plan: GroupPlan) -> Money:
    return sum(bar.cost for bar in plan.bars) if plan.goal is Goal.MONEY else 0


def _spend(job: Job, plans: Sequence[GroupPlan]) -> dict[str, Money]:
    """What the bars bought from each merchant cost, in groups planned by money."""
    offers = {offer.id: offer for offer in job.offers}
    spend: dict[str, Money] = {}
    for plan in plans:
        if plan.goal is Goal.MONEY:
            for bar in plan.bars:
                if bar.kind is SourceKind.BOUGHT:
                    offer = offers[bar.source]
                    spend[offer.merchant] = spend.get(offer.merchant, 0) + (offer.bar_price or 0)
    return spend


def _charges(job: Job, plans: Sequence[GroupPlan]) -> Money:
    total = 0
    for name, spent in _spend(job, plans).items():
        merchant = job.workshop.merchant(name)
        total += merchant.delivery + max(0, merchant.minimum_order - spent)
    return total


def _choose(desk: _Desk, everything: list[Solved]) -> tuple[list[MerchantCase], list[Solved]]:
    """The cases that together cover every set of charging merchants, and the cheapest plan among them."""
    job = desk.job
    money = [n for n, solved in enumerate(everything) if solved.goal is Goal.MONEY]
    charging = sorted(
        {
            offer.merchant
            for n in money
            for offer in desk.open_offers(desk.groups[n], None)
            if job.workshop.merchant(offer.merchant).has_fixed_charge
        }
    )
    all_proofs = [everything[n].proof for n in money]
    if not charging:
        return [_case(job, desk, (), all_proofs, and_more=False)], everything
    best, best_cost = everything, _cost_of(desk, everything)
    if len(charging) > MOST_CHARGING:
        return [_case(job, desk, (), all_proofs, and_more=True)], best
    # Small sets come first: they pay the fewest deliveries, and what they cost lets larger ones be passed over.
    cases: list[MerchantCase] = []
    for size in range(len(charging) + 1):
        for names in itertools.combinations(charging, size):
            loose = _case(job, desk, names, all_proofs, and_more=False)
            if loose.bound >= best_cost or desk.stopped_by:
                cases.append(loose)
                continue
            # The other groups cost at least what they do with every merchant open.
            least = {n: everything[n].proof.bound for n in money}
            room = best_cost - loose.charges - sum(least.values())
            open_to = [(n, desk.open_offers(desk.groups[n], frozenset(names)), room + least[n]) for n in money]
            tried = list(everything)
            for n, solved in zip(money, desk.solve(open_to), strict=True):
                tried[n] = solved
            cases.append(_case(job, desk, names, [tried[n].proof for n in money], and_more=False))
            if all(solved.cost is not None for solved in tried):
                tried, cost = _filled_up(desk, tried, names, money)
                if cost < best_cost:
                    best, best_cost = tried, cost
    return cases, best


def _filled_up(
    desk: _Desk, tried: list[Solved], names: Sequence[str], money: Sequence[int]
) -> tuple[list[Solved], Money]:
    """Buy more where a minimum order is not reached, as long as that is cheaper than paying for nothing."""
    cost = _cost_of(desk, tried)
    for name in names:
        if desk.stopped_by or not desk.job.workshop.merchant(name).minimum_order:
            continue
        for n in money:
            from_there = [offer for offer in desk.open_offers(desk.groups[n], None) if offer.merchant == name]
            if not from_there or _missing(desk, tried, name) == 0:
                continue
            (instead,) = desk.solve([(n, from_there, None)])
            if instead.cost is None:
                continue
            # Dearer by itself, so what is known of the group with all its offers is its proof.
            known = replace(tried[n].proof, status=Status.NOT_PROVEN, bound=tried[n].leaf_bound)
            other = [*tried[:n], replace(instead, proof=known), *tried[n + 1 :]]
            if instead.cost > known.bound and (other_cost := _cost_of(desk, other)) < cost:
                tried, cost = other, other_cost
    return tried, cost


def _missing(desk: _Desk, solved: Sequence[Solved], name: str) -> Money:
    """What the bars bought from a merchant lack to its minimum order; 0 where nothing is bought there."""
    plans = [one.group_plan(desk.job.workshop, 1) for one in solved]
    spent = _spend(desk.job, plans).get(name)
    return 0 if spent is None else max(0, desk.job.workshop.merchant(name).minimum_order - spent)


def _cost_of(desk: _Desk, solved: Sequence[Solved]) -> Money:
    return job_cost(desk.job, [one.group_plan(desk.job.workshop, 1) for one in solved])


def _case(job: Job, desk: _Desk, names: tuple[str, ...], proofs: Sequence[Proof], *, and_more: bool) -> MerchantCase:
    charges = sum(job.workshop.merchant(name).delivery for name in names)
    bound = sum(proof.bound for proof in proofs)
    families = {group.section.family for group in desk.groups if group.priced}
    if not any(job.workshop.offcut_value(family) for family in families):
        # Without a value for left overs nothing is earned back, so the minimum orders alone are a bound.
        bound = max(bound, sum(job.workshop.merchant(name).minimum_order for name in names))
    return MerchantCase(
        merchants=names, and_more=and_more, proofs=tuple(proofs), charges=charges, bound=bound + charges
    )


def _status(cases: Sequence[MerchantCase], cost: Money, bound: Money) -> Status:
    if bound < cost:
        return Status.NOT_PROVEN
    by_search = any(proof.status is Status.BY_SEARCH for case in cases for proof in case.proofs)
    return Status.BY_SEARCH if by_search else Status.RECHECKED


def _forgone(desk: _Desk, chosen: Sequence[Solved]) -> list[Forgone]:
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
