"""What is ordered of whom, line by line, and what each order comes to. Money is in whole cents, as printed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Annotated, TypeVar

from cutplan.fields import COUNT, MASS, MONEY, NAME, OMITTED, POSITIVE_COUNT, POSITIVE_LENGTH, one_of, reference, said
from cutplan.model.groups import Group
from cutplan.model.job import Job
from cutplan.model.offcut import Offcut
from cutplan.model.plan import CutBar, Goal, GroupPlan, SourceKind
from cutplan.model.stock_length import StockLength
from cutplan.model.workshop import Workshop
from cutplan.sections.section import Section
from cutplan.units import Length, Mass, Money, rounded_to_cents

_Source = TypeVar("_Source", StockLength, Offcut)


@dataclass(frozen=True, slots=True, kw_only=True)
class CarryCut:
    """So many lengths of an offer that the merchant cuts alike for the carry; the last piece is the rest. [nm]"""

    ordered: Annotated[
        tuple[Annotated[Length, POSITIVE_LENGTH], ...], said("what the pieces are ordered by, in the order of cutting")
    ]
    count: Annotated[int, POSITIVE_COUNT("how many lengths are cut so")]


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """So many lengths of one offer.

    ``price_each`` is None when the price list has no price; ``money`` is None
    when the group is left out of the money. ``length`` is nominal.
    """

    offer: Annotated[str, NAME]
    merchant: Annotated[str, OMITTED]
    section: Annotated[Section, reference("key")]
    grade: str
    finish: str
    length: Annotated[Length, POSITIVE_LENGTH("nominal, in mm")]
    count: Annotated[int, POSITIVE_COUNT]
    price_each: Annotated[Money | None, MONEY("null when there is no price")]
    money: Annotated[Money | None, MONEY("null when the group is left out of the money")]
    mass: Annotated[Mass, MASS]
    cut_to_carry: Annotated[tuple[CarryCut, ...], said("lengths cut for the carry, by how", rare=True)] = ()

    @property
    def longest(self) -> Length:
        """The longest piece that is brought home. [nm]"""
        cut = sum(each.count for each in self.cut_to_carry)
        pieces = [length for each in self.cut_to_carry for length in each.ordered]
        return max(pieces if cut == self.count else [*pieces, self.length])


@dataclass(frozen=True, slots=True, kw_only=True)
class MerchantOrder:
    """What is bought from one merchant; money on the tax basis of the price list.

    ``delivery`` and ``shortfall`` (what is missing to the minimum order and is
    charged all the same) are 0 where no priced group buys here. ``cuts`` is how
    many cuts the merchant makes; ``cuts_charged`` of them, on bars of priced
    groups, come to ``cut_charges``; the minimum order is of bars alone. Those for the carry are apart, with theirs.
    ``comes`` is fetched or delivered where its merchant delivers; ``trips`` for it cost the workshop ``trip_cost``.
    """

    merchant: str
    bars: Annotated[Money, MONEY]
    delivery: Annotated[Money, MONEY]
    shortfall: Annotated[Money, MONEY("what is missing to the minimum order")]
    cuts: Annotated[int, COUNT("cuts the merchant makes")]
    cuts_charged: Annotated[int, OMITTED]
    cut_charges: Annotated[Money, MONEY]
    carry_cuts: Annotated[int, COUNT("cuts the merchant makes for the carry", rare=True)] = 0
    carry_cuts_charged: Annotated[int, OMITTED] = 0
    carry_cuts_free: Annotated[int, COUNT("how many of them are free", rare=True)] = 0
    carry_charges: Annotated[Money, MONEY("what those come to", rare=True)] = 0
    comes: Annotated[
        str,
        one_of("", "fetched", "delivered")("how the order comes; blank where its merchant does not deliver", rare=True),
    ] = ""
    trips: Annotated[int, COUNT("how often is driven for it, where a trip costs something", rare=True)] = 0
    trip_cost: Annotated[Money, MONEY("what those trips cost the workshop; nobody is paid it", rare=True)] = 0
    mass: Annotated[Mass, MASS]
    lines: Annotated[tuple[OrderLine, ...], said("in the order of the price list")]

    @property
    def carry_cuts_priced(self) -> bool:
        """Is any of the cuts for the carry on bars with a price?"""
        return self.carry_cuts_charged + self.carry_cuts_free > 0

    @property
    def money(self) -> Annotated[Money, MONEY("bars, delivery and shortfall", before="mass")]:
        """Bars, delivery, shortfall and cuts."""
        return self.bars + self.delivery + self.shortfall + self.cut_charges + self.carry_charges


def offers_bought(group: Group, planned: GroupPlan) -> list[StockLength]:
    """The offer of each length bought, one by one."""
    known = {offer.id: offer for offer in group.offers}
    return [source_of(known, bar) for bar in planned.bars if bar.buys]


def source_of(known: dict[str, _Source], bar: CutBar) -> _Source:
    """What a bar is cut from, by id or mark; ValueError where its group has no such."""
    if bar.source not in known:
        raise ValueError(f"bar {bar.number}: {bar.source} is no source of its group")
    return known[bar.source]


def line_money(offer: StockLength, count: int) -> Money:
    """What an order line of so many lengths comes to, in whole cents."""
    return rounded_to_cents((offer.bar_price or 0) * count)


@dataclass(slots=True)
class _Bought:
    """What groups buy of each offer, by its id, and what merchants cut, by their names.

    ``in_pieces`` counts lengths cut for the carry by what their pieces are ordered by. ``charged`` are the cuts on bars
    of groups planned by money, ``in_money`` the offers these buy.
    """

    count: Counter[str] = field(default_factory=Counter)
    in_pieces: dict[str, Counter[tuple[Length, ...]]] = field(default_factory=dict)
    in_money: set[str] = field(default_factory=set)
    cuts: Counter[str] = field(default_factory=Counter)
    charged: Counter[str] = field(default_factory=Counter)


def orders_of(job: Job, shop: Workshop, pairs: Iterable[tuple[Group, GroupPlan]]) -> tuple[MerchantOrder, ...]:
    """Orders by merchant, in the order of the price list; lines likewise. In ``shop`` each comes one way."""
    bought = _bought(job, pairs)
    lines: dict[str, list[OrderLine]] = {}
    for offer in job.offers:
        if offer.id in bought.count:
            lines.setdefault(offer.merchant, []).append(_line(offer, bought))
    return tuple(_order(job, shop, name, ordered, bought) for name, ordered in lines.items())


def _bought(job: Job, pairs: Iterable[tuple[Group, GroupPlan]]) -> _Bought:
    bought = _Bought()
    for group, planned in pairs:
        merchants = {offer.id: offer.merchant for offer in group.offers}
        for bar in planned.bars:
            if bar.kind is SourceKind.BOUGHT and job.workshop.merchant(merchants[bar.source]).cuts_to_plan:
                bought.cuts[merchants[bar.source]] += bar.strokes
                bought.charged[merchants[bar.source]] += bar.strokes if planned.goal is Goal.MONEY else 0
            if bar.buys and bar.piece_of is not None:
                bought.in_pieces.setdefault(bar.source, Counter())[bar.piece_of.ordered] += 1
        for offer in offers_bought(group, planned):
            bought.count[offer.id] += 1
            if planned.goal is Goal.MONEY:
                bought.in_money.add(offer.id)
    return bought


def _line(offer: StockLength, bought: _Bought) -> OrderLine:
    number = bought.count[offer.id]
    in_pieces = bought.in_pieces.get(offer.id, Counter())
    return OrderLine(
        offer=offer.id,
        merchant=offer.merchant,
        section=offer.section,
        grade=offer.grade,
        finish=offer.finish,
        length=offer.length,
        count=number,
        price_each=offer.bar_price,
        money=line_money(offer, number) if offer.id in bought.in_money else None,
        mass=offer.mass * number,
        cut_to_carry=tuple(CarryCut(ordered=ordered, count=many) for ordered, many in in_pieces.items()),
    )


def _order(job: Job, shop: Workshop, name: str, lines: Sequence[OrderLine], bought: _Bought) -> MerchantOrder:
    """What is bought from one merchant, whose order comes as in ``shop``."""
    terms = shop.merchant(name)
    to_carry = [
        (cut.count * (len(cut.ordered) - 1), line.money is not None) for line in lines for cut in line.cut_to_carry
    ]
    to_carry_charged = sum(number for number, is_charged in to_carry if is_charged)
    free = min(to_carry_charged, terms.carry_cuts_free if terms.carry_cut_charge else 0)
    counted = [line for line in lines if line.money is not None]
    bars, mass = sum(line.money or 0 for line in counted), sum(line.mass for line in counted)
    bill = shop.bill(name, sum((line.price_each or 0) * line.count for line in counted), mass)
    trips = bill.trips(mass) if counted else 0
    return MerchantOrder(
        merchant=name,
        lines=tuple(lines),
        bars=bars,
        delivery=rounded_to_cents(bill.delivery) if counted else 0,
        shortfall=max(0, rounded_to_cents(bill.minimum) - bars) if counted else 0,
        cuts=bought.cuts[name],
        cuts_charged=bought.charged[name],
        cut_charges=rounded_to_cents(bought.charged[name] * terms.cut_charge),
        carry_cuts=sum(number for number, _ in to_carry),
        carry_cuts_charged=to_carry_charged - free,
        carry_cuts_free=free,
        carry_charges=rounded_to_cents((to_carry_charged - free) * terms.carry_cut_charge),
        comes="" if not job.workshop.merchant(name).delivers else "delivered" if terms.delivers else "fetched",
        trips=trips,
        trip_cost=rounded_to_cents(trips * bill.trip),
        mass=sum(line.mass for line in lines),
    )
