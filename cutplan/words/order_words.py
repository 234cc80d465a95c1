"""What is ordered from one merchant: its lines and sums, as a message and as values for JSON.

Every form of an order, on paper, as a workbook and as a message, is made of the values here, which are those of the
plan's totals, so that no two of them can disagree.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from cutplan.model import Basis, Job, Merchant, OtherLine, Plan, StockLength, Workshop, as_brought
from cutplan.model.order_totals import CarryCut, MerchantOrder, OrderLine
from cutplan.model.totals import net_and_tax, totals_of
from cutplan.units import (
    Length,
    Mass,
    Money,
    exact_money_text,
    kg_text,
    mass_text,
    mm_text,
    money_text,
    stock_text,
)
from cutplan.words import naming
from cutplan.words.buying_words import (
    LEFT_OUT,
    all_charge_lines,
    carried_text,
    cut_to_carry_text,
    tax_lines,
    tolerance_text,
)

NO_PRICE = "no price"


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderItem:
    """One line of an order: ``count`` lengths, or of what is not cut.

    Parameters
    ----------
    name
        The section as the market of the merchant calls it, or what else it is.
    standard, grade, finish, length
        Of a section; blank and 0 for what is not cut. ``grade`` is in words. [nm]
    cut
        How the merchant cuts the lengths for the carry, in words; blank where it does not.
    price_each, quoted
        What one costs, and the price as it was quoted where that is not of one; None and blank where none is known.
    money
        What all come to in whole cents; None where the plan leaves them out of the money.
    """

    count: int
    name: str
    standard: str = ""
    grade: str = ""
    finish: str = ""
    length: Length = 0
    cut: str = ""
    cuts: tuple[CarryCut, ...] = ()
    mass: Mass
    price_each: Money | None
    quoted: str = ""
    money: Money | None

    @property
    def kind(self) -> str:
        """``EN 10219-2, S235, black``."""
        return naming.section_words("", self.standard, self.grade, self.finish)

    @property
    def price_text(self) -> str:
        """What one costs: ``35.40``; says so where no price is known."""
        return NO_PRICE if self.price_each is None else money_text(self.price_each)

    @property
    def money_text(self) -> str:
        """What all come to: ``106.20``; says so where the sums leave it out."""
        return LEFT_OUT if self.money is None else money_text(self.money)


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What is ordered from one merchant.

    Parameters
    ----------
    plan
        The fingerprint of the plan that it is for.
    number
        The order's own number.
    day
        The day it is of; blank where nobody asked for one.
    terms
        The merchant's.
    certificate
        The inspection certificate wanted, in words; blank is none.
    total
        What the plan buys of it; None where that is nothing that is cut.
    """

    job: str
    plan: str
    number: str
    day: str
    workshop: Workshop
    terms: Merchant
    certificate: str
    items: tuple[OrderItem, ...]
    total: MerchantOrder | None

    @property
    def merchant(self) -> str:
        """Its name; blank where the price list names none."""
        return self.terms.name

    @property
    def mass(self) -> Mass:
        """Of all of it, as far as it is known. [mg]"""
        return sum(item.mass for item in self.items)

    @property
    def charges(self) -> list[tuple[str, Money]]:
        """What comes on top of the items, each in whole cents."""
        return all_charge_lines(self.total, self.terms) if self.total else []

    @property
    def money(self) -> Money:
        """Items and charges, on the tax basis of the prices."""
        return sum(item.money or 0 for item in self.items) + sum(amount for _, amount in self.charges)

    @property
    def to_pay(self) -> Money:
        """The same with the tax."""
        return sum(net_and_tax(self.workshop, self.money))

    @property
    def without_price(self) -> tuple[str, ...]:
        """What the sums leave out, by name."""
        left_out = (item for item in self.items if item.money is None)
        return tuple(" ".join(filter(None, (_length(item, self.workshop), item.name))) for item in left_out)

    @property
    def sums(self) -> list[tuple[str, Money]]:
        """What stands below the items, down to what there is to pay; nothing where no price is known."""
        if len(self.without_price) == len(self.items):
            return []
        whole = [("total", self.money)] if len(self.items) > 1 or self.charges else []
        return [*self.charges, *whole, *tax_lines(self.workshop, self.money)]


def orders_of(job: Job, plan: Plan, fingerprint: str, *, certificate: str = "") -> tuple[Order, ...]:
    """What a plan orders, by merchant, in the order of the price list; numbered after the plan.

    What is not cut goes into the order of the merchant that its line names; where it names none, into no order.

    Parameters
    ----------
    fingerprint
        Of the plan's file.
    certificate
        The certificate wanted; blank is that of the workshop.
    """
    totals = {order.merchant: order for order in totals_of(job, plan).orders}
    job = as_brought(job, plan)
    known = {name.casefold(): name for name in reversed(totals)}
    others: dict[str, list[OtherLine]] = {}
    for line in job.others:
        if line.merchant:
            others.setdefault(known.setdefault(line.merchant.casefold(), line.merchant), []).append(line)
    offers = {offer.id: offer for offer in job.offers}
    names = naming.section_names(job)
    return tuple(
        Order(
            job=job.name,
            plan=fingerprint,
            number=order_number(fingerprint, place),
            day="",
            workshop=job.workshop,
            terms=job.workshop.merchant(merchant),
            certificate=certificate or job.workshop.certificate,
            items=(
                *(
                    _of_line(line, offers[line.offer], names, job.workshop)
                    for line in (totals[merchant].lines if merchant in totals else ())
                ),
                *(_of_other(line) for line in others.get(merchant, ())),
            ),
            total=totals.get(merchant),
        )
        for place, merchant in enumerate(dict.fromkeys((*totals, *others)), 1)
    )


def order_number(fingerprint: str, place: int) -> str:
    """How an order that is given no number of its own is numbered: after the plan, by its merchant's place in it."""
    return f"{fingerprint}-{place}"


def in_no_order(job: Job) -> tuple[str, ...]:
    """Names of what is not cut and no line says from whom it comes."""
    return tuple(line.name for line in job.others if not line.merchant)


def _of_line(line: OrderLine, offer: StockLength, names: dict[str, str], workshop: Workshop) -> OrderItem:
    by_length = offer.basis is Basis.EACH
    return OrderItem(
        count=line.count,
        name=names[line.section.key],
        standard=line.section.standard,
        grade=naming.source_grade(offer),
        finish=line.finish,
        length=line.length,
        cut=cut_to_carry_text(line, workshop.printing),
        cuts=line.cut_to_carry,
        mass=line.mass,
        price_each=line.price_each,
        quoted=f"{offer.typed_price} {offer.basis.value}" if offer.typed_price and not by_length else "",
        money=line.money,
    )


def _of_other(line: OtherLine) -> OrderItem:
    return OrderItem(
        count=line.quantity,
        name=", ".join(filter(None, (line.name, line.note))),
        mass=line.mass,
        price_each=line.price_each,
        money=None if line.price_each is None else line.money,
    )


def _length(item: OrderItem, workshop: Workshop) -> str:
    return stock_text(item.length, workshop.printing) if item.length else ""


def condition_lines(order: Order) -> list[str]:
    """What holds for all of an order, a sentence each."""
    shop, terms = order.workshop, order.terms
    lines = [f"{carried_text(terms).capitalize()}."]
    if terms.delivers and shop.address:
        lines = [f"To be delivered to {shop.address}."]
    if any(item.cut for item in order.items):
        near = tolerance_text(terms, shop.printing)
        lines.append(f"Lengths cut for the carry: {near}. The rest of a length is ours too.")
    if order.total and order.total.cuts:
        lines.append(f"Cut to the enclosed sheets of plan {order.plan}; what is left of each length is ours too.")
    if order.certificate:
        lines.append(f"With certificate: {order.certificate}.")
    if order.without_price:
        lines.append(f"Price still to be agreed, and not in the sums: {naming.names_text(order.without_price)}.")
    return lines


def money_basis(workshop: Workshop) -> str:
    """What amounts are in."""
    if not workshop.tax_millionths:
        return f"Amounts in {workshop.currency}."
    return f"Amounts in {workshop.currency}, prices {'with' if workshop.prices_include_tax else 'without'} tax."


def item_text(item: OrderItem, workshop: Workshop) -> str:
    """A line of an order in one sentence: ``3 lengths x 6 m SHS 40x40x3, EN 10219-2, S235, black``."""
    if not item.length:
        return f"{item.count} x {item.name}"
    what = ", ".join(filter(None, (item.name, item.kind)))
    text = f"{item.count} {'length' if item.count == 1 else 'lengths'} x {_length(item, workshop)} {what}"
    return f"{text}: {item.cut}" if item.cut else text


def message_text(order: Order) -> str:
    """An order as the text of a message."""
    shop = order.workshop
    lines = [" of ".join(filter(None, (f"Order {order.number}", order.day)))]
    lines += [f"To: {order.merchant}"] if order.merchant else []
    lines += [f"From: {', '.join(filter(None, (shop.name, shop.address)))}"] if shop.name or shop.address else []
    lines.append("")
    for place, item in enumerate(order.items, 1):
        lines.append(f"{place}. {item_text(item, shop)}")
        price = NO_PRICE if item.price_each is None else f"{item.price_text} each"
        quoted = f" ({item.quoted})" if item.quoted else ""
        lines.append(f"   {price}{quoted}" + (f", {item.money_text}" if item.price_each is not None else ""))
    lines.append("")
    width = max((len(name) for name, _ in order.sums), default=0)
    lines += [f"{name.capitalize():<{width}}  {money_text(amount):>10}" for name, amount in order.sums]
    lines += [money_basis(shop), "", *condition_lines(order)]
    lines.append(f"In total {mass_text(order.mass, shop.printing)}, computed from nominal sizes.")
    return "\n".join(lines) + "\n"


def beside_orders(in_none: Sequence[str], rounding: Money) -> list[str]:
    """What is in no order, and what all orders come to beyond the plan because each rounds its own tax."""
    lines = []
    if in_none:
        lines.append(f"In no order, because no merchant is named for it: {naming.names_text(in_none)}.")
    if rounding:
        more = f"{money_text(abs(rounding))} {'more' if rounding > 0 else 'less'}"
        lines.append(f"Each merchant rounds its own tax: the orders come to {more} than the plan says.")
    return lines


def order_values(order: Order) -> dict[str, Any]:
    """An order as values: money as exact decimals in the currency, lengths in mm, masses in kg."""
    return {
        "number": order.number,
        "day": order.day,
        "merchant": order.merchant,
        "job": order.job,
        "plan": order.plan,
        "delivered": order.terms.delivers,
        "certificate": order.certificate,
        "currency": order.workshop.currency,
        "mass_kg": kg_text(order.mass, 3),
        "items": [_item_values(item) for item in order.items],
        "charges": [{"what": text, "money": exact_money_text(money)} for text, money in order.charges],
        "money": exact_money_text(order.money),
        "to_pay": exact_money_text(order.to_pay),
        "without_price": list(order.without_price),
    }


def _item_values(item: OrderItem) -> dict[str, Any]:
    return {
        "count": item.count,
        "name": item.name,
        "standard": item.standard,
        "grade": item.grade,
        "finish": item.finish,
        "length_mm": mm_text(item.length) if item.length else None,
        "cut_mm": [{"count": cut.count, "pieces": [mm_text(piece) for piece in cut.ordered]} for cut in item.cuts],
        "mass_kg": kg_text(item.mass, 3),
        "price_each": None if item.price_each is None else exact_money_text(item.price_each),
        "money": None if item.money is None else exact_money_text(item.money),
    }
