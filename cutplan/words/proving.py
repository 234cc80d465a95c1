"""What is said of a plan as a whole: how cheapest is known, what spares and a longer carry come to."""

from __future__ import annotations

import math
from collections import Counter

from cutplan.model import (
    Fate,
    Goal,
    GroupPlan,
    Job,
    Part,
    Plan,
    SourceKind,
    Status,
    dealt_out,
    groups_of,
    within_carry,
)
from cutplan.units import CURRENCY, MASS_UNITS, Printing, ceil_div, mass_text, stock_text
from cutplan.words.naming import from_merchant, group_names, money_words, names_text, percent_text


def proof_lines(job: Job, plan: Plan) -> tuple[str, ...]:
    """How cheapest is known, never more than was shown: a line for the money, one for groups without prices."""
    lines, dealt = [], dealt_out(job)
    priced = [group.title for group in plan.groups if group.goal is Goal.MONEY]
    if priced:
        untried = _UNTRIED if dealt.keys() & set(priced) else ""
        lines.append(f"Cheapest: {_money_proof(job, plan)}{untried}")
    names = group_names(job)
    alike: dict[str, list[str]] = {}
    for group in plan.groups:
        if group.goal is Goal.MASS:
            proof = _mass_proof(group, job.workshop.printing)
            untried = _UNTRIED if group.title in dealt else ""
            alike.setdefault(f"{proof}{untried}", []).append(names[group.title])
    for proof, titles in alike.items():
        whole = len(titles) > 1 and len(titles) == len(plan.groups)
        why = "no price is known" if whole else f"a price is missing, {'; '.join(titles)}"
        lines.append(f"Least mass to buy, as {why}: {proof}")
    return (*lines, *_rack_used_up(plan))


_AS_DEALT = ", as bars are dealt to the saws"
_UNTRIED = f"{_AS_DEALT}; other ways to deal them were not tried"


def status_words(job: Job, status: Status) -> str:
    """How cheapest is known, in a few words."""
    return f"{status.value}{_AS_DEALT if dealt_out(job) else ''}"


def _rack_used_up(plan: Plan) -> list[str]:
    """The second goal, where pieces of the rack are cut: it is sought and never proven."""
    cut = [bar for bar in plan.bars if bar.kind is SourceKind.OFFCUT]
    gone = sum(bar.drop.fate is not Fate.KEEP for bar in cut)
    words = "Pieces of the rack are used up where it costs the same (sought, not proven)"
    return [f"{words}: {gone} of {len(cut)} cut"] if cut else []


def _money_proof(job: Job, plan: Plan) -> str:
    if plan.status is Status.RECHECKED:
        return "proven, rechecked"
    if plan.status is Status.BY_SEARCH:
        return "proven by search"
    # Rounded up to a cent and a tenth of a percent: what is not excluded is never made to look smaller.
    cent = CURRENCY // 100
    if plan.possible_saving < cent:
        saving = f"less than {money_words(cent, job.workshop.currency)}"
    else:
        percent = percent_text(plan.possible_saving, plan.cost, up=True)
        saving = f"at most {money_words(ceil_div(plan.possible_saving, cent) * cent, job.workshop.currency)}"
        saving = f"{saving} ({percent} %)"
    limits = dict.fromkeys(case.stopped_by for case in plan.cases if case.bound < plan.cost and case.stopped_by)
    return f"not proven: {saving} could be saved{_stopped(plan.stopped_by or ', '.join(limits))}"


def _mass_proof(group: GroupPlan, how: Printing) -> str:
    proof = group.proof
    if proof.status is Status.RECHECKED:
        return "proven, rechecked"
    if proof.status is Status.BY_SEARCH:
        return "proven by search"
    saving = sum(bar.cost for bar in group.bars) - proof.bound
    tenth = MASS_UNITS[how.mass_unit] / 10
    saving = math.ceil(math.ceil(saving / tenth) * tenth)
    return f"not proven: at most {mass_text(saving, how)} could be saved{_stopped(proof.stopped_by)}"


def _stopped(by: str) -> str:
    return f"; stopped by {by}" if by else ""


def spares_text(part: Part) -> str:
    """``1 bought, 2 free``: spares in the quantity, and those beyond it; blank when there are none."""
    counts = ((part.spares_bought, "bought"), (part.spares, "free"))
    return ", ".join(f"{count} {word}" for count, word in counts if count)


def spare_lines(job: Job, plan: Plan) -> tuple[str, ...]:
    """Which of the spares wanted came free, and which found no left over."""
    made = Counter(cut.mark for bar in plan.bars for cut in bar.cuts)
    return tuple(
        f"{part.mark}: {made[part.mark] - part.quantity} of {part.spares} spare "
        f"{'come' if part.spares > 1 else 'comes'} free from left overs"
        for part in job.parts
        if part.spares
    )


_BROUGHT_OTHERWISE = "if delivered or cut by the merchant, whose charge for that"


def forgone_lines(job: Job, plan: Plan) -> tuple[str, ...]:
    """What stock lengths that are too long to carry would save, where it is proven."""
    return _would_save(job, plan)


def _not_told(job: Job, plan: Plan) -> tuple[str, ...]:
    """That nobody knows what a carry costs where the plan with it is not proven."""
    shop = job.workshop
    long = any(not within_carry(offer, shop) for group in groups_of(job) if group.priced for offer in group.offers)
    if plan.status is not Status.NOT_PROVEN or not long:
        return ()
    carry = f"the longest carry of {stock_text(shop.longest_carry, shop.printing)}"
    return (f"What lengths beyond {carry} would save is not stated: this plan is not proven",)


def _would_save(job: Job, plan: Plan) -> tuple[str, ...]:
    other, shop = plan.if_delivered, job.workshop
    if other is None:
        return _not_told(job, plan)
    offers = {offer.id: offer for offer in job.offers}
    names = group_names(job)
    used: dict[str, str] = {}
    cut_to_carry = True
    for group in other.groups:
        bought = (offers[bar.source] for bar in group.bars if bar.kind is SourceKind.BOUGHT)
        long = [offer for offer in bought if not within_carry(offer, shop)]
        lengths = names_text(from_merchant(stock_text(offer.length, shop.printing), offer.merchant) for offer in long)
        cut_to_carry &= all(shop.merchant(offer.merchant).cuts_to_carry for offer in long)
        if long:
            used[group.title] = f"{names[group.title]}: {lengths}"
    savings = []
    by_money = [used[group.title] for group in other.groups if group.goal is Goal.MONEY and group.title in used]
    if plan.money_forgone:
        saving, *both = (money_words(money, shop.currency) for money in (plan.money_forgone, plan.cost, other.cost))
        beside = f"{both[0]} as it is, {both[1]} with no limit, both proven{_AS_DEALT if dealt_out(job) else ''}"
        savings.append(("; ".join(by_money), f"{saving} ({beside})"))
    for title, mass in plan.mass_forgone.items():
        savings.append((used.get(title, names[title]), f"{mass_text(mass, shop.printing)} of steel"))
    how = "if delivered whole, a charge for which" if cut_to_carry else _BROUGHT_OTHERWISE
    carry = f"the longest carry of {stock_text(shop.longest_carry, shop.printing)}"
    # Where every bar can be had as it is, what is saved are charges for delivery: bars too long to fetch are fetched.
    return tuple(
        f"Beyond {carry}, {bars} would save {saving} {how} is not counted"
        if bars
        else f"Lengths beyond {carry} would save {saving} if fetched, not delivered"
        for bars, saving in savings
    )


def times_text(begun: float, planned: float, written: float) -> str:
    """How long planning took, which a time limit ends, and how long writing, which none does; moments in seconds."""
    return f"Planned in {planned - begun:.1f} s, written in {written - planned:.1f} s."
