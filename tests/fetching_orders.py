"""Small orders that may be fetched or delivered, and their least cost found without the package.

Every merchant's order is taken to be delivered, then fetched, in all combinations; of each the least cost is that of
one plain integer program, as in :mod:`tests.order_optimum`. Lengths in mm, money in millionths, masses in mg.
"""

from __future__ import annotations

import itertools
import random
from dataclasses import dataclass, replace

from cutplan.model import Job
from cutplan.units import MM
from tests.merchant_jobs import job_of
from tests.order_optimum import CENT, Bar, Order, Trips, least_cost, made_up

MASS = 3_000
"""What a millimetre of the stand-in tube weighs. [mg]"""


@dataclass(frozen=True)
class Driving:
    """What can be fetched, and at what cost; ``delivering`` are the merchants who deliver, up to a length each."""

    order: Order
    carry: int
    trip: int
    payload: int
    delivering: dict[str, int]

    @property
    def job(self) -> Job:
        """As the package reads it."""
        made = job_of(self.order)
        upto = self.delivering
        merchants = tuple(
            replace(terms, delivers=terms.name in upto, longest_delivered=upto.get(terms.name, 0) * MM)
            for terms in made.workshop.merchants
        )
        shop = replace(
            made.workshop, merchants=merchants, longest_carry=self.carry * MM, trip_cost=self.trip, payload=self.payload
        )
        return replace(made, workshop=shop)

    def least(self) -> int | None:
        """The least cost, None where no way of bringing it home makes a plan."""
        said = any((self.carry, self.trip, self.payload))
        ways = itertools.product(*((False, True) if said else (False,) for _ in self.delivering))
        costs = [self._least_of({n for n, drive in zip(self.delivering, way, strict=True) if drive}) for way in ways]
        return min((cost for cost in costs if cost is not None), default=None)

    def _least_of(self, fetched: set[str]) -> int | None:
        """The same where these are driven to, and whoever else delivers does so."""
        longest = {name: upto for name, upto in self.delivering.items() if name not in fetched}
        terms = {name: (0, least, 0) if name in fetched else (paid, least, free)
                 for name, (paid, least, free) in self.order.terms.items()}  # fmt: skip
        sections = tuple(
            replace(section, bars=tuple(bar for bar in section.bars if self._comes(bar, longest)))
            for section in self.order.sections
        )
        names = {bar.merchant for section in sections for bar in section.bars if bar.merchant}.difference(longest)
        driven = {name for name in names if self.trip and not terms.get(name, (0, 0, 0))[0]}
        trips = {name: Trips(self.trip, self.payload, MASS) for name in driven}
        return least_cost(replace(self.order, sections=sections, terms=terms, trips=trips))

    def _comes(self, bar: Bar, longest: dict[str, int]) -> bool:
        most = longest.get(bar.merchant, self.carry) if bar.merchant else 0
        return not most or bar.length <= most


def driving(seed: int) -> Driving:
    """An order of which all or some is fetched."""
    draw = random.Random(f"driving {seed}")
    order = made_up(seed)
    order = replace(order, value=0)
    names = ["Depot", "Wharf"] if draw.random() < 0.6 else ["Depot"]
    return Driving(
        order=order,
        carry=draw.choice((0, 6000, 6500, 8000)),
        trip=draw.choice((0, 400, 900, 2500)) * CENT,
        payload=draw.choice((0, 0, 60, 150)) * 1_000_000,
        delivering={name: draw.choice((0, 0, 8000)) for name in names},
    )
