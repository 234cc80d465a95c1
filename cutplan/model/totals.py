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
from typing import Annotated

from cutplan.fields import COUNT, LONG_LENGTH, MASS, MONEY, NAME, POSITIVE_COUNT, SIGNED_MONEY, said
from cutplan.model.groups import Group, groups_of
from cutplan.model.job import Job
from cutplan.model.last_answer import kept_last
from cutplan.model.order_totals import MerchantOrder, offers_bought, orders_of
from cutplan.model.plan import Goal, GroupPlan, Plan
from cutplan.model.section_totals import SectionTotal, Sums, finished_mass, made_of, section_total
from cutplan.model.workshop import Workshop
from cutplan.units import CENT, Length, Mass, Money, round_half_up, rounded_to_cents


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
    trips: Annotated[Money, MONEY("what fetching what is ordered costs the workshop; nobody is paid it", rare=True)] = 0
    others: Annotated[Money, MONEY("what is not cut and has a price")]
    subtotal: Annotated[Money, MONEY("on the tax basis of the prices, in whole cents as all above")]
    net: Annotated[Money, MONEY("rounded to 0.01")]
    tax: Annotated[Money, MONEY("rounded to 0.01")]
    to_pay: Annotated[Money, MONEY("net and tax")]
    tax_was_included: Annotated[bool, said("were the prices typed with the tax in them")]
    offcuts_used_value: Annotated[Money, MONEY]
    offcuts_kept_value: Annotated[Money, SIGNED_MONEY]
    groups_left_out: Annotated[tuple[Annotated[str, NAME], ...], said("groups with a missing price")]

    @property
    def weighed(self) -> Money:
        """What plans are compared by: as it is paid, with what is used, kept and done at home, but without others."""
        paid = self.subtotal - self.others
        return paid + self.trips + self.work + self.offcuts_used_value - self.offcuts_kept_value


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
    sections = tuple(section_total(group, planned) for group, planned in pairs)
    orders = orders_of(job, job.workshop.as_brought(plan.fetched), pairs)
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


def shared_out(amount: int, weights: Sequence[int], unit: int = CENT) -> list[int]:
    """Shares in whole units, cents where not said, of an amount in such, in proportion to weights; they add up to it.

    Each is the difference of two running shares, which are rounded half up.
    """
    whole, reached, shares = sum(weights), 0, []
    for weight in weights:
        before, reached = reached, reached + weight
        running = (round_half_up(Fraction(amount * part, whole * unit)) * unit for part in (reached, before))
        shares.append(next(running) - next(running))
    return shares


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


def to_pay_by_list(totals: Totals) -> list[Money]:
    """What each of several lists bears of what is paid, tax and all, in proportion to what it costs without."""
    weights = [total.money for total in totals.lists]
    return shared_out(totals.money.to_pay, weights) if sum(weights) else [0] * len(weights)


def bought_by_list(job: Job, totals: Totals) -> list[Mass]:
    """What each of several lists bears of the mass to buy, by part length within each section."""
    masses = Counter(dict.fromkeys((total.name for total in totals.lists), 0))
    for group, total in zip(groups_of(job), totals.sections, strict=True):
        wanted: Counter[str] = Counter()
        for part in group.parts:
            wanted[part.list_name] += part.length * part.quantity
        for name, share in zip(wanted, shared_out(total.bought_mass, list(wanted.values()), unit=1), strict=True):
            masses[name] += share
    return [masses[total.name] for total in totals.lists]


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
    paid = sum(offer.bar_price or 0 for group, planned in priced for offer in offers_bought(group, planned))
    for order in orders:
        terms = job.workshop.merchant(order.merchant)
        to_carry = order.carry_cuts_charged + order.carry_cuts_free
        paid += order.cuts * terms.cut_charge + to_carry * terms.carry_cut_charge
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
        trips=sum(order.trip_cost for order in orders),
        groups_left_out=tuple(group.title for group, planned in pairs if planned.goal is Goal.MASS),
    )
