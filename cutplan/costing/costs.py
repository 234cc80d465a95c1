"""What a job costs and what it is sold at, line by line, each amount in whole cents without tax.

What stands below amounts is the sum of those printed above it: lines of one kind are rounded together so that they add
up, and a percentage is taken of what is printed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeAlias

from cutplan.costing.cents import shares_of, whole_cents, whole_shares
from cutplan.costing.cost_figures import HOUR, CostFigures, Minutes
from cutplan.costing.handwork import Task, tasks_of
from cutplan.costing.surfaces import Coated, CoatTaken, coats_taken, surfaces_of
from cutplan.model import Group, GroupPlan, Job, OtherLine, Plan, SourceKind, Workshop, groups_of
from cutplan.model.totals import Totals, list_of_assembly, totals_of
from cutplan.units import Money, rounded_to_cents

Done: TypeAlias = Task | CoatTaken
"""What hours go into: work that the plan counts, or a coat that the workshop puts on itself."""

_WHOLE = 1_000_000
"""Percentages are in millionths."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SteelCost:
    """The lengths bought of one group: what of their price is cut up, and what buying whole lengths adds."""

    title: str
    designation: str
    lengths: int
    used: Money
    whole_lengths_add: Money

    @property
    def amount(self) -> Money:
        """What the lengths cost."""
        return self.used + self.whole_lengths_add


@dataclass(frozen=True, slots=True, kw_only=True)
class ThingCost:
    """Something bought that is not cut."""

    line: OtherLine
    amount: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatCost:
    """A coat, without the workshop's own time for it."""

    taken: CoatTaken
    amount: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkCost:
    """Hours of one kind."""

    done: Done
    amount: Money

    @property
    def minutes(self) -> Minutes:
        """Time of it."""
        return self.done.minutes


@dataclass(frozen=True, slots=True, kw_only=True)
class AssemblyCost:
    """What one assembly costs, all that are made of it: its own steel, things, coats and hours, and its share of the
    rest. ``price`` is without tax, and ``minutes`` are those of its hours; ``list_name`` is its list, of several.
    """

    assembly: str
    list_name: str
    made: int
    steel: Money
    things: Money
    coats: Money
    work: Money
    minutes: Minutes
    price: Money

    @property
    def rest(self) -> Money:
        """Its share of charges, offcuts, consumables, transport, overhead and margin, in proportion to its own."""
        return self.price - self.steel - self.things - self.coats - self.work


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """All of it; amounts without tax but for ``to_pay``, in millionths of the currency.

    Parameters
    ----------
    delivery, shortfall, merchants_cuts
        What merchants charge beside their lengths.
    offcuts_used, offcuts_kept
        What the rack gives and gets back; the latter is taken off.
    cost
        Of everything before the margin.
    missing
        What has no price and is in no amount: titles of groups and names of things.
    surfaces
        Areas and masses by finish and assembly.
    tax_differs
        The rate of the plan, which counts, and that of the workshop as it is now, where they differ. [millionths]
    unsaid
        Is there no workshop file, so that all figures are defaults?
    """

    figures: CostFigures
    steel: tuple[SteelCost, ...]
    delivery: Money
    shortfall: Money
    merchants_cuts: Money
    offcuts_used: Money
    offcuts_kept: Money
    things: tuple[ThingCost, ...]
    consumables: Money
    coats: tuple[CoatCost, ...]
    work: tuple[WorkCost, ...]
    overhead: Money
    margin: Money
    tax: Money
    missing: tuple[str, ...]
    surfaces: tuple[Coated, ...]
    assemblies: tuple[AssemblyCost, ...]
    tax_differs: tuple[int, int] | None = None
    unsaid: bool = False

    @property
    def jobs(self) -> tuple[AssemblyCost, ...]:
        """Each of several jobs planned together as the sum of its assemblies; none where one was planned alone."""
        names = dict.fromkeys(each.list_name for each in self.assemblies)
        return tuple(map(self._job, names)) if len(names) > 1 else ()

    def _job(self, name: str) -> AssemblyCost:
        own = [each for each in self.assemblies if each.list_name == name]
        return AssemblyCost(
            assembly=name,
            list_name=name,
            made=1,
            steel=sum(each.steel for each in own),
            things=sum(each.things for each in own),
            coats=sum(each.coats for each in own),
            work=sum(each.work for each in own),
            minutes=sum(each.minutes for each in own),
            price=sum(each.price for each in own),
        )

    @property
    def steel_amount(self) -> Money:
        """All lengths bought."""
        return sum(line.amount for line in self.steel)

    @property
    def minutes(self) -> Minutes:
        """All hours."""
        return sum(line.minutes for line in self.work)

    @property
    def direct(self) -> Money:
        """Everything before overhead."""
        amounts = (line.amount for lines in (self.steel, self.things, self.coats, self.work) for line in lines)
        return (
            sum(amounts)
            + self.delivery
            + self.shortfall
            + self.merchants_cuts
            + self.offcuts_used
            - self.offcuts_kept
            + self.consumables
            + self.figures.transport
        )

    @property
    def cost(self) -> Money:
        """What the workshop spends."""
        return self.direct + self.overhead

    @property
    def price(self) -> Money:
        """What the job is sold at, without tax."""
        return self.cost + self.margin

    @property
    def to_pay(self) -> Money:
        """With tax."""
        return self.price + self.tax


def cost_of(job: Job, plan: Plan, figures: CostFigures) -> Cost:
    """What a planned job costs by a workshop's figures.

    Parameters
    ----------
    figures
        Amounts without tax. Prices of steel and things are on the tax basis of the price list, and what tax is in them
        is taken out.
    """
    totals, shop = totals_of(job, plan), job.workshop
    steel = steel_costs(job, plan, totals)
    consumables = _percent(sum(line.amount for line in steel), figures.consumables)
    priced = [line for line in job.others if line.price_each is not None]
    things = [
        ThingCost(line=line, amount=amount)
        for line, amount in zip(priced, whole_cents([_net(line.money, shop) for line in priced]), strict=True)
    ]
    surfaces = surfaces_of(job, plan)
    taken = coats_taken(surfaces, figures.coats)
    coats = [
        CoatCost(taken=each, amount=amount)
        for each, amount in zip(taken, whole_cents([each.amount for each in taken]), strict=True)
    ]
    done: list[Done] = [*tasks_of(job, plan, figures.hours), *(each for each in taken if each.minutes)]
    paid = whole_cents([Fraction(each.minutes * figures.hour_rate, HOUR) for each in done])
    work = [WorkCost(done=each, amount=amount) for each, amount in zip(done, paid, strict=True)]
    money = totals.money
    cost = Cost(
        figures=figures,
        steel=steel,
        delivery=rounded_to_cents(_net(money.delivery, shop)),
        shortfall=rounded_to_cents(_net(money.shortfall, shop)),
        merchants_cuts=rounded_to_cents(_net(money.cut_charges, shop)),
        offcuts_used=rounded_to_cents(_net(money.offcuts_used_value, shop)),
        offcuts_kept=rounded_to_cents(_net(money.offcuts_kept_value, shop)),
        things=tuple(things),
        consumables=consumables,
        coats=tuple(coats),
        work=tuple(work),
        overhead=0,
        margin=0,
        tax=0,
        missing=(*money.groups_left_out, *(line.name for line in job.others if line.price_each is None)),
        surfaces=surfaces,
        assemblies=(),
    )
    return _sold(cost, totals, job)


def sold_at(cost: Money, margin: int) -> Money:
    """The price of which a margin, in millionths, is left beside a cost: 500 for a cost of 400 and a margin of 20 %."""
    return rounded_to_cents(Fraction(cost * _WHOLE, _WHOLE - margin))


def _sold(cost: Cost, totals: Totals, job: Job) -> Cost:
    """The same with overhead, margin, tax, and shares by assembly."""
    overhead = _percent(cost.direct, cost.figures.overhead)
    price = sold_at(cost.direct + overhead, cost.figures.margin)
    sold = replace(
        cost,
        overhead=overhead,
        margin=price - cost.direct - overhead,
        tax=_percent(price, job.workshop.tax_millionths),
    )
    return replace(sold, assemblies=_by_assembly(sold, totals, list_of_assembly(job)))


def _percent(amount: Money, millionths: int) -> Money:
    return rounded_to_cents(Fraction(amount * millionths, _WHOLE))


def _net(amount: Money, shop: Workshop) -> Fraction:
    """An amount on the tax basis of the prices, without tax, exactly."""
    return (
        Fraction(amount) / (1 + Fraction(shop.tax_millionths, _WHOLE)) if shop.prices_include_tax else Fraction(amount)
    )


def steel_costs(job: Job, plan: Plan, totals: Totals) -> tuple[SteelCost, ...]:
    """Of each group that buys at known prices, without tax: what is cut up, and what is paid for what is left over."""
    bought = [
        (group, planned, section.bars_bought, section.money)
        for group, planned, section in zip(groups_of(job), plan.groups, totals.sections, strict=True)
        if section.bars_bought and section.money is not None
    ]
    amounts = whole_cents([_net(money, job.workshop) for *_, money in bought])
    found = []
    for (group, planned, lengths, _), amount in zip(bought, amounts, strict=True):
        left, cut_up = _paid_for_left_overs(group, planned)
        adds, used = shares_of(amount, [left, cut_up])
        found.append(
            SteelCost(
                title=group.title,
                designation=group.section.designation,
                lengths=lengths,
                used=used,
                whole_lengths_add=adds,
            )
        )
    return tuple(found)


def _paid_for_left_overs(group: Group, planned: GroupPlan) -> tuple[Fraction, Fraction]:
    """What the bought bars' prices are for what is left of them, kept or scrap, and for all the rest of them."""
    offers = {offer.id: offer for offer in group.offers}
    left = whole = Fraction(0)
    for bar in planned.bars:
        if bar.kind is SourceKind.BOUGHT:
            offer = offers[bar.source]
            price = offer.bar_price or 0
            whole += price if bar.buys else 0
            left += Fraction(price * bar.drop.length, offer.counted)
    return left, whole - left


def _by_assembly(cost: Cost, totals: Totals, lists: Mapping[str, str]) -> tuple[AssemblyCost, ...]:
    """Steel by its share of the lengths, things and coats by what is its own, hours by what is done to its parts; the
    rest in proportion to these.
    """
    names = [total.assembly for total in totals.assemblies]
    steel = dict(zip(names, shares_of(cost.steel_amount, [total.money for total in totals.assemblies]), strict=True))
    things = [total.others_money for total in totals.assemblies]
    of_things = dict(zip(names, shares_of(sum(line.amount for line in cost.things), things), strict=True))
    of_coats: Counter[str] = Counter()
    for coat in cost.coats:
        _share(of_coats, coat.amount, coat.taken.by_assembly)
    of_work: Counter[str] = Counter()
    minutes: Counter[str] = Counter()
    for line in cost.work:
        _share(of_work, line.amount, line.done.by_assembly)
        weights = [weight for _, weight in line.done.by_assembly]
        for (assembly, _), share in zip(line.done.by_assembly, whole_shares(line.minutes, weights), strict=True):
            minutes[assembly] += share
    own = {name: steel[name] + of_things[name] + of_coats[name] + of_work[name] for name in names}
    weights = [own[name] for name in names] if any(own.values()) else [total.part_length for total in totals.assemblies]
    rest = dict(zip(names, shares_of(cost.price - sum(own.values()), weights), strict=True))
    return tuple(
        AssemblyCost(
            assembly=total.assembly,
            list_name=lists.get(total.assembly, ""),
            made=total.made,
            steel=steel[total.assembly],
            things=of_things[total.assembly],
            coats=of_coats[total.assembly],
            work=of_work[total.assembly],
            minutes=minutes[total.assembly],
            price=own[total.assembly] + rest[total.assembly],
        )
        for total in totals.assemblies
    )


def _share(sums: Counter[str], amount: Money, weights: Sequence[tuple[str, int]]) -> None:
    """Add the shares of an amount to sums by assembly."""
    for (assembly, _), share in zip(weights, shares_of(amount, [weight for _, weight in weights]), strict=True):
        sums[assembly] += share
