"""How an order may come, and what is driven for, as the checker derives it from job and terms.

An order comes one way. Where it may be fetched and may be delivered, a plan says which, and whatever of it is too long
for that way is no part of it. Trips are counted for what is bought in groups planned by money.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace

from cutplan.checking.sources import goal_of
from cutplan.model import Brought, Goal, Group, Job, Merchant, Plan, SourceKind
from cutplan.units import Mass, Money


def may_be_fetched(job: Job, name: str) -> bool:
    """Is an order fetched, or may it be? Without a word on carry or trips whoever delivers delivers."""
    terms, shop = job.workshop.merchant(name), job.workshop
    if not terms.delivers or terms.brought is Brought.FETCHED:
        return True
    return terms.brought is Brought.CHEAPER and any((shop.longest_carry, shop.payload, shop.trip_cost))


def weighed(job: Job) -> frozenset[str]:
    """Merchants whose order may come either way."""
    return frozenset(
        terms.name
        for terms in job.workshop.merchants
        if terms.delivers and terms.brought is Brought.CHEAPER and may_be_fetched(job, terms.name)
    )


def where_priced(job: Job, groups: Sequence[Group]) -> Job:
    """The job with whoever delivers delivering, where something it sells has no price by which to weigh that."""
    unpriced = {offer.merchant for group in groups if goal_of(group) is Goal.MASS for offer in group.offers}
    either = weighed(job) & unpriced
    merchants = tuple(
        replace(terms, brought=Brought.DELIVERED) if terms.name in either else terms for terms in job.workshop.merchants
    )
    return replace(job, workshop=replace(job.workshop, merchants=merchants)) if either else job


def one_way(job: Job, fetched: Collection[str]) -> Job:
    """The job with every order coming one way: what is weighed is fetched from those named, and else delivered."""
    either = weighed(job)

    def settled(terms: Merchant) -> Merchant:
        if not terms.delivers:
            return terms
        drive = terms.name in fetched if terms.name in either else terms.brought is Brought.FETCHED
        return replace(terms, brought=Brought.FETCHED if drive else Brought.DELIVERED)

    shop = replace(job.workshop, merchants=tuple(map(settled, job.workshop.merchants)))
    return replace(job, workshop=shop)


def delivery(job: Job, name: str) -> Money:
    """What one delivery costs, where an order comes one way."""
    terms = job.workshop.merchant(name)
    return 0 if terms.delivers and terms.brought is Brought.FETCHED else terms.delivery


def is_driven_to(job: Job, name: str) -> bool:
    """Does a trip to a merchant cost anything? Where it charges a delivery and delivers nothing, that stands for it."""
    terms = job.workshop.merchant(name)
    if not job.workshop.trip_cost:
        return False
    return terms.brought is Brought.FETCHED if terms.delivers else terms.delivery == 0


def trips(job: Job, mass: Mass) -> int:
    """How often one drives for bars that weigh this much."""
    payload = job.workshop.payload
    return 1 if not payload or mass <= payload else -(-mass // payload)


def bought_mass(groups: Sequence[Group], plan: Plan) -> Mapping[str, Mass]:
    """What bars bought from each merchant weigh, groups planned by money only."""
    found: dict[str, Mass] = {}
    for group, planned in zip(groups, plan.groups, strict=True):
        if goal_of(group) is Goal.MONEY:
            offers = {offer.id: offer for offer in group.offers}
            for bar in planned.bars:
                whole = bar.piece_of is None or bar.piece_of.number == 1
                if bar.kind is SourceKind.BOUGHT and bar.source in offers and whole:
                    offer = offers[bar.source]
                    found[offer.merchant] = found.get(offer.merchant, 0) + offer.mass
    return found


def free_cuts(job: Job) -> dict[str, Money]:
    """What the cuts for the carry that a merchant makes free in one order come to at its charge, by merchant."""
    return {
        terms.name: terms.carry_cuts_free * terms.carry_cut_charge
        for terms in job.workshop.merchants
        if terms.cuts_to_carry and terms.carry_cuts_free and terms.carry_cut_charge
    }


def uncharged(job: Job, names: Collection[str]) -> Job:
    """The job with no charge for cuts for the carry of some merchants."""
    merchants = tuple(
        replace(terms, carry_cut_charge=0) if terms.name in names else terms for terms in job.workshop.merchants
    )
    return replace(job, workshop=replace(job.workshop, merchants=merchants))


def trips_at_least(
    job: Job, groups: Sequence[Group], named: Collection[str], open_to: Callable[[int], Collection[str]]
) -> int:
    """How often a plan that buys from all merchants ``named`` has to drive, by the offers open to each group.

    What is bought weighs no less than the parts of all groups between their mitres, less all offcuts there are; a
    milligram is allowed for rounding on each bar, of which there are no more than parts.
    """
    driven = {name for name in named if is_driven_to(job, name)}
    if not driven or not job.workshop.payload:
        return len(driven)
    needed = 0
    for number, group in enumerate(groups):
        open_offers = open_to(number)
        # What may be delivered need not be driven for; what other groups still need is left aside.
        if any(offer.id in open_offers and offer.merchant not in driven for offer in group.offers):
            return len(driven)
        length = sum(part.quantity * max(0, part.length - sum(part.runs)) for part in group.parts)
        length -= sum(offcut.quantity * offcut.length for offcut in group.offcuts)
        needed += max(0, group.section.mass_of(max(0, length)) - sum(part.quantity for part in group.parts))
    return max(len(driven), trips(job, needed))
