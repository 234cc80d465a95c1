"""Is the money of the whole plan what it says, and is every choice of merchants bounded?

Merchants with a delivery charge or a minimum order couple the groups: every
set of them that a plan could buy from must be covered by a case.

A merchant's bill for bars is the larger of minimum order m and spend s, so that
it is never below x*s + (1 - x)*m for any x from 0 to 1. A case may therefore
count that merchant's bars at x times their price, the minimum order at 1 - x.
This is Lagrangian relaxation of the two rows that define the larger of two.
Where a merchant delivers free from a sum on, every set comes in two cases: in
one the delivery is paid, in the other m is that sum where it is larger.

References
----------
G. Nemhauser, L. Wolsey, Integer and Combinatorial Optimization, Wiley 1988,
section II.3.6 (Lagrangian duality), cited from memory.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

from cutplan.checking.carry_pieces import better_cut, can_be_had
from cutplan.checking.fetching import (
    bought_mass,
    delivery,
    free_cuts,
    is_driven_to,
    one_way,
    trips,
    trips_at_least,
    uncharged,
    weighed,
)
from cutplan.checking.sources import cost_text, goal_of, work_on
from cutplan.model import (
    Goal,
    Group,
    Job,
    Merchant,
    MerchantCase,
    Plan,
    Proof,
    SourceKind,
    Status,
    within_carry,
)
from cutplan.units import Money, ceil_div

Bounded = Callable[[int, Proof, MerchantCase], int | None]
"""The bound that the leaves of a proof of a group (by its place) give in a case, where prices count by multipliers.

None when they could not be worked through.
"""


def charging_merchants(job: Job, groups: Sequence[Group]) -> frozenset[str]:
    """Merchants with a fixed charge from which a group planned by money could buy."""
    priced = [group for group in groups if goal_of(group) is Goal.MONEY]
    with_charges = charging_among(job, _sellers(priced))
    found: set[str] = set()
    for group in priced:
        for offer in group.offers:
            if offer.merchant in with_charges and offer.merchant not in found and can_be_had(job, group, offer):
                found.add(offer.merchant)
    return frozenset(found)


def _sellers(groups: Sequence[Group]) -> set[str]:
    return {offer.merchant for group in groups for offer in group.offers}


def charging_among(job: Job, names: Collection[str]) -> frozenset[str]:
    """The merchants of which it matters beyond the price of bars that they are bought from."""
    settled, either = one_way(job, ()), weighed(job)

    def charges(name: str) -> bool:
        paid = job.workshop.merchant(name).minimum_order or delivery(settled, name)
        return bool(paid) or is_driven_to(settled, name) or name in either

    return frozenset(filter(charges, names))


def spend_by_merchant(groups: Sequence[Group], plan: Plan) -> dict[str, Money]:
    """What the bars bought from each merchant cost, groups planned by money only."""
    spend: dict[str, Money] = {}
    for group, planned in zip(groups, plan.groups, strict=True):
        if goal_of(group) is Goal.MONEY:
            offers = {offer.id: offer for offer in group.offers}
            for bar in planned.bars:
                further = bar.piece_of is not None and bar.piece_of.number > 1
                if bar.kind is SourceKind.BOUGHT and bar.source in offers and not further:
                    offer = offers[bar.source]
                    spend[offer.merchant] = spend.get(offer.merchant, 0) + (offer.bar_price or 0)
    return spend


def plan_cost(job: Job, groups: Sequence[Group], plan: Plan) -> Money:
    """Bars of the groups planned by money, and the charges of the merchants they are bought from."""
    cost = sum(
        bar.cost
        for group, planned in zip(groups, plan.groups, strict=True)
        if goal_of(group) is Goal.MONEY
        for bar in planned.bars
    )
    settled, masses = one_way(job, plan.fetched), bought_mass(groups, plan)
    for name, spend in spend_by_merchant(groups, plan).items():
        terms = job.workshop.merchant(name)
        free = _delivers_free(terms) and spend >= terms.free_delivery_from
        cost += (0 if free else delivery(settled, name)) + max(0, terms.minimum_order - spend)
        if is_driven_to(settled, name):
            cost += trips(settled, masses[name]) * job.workshop.trip_cost
        # Bars have each cut for the carry in their cost; so many of an order are free.
        made = _carry_cuts(groups, plan, name)
        cost -= terms.carry_cut_charge * (made - max(0, made - terms.carry_cuts_free))
    return cost


def _carry_cuts(groups: Sequence[Group], plan: Plan, merchant: str) -> int:
    """How many cuts for the carry a merchant makes on lengths of groups planned by money."""
    number = 0
    for group, planned in zip(groups, plan.groups, strict=True):
        if goal_of(group) is Goal.MONEY:
            own = {offer.id for offer in group.offers if offer.merchant == merchant}
            # Between two pieces of a length lies one cut: every piece but the first follows one.
            pieces = (bar.piece_of for bar in planned.bars if bar.kind is SourceKind.BOUGHT and bar.source in own)
            number += sum(piece is not None and piece.number > 1 for piece in pieces)
    return number


def _delivers_free(terms: Merchant) -> bool:
    """Is there a sum from which on a delivery that costs something is free?"""
    return terms.delivery > 0 and terms.free_delivery_from > 0


def _least_spend(job: Job, case: MerchantCase, name: str) -> Money:
    """What a merchant is paid for bars at least by every plan of a case."""
    terms = job.workshop.merchant(name)
    return max(terms.minimum_order, terms.free_delivery_from if name in case.delivered_free else 0)


def offers_needed(job: Job, group: Group, merchants: frozenset[str] | None, charging: Collection[str]) -> set[str]:
    """Offers that a proof must allow.

    Parameters
    ----------
    job
        With every order coming as it does.
    merchants
        The merchants ``charging`` that may be bought from; None is all of them. Merchants
        without a fixed charge are always open.
    """
    (had,) = _offered(job, [group])
    return _open(had, merchants, charging)


_Offered: TypeAlias = Sequence[tuple[str, str]]
"""The offers of a group that can be had, each with its merchant."""


def _offered(job: Job, groups: Sequence[Group]) -> list[_Offered]:
    """What can be had of each group, with every order coming as it does."""
    return [[(offer.id, offer.merchant) for offer in group.offers if can_be_had(job, group, offer)] for group in groups]


@dataclass(frozen=True)
class _Way:
    """What is the same for all cases in which orders come one way.

    ``places`` are those of the groups planned by money, and ``offered`` what can be had of each.
    """

    job: Job
    places: Sequence[int]
    groups: Sequence[Group]
    offered: Sequence[_Offered]
    valued: bool
    _left_out: dict[tuple[int, int], _Offered] = field(default_factory=dict)

    @classmethod
    def of(cls, job: Job, groups: Sequence[Group], places: Sequence[int], fetched: Collection[str]) -> _Way:
        """With orders fetched from some merchants."""
        settled, priced = one_way(job, fetched), [groups[place] for place in places]
        valued = any(job.workshop.offcut_value(group.section.family) for group in priced)
        return cls(settled, places, priced, _offered(settled, priced), valued)

    def left_out(self, number: int, proof: Proof) -> _Offered:
        """What a proof of a group does not allow of what can be had of it; asked of one proof in hundreds of cases."""
        # The plan holds on to its proofs, so that no two of them have one id.
        key = number, id(proof)
        if key not in self._left_out:
            allowed = set(proof.sources)
            self._left_out[key] = [offer for offer in self.offered[number] if offer[0] not in allowed]
        return self._left_out[key]


def _open(had: _Offered, merchants: frozenset[str] | None, charging: Collection[str]) -> set[str]:
    return {name for name, merchant in had if merchants is None or merchant in merchants or merchant not in charging}


def multiplier_failures(case: MerchantCase) -> list[str]:
    """A multiplier belongs to one merchant that every plan of the case buys from, and lies from 0 to 1."""
    failures = []
    names = [multiplier.merchant for multiplier in case.multipliers]
    if len(set(names)) != len(names):
        failures.append("a merchant has two multipliers")
    for at in case.multipliers:
        if at.merchant not in case.merchants:
            failures.append(f"{at.merchant} has a multiplier, but the case does not buy there")
        if not 0 <= at.numerator <= at.denominator or at.denominator < 1:
            failures.append(f"the multiplier of {at.merchant}, {at.numerator}/{at.denominator}, is not from 0 to 1")
    return failures


def money_step(job: Job, groups: Sequence[Group]) -> Money:
    """What the money of every plan is a multiple of: the common divisor of all that is paid or counted.

    1 where left overs have a value, which depends on their length.
    """
    priced = [group for group in groups if goal_of(group) is Goal.MONEY]
    if not priced:
        return 1
    amounts: list[Money] = []
    for group in priced:
        if job.workshop.offcut_value(group.section.family):
            return 1
        amounts += [offer.bar_price or 0 for offer in group.offers]
        amounts += [offcut.book_value for offcut in group.offcuts]
    sellers = _sellers(priced)
    ways = one_way(job, ()), one_way(job, sellers)
    for name in {"", *sellers}:
        work, terms = work_on(job, name, Goal.MONEY), job.workshop.merchant(name)
        amounts += [work.per_bar, work.per_cut, work.per_setup, terms.minimum_order, terms.carry_cut_charge]
        for settled in ways:
            amounts += [delivery(settled, name), job.workshop.trip_cost * is_driven_to(settled, name)]
    return math.gcd(*amounts) or 1


def review_money(job: Job, groups: Sequence[Group], plan: Plan, bounded: Bounded) -> tuple[list[str], Money | None]:
    """What is wrong with the cases, the cost, the bound and the status of the plan.

    Parameters
    ----------
    groups
        Groups of the job, in the order of the plan's.
    bounded
        Gives what the leaves of a proof come to; a proof that fails is reported by the caller.

    Returns
    -------
    failures, confirmed
        Sentences, and the bound of the plan that leaves, minimum orders and deliveries
        give without any search; None when a case has no such bound.
    """
    currency = job.workshop.currency
    charging = charging_merchants(job, groups)
    step = money_step(job, groups)
    failures = []
    confirmed: list[Money | None] = []
    priced = [place for place, group in enumerate(groups) if goal_of(group) is Goal.MONEY]
    ways: dict[tuple[str, ...], _Way] = {}
    for number, case in enumerate(plan.cases, start=1):
        of_case = money_step(uncharged(job, case.carry_uncharged), groups) if case.carry_uncharged else step
        if case.fetched not in ways:
            # Of the sets of many merchants most have orders come the same way.
            ways[case.fetched] = _Way.of(job, groups, priced, case.fetched)
        found, case_confirmed = _case_failures(job, groups, case, charging, bounded, of_case, ways[case.fetched])
        name = f"case {number} ({', '.join(case.merchants) or 'no charging merchant'}{' and more' * case.and_more})"
        failures += [f"{name}: {text}" for text in found]
        confirmed.append(case_confirmed)
    delivered = one_way(job, ())
    free = [n for n in charging if _delivers_free(job.workshop.merchant(n)) and delivery(delivered, n)]
    missing = uncovered(plan.cases, charging, free, weighed(job))
    if missing is not None:
        failures.append(f"no case covers buying from {', '.join(sorted(missing)) or 'no charging merchant'}")
    if not charging and len(plan.cases) != 1:
        failures.append(f"no merchant has a fixed charge, so there is one case; the plan has {len(plan.cases)}")

    cost = plan_cost(job, groups, plan)
    if plan.cost != cost:
        failures.append(
            f"the plan costs {cost_text(plan.cost, Goal.MONEY, currency)} by its statement, "
            f"{cost_text(cost, Goal.MONEY, currency)} by its bars and charges"
        )
    if plan.cases:
        bound = min(case.bound for case in plan.cases)
        if plan.bound != bound:
            failures.append(
                f"the plan's bound is stated as {cost_text(plan.bound, Goal.MONEY, currency)}, "
                f"its cases give {cost_text(bound, Goal.MONEY, currency)}"
            )
    known = [bound for bound in confirmed if bound is not None]
    least = min(known) if known and len(known) == len(confirmed) else None
    reached = least is not None and least >= cost
    failures += status_failures(plan.status, plan.bound, cost, reached, "the plan", Goal.MONEY, currency)
    return failures, least


def status_failures(
    status: Status, bound: int, cost: int, confirmed: bool, subject: str, goal: Goal, currency: str
) -> list[str]:
    """A status may say less than was shown, never more, and agrees with bound and cost.

    ``confirmed`` says that the bound recomputed from leaves alone reaches the cost.
    """
    if bound > cost:
        below = f"{cost_text(bound, goal, currency)}, it costs only {cost_text(cost, goal, currency)}"
        return [f"{subject} is said to cost at least {below}"]
    if status is Status.NOT_PROVEN and bound == cost:
        return [f"{subject} is marked {status.value}, but its bound is its cost"]
    if status is not Status.NOT_PROVEN and bound < cost:
        gap = f"{cost_text(bound, goal, currency)} is below its cost of {cost_text(cost, goal, currency)}"
        return [f"{subject} is marked {status.value}, but its bound of {gap}"]
    if status is Status.RECHECKED and not confirmed:
        return [f"{subject} is marked {status.value}, but its leaves alone do not reach its cost"]
    return []


def _case_failures(
    job: Job,
    groups: Sequence[Group],
    case: MerchantCase,
    charging: frozenset[str],
    bounded: Bounded,
    step: Money,
    way: _Way,
) -> tuple[list[str], Money | None]:
    """What is wrong with one case, and the bound confirmed without any search, None when there is none.

    ``way`` is how orders come in it.
    """
    currency = job.workshop.currency
    named = frozenset(case.merchants)
    settled, priced = way.job, way.places
    failures = list(_named_wrongly(job, case, charging))
    open_to = None if case.and_more else named
    paid = sum(delivery(settled, name) for name in named.difference(case.delivered_free))
    drives = trips_at_least(settled, way.groups, named, lambda n: _open(way.offered[n], open_to, charging))
    paid += drives * job.workshop.trip_cost
    if case.charges != paid:
        failures.append(
            f"charges are stated as {cost_text(case.charges, Goal.MONEY, currency)}, "
            f"its deliveries{' and trips at least' * bool(drives)} come to {cost_text(paid, Goal.MONEY, currency)}"
        )
    wrong = multiplier_failures(case)
    if wrong:
        return [*failures, *wrong], None
    if len(case.proofs) != len(priced):
        return [*failures, f"has {len(case.proofs)} proofs for {len(priced)} groups planned by money"], None
    stated = 0
    from_leaves: list[Money | None] = []
    for number, (place, proof) in enumerate(zip(priced, case.proofs, strict=True)):
        left_out = way.left_out(number, proof)
        lacking = _open(left_out, open_to, charging) if left_out else ()
        if lacking:
            failures.append(f"{groups[place].title}: its proof leaves out {', '.join(sorted(lacking))}")
        stated += proof.bound
        from_leaves.append(bounded(place, proof, case))
    free = free_cuts(job)
    failures += [f"{name} makes no cut for the carry free" for name in case.carry_uncharged if name not in free]
    cuts_free = _cuts_free(job, way, case, charging, free)
    stated -= cuts_free
    # What the multipliers leave of the minimum orders is paid whatever is bought.
    orders = sum(
        _least_spend(job, case, at.merchant) * (at.denominator - at.numerator) // at.denominator
        for at in case.multipliers
    )
    stated += orders
    confirmed = None if None in from_leaves else sum(bound or 0 for bound in from_leaves) + orders - cuts_free
    # Whoever is bought from is paid at least the minimum order; a left over of value could pay that back, and more.
    if not way.valued:
        minimum = sum(_least_spend(job, case, name) for name in named)
        known = sum(bound or 0 for bound in from_leaves) + orders - cuts_free
        stated, confirmed = max(stated, minimum), max(known, minimum)
    least = ceil_div(stated + paid, step) * step
    if case.and_more and any(better_cut(job, groups[place], weighed(job)) for place in priced):
        # Its proofs have whole what may be better cut for the carry.
        least, confirmed = min(least, 0), None
    if case.bound > least and not case.by_search:
        failures.append(
            f"its bound of {cost_text(case.bound, Goal.MONEY, currency)} is more than its proofs and charges give, "
            f"{cost_text(least, Goal.MONEY, currency)}"
        )
    return failures, None if confirmed is None else ceil_div(confirmed + paid, step) * step


def _named_wrongly(job: Job, case: MerchantCase, charging: frozenset[str]) -> Iterator[str]:
    """What is wrong with the merchants that a case names, and with how their orders come."""
    named = frozenset(case.merchants)
    for name in case.merchants:
        if name not in charging:
            yield f"{name} has no fixed charge or sells nothing here"
    if len(named) != len(case.merchants):
        yield "a merchant is named twice"
    for name in case.delivered_free:
        if name not in named or not _delivers_free(job.workshop.merchant(name)):
            yield f"{name} does not deliver free, or is not bought from"
    for name in case.fetched:
        if name not in named or name not in weighed(job) or name in case.delivered_free:
            yield f"{name} is not bought from, or its order comes one way only, or it is delivered free"


def _cuts_free(job: Job, way: _Way, case: MerchantCase, charging: frozenset[str], free: Mapping[str, Money]) -> Money:
    """How much at most of what the proofs count for cuts for the carry is not charged.

    ``free`` is the most that each merchant cuts free. Where a case leaves open how an order comes, it may be fetched.
    """
    if not free:
        return 0
    settled = one_way(job, weighed(job)) if case.and_more else way.job
    cut = {
        offer.merchant
        for group in way.groups
        for offer in group.offers
        if not within_carry(offer, settled.workshop) and can_be_had(settled, group, offer)
    }
    return sum(
        amount
        for name, amount in free.items()
        if name in cut
        and name not in case.carry_uncharged
        and (case.and_more or name in case.merchants or name not in charging)
    )


def uncovered(
    cases: Sequence[MerchantCase], charging: frozenset[str], free: Collection[str] = (), weighed: Collection[str] = ()
) -> frozenset[str] | None:
    """A set of charging merchants that no case covers, or None when all are.

    A merchant among ``free`` may be bought from for less than the sum from which on it delivers free, and for more;
    with one ``weighed`` the order may also be fetched.
    Sets are grown merchant by merchant; a branch ends as soon as a case that
    stands for every larger set takes it in, so that many merchants do not mean many sets.
    """
    ways = [
        frozenset(
            (name, "fetched" if name in case.fetched else "free" if name in case.delivered_free else "")
            for name in case.merchants
        )
        for case in cases
    ]
    more = [way for way, case in zip(ways, cases, strict=True) if case.and_more]
    order = sorted(charging)

    def search(place: int, chosen: frozenset[tuple[str, str]]) -> frozenset[str] | None:
        if any(case <= chosen for case in more):
            return None
        if place == len(order):
            return None if chosen in ways else frozenset(name for name, _ in chosen)
        name = order[place]
        for way in ["free"] * (name in free) + ["fetched"] * (name in weighed) + [""]:
            found = search(place + 1, chosen | {(name, way)})
            if found is not None:
                return found
        return search(place + 1, chosen)

    return search(0, frozenset())
