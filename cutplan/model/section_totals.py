"""What the bars of one section add up to: lengths, mass and what they cost."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from cutplan.fields import COUNT, LONG_LENGTH, MASS, MONEY, RATIO, reference
from cutplan.model.groups import Group
from cutplan.model.offcut import Offcut
from cutplan.model.order_totals import line_money, offers_bought, source_of
from cutplan.model.part import Part
from cutplan.model.plan import CutBar, Fate, Goal, GroupPlan, SourceKind
from cutplan.model.stock_length import StockLength
from cutplan.sections.section import Section
from cutplan.units import Length, Mass, Money


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


def finished_mass(part: Part) -> Mass:
    """Mass of one finished piece: what is ground, squared, coped or fitted off is no part of it. [mg]

    What a part is longer by for weld shrinkage stays in it: steel that draws together weighs what it did.
    The section's mass over the length midway between the sides: exact for a
    section whose centroid lies midway across the mitre (tube, flat, square,
    round); an angle's piece is a little lighter or heavier by which leg is long.
    """
    return part.section.mass_of(part.finished_centre_line)


def _nested_value(bar: CutBar, offers: dict[str, StockLength], offcuts: dict[str, Offcut]) -> Money:
    """What it saves that parts of a bar reach into one another, at what the bar costs or is booked at."""
    bought = bar.kind is SourceKind.BOUGHT
    price = source_of(offers, bar).bar_price or 0 if bought else source_of(offcuts, bar).book_value
    return price * bar.nested // bar.length


def section_total(group: Group, planned: GroupPlan) -> SectionTotal:
    """What a planned group comes to."""
    section = group.section
    bought = offers_bought(group, planned)
    offers = {offer.id: offer for offer in group.offers}
    numbers = Counter(offer.id for offer in bought)
    offcuts = {offcut.mark: offcut for offcut in group.offcuts}
    priced = planned.goal is Goal.MONEY
    used = [source_of(offcuts, bar) for bar in planned.bars if bar.kind is SourceKind.OFFCUT]
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


def made_of(bars: Iterable[CutBar]) -> Counter[str]:
    """How many of each part are cut from some bars, spares that come free among them."""
    return Counter(cut.mark for bar in bars for cut in bar.cuts)
