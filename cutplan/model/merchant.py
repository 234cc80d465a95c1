"""A merchant's terms, and the ways in which it bills what is ordered."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from functools import cached_property
from typing import Annotated

from cutplan.fields import COUNT, LENGTH, MONEY, said
from cutplan.units import MM, Length, Mass, Money, ceil_div


class Brought(Enum):
    """How what is ordered from a merchant comes: one order comes one way."""

    CHEAPER = "cheaper"
    FETCHED = "fetched"
    DELIVERED = "delivered"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """One way to get bars from a merchant: the larger of what they cost and ``minimum``, and ``delivery``.

    An order may be billed so where its bars cost ``spend_from`` or more. What is ``fetched`` costs ``trip`` for every
    ``payload`` begun, once where that is 0. Amounts in millionths of the currency, masses in mg.
    """

    merchant: str
    delivery: Money
    minimum: Money
    spend_from: Money = 0
    fetched: bool = False
    trip: Money = 0
    payload: Mass = 0

    def trips(self, mass: Mass) -> int:
        """How often bars of this mass are driven for; 0 where a trip costs nothing."""
        if not self.trip:
            return 0
        return max(1, ceil_div(mass, self.payload)) if self.payload else 1

    @property
    def least(self) -> Money:
        """What is paid for bars at least, where an order is billed so."""
        return max(self.minimum, self.spend_from)

    def lacking(self, spend: Money) -> Money:
        """What bars at this price lack to the minimum order, which is paid all the same."""
        return max(0, self.minimum - spend)

    def on_top(self, spend: Money, mass: Mass = 0) -> Money:
        """What bars of a price and a mass cost beyond that price."""
        return self.delivery + self.lacking(spend) + self.trips(mass) * self.trip


@dataclass(frozen=True, kw_only=True)
class Merchant:
    """A merchant's terms; amounts in millionths of the currency, on the same tax basis as the prices.

    ``cuts_to_plan`` says that this merchant cuts its bars as the plan says, at ``cut_charge`` a cut; then
    what cuts and set-ups are worth in the workshop's own :class:`cutplan.model.Work` does not apply to them.
    With ``cuts_to_carry`` it cuts a length that is too long to carry into pieces, at ``carry_cut_charge`` a cut of
    ``carry_kerf``, the first ``carry_cuts_free`` of an order free; each piece may come short by ``carry_tolerance``,
    and where ``carry_cuts_squared`` the workshop squares the new ends again. [nm]
    A merchant who ``delivers`` does so up to ``longest_delivered``, 0 for no limit [nm]; whether its order is delivered
    or fetched is ``brought``'s to say, or is weighed.
    """

    name: str
    delivers: bool = False
    delivery: Annotated[Money, MONEY] = 0
    minimum_order: Annotated[Money, MONEY] = 0
    free_delivery_from: Annotated[
        Money, MONEY("an order whose bars come to this much is delivered free; 0 is none")
    ] = 0
    cuts_to_plan: Annotated[bool, said("whether the merchant cuts its bars as the plan says")] = False
    cut_charge: Annotated[Money, MONEY("per cut the merchant makes")] = 0
    cuts_to_carry: Annotated[
        bool, said("whether the merchant cuts a length that is too long to carry into pieces", rare=True)
    ] = False
    carry_cut_charge: Annotated[Money, MONEY("per such cut", rare=True)] = 0
    carry_cuts_free: Annotated[int, COUNT("such cuts that an order has free", rare=True)] = 0
    carry_kerf: Annotated[Length, LENGTH("what such a cut takes, in mm", rare=True)] = 3 * MM
    carry_tolerance: Annotated[Length, LENGTH("by how much such a piece may come short, in mm", rare=True)] = 5 * MM
    carry_cuts_squared: Annotated[
        bool, said("whether the workshop squares an end again that such a cut has left", rare=True)
    ] = True
    longest_delivered: Annotated[Length, LENGTH("the longest it delivers, in mm; 0 is no limit", rare=True)] = 0
    brought: Annotated[
        Brought, said("how its order comes, where it delivers: fetched, delivered, or what is cheaper", rare=True)
    ] = Brought.CHEAPER

    def __post_init__(self) -> None:
        charges = self.delivery, self.minimum_order, self.free_delivery_from, self.cut_charge, self.carry_cut_charge
        if min(charges) < 0:
            raise ValueError(f"{self.name}: charges are not negative")
        if min(self.carry_kerf, self.carry_tolerance, self.longest_delivered, self.carry_cuts_free) < 0:
            raise ValueError(f"{self.name}: kerf, tolerance, longest delivery and free cuts are not negative")

    @cached_property
    def all_delivered(self) -> Merchant:
        """Its terms where it brings every order; asked for with every length that it sells."""
        return replace(self, brought=Brought.DELIVERED)

    def carry_cuts_saved(self, cuts: int) -> Money:
        """What so many cuts for the carry in one order cost less than each at its charge."""
        return min(cuts, self.carry_cuts_free) * self.carry_cut_charge

    @property
    def may_be_delivered(self) -> bool:
        """Can an order come by the merchant?"""
        return self.delivers and self.brought is not Brought.FETCHED

    @property
    def may_be_fetched(self) -> bool:
        """Can an order be fetched?"""
        return not self.delivers or self.brought is not Brought.DELIVERED

    def bills(self, trip: Money = 0, payload: Mass = 0) -> tuple[Bill, ...]:
        """Every way in which an order may come and be billed, where a trip for so much mass costs ``trip``.

        A merchant who does not deliver, but charges a delivery, is not driven to.
        """
        usual = Bill(merchant=self.name, delivery=self.delivery, minimum=self.minimum_order)
        found = []
        if self.may_be_delivered or not self.delivers:
            found.append(usual if self.delivers or self.delivery else replace(usual, trip=trip, payload=payload))
            if self.delivery and self.free_delivery_from:
                found.append(replace(usual, delivery=0, spend_from=self.free_delivery_from))
        if self.delivers and self.may_be_fetched:
            found.append(replace(usual, delivery=0, fetched=True, trip=trip, payload=payload))
        return tuple(found)
