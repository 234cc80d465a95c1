"""What a merchant charges beside the bars, as lines of an order."""

from __future__ import annotations

from collections.abc import Iterable

from cutplan.model import Merchant, Workshop
from cutplan.model.order_totals import MerchantOrder, OrderLine
from cutplan.model.totals import net_and_tax
from cutplan.units import Money, Printing, length_text, money_text
from cutplan.words.naming import money_words

LEFT_OUT = "left out"
"""Of what is in no sum, since its price is not known."""

TO_PAY = "to pay"
"""How the line begins that holds what is paid in the end."""


def is_said(order: MerchantOrder) -> bool:
    """Is there something to be said of how an order comes: it could come otherwise, or driving for it costs money?"""
    return bool(order.comes or order.trips)


def carried_text(terms: Merchant) -> str:
    """How what is bought of a merchant comes home."""
    return "delivered" if terms.delivers else "to be fetched"


def comes_text(order: MerchantOrder, terms: Merchant, currency: str) -> str:
    """The same, and what driving for it costs where that is known."""
    if not order.trips:
        return carried_text(terms)
    trips = "in one trip" if order.trips == 1 else f"in {order.trips} trips"
    return f"{carried_text(terms)} {trips}, counted at {money_words(order.trip_cost, currency)}"


def charge_lines(order: MerchantOrder, terms: Merchant) -> list[tuple[str, Money]]:
    """What a merchant charges on top of bars, as lines of an order; what is not charged has none."""
    priced = any(line.money is not None for line in order.lines)
    lines = [("to make up the minimum order", order.shortfall)] if order.shortfall else []
    return [(delivery_text(terms), order.delivery), *lines] if terms.delivery and priced else lines


def all_charge_lines(order: MerchantOrder, terms: Merchant) -> list[tuple[str, Money]]:
    """As :func:`charge_lines`, and what the merchant's cuts come to."""
    cuts = [(cuts_text(order.cuts), order.cut_charges)] if order.cut_charges else []
    cuts += [(carry_cuts_text(order), order.carry_charges)] if order.carry_charges or order.carry_cuts_free else []
    return charge_lines(order, terms) + cuts


def not_counted(orders: Iterable[MerchantOrder], shop: Workshop) -> tuple[str, ...]:
    """Delivery that is charged and is in no sum, since nothing of its order has a price; each by its merchant."""
    found = []
    for order in orders:
        terms = shop.merchant(order.merchant)
        delivery = shop.bill(order.merchant, 0, 0).delivery
        if delivery and all(line.money is None for line in order.lines):
            amount = money_words(delivery, shop.currency)
            most = f"{amount} at most" if terms.free_delivery_from else amount
            found.append(f"{' by '.join(filter(None, ('delivery', order.merchant)))}, {most}")
    return tuple(found)


def tax_lines(shop: Workshop, amount: Money) -> list[tuple[str, Money]]:
    """From a sum on the tax basis of the prices, in whole cents, down to what there is to pay."""
    if not shop.tax_millionths:
        return [(TO_PAY, amount)]
    net, tax = net_and_tax(shop, amount)
    percent = f"{shop.tax_millionths / 10_000:.4f}".rstrip("0").rstrip(".")
    if shop.prices_include_tax:
        return [(f"{TO_PAY}, tax of {percent} % included", amount), ("tax in it", tax)]
    return [(f"tax of {percent} %", tax), (f"{TO_PAY}, tax included", net + tax)]


def delivery_text(terms: Merchant) -> str:
    """Its delivery, as a line of an order."""
    free = terms.delivery and terms.free_delivery_from
    return f"delivery, free from {money_text(free)}" if free else "delivery"


def carry_cuts_text(order: MerchantOrder) -> str:
    """Cuts that a merchant makes so that lengths can be carried, as a line of an order."""
    some = f"{order.carry_cuts_free} of them " if order.carry_cuts_free < order.carry_cuts else ""
    free = f", {some}free" if order.carry_cuts_free else ""
    counted = order.carry_cuts_charged + order.carry_cuts_free
    if 0 < counted < order.carry_cuts:
        free += f", {order.carry_cuts - counted} {LEFT_OUT}"
    return f"{order.carry_cuts} {'cut' if order.carry_cuts == 1 else 'cuts'} made to be carried{free}"


def tolerance_text(terms: Merchant, how: Printing) -> str:
    """How near to what they are ordered by the pieces of a length cut for the carry are to be."""
    if not terms.carry_tolerance:
        return "no piece longer or shorter than ordered"
    short = length_text(terms.carry_tolerance, how.fine)
    return f"no piece longer than ordered, none more than {short} shorter"


def cut_to_carry_text(line: OrderLine, how: Printing) -> str:
    """How lengths of an order line are cut for the carry; blank where none is."""
    ways = []
    for cut in line.cut_to_carry:
        *first, _ = cut.ordered
        at = ", then ".join(length_text(length, how) for length in first)
        whose = (
            "each" if cut.count == line.count and cut.count > 1 else f"{cut.count} of them" if line.count > 1 else ""
        )
        ways.append(f"{whose}{' ' if whose else ''}cut at {at}, the rest {length_text(cut.ordered[-1], how)}")
    return "; ".join(ways)


def cuts_text(cuts: int) -> str:
    """Cuts that a merchant makes, as a line of an order."""
    return f"{cuts} {'cut' if cuts == 1 else 'cuts'} made to plan"
