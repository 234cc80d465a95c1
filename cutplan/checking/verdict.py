"""The checker's one face: all failures of a plan, and what was rechecked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from cutplan.checking.amounts import (
    charging_among,
    charging_merchants,
    multiplier_failures,
    offers_needed,
    review_money,
    spend_by_merchant,
    status_failures,
)
from cutplan.checking.bar_rules import bar_failures, mark_failures, numbering_failures
from cutplan.checking.carry_pieces import better_cut
from cutplan.checking.fetching import one_way, uncharged, weighed, where_priced
from cutplan.checking.proof import ProofReview, review_proof
from cutplan.checking.sawn_on import saw_failures
from cutplan.checking.sources import cost_text, goal_of
from cutplan.model import (
    Goal,
    Group,
    Job,
    MerchantCase,
    Multiplier,
    Plan,
    Proof,
    Status,
    dealt_out,
    groups_of,
    within_carry,
)
from cutplan.units import Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Review:
    """What was rechecked and what does not hold.

    ``findings`` are sentences on the bounds, one per group and one for the
    money of the plan; ``leaves`` counts the leaves of all distinct proofs that
    were worked through.
    """

    failures: tuple[str, ...]
    findings: tuple[str, ...]
    bars: int
    pieces: int
    leaves: int

    @property
    def holds(self) -> bool:
        """True when nothing failed."""
        return not self.failures

    @property
    def summary(self) -> str:
        """What was rechecked, as one line."""
        counted = ((self.bars, "bar"), (self.pieces, "part"), (self.leaves, "leaf of the proof"))
        return ", ".join(f"{count} {_plural(noun, count)}" for count, noun in counted) + " rechecked"


def check(job: Job, plan: Plan) -> tuple[str, ...]:
    """What does not hold in a plan.

    Parameters
    ----------
    job
        What is asked for.
    plan
        Any plan, from whatever source; nothing in it is trusted.

    Returns
    -------
    tuple of str
        Plain sentences that name group, bar, part and figures; empty when bars, costs and proof hold.
    """
    return review(job, plan).failures


def review(job: Job, plan: Plan) -> Review:
    """As :func:`check`, with what was rechecked."""
    groups, currency = groups_of(job), job.workshop.currency
    bars, pieces = sum(1 for _ in plan.bars), sum(len(bar.cuts) for bar in plan.bars)
    failures = _frame_failures(job, groups, plan)
    if failures:
        return Review(failures=tuple(failures), findings=(), bars=bars, pieces=pieces, leaves=0)
    job = where_priced(job, groups)
    failures = numbering_failures(job, plan) + mark_failures(plan) + saw_failures(job, groups, plan)
    reviewed: dict[tuple[int, int, tuple[Multiplier, ...], tuple[str, ...], tuple[str, ...]], ProofReview] = {}
    told_apart = _Proofs()
    settled, dealt = one_way(job, plan.fetched), dealt_out(job)
    failures += _fetched_failures(job, groups, plan)
    chosen = charging_among(job, spend_by_merchant(groups, plan).keys())
    charging = charging_merchants(job, groups)
    findings = []
    for place, (group, planned) in enumerate(zip(groups, plan.groups, strict=True)):
        failures += bar_failures(settled, group, planned)
        answer = review_proof(settled, group, planned.proof)
        reviewed[place, told_apart.number(planned.proof), (), plan.fetched, ()] = answer
        failures += [f"{group.title}: {text}" for text in _proof_failures(job, planned.proof, answer)]
        cost, goal = sum(bar.cost for bar in planned.bars), goal_of(group)
        needed = offers_needed(settled, group, chosen if goal is Goal.MONEY else None, charging)
        lacking = needed - set(planned.proof.sources)
        if lacking:
            failures.append(f"{group.title}: its proof leaves out {', '.join(sorted(lacking))}")
        confirmed = answer.bound is not None and answer.bound >= cost
        if answer.bound is not None and answer.bound > cost and not lacking:
            failures.append(
                f"{group.title}: its leaves give {cost_text(answer.bound, goal, currency)}, more than the "
                f"{cost_text(cost, goal, currency)} its bars cost: one of the two is wrong"
            )
        failures += status_failures(
            planned.proof.status, planned.proof.bound, cost, confirmed, group.title, goal, currency
        )
        from_leaves = answer.bound is not None and answer.bound >= planned.proof.bound
        alone = _finding(group.title, planned.proof.status, planned.proof.bound, cost, from_leaves, goal, currency)
        if goal is Goal.MONEY and planned.proof.status is Status.NOT_PROVEN and plan.status is not Status.NOT_PROVEN:
            # A minimum order can make a bar worth buying that its own group could do without.
            alone = f"{group.title}: proven together with the other groups and what merchants charge, not by itself"
        charged = _CUTS_CHARGED if goal is Goal.MONEY and _has_free_cuts(job, group) else ""
        findings.append(alone + charged + (_AS_DEALT if group.title in dealt else ""))
    priced = [place for place, group in enumerate(groups) if goal_of(group) is Goal.MONEY]
    for case in plan.cases:
        if multiplier_failures(case):
            continue  # reported with the case
        for place, proof in zip(
            priced, case.proofs, strict=False
        ):  # a wrong number of proofs is reported with the case
            key = place, told_apart.number(proof), case.multipliers, case.fetched, case.carry_uncharged
            if key not in reviewed:
                answer = _in_case(uncharged(job, case.carry_uncharged), groups, place, proof, case)
                reviewed[key] = answer
                named = f"{groups[place].title}, buying from {', '.join(case.merchants) or 'no charging merchant'}"
                failures += [f"{named}: {text}" for text in _proof_failures(job, proof, answer)]

    def bounded(place: int, proof: Proof, case: MerchantCase) -> Money | None:
        number = told_apart.number(proof)
        return reviewed[place, number, case.multipliers, case.fetched, case.carry_uncharged].bound

    found, confirmed_bound = review_money(job, groups, plan, bounded)
    failures += found
    failures += _delivered_failures(job, plan)
    from_leaves = confirmed_bound is not None and confirmed_bound >= plan.bound
    if any(goal_of(group) is Goal.MONEY for group in groups):
        whole = "all groups with prices"
        known = _finding(whole, plan.status, plan.bound, plan.cost, from_leaves, Goal.MONEY, currency)
        of_shares = any(group.title in dealt for group in groups if goal_of(group) is Goal.MONEY)
        findings.append(known + (_AS_DEALT if of_shares else ""))
    return Review(
        failures=tuple(failures),
        findings=tuple(findings),
        bars=bars,
        pieces=pieces,
        leaves=sum(answer.leaves for answer in reviewed.values()),
    )


class _Proofs:
    """Numbers of the proofs of one plan, the same for equal ones: each is looked into once, in however many cases.

    The plan holds on to its proofs, so that no two of them have one id.
    """

    def __init__(self) -> None:
        self._by_id: dict[int, int] = {}
        self._by_value: dict[Proof, int] = {}

    def number(self, proof: Proof) -> int:
        """The number of a proof."""
        known = self._by_id.get(id(proof))
        if known is None:
            known = self._by_id[id(proof)] = self._by_value.setdefault(proof, len(self._by_value))
        return known


def _in_case(job: Job, groups: Sequence[Group], place: int, proof: Proof, case: MerchantCase) -> ProofReview:
    """A proof of a group in a case: it may have been made where orders come any way, or as they do in the case.

    Where any way has whole lengths that are better cut for the carry, it bounds nothing of what is fetched.
    """
    if better_cut(job, groups[place], case.fetched):
        return review_proof(one_way(job, case.fetched), groups[place], proof, case.multipliers)
    anyhow = review_proof(job, groups[place], proof, case.multipliers)
    if not weighed(job) or (not anyhow.failures and (anyhow.bound or 0) >= proof.bound):
        return anyhow
    settled = review_proof(one_way(job, case.fetched), groups[place], proof, case.multipliers)
    return anyhow if settled.failures or (settled.bound or 0) < (anyhow.bound or 0) else settled


def _fetched_failures(job: Job, groups: Sequence[Group], plan: Plan) -> list[str]:
    """Orders are said to be fetched where they may be delivered too, and something is bought."""
    may = weighed(job).intersection(spend_by_merchant(groups, plan))
    wrong = [name for name in plan.fetched if name not in may]
    failures = [
        f"the order from {name} is said to be fetched, it comes one way only, or there is none" for name in wrong
    ]
    if len(set(plan.fetched)) != len(plan.fetched):
        failures.append("an order is said to be fetched twice")
    return failures


def _plural(noun: str, count: int) -> str:
    return noun if count == 1 else {"leaf of the proof": "leaves of the proof"}.get(noun, f"{noun}s")


def _frame_failures(job: Job, groups: Sequence[Group], plan: Plan) -> list[str]:
    """Without the same groups in the same order nothing else can be compared."""
    failures = []
    if plan.job_name != job.name:
        failures.append(f'the plan answers "{plan.job_name}", the job is "{job.name}"')
    wanted, found = [group.title for group in groups], [planned.title for planned in plan.groups]
    if wanted != found:
        failures.append(f"the plan's groups are {'; '.join(found) or 'none'}, the job's are {'; '.join(wanted)}")
        return failures
    for group, planned in zip(groups, plan.groups, strict=True):
        if planned.goal is not goal_of(group):
            failures.append(
                f"{group.title}: is planned for least {planned.goal.value}, "
                f"by its prices it is planned for least {goal_of(group).value}"
            )
    return failures


def _proof_failures(job: Job, proof: Proof, answer: ProofReview) -> list[str]:
    """What is wrong with a proof by itself; a proof by search is not held to what its leaves give."""
    if answer.failures:
        bare = proof.status is Status.BY_SEARCH and not proof.leaves
        return [] if bare else list(answer.failures)
    if proof.status is Status.BY_SEARCH or answer.bound is None or proof.bound <= answer.bound:
        return []
    return [
        f"its bound is stated as {proof.bound}, its leaves give {answer.bound} "
        f"(millionths of {job.workshop.currency} or of a kilogram)"
    ]


_CUTS_CHARGED = ", by itself, with every cut for the carry at its charge"


def _has_free_cuts(job: Job, group: Group) -> bool:
    """May cuts for the carry of the group be free? Which of an order are is not for one group to say."""
    shop = job.workshop
    terms = {shop.merchant(offer.merchant) for offer in group.offers if not within_carry(offer, shop)}
    return any(one.cuts_to_carry and one.carry_cuts_saved(one.carry_cuts_free) for one in terms)


_AS_DEALT = ", as bars are dealt to the saws; other ways to deal them were not tried"


def _finding(subject: str, status: Status, bound: int, cost: int, from_leaves: bool, goal: Goal, currency: str) -> str:
    """What is known about a least cost, in one sentence; ``from_leaves`` says that the bound needs no search."""
    stated = f"bound of {cost_text(bound, goal, currency)}"
    if status is Status.RECHECKED:
        return f"{subject}: {stated} confirmed, nothing {'cheaper' if goal is Goal.MONEY else 'lighter'} exists"
    if status is Status.BY_SEARCH:
        return f"{subject}: {stated} proven by search: not rechecked"
    known = "confirmed" if from_leaves else "proven by search: not rechecked"
    return f"{subject}: {stated} {known}, a saving of up to {cost_text(cost - bound, goal, currency)} is not excluded"


def _delivered_failures(job: Job, plan: Plan) -> list[str]:
    """What is wrong with the plan that needs no carry: a plan of that job, by which a saving is proven."""
    other = plan.if_delivered
    if other is None:
        return []
    earlier = None if job.earlier is None else replace(job.earlier, stay=())
    longest = max((offer.length for offer in job.offers), default=0)
    at = replace(job, workshop=replace(job.workshop, longest_carry=longest, longest_flagged=0), earlier=earlier)
    failures = [f"were every bar delivered: {text}" for text in review(at, other).failures]
    if other.if_delivered is not None:
        failures.append("were every bar delivered: a further plan stands beside it")
    if all(within_carry(offer, job.workshop) for offer in job.offers):
        failures.append("were every bar delivered: no length is too long to carry")
    if not failures and not (plan.money_forgone or plan.mass_forgone):
        failures.append("were every bar delivered: nothing is proven to be saved")
    return failures
