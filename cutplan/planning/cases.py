"""The choice of merchants: every set of those with a delivery charge or a minimum order is bounded.

A merchant costs max(minimum order, spend) + delivery once anything priced is
bought there. Groups are independent once that set is fixed and each bar price
counts by a multiplier, so each set costs at least what its groups cost at least
by these, plus what the multipliers leave of its minimum orders, plus its
deliveries. Where that leaves a gap, an integer program over all groups decides.

Where an order may be fetched and may be delivered, a set comes with each way, and
only lengths that come home that way are open. What driving costs at least is
counted in whole trips for the least that can be bought.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from cutplan.model import Bill, Goal, Group, MerchantCase, Multiplier, Proof, Status, StockLength, Workshop
from cutplan.planning.charges import (
    better_cut_for_carry,
    carry_cuts_saved_at_most,
    cost_step,
    job_cost,
    least_trips,
    next_cost,
    spend,
)
from cutplan.planning.desk import Desk
from cutplan.planning.multipliers import best_lp
from cutplan.problems import NoPlan
from cutplan.solving import FreeCuts, Multipliers, Order, OrderLp, PatternUse, Solved, group_plans
from cutplan.units import Money


def choose(desk: Desk, everything: list[Solved]) -> tuple[list[MerchantCase], list[Solved], tuple[str, ...]]:
    """The cases that together cover every set of charging merchants, and the cheapest plan among them.

    ``everything`` is each group with the offers of all merchants open, in any way they may come. The merchants are
    those whose orders are fetched in that plan and may be delivered.

    Raises
    ------
    NoPlan
        When no plan has every order come one way.
    KeyboardInterrupt
        When asked to stop again; at first the best plan is taken, marked as stopped.
    """
    choice = _Choice(desk, everything)
    try:
        return _chosen(desk, everything, choice)
    except KeyboardInterrupt:
        if desk.stopped_by == "user":
            raise
        desk.stopped_by = "user"
        return _chosen(desk, everything, choice)


def _chosen(
    desk: Desk, everything: list[Solved], choice: _Choice
) -> tuple[list[MerchantCase], list[Solved], tuple[str, ...]]:
    if not choice.charging:
        case = choice.without_charges()
        return choice.with_stops([case]), choice.settled() if choice.bettered else everything, ()
    ways = [desk.job.workshop.bills(name) for name in choice.charging]
    if math.prod(1 + len(bills) for bills in ways) > 2**desk.parameters.charging or choice.has_no_time_for_sets:
        cases = [choice.undivided()]
    else:
        # Small sets come first: they pay the fewest deliveries, and what they cost lets larger ones be passed over.
        sets = [
            bills
            for size in range(len(choice.charging) + 1)
            for some in itertools.combinations(ways, size)
            for bills in itertools.product(*some)
        ]
        choice.look_over(sets)
        cases = [choice.looked_at(some) for some in sets]
    best = choice.settled()
    return choice.with_stops(cases), best, choice.fetched


Bills = tuple[Bill, ...]
"""The merchants with charges that are bought from in a case, each with how it bills."""


class _Known(NamedTuple):
    """The best plan so far, in one piece: a user may stop between any two steps."""

    solved: list[Solved]
    cost: Money
    shop: Workshop


class _Choice:
    """The cheapest plan so far, and what is the same for all cases."""

    def __init__(self, desk: Desk, everything: list[Solved]) -> None:
        self._desk = desk
        self._everything = everything
        # The places of the groups planned by money.
        self._money = [n for n, solved in enumerate(everything) if solved.goal is Goal.MONEY]
        self.all_proofs = [everything[n].proof for n in self._money]
        self.charging = desk.charging()
        self._step = cost_step(desk.job, desk.groups)
        self._saved = carry_cuts_saved_at_most(desk.job, desk.groups)
        self._weighed = [name for name in self.charging if desk.job.workshop.is_weighed(name)]
        self._better_cut = better_cut_for_carry(desk.job, desk.groups, self._weighed)
        best, shop = self._to_begin_with()
        self._known = _Known(best, self._cost_of(best, shop), shop)
        self._lps: dict[Bills, tuple[Order, OrderLp]] = {}
        self._homes: dict[tuple[str, ...], list[list[StockLength]]] = {}

    @property
    def _best(self) -> list[Solved]:
        return self._known.solved

    @property
    def _best_cost(self) -> Money:
        return self._known.cost

    @property
    def _shop(self) -> Workshop:
        return self._known.shop

    def _to_begin_with(self) -> tuple[list[Solved], Workshop]:
        """The better of two plans, one with all delivered that may be, the other with all fetched."""
        job = self._desk.job
        found: list[tuple[Money, int, list[Solved], Workshop]] = []
        if not self._weighed:
            return self._everything, job.workshop
        for fetched in ((), self._weighed):
            shop = job.workshop.as_brought(fetched)
            solved = self._all_open(shop)
            if all(one.cost is not None for one in solved):
                found.append((self._cost_of(solved, shop), len(found), solved, shop))
        if not found:
            names = ", ".join(self._weighed)
            raise NoPlan(
                f"{job.name}: with the order of each merchant fetched or delivered as a whole ({names}) there is no "
                "bar for every part.",
                code="plan.impossible",
            )
        *_, solved, shop = min(found, key=lambda one: one[:2])
        return solved, shop

    def _all_open(self, shop: Workshop) -> list[Solved]:
        groups = self._desk.groups
        wanted = [(n, self._desk.open_offers(group, None, shop), None) for n, group in enumerate(groups)]
        return self._desk.solve(wanted, shop=shop)

    @property
    def fetched(self) -> tuple[str, ...]:
        """The merchants whose orders are fetched in the best plan, and may be delivered."""
        bought = self._spent()
        return tuple(n for n in self._weighed if n in bought and not self._shop.merchant(n).delivers)

    def _spent(self) -> dict[str, Money]:
        return spend(self._desk.job, group_plans(self._best, self._shop))

    def _cost_of(self, solved: Sequence[Solved], shop: Workshop) -> Money:
        return job_cost(replace(self._desk.job, workshop=shop), group_plans(solved, shop))

    def with_stops(self, cases: Sequence[MerchantCase]) -> list[MerchantCase]:
        """Cases with what kept them from being closed, where they are not."""
        return [
            replace(case, stopped_by="")
            if case.bound >= self._best_cost
            else replace(
                case, stopped_by=case.stopped_by or next((p.stopped_by for p in case.proofs if p.stopped_by), "")
            )
            for case in cases
        ]

    def case(self, bills: Bills, proofs: Sequence[Proof], multipliers: Multipliers | None = None) -> MerchantCase:
        """A case with what its proofs, charges and minimum orders bound it by."""
        parts = {name: x for name, x in (multipliers or {}).items() if x != 1}
        charges = sum(bill.delivery for bill in bills) + self._trips(bills)
        least = sum(proof.bound for proof in proofs) - self._saved_at_most(bills)
        # Rounded down, as part of a bound. At a multiplier of 1 nothing of a minimum order counts.
        least += sum(int(bill.least * (1 - parts[bill.merchant])) for bill in bills if bill.merchant in parts)
        families = {self._desk.groups[n].section.family for n in self._money}
        if not any(self._desk.job.workshop.offcut_value(family) for family in families):
            # Without a value for left overs nothing is earned back, so the minimum orders alone are a bound.
            least = max(least, sum(bill.least for bill in bills))
        return MerchantCase(
            merchants=tuple(bill.merchant for bill in bills),
            delivered_free=tuple(bill.merchant for bill in bills if bill.spend_from),
            fetched=tuple(bill.merchant for bill in bills if bill.fetched and bill.merchant in self._weighed),
            multipliers=tuple(
                Multiplier(merchant=name, numerator=x.numerator, denominator=x.denominator) for name, x in parts.items()
            ),
            proofs=tuple(proofs),
            charges=charges,
            bound=next_cost(least + charges, self._step),
            stopped_by=self._desk.stopped_by,
        )

    def _saved_at_most(self, bills: Bills) -> Money:
        """What free cuts for the carry save at most where these are bought from; proofs count each at its charge."""
        return sum(self._saved[name] for name in self._with_free_cuts(bills))

    def _with_free_cuts(self, bills: Bills) -> list[str]:
        driven = {bill.merchant for bill in bills if bill.fetched or bill.merchant not in self._weighed}
        return [name for name in self._saved if name in driven or name not in self.charging]

    @property
    def bettered(self) -> bool:
        """Is there a better plan than the groups made by themselves?"""
        return self._best is not self._everything

    def without_charges(self) -> MerchantCase:
        """The one case where nobody charges: groups stand alone but for the cuts that an order has free."""
        case = self.case((), self.all_proofs)
        proven = all(proof.status is not Status.NOT_PROVEN for proof in self.all_proofs)
        if not (self._saved and self._desk.lets_off and proven) or self._is_done(case):
            return case
        known = self._lp_of(())
        return case if known is None else self._searched(case, *known)

    @property
    def has_no_time_for_sets(self) -> bool:
        """Is the time up before any set is looked at? One case then says as much as one for each, checked sooner.

        That is so where nothing is better in some ways for an order to come than in others.
        """
        clock = self._desk.clock()
        if not clock.struck():
            return False
        self._desk.heed(clock)
        return not self._better_cut and not self._saved

    def undivided(self) -> MerchantCase:
        """The one case of all sets where there are too many merchants for a case each, or no time."""
        # Any of them may be bought from, and have cuts free.
        saved = sum(self._saved.values()) - self._saved_at_most(())
        case = self.case((), self.all_proofs)
        case = replace(case, and_more=True, bound=next_cost(case.bound - saved, self._step))
        if self._better_cut:
            return replace(case, bound=min(case.bound, 0))  # nothing is known of what is cut for the carry
        if self._weighed:
            return case  # which way each order comes is not for one search to find
        if self._is_done(case):
            return case
        order = self._order(None)
        lp = order.at({})
        self._desk.heed(order.clock)
        return case if lp is None else self._searched(case, order, lp)

    def look_over(self, sets: Sequence[Bills]) -> None:
        """Where groups are hard to close, look for a good plan in every set before time goes into any one of them."""
        if all(proof.status is not Status.NOT_PROVEN for proof in self.all_proofs):
            return
        for bills in sets:
            if not self._is_done(self._at_first(bills)):
                known = self._lp_of(bills)
                if known is not None and known[1].bound < self._best_cost:
                    order, lp = known
                    self._offer(order, order.cheapest_known(lp, self._best_cost))

    def _at_first(self, bills: Bills) -> MerchantCase:
        """The case with the proofs made for all offers open and orders coming any way.

        With more offers open the cheapest plan costs no more, so that these bound every case. What is fetched here may
        be cut for the carry, though it counted as whole there: where that may be better, the groups are bounded anew.
        """
        if not any(bill.fetched and bill.merchant in self._better_cut for bill in bills):
            return self.case(bills, self.all_proofs)
        wanted = [(n, offers, None) for n, (_, offers) in zip(self._money, self._open_to(bills), strict=True)]
        solved = self._desk.solve(wanted, shop=self._shop_of(bills))
        return self.case(bills, [one.proof for one in solved])

    def _lp_of(self, bills: Bills) -> tuple[Order, OrderLp] | None:
        """A set's LPs at its best multipliers, solved once; None where a limit struck."""
        if bills not in self._lps:
            order = self._order(bills)
            lp = best_lp(order, self._best_cost)
            self._desk.heed(order.clock)
            if lp is None:
                return None
            self._lps[bills] = order, lp
        return self._lps[bills]

    def looked_at(self, bills: Bills) -> MerchantCase:
        """The case of one set of charging merchants, closed where that can be done."""
        case = self._at_first(bills)
        if self._is_done(case):
            return case
        known = self._lp_of(bills)
        if known is None:
            # Made once more: what stopped the LP is part of a case.
            return self._at_first(bills)
        order, lp = known
        # An integer program over all groups decides sooner than a long search of each, of which it need not know more.
        case = self._proven(order, lp, brief=True)
        if not self._is_done(case):
            case = self._searched(case, order, lp)
        if not self._is_done(case) and not self._left_open(order):
            longer = replace(self._proven(order, lp, brief=False), stopped_by=case.stopped_by)
            case = max(case, longer, key=lambda one: one.bound)
        return case

    def _left_open(self, order: Order) -> bool:
        """Are there free cuts for the carry that other ways to bound them are tried for first?"""
        return bool(order.saved) and not self._desk.lets_off

    def _is_done(self, case: MerchantCase) -> bool:
        return case.bound >= self._best_cost or bool(self._desk.stopped_by)

    def _order(self, bills: Bills | None) -> Order:
        """The groups planned by money with the offers of a set of charging merchants open; None for all of them."""
        desk, shop = self._desk, self._shop_of(bills or ())
        clock, trips = desk.clock(), self._trips(bills or ())
        terms = [shop.merchant(name) for name in (self._saved if bills is None else self._with_free_cuts(bills))]
        free = {one.name: FreeCuts(one.carry_cuts_free, one.carry_cut_charge) for one in terms}
        order = Order(self._open_to(bills), shop, self.charging, bills, desk.parameters, clock, trips, free)
        order.know([self._everything[n].plan for n in self._money])
        order.know([self._best[n].plan for n in self._money])
        return order

    def _open_to(self, bills: Bills | None) -> list[tuple[Group, list[StockLength]]]:
        """The groups planned by money, each with what may be bought."""
        desk = self._desk
        names = None if bills is None else frozenset(bill.merchant for bill in bills)
        homes = self._brought_home(bills or ())
        return [(desk.groups[n], desk.sold_by(offers, names)) for n, offers in zip(self._money, homes, strict=True)]

    def _brought_home(self, bills: Bills) -> list[list[StockLength]]:
        """What of each group planned by money comes home where orders come as in a case, worked out once for a way."""
        fetched = tuple(bill.merchant for bill in bills if bill.fetched)
        if fetched not in self._homes:
            desk, shop = self._desk, self._shop_of(bills)
            self._homes[fetched] = [desk.open_offers(desk.groups[n], None, shop) for n in self._money]
        return self._homes[fetched]

    def _shop_of(self, bills: Bills) -> Workshop:
        """The workshop with every order coming as it does in a case."""
        if not self._weighed:
            return self._desk.job.workshop
        return self._desk.job.workshop.as_brought([bill.merchant for bill in bills if bill.fetched])

    def _trips(self, bills: Bills) -> int:
        """What trips cost at least in a case."""
        cost = self._desk.job.workshop.trip_cost
        return cost and least_trips(self._open_to(bills), bills) * cost

    def _proven(self, order: Order, lp: OrderLp, *, brief: bool) -> MerchantCase:
        """The case with each group searched at the multipliers of its LP, as far as is needed to close it."""
        # In a cheaper order every other group costs its bound at least, so that one group alone may take up the whole
        # gap. Free cuts come off later, so that what they save at most is added.
        room = self._best_cost + self._saved_at_most(order.bills) - lp.bound
        wanted = [
            (n, offers, math.ceil(least + room))
            for n, offers, least in zip(self._money, order.offers, lp.leasts, strict=True)
        ]
        solved = self._desk.solve(wanted, lp.multipliers, brief=brief, shop=self._shop_of(order.bills))
        if all(one.cost is not None for one in solved):
            self._offer(order, [one.plan for one in solved])
        return self.case(order.bills, [one.proof for one in solved], lp.multipliers)

    def _searched(self, case: MerchantCase, order: Order, lp: OrderLp) -> MerchantCase:
        """A case left open by its proofs, closed by an integer program over all groups where that can be done."""
        self._offer(order, order.cheapest_known(lp, self._best_cost))
        if self._is_done(case) or self._left_open(order):
            return case
        plans, stopped_by = order.decide(lp, self._best_cost, self._step)
        self._desk.heed(order.clock)
        self._offer(order, plans)
        if stopped_by:
            return replace(case, stopped_by=self._desk.stopped_by or stopped_by)
        return replace(case, bound=self._best_cost, by_search=True)

    def _offer(self, order: Order, plans: Sequence[Sequence[PatternUse]] | None) -> None:
        """Keep plans of the groups planned by money where they are cheaper than the best so far."""
        if plans is None:
            return
        tried = list(self._everything)
        for n, instance, plan in zip(self._money, order.instances, plans, strict=True):
            tried[n] = tried[n].cut_as(instance, plan)
        shop = self._shop_of(order.bills)
        cost = self._cost_of(tried, shop)
        if cost < self._best_cost:
            self._known = _Known(tried, cost, shop)

    def settled(self) -> list[Solved]:
        """The cheapest plan, its second goals followed, each group with what is known of it for itself."""
        clock = self._desk.clock()
        for n in self._money:
            if clock.struck():
                break
            tried = [*self._best[:n], self._best[n].bettered(clock, self._desk.parameters), *self._best[n + 1 :]]
            if self._cost_of(tried, self._shop) <= self._best_cost:
                self._known = self._known._replace(solved=tried)
        self._desk.heed(clock)
        if self._desk.stopped_by or self._best is self._everything:
            return self._best
        spent, groups = frozenset(self._spent()), self._desk.groups
        known = self._desk.solve(
            [(n, self._desk.open_offers(groups[n], spent, self._shop), self._best[n].cost) for n in self._money],
            shop=self._shop,
        )
        best = list(self._best)
        for n, solved in zip(self._money, known, strict=True):
            best[n] = solved.cut_as(best[n].instance, best[n].plan)
        return best
