"""What a plan adds up to: lengths, mass, money, order lines and shares of assemblies.

Pure functions of Job and Plan, used by whatever prints or stores a total, so
that no two places can disagree. Lengths in nanometres, mass in milligrams,
money in millionths of the currency.

An amount that is printed is rounded to the cent once, half up: an order line, a
charge, a share. What stands below amounts is the sum of what is printed above.
The sum that a proof speaks of, ``plan.cost``, is of exact prices and apart.

Three lengths must not be mixed up. *Bought* length is nominal, as ordered.
*Drawn* length is what the bars used are counted on for; it splits without rest
into parts, left over to keep, scrap, and kerf and trim. A *part's* length is
its long point length; where one cut parts two mitres they reach into one another,
and what lies in both counts once in the drawn length.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields
from fractions import Fraction
from typing import Annotated, TypeVar

from cutplan.fields import (
    COUNT,
    LONG_LENGTH,
    MASS,
    MONEY,
    NAME,
    OMITTED,
    POSITIVE_COUNT,
    POSITIVE_LENGTH,
    RATIO,
    SIGNED_MONEY,
    reference,
    said,
)
from cutplan.model.groups import Group, groups_of
from cutplan.model.job import Job
from cutplan.model.last_answer import kept_last
from cutplan.model.offcut import Offcut
from cutplan.model.part import Part
from cutplan.model.plan import CutBar, Fate, Goal, GroupPlan, Plan, SourceKind
from cutplan.model.stock_length import StockLength
from cutplan.model.workshop import Workshop
from cutplan.sections.section import Section
from cutplan.units import Length, Mass, Money, rounded_to_cents

_Source = TypeVar("_Source", StockLength, Offcut)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sums:
    """What bars and parts add up to, of one group or of the whole plan.

    Parameters
    ----------
    bought_length, bought_mass
        Nominal, as ordered.
    drawn_length, drawn_mass
        Of all bars used, by the length counted on; equal to parts, kept, scrap, and kerf and trim together.
    part_mass
        Of the finished pieces; see :func:`finished_mass`.
    kerf_and_trim_mass
        What the saw and the end trims take, the wedges cut off at mitres, and the allowances but for weld shrinkage.
    """

    bars_bought: Annotated[int, COUNT]
    bought_length: Annotated[Length, LONG_LENGTH("nominal, in mm")]
    bought_mass: Annotated[Mass, MASS]
    offcuts_used: Annotated[int, COUNT]
    offcuts_used_length: Annotated[Length, LONG_LENGTH]
    offcuts_kept: Annotated[int, COUNT]
    pieces: Annotated[int, COUNT]
    drawn_length: Annotated[
        Length, LONG_LENGTH("of all bars used, as counted on, in mm: parts, kept, scrap, kerf and trim together")
    ]
    drawn_mass: Annotated[Mass, MASS]
    part_length: Annotated[Length, LONG_LENGTH("long points, in mm")]
    part_mass: Annotated[Mass, MASS("by the mean of long and short point")]
    kept_length: Annotated[Length, LONG_LENGTH]
    kept_mass: Annotated[Mass, MASS]
    scrap_length: Annotated[Length, LONG_LENGTH]
    scrap_mass: Annotated[Mass, MASS]
    kerf_and_trim_length: Annotated[Length, LONG_LENGTH]
    kerf_and_trim_mass: Annotated[Mass, MASS("with the wedges cut off at mitres")]
    cuts_shared: Annotated[int, COUNT("strokes that part two mitres", rare=True)] = 0
    nested_length: Annotated[
        Length, LONG_LENGTH("by how much parts reach into one another at shared cuts, in mm", rare=True)
    ] = 0
    nested_value: Annotated[Money, MONEY("the same at the price of its bars; 0 where they have none", rare=True)] = 0

    @property
    def material_used(
        self,
    ) -> Annotated[Fraction, RATIO("part length over drawn length, rounded down to six decimals")]:
        """Part length over drawn length, what lies in two parts counted once."""
        return Fraction(self.part_length - self.nested_length, self.drawn_length)


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionTotal(Sums):
    """One group of the plan: a section in one grade and finish.

    Parameters
    ----------
    grade
        Blank when a part of the group leaves its grade open.
    money
        Sum of the order lines of the bars bought; None when the group is planned by mass and left out of the money.
    offcuts_used_value, offcuts_kept_value
        Book value of the offcuts used up; value of the offcuts kept. Exact; None where ``money`` is.
    """

    section: Annotated[Section, reference("key")]
    grade: str
    finish: str
    goal: Goal
    money: Annotated[Money | None, MONEY("price of the bars bought, or null when left out of the money")]
    offcuts_used_value: Annotated[Money | None, MONEY("book value, or null when left out of the money")]
    offcuts_kept_value: Annotated[Money | None, MONEY("value of what is kept, or null when left out of the money")]


@dataclass(frozen=True, slots=True, kw_only=True)
class AssemblyTotal:
    """One assembly of the parts list; a blank name gathers the parts that name none.

    ``money`` is the assembly's share of the bars bought: each group's money is
    shared by part length, and the shares of a group add up to its money. Parts
    of groups that are left out of the money count nothing. ``made`` is how often
    the assembly is made, for all of which the sums are. ``others`` is what is not
    cut, with its mass and money apart.
    """

    assembly: Annotated[str, said("blank gathers parts that name none")]
    made: Annotated[int, POSITIVE_COUNT("how often it is made")]
    pieces: Annotated[int, COUNT]
    part_length: Annotated[Length, LONG_LENGTH]
    part_mass: Annotated[Mass, MASS]
    money: Annotated[Money, MONEY("share of the bars bought, by part length within each group")]
    others: Annotated[int, COUNT]
    others_mass: Annotated[Mass, MASS]
    others_money: Annotated[Money, MONEY]


@dataclass(frozen=True, slots=True, kw_only=True)
class ListTotal:
    """One of several lists planned together, summed over its assemblies.

    ``bars`` is its share of the lengths to buy, by part length within each section. ``charges`` is its share of
    deliveries, minimum orders made up and merchants' cuts, in proportion to ``bars``, or to part length where no
    length has a price.
    """

    name: Annotated[str, NAME]
    pieces: Annotated[int, COUNT]
    part_length: Annotated[Length, LONG_LENGTH]
    part_mass: Annotated[Mass, MASS]
    bars: Annotated[Money, MONEY("its share of the lengths to buy, by part length within each section")]
    charges: Annotated[
        Money,
        MONEY("its share of deliveries, minimum orders made up and merchants' cuts, in proportion to its lengths"),
    ]
    others_mass: Annotated[Mass, MASS]
    others_money: Annotated[Money, MONEY]

    @property
    def money(self) -> Annotated[Money, MONEY("all of it")]:
        """All it costs, on the tax basis of the price list."""
        return self.bars + self.charges + self.others_money


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
    carry_charges: Annotated[Money, MONEY("what those come to", rare=True)] = 0
    mass: Annotated[Mass, MASS]
    lines: Annotated[tuple[OrderLine, ...], said("in the order of the price list")]

    @property
    def money(self) -> Annotated[Money, MONEY("bars, delivery and shortfall", before="mass")]:
        """Bars, delivery, shortfall and cuts."""
        return self.bars + self.delivery + self.shortfall + self.cut_charges + self.carry_charges


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneySummary:
    """Money to pay, and apart from it what offcuts were worth and what the workshop's own ``work`` counts for.

    ``bars``, ``delivery``, ``shortfall``, ``cut_charges``, ``others`` (what is not
    cut and has a price) and their sum ``subtotal`` are on the tax basis of the
    price list. All are whole cents. Where prices have no tax in them, ``tax`` is
    that of ``subtotal``, else ``net`` is subtotal / (1 + rate), each rounded half
    up; net + tax = to_pay. What offcuts are worth and ``work`` counts for is exact.
    """

    bars: Annotated[Money, MONEY]
    delivery: Annotated[Money, MONEY]
    shortfall: Annotated[Money, MONEY]
    cut_charges: Annotated[Money, MONEY]
    work: Annotated[Money, MONEY("what the workshop's own work counts for; nobody is paid it")]
    others: Annotated[Money, MONEY("what is not cut and has a price")]
    subtotal: Annotated[Money, MONEY("on the tax basis of the prices, in whole cents as all above")]
    net: Annotated[Money, MONEY("rounded to 0.01")]
    tax: Annotated[Money, MONEY("rounded to 0.01")]
    to_pay: Annotated[Money, MONEY("net and tax")]
    tax_was_included: Annotated[bool, said("were the prices typed with the tax in them")]
    offcuts_used_value: Annotated[Money, MONEY]
    offcuts_kept_value: Annotated[Money, SIGNED_MONEY]
    groups_left_out: Annotated[tuple[Annotated[str, NAME], ...], said("groups with a missing price")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals(Sums):
    """All totals of a plan: the sums over ``sections``, and more; ``cuts`` are strokes of the saw."""

    cuts: Annotated[int, COUNT("strokes of the saw, squaring included")]
    others_mass: Annotated[Mass, MASS]
    money: MoneySummary
    sections: Annotated[tuple[SectionTotal, ...], said("one for each group")]
    assemblies: Annotated[tuple[AssemblyTotal, ...], said("in the order of first use")]
    lists: Annotated[tuple[ListTotal, ...], said("several lists planned together, each with its share")]
    orders: Annotated[tuple[MerchantOrder, ...], said("by merchant, in the order of the price list")]


@kept_last
def totals_of(job: Job, plan: Plan) -> Totals:
    """Every total of a plan.

    Parameters
    ----------
    job, plan
        The plan answers the job: its groups stand in the order of :func:`groups_of`.

    Raises
    ------
    ValueError
        When the groups of the plan are not those of the job, or a bar's source is not in its group.
    """
    groups = groups_of(job)
    if [group.title for group in groups] != [planned.title for planned in plan.groups]:
        raise ValueError("the plan has other groups than the job")
    pairs = tuple(zip(groups, plan.groups, strict=True))
    sections = tuple(_section_total(group, planned) for group, planned in pairs)
    orders = _orders(job, pairs)
    assemblies = _assemblies(job, pairs, sections)
    money = _money(job, pairs, sections, orders)
    return Totals(
        **{each.name: sum(getattr(total, each.name) for total in sections) for each in fields(Sums)},
        sections=sections,
        assemblies=assemblies,
        lists=_lists(job, assemblies, money),
        orders=orders,
        money=money,
        cuts=sum(bar.strokes for bar in plan.bars),
        others_mass=sum(line.mass for line in job.others),
    )


def finished_mass(part: Part) -> Mass:
    """Mass of one finished piece: what is ground, squared, coped or fitted off is no part of it. [mg]

    What a part is longer by for weld shrinkage stays in it: steel that draws together weighs what it did.
    The section's mass over the length midway between the sides: exact for a
    section whose centroid lies midway across the mitre (tube, flat, square,
    round); an angle's piece is a little lighter or heavier by which leg is long.
    """
    return part.section.mass_of(part.finished_centre_line)


def _offers_bought(group: Group, planned: GroupPlan) -> list[StockLength]:
    """The offer of each length bought, one by one."""
    known = {offer.id: offer for offer in group.offers}
    return [_source(known, bar) for bar in planned.bars if bar.buys]


def _source(known: dict[str, _Source], bar: CutBar) -> _Source:
    if bar.source not in known:
        raise ValueError(f"bar {bar.number}: {bar.source} is no source of its group")
    return known[bar.source]


def _nested_value(bar: CutBar, offers: dict[str, StockLength], offcuts: dict[str, Offcut]) -> Money:
    """What it saves that parts of a bar reach into one another, at what the bar costs or is booked at."""
    bought = bar.kind is SourceKind.BOUGHT
    price = _source(offers, bar).bar_price or 0 if bought else _source(offcuts, bar).book_value
    return price * bar.nested // bar.length


def _section_total(group: Group, planned: GroupPlan) -> SectionTotal:
    section = group.section
    bought = _offers_bought(group, planned)
    offers = {offer.id: offer for offer in group.offers}
    numbers = Counter(offer.id for offer in bought)
    offcuts = {offcut.mark: offcut for offcut in group.offcuts}
    priced = planned.goal is Goal.MONEY
    used = [_source(offcuts, bar) for bar in planned.bars if bar.kind is SourceKind.OFFCUT]
    made = made_of(planned.bars)
    kept = [bar.drop for bar in planned.bars if bar.drop.fate is Fate.KEEP]
    bought_length = sum(offer.length for offer in bought)
    # What cuts for the carry take off a length is drawn with it.
    drawn_length = sum(bar.length for bar in planned.bars if bar.kind is SourceKind.OFFCUT)
    drawn_length += sum(offer.counted for offer in bought)
    part_length = sum(part.length * made[part.mark] for part in group.parts)
    kept_length = sum(drop.length for drop in kept)
    nested_length = sum(bar.nested for bar in planned.bars)
    scrap_length = sum(bar.drop.length for bar in planned.bars if bar.drop.fate is Fate.SCRAP)
    drawn_mass = section.mass_of(drawn_length)
    part_mass = sum(finished_mass(part) * made[part.mark] for part in group.parts)
    kept_mass, scrap_mass = section.mass_of(kept_length), section.mass_of(scrap_length)
    return SectionTotal(
        section=section,
        grade=group.grade,
        finish=group.finish,
        goal=planned.goal,
        bars_bought=len(bought),
        bought_length=bought_length,
        bought_mass=sum(offer.mass for offer in bought),
        offcuts_used=len(used),
        offcuts_used_length=sum(offcut.length for offcut in used),
        drawn_length=drawn_length,
        drawn_mass=drawn_mass,
        pieces=made.total(),
        part_length=part_length,
        part_mass=part_mass,
        offcuts_kept=len(kept),
        kept_length=kept_length,
        kept_mass=kept_mass,
        scrap_length=scrap_length,
        scrap_mass=scrap_mass,
        kerf_and_trim_length=drawn_length - part_length + nested_length - kept_length - scrap_length,
        kerf_and_trim_mass=drawn_mass - part_mass - kept_mass - scrap_mass,
        money=sum(line_money(offers[name], count) for name, count in numbers.items()) if priced else None,
        offcuts_used_value=sum(offcut.book_value for offcut in used) if priced else None,
        cuts_shared=sum(cut.shared for bar in planned.bars for cut in bar.cuts),
        nested_length=nested_length,
        nested_value=sum(_nested_value(bar, offers, offcuts) for bar in planned.bars) if priced else 0,
        offcuts_kept_value=sum(drop.value for drop in kept) if priced else None,
    )


def line_money(offer: StockLength, count: int) -> Money:
    """What an order line of so many lengths comes to, in whole cents."""
    return rounded_to_cents((offer.bar_price or 0) * count)


def shared_out(amount: Money, weights: Sequence[int]) -> list[Money]:
    """Shares in whole cents of an amount in whole cents, in proportion to weights; they add up to it.

    Each is the difference of two running shares, which are rounded half up.
    """
    whole, reached, shares = sum(weights), 0, []
    for weight in weights:
        before, reached = reached, reached + weight
        running = (rounded_to_cents(Fraction(amount * part, whole)) for part in (reached, before))
        shares.append(next(running) - next(running))
    return shares


def made_of(bars: Iterable[CutBar]) -> Counter[str]:
    """How many of each part are cut from some bars, spares that come free among them."""
    return Counter(cut.mark for bar in bars for cut in bar.cuts)


def _assemblies(
    job: Job, pairs: Iterable[tuple[Group, GroupPlan]], sections: Iterable[SectionTotal]
) -> tuple[AssemblyTotal, ...]:
    money = dict.fromkeys([*(part.assembly for part in job.parts), *(line.assembly for line in job.others)], 0)
    times = {part.assembly: part.assemblies for part in job.parts}
    made: Counter[str] = Counter()
    for (group, planned), total in zip(pairs, sections, strict=True):
        made += made_of(planned.bars)
        wanted: Counter[str] = Counter()
        for part in group.parts:
            wanted[part.assembly] += part.length * part.quantity
        own = [assembly for assembly in money if assembly in wanted]
        for assembly, share in zip(own, shared_out(total.money or 0, [wanted[name] for name in own]), strict=True):
            money[assembly] += share
    return tuple(
        AssemblyTotal(
            assembly=assembly,
            made=times.get(assembly, 1),
            pieces=sum(made[part.mark] for part in job.parts if part.assembly == assembly),
            part_length=sum(part.length * made[part.mark] for part in job.parts if part.assembly == assembly),
            part_mass=sum(finished_mass(part) * made[part.mark] for part in job.parts if part.assembly == assembly),
            money=money[assembly],
            others=sum(line.quantity for line in job.others if line.assembly == assembly),
            others_mass=sum(line.mass for line in job.others if line.assembly == assembly),
            others_money=sum(line.money for line in job.others if line.assembly == assembly),
        )
        for assembly in money
    )


def list_of_assembly(job: Job) -> dict[str, str]:
    """The list of every assembly; empty where one list is planned alone."""
    pairs = {part.assembly: part.list_name for part in job.parts} | {o.assembly: o.list_name for o in job.others}
    return {assembly: name for assembly, name in pairs.items() if name}


def _lists(job: Job, assemblies: Sequence[AssemblyTotal], money: MoneySummary) -> tuple[ListTotal, ...]:
    """What each list comes to; the shares of the charges add up to them."""
    lists = list_of_assembly(job)
    members: dict[str, list[AssemblyTotal]] = {}
    for total in assemblies:
        if total.assembly in lists:
            members.setdefault(lists[total.assembly], []).append(total)
    weights = {name: sum(total.money for total in own) for name, own in members.items()}
    if not sum(weights.values()):
        weights = {name: sum(total.part_length for total in own) for name, own in members.items()}
    if not members:
        return ()
    shares = shared_out(money.delivery + money.shortfall + money.cut_charges, [weights[name] for name in members])
    return tuple(
        ListTotal(
            name=name,
            pieces=sum(total.pieces for total in own),
            part_length=sum(total.part_length for total in own),
            part_mass=sum(total.part_mass for total in own),
            bars=sum(total.money for total in own),
            charges=share,
            others_mass=sum(total.others_mass for total in own),
            others_money=sum(total.others_money for total in own),
        )
        for (name, own), share in zip(members.items(), shares, strict=True)
    )


def _orders(job: Job, pairs: Iterable[tuple[Group, GroupPlan]]) -> tuple[MerchantOrder, ...]:
    """Orders by merchant, in the order of the price list; lines likewise."""
    count: dict[str, int] = {}
    in_pieces: dict[str, Counter[tuple[Length, ...]]] = {}
    cuts: Counter[str] = Counter()
    charged: Counter[str] = Counter()
    in_money: set[str] = set()
    for group, planned in pairs:
        merchants = {offer.id: offer.merchant for offer in group.offers}
        for bar in planned.bars:
            if bar.kind is SourceKind.BOUGHT and job.workshop.merchant(merchants[bar.source]).cuts_to_plan:
                cuts[merchants[bar.source]] += bar.strokes
                charged[merchants[bar.source]] += bar.strokes if planned.goal is Goal.MONEY else 0
            if bar.buys and bar.piece_of is not None:
                in_pieces.setdefault(bar.source, Counter())[bar.piece_of.ordered] += 1
        for offer in _offers_bought(group, planned):
            count[offer.id] = count.get(offer.id, 0) + 1
            if planned.goal is Goal.MONEY:
                in_money.add(offer.id)
    lines: dict[str, list[OrderLine]] = {}
    for offer in job.offers:
        if offer.id in count:
            number = count[offer.id]
            lines.setdefault(offer.merchant, []).append(
                OrderLine(
                    offer=offer.id,
                    merchant=offer.merchant,
                    section=offer.section,
                    grade=offer.grade,
                    finish=offer.finish,
                    length=offer.length,
                    count=number,
                    price_each=offer.bar_price,
                    money=line_money(offer, number) if offer.id in in_money else None,
                    mass=offer.mass * number,
                    cut_to_carry=tuple(
                        CarryCut(ordered=ordered, count=many)
                        for ordered, many in in_pieces.get(offer.id, Counter()).items()
                    ),
                )
            )
    orders = []
    for name, ordered in lines.items():
        terms = job.workshop.merchant(name)
        priced = any(line.money is not None for line in ordered)
        bars = sum(line.money or 0 for line in ordered)
        to_carry = [
            (cut.count * (len(cut.ordered) - 1), line.money is not None)
            for line in ordered
            for cut in line.cut_to_carry
        ]
        to_carry_charged = sum(number for number, is_charged in to_carry if is_charged)
        bill = terms.bill(sum((line.price_each or 0) * line.count for line in ordered if line.money is not None))
        orders.append(
            MerchantOrder(
                merchant=name,
                lines=tuple(ordered),
                bars=bars,
                delivery=rounded_to_cents(bill.delivery) if priced else 0,
                shortfall=max(0, rounded_to_cents(bill.minimum) - bars) if priced else 0,
                cuts=cuts[name],
                cuts_charged=charged[name],
                cut_charges=rounded_to_cents(charged[name] * terms.cut_charge),
                carry_cuts=sum(number for number, _ in to_carry),
                carry_cuts_charged=to_carry_charged,
                carry_charges=rounded_to_cents(to_carry_charged * terms.carry_cut_charge),
                mass=sum(line.mass for line in ordered),
            )
        )
    return tuple(orders)


def net_and_tax(workshop: Workshop, amount: Money) -> tuple[Money, Money]:
    """An amount on the tax basis of the prices, in whole cents, as net and tax; to pay is their sum."""
    rate = Fraction(workshop.tax_millionths, 1_000_000)
    if workshop.prices_include_tax:
        net = rounded_to_cents(amount / (1 + rate))
        return net, amount - net
    return amount, rounded_to_cents(amount * rate)


def _money(
    job: Job,
    pairs: Iterable[tuple[Group, GroupPlan]],
    sections: Iterable[SectionTotal],
    orders: Iterable[MerchantOrder],
) -> MoneySummary:
    pairs, orders, sections = tuple(pairs), tuple(orders), tuple(sections)
    bars = sum(order.bars for order in orders)
    delivery = sum(order.delivery for order in orders)
    shortfall = sum(order.shortfall for order in orders)
    cut_charges = sum(order.cut_charges + order.carry_charges for order in orders)
    others = sum(line.money for line in job.others)
    subtotal = bars + delivery + shortfall + cut_charges + others
    net, tax = net_and_tax(job.workshop, subtotal)
    used_value = sum(total.offcuts_used_value or 0 for total in sections)
    kept_value = sum(total.offcuts_kept_value or 0 for total in sections)
    # A bar costs its price or book value, what its merchant charges for cuts and its work, less what it leaves.
    priced = [(group, planned) for group, planned in pairs if planned.goal is Goal.MONEY]
    cost = sum(bar.cost for _, planned in priced for bar in planned.bars)
    paid = sum(offer.bar_price or 0 for group, planned in priced for offer in _offers_bought(group, planned))
    for order in orders:
        terms = job.workshop.merchant(order.merchant)
        paid += order.cuts * terms.cut_charge + order.carry_cuts_charged * terms.carry_cut_charge
    return MoneySummary(
        bars=bars,
        delivery=delivery,
        shortfall=shortfall,
        cut_charges=cut_charges,
        others=others,
        subtotal=subtotal,
        net=net,
        tax=tax,
        to_pay=net + tax,
        tax_was_included=job.workshop.prices_include_tax,
        offcuts_used_value=used_value,
        offcuts_kept_value=kept_value,
        work=cost + kept_value - used_value - paid,
        groups_left_out=tuple(group.title for group, planned in pairs if planned.goal is Goal.MASS),
    )
