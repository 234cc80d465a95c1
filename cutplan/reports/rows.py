"""Plain rows from a Job and its Plan: everything the sheets and the terminal show, worked out once.

Numbers stay numbers (lengths in nm, mass in mg, money in millionths of the
currency, angles in millionths of a degree); what is worded is worded in
:mod:`cutplan.words`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from cutplan.model import Assumption, CutBar, Fate, Job, Offcut, Plan, SourceKind, Workshop, as_brought
from cutplan.model.carrying import of_one_length
from cutplan.model.last_answer import kept_last
from cutplan.model.order_totals import OrderLine
from cutplan.model.totals import Totals, totals_of
from cutplan.reports import advice, extent
from cutplan.reports.cards import CardRow, card_rows
from cutplan.reports.cut_blocks import Block, Known, block_of, ways_of, what_words
from cutplan.reports.other_rows import OtherRow, other_row
from cutplan.reports.own_rows import OwnRows, SharedBars, own_rows, shared_bars
from cutplan.reports.part_rows import PartRow, frames_of, part_row
from cutplan.units import Length, Mass, Money
from cutplan.words import cautions, cutting, naming, proving
from cutplan.words.buying_words import cut_to_carry_text, not_counted


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRow:
    """One order line: what to ask the merchant for, how it is ``cut`` to be carried or blank, and what it comes to."""

    text: str
    cut: str
    line: OrderLine
    price_typed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FetchRow:
    """One offcut or length to take off the rack. ``grade`` is in words, as is ``slanted``, blank where both ends are
    square.
    """

    mark: str
    section: str
    standard: str
    grade: str
    finish: str
    length: Length
    slanted: str
    place: str
    heat_number: str
    mass: Mass
    bar: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordRow:
    """One bar of the cut record: its number, what it is cut from in words, and what is cut."""

    bar: int
    origin: str
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PutAwayRow:
    """One left over that goes on the rack. A heat number that only the bar bought can tell is left blank.

    ``grade`` is in words, as is ``slanted``, blank where its near end is square; ``mark`` is the one reserved for it,
    or blank.
    """

    bar: int
    mark: str
    section: str
    standard: str
    grade: str
    finish: str
    length: Length
    slanted: str
    far_end: str
    heat_number: str
    mass: Mass
    value: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """Every row and sentence of a plan, in the order of the day.

    ``orders`` run beside ``totals.orders``, and ``groups``, which are names, beside ``totals.sections``;
    ``frames`` has the diagonals to check by, by assembly; ``left_out`` names the groups that are bought and that the
    money leaves out, ``not_counted`` is what is charged for their orders, ``steel_priced`` is whether others are
    bought, ``beyond`` says what the files leave out. ``ways`` is in how many ways bars are cut,
    shown in ``blocks`` or not. ``jobs`` are those of a plan of several,
    each with what is its own, and ``shared`` the bars cut for more than one.
    """

    job_name: str
    workshop: Workshop
    totals: Totals
    orders: tuple[tuple[OrderRow, ...], ...]
    others: tuple[OtherRow, ...]
    fetch: tuple[FetchRow, ...]
    blocks: tuple[Block, ...]
    ways: int
    record: tuple[RecordRow, ...]
    cards: tuple[CardRow, ...]
    put_away: tuple[PutAwayRow, ...]
    parts: tuple[PartRow, ...]
    jobs: tuple[OwnRows, ...]
    shared: tuple[SharedBars, ...]
    frames: Mapping[str, tuple[str, ...]]
    groups: tuple[str, ...]
    left_out: tuple[str, ...]
    not_counted: tuple[str, ...]
    steel_priced: bool
    proof: tuple[str, ...]
    spares: tuple[str, ...]
    forgone: tuple[str, ...]
    beyond: tuple[str, ...]
    assumptions: tuple[Assumption, ...]
    warnings: tuple[str, ...]
    silenced: int
    cautions: tuple[str, ...]

    @property
    def money_known(self) -> bool:
        """False when something is bought and nothing of it has a price."""
        if not self.orders and not self.others:
            return True
        return self.steel_priced or any(row.line.price_each is not None for row in self.others)


@kept_last
def rows_of(job: Job, plan: Plan, first: int = 1) -> Rows:
    """Every row of a plan that answers the job.

    Parameters
    ----------
    first
        The way to cut a bar that the blocks begin with, counted from 1; there are at most
        :data:`~cutplan.reports.extent.MOST_WAYS` blocks.
    """
    totals = totals_of(job, plan)
    job = as_brought(job, plan)
    known = Known(
        job,
        {part.mark: part for part in job.parts},
        {offer.id: offer for offer in job.offers},
        {offcut.mark: offcut for offcut in job.offcuts},
        naming.section_names(job),
        {bar.number: bar.drop.mark for bar in plan.bars},
        advice.near_twins(job),
        of_one_length(job, plan),
    )
    groups = naming.group_names(job)
    bought = [group.title for group in plan.groups if any(bar.buys for bar in group.bars)]
    left_out = [title for title in bought if title in totals.money.groups_left_out]
    ways = ways_of(plan, known)
    return Rows(
        job_name=job.name,
        workshop=job.workshop,
        totals=totals,
        orders=tuple(tuple(_order_row(line, known) for line in order.lines) for order in totals.orders),
        others=tuple(other_row(line) for line in job.others),
        fetch=tuple(_fetch_row(known.offcuts[b.source], b, known) for b in plan.bars if b.kind is SourceKind.OFFCUT),
        blocks=tuple(block_of(bars, known, spares) for bars, spares in ways[first - 1 : first - 1 + extent.MOST_WAYS]),
        ways=len(ways),
        record=_record(plan, known),
        cards=card_rows(job),
        put_away=tuple(_put_away_row(bar, known) for bar in plan.bars if bar.drop.fate is Fate.KEEP),
        parts=tuple(
            part_row(part, job.workshop.printing, known.sections[part.section.key], first=job.earlier is None)
            for part in job.parts
        ),
        jobs=own_rows(job, plan, totals),
        shared=shared_bars(job, plan),
        frames=frames_of(job.parts, job.workshop.printing),
        groups=tuple(groups.values()),
        left_out=tuple(groups[title] for title in left_out),
        not_counted=not_counted(totals.orders, job.workshop),
        steel_priced=len(left_out) < len(bought),
        proof=proving.proof_lines(job, plan),
        spares=proving.spare_lines(job, plan),
        forgone=proving.forgone_lines(job, plan),
        beyond=extent.beyond(plan, len(ways)),
        assumptions=job.assumptions,
        warnings=tuple(" ".join(str(warning).splitlines()) for warning in job.warnings),
        silenced=job.silenced,
        cautions=cautions.cautions(job, plan),
    )


def _order_row(line: OrderLine, known: Known) -> OrderRow:
    offer = known.offers[line.offer]
    return OrderRow(
        text=naming.order_text(offer, line.count, known.job.workshop.printing, known.name(offer)),
        cut=cut_to_carry_text(line, known.job.workshop.printing),
        line=line,
        price_typed=f"{offer.typed_price} {offer.basis.value}" if offer.typed_price else "no price",
    )


def _fetch_row(offcut: Offcut, bar: CutBar, known: Known) -> FetchRow:
    return FetchRow(
        mark=offcut.mark,
        section=known.name(offcut),
        standard=offcut.section.standard,
        grade=naming.source_grade(offcut),
        finish=offcut.finish,
        length=offcut.length,
        slanted=cutting.slanted_offcut(offcut, known.job.workshop.printing, begun=bar.starts_on_slant),
        place=offcut.place,
        heat_number=offcut.heat_number,
        mass=offcut.section.mass_of(offcut.length),
        bar=bar.number,
    )


def _put_away_row(bar: CutBar, known: Known) -> PutAwayRow:
    bought = bar.kind is SourceKind.BOUGHT
    source = known.source(bar)
    return PutAwayRow(
        bar=bar.number,
        mark=known.reserved.get(bar.number, ""),
        section=known.name(source),
        standard=source.section.standard,
        grade=naming.source_grade(source),
        finish=source.finish,
        length=bar.drop.length,
        slanted=cutting.slanted_left_over(bar, known.parts, known.job.workshop.printing),
        far_end=bar.drop.far_end.value,
        heat_number="" if bought else known.offcuts[bar.source].heat_number,
        mass=source.section.mass_of(bar.drop.length),
        value=bar.drop.value,
    )


def _record(plan: Plan, known: Known) -> tuple[RecordRow, ...]:
    """A row for each bar; none at all where they are too many, because a record that lacks a bar is refused."""
    if sum(len(group.bars) for group in plan.groups) > extent.MOST_RECORDED:
        return ()
    origins = naming.source_names(known.job)
    return tuple(
        RecordRow(
            bar=bar.number,
            origin=naming.bar_source(bar, origins, known.job.workshop.printing),
            what=what_words(known.source(bar), known),
        )
        for bar in plan.bars
    )
