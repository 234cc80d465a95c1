"""A merchant's terms, and the ways in which it bills what is ordered."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated

from cutplan.fields import LENGTH, MONEY, said
from cutplan.units import MM, Length, Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """One way in which a merchant bills bars: the larger of what they cost and ``minimum``, and ``delivery``.

    An order may be billed so where its bars cost ``spend_from`` or more. Amounts in millionths of the currency.
    """

    merchant: str
    delivery: Money
    minimum: Money
    spend_from: Money = 0

    @property
    def least(self) -> Money:
        """What is paid for bars at least, where an order is billed so."""
        return max(self.minimum, self.spend_from)

    def lacking(self, spend: Money) -> Money:
        """What bars at this price lack to the minimum order, which is paid all the same."""
        return max(0, self.minimum - spend)

    def on_top(self, spend: Money) -> Money:
        """What is paid beyond the bars."""
        return self.delivery + self.lacking(spend)


@dataclass(frozen=True, slots=True, kw_only=True)
class Merchant:
    """A merchant's terms; amounts in millionths of the currency, on the same tax basis as the prices.

    ``cuts_to_plan`` says that this merchant cuts its bars as the plan says, at ``cut_charge`` a cut; then
    what cuts and set-ups are worth in the workshop's own :class:`cutplan.model.Work` does not apply to them.
    With ``cuts_to_carry`` it cuts a length that is too long to carry into pieces, at ``carry_cut_charge`` a cut of
    ``carry_kerf``; each piece may come short by ``carry_tolerance``, and where ``carry_cuts_squared`` the workshop
    squares the new ends again. [nm]
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
    carry_kerf: Annotated[Length, LENGTH("what such a cut takes, in mm", rare=True)] = 3 * MM
    carry_tolerance: Annotated[Length, LENGTH("by how much such a piece may come short, in mm", rare=True)] = 5 * MM
    carry_cuts_squared: Annotated[
        bool, said("whether the workshop squares an end again that such a cut has left", rare=True)
    ] = True

    def __post_init__(self) -> None:
        charges = self.delivery, self.minimum_order, self.free_delivery_from, self.cut_charge, self.carry_cut_charge
        if min(charges) < 0:
            raise ValueError(f"{self.name}: charges are not negative")
        if min(self.carry_kerf, self.carry_tolerance) < 0:
            raise ValueError(f"{self.name}: kerf and tolerance are not negative")

    @property
    def has_fixed_charge(self) -> bool:
        """True when buying anything here costs more than the bars do."""
        return self.delivery > 0 or self.minimum_order > 0

    @property
    def bills(self) -> tuple[Bill, ...]:
        """Every way in which an order may be billed."""
        usual = Bill(merchant=self.name, delivery=self.delivery, minimum=self.minimum_order)
        if not (self.delivery and self.free_delivery_from):
            return (usual,)
        return usual, replace(usual, delivery=0, spend_from=self.free_delivery_from)

    def bill(self, spend: Money) -> Bill:
        """How bars at this price are billed: of the ways open to such an order, the one that costs least."""
        return min((bill for bill in self.bills if spend >= bill.spend_from), key=lambda bill: bill.on_top(spend))
