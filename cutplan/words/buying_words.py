"""What a merchant charges beside the bars, as lines of an order."""

from __future__ import annotations

from cutplan.model import Merchant
from cutplan.model.totals import MerchantOrder
from cutplan.units import Money, money_text


def charge_lines(order: MerchantOrder, terms: Merchant) -> list[tuple[str, Money]]:
    """What a merchant charges on top of bars, as lines of an order; what is not charged has none."""
    priced = any(line.money is not None for line in order.lines)
    lines = [("to make up the minimum order", order.shortfall)] if order.shortfall else []
    return [(delivery_text(terms), order.delivery), *lines] if terms.delivery and priced else lines


def delivery_text(terms: Merchant) -> str:
    """Its delivery, as a line of an order."""
    free = terms.delivery and terms.free_delivery_from
    return f"delivery, free from {money_text(free)}" if free else "delivery"


def cuts_text(cuts: int) -> str:
    """Cuts that a merchant makes, as a line of an order."""
    return f"{cuts} {'cut' if cuts == 1 else 'cuts'} made to plan"
