"""What a customer is offered: a price for a job, and what is known of its cost beside it."""

from __future__ import annotations

from dataclasses import dataclass

from cutplan.costing.cents import shares_of
from cutplan.costing.cost_figures import Minutes
from cutplan.costing.costs import Cost
from cutplan.units import Money


@dataclass(frozen=True, slots=True, kw_only=True)
class QuotedItem:
    """One assembly of a quote, with what the workshop expects of it; amounts without tax.

    ``materials`` are steel, charges of merchants, offcuts and things.
    """

    assembly: str
    made: int
    pieces: int
    materials: Money
    work: Money
    minutes: Minutes
    cost: Money
    price: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """A price for a job.

    Parameters
    ----------
    number
        The workshop's own.
    customer
        For whom, lines with semicolons between; may be blank.
    day, valid_until
        The day it is written, and the last on which it holds, blank where that is not given. [``2031-06-01``]
    included
        What it says is included.
    price, tax
        Without tax, and the tax on it; ``rate`` is its rate in millionths.
    materials, work, minutes, cost
        What the workshop expects; none of it is printed for the customer.
    hour_rate
        What its hours were counted at.
    """

    number: str
    customer: str
    day: str
    valid_until: str
    included: tuple[str, ...]
    items: tuple[QuotedItem, ...]
    price: Money
    tax: Money
    rate: int
    materials: Money
    work: Money
    minutes: Minutes
    cost: Money
    hour_rate: Money

    @property
    def to_pay(self) -> Money:
        """With tax."""
        return self.price + self.tax


def quote_of(
    cost: Cost, *, number: str, customer: str, day: str, valid_until: str, rate: int, pieces: dict[str, int]
) -> Quote:
    """The quote of a job that has been costed; what it expects of its assemblies adds up to what it expects of all.

    ``pieces`` are counted by assembly.
    """
    materials = (
        cost.steel_amount
        + sum(line.amount for line in cost.things)
        + cost.delivery
        + cost.shortfall
        + cost.merchants_cuts
        + cost.offcuts_used
        - cost.offcuts_kept
    )
    of_materials = shares_of(materials, [each.steel + each.things for each in cost.assemblies])
    of_cost = shares_of(cost.cost, [each.price for each in cost.assemblies])
    return Quote(
        number=number,
        customer=customer,
        day=day,
        valid_until=valid_until,
        included=tuple(text for text in (part.strip() for part in cost.figures.included.split(";")) if text),
        items=tuple(
            QuotedItem(
                assembly=each.assembly,
                made=each.made,
                pieces=pieces.get(each.assembly, 0),
                materials=own_materials,
                work=each.work,
                minutes=each.minutes,
                cost=own_cost,
                price=each.price,
            )
            for each, own_materials, own_cost in zip(cost.assemblies, of_materials, of_cost, strict=True)
        ),
        price=cost.price,
        tax=cost.tax,
        rate=rate,
        materials=materials,
        work=sum(line.amount for line in cost.work),
        minutes=cost.minutes,
        cost=cost.cost,
        hour_rate=cost.figures.hour_rate,
    )
