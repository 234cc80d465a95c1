"""Plain rows from a Job and its Plan: everything the sheets and the terminal show, worked out once.

Numbers stay numbers (lengths in nm, mass in mg, money in millionths of the
currency, angles in millionths of a degree); what is worded is worded in
:mod:`cutplan.words`.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

from cutplan.model import (
    Assumption,
    CutBar,
    Fate,
    Held,
    Job,
    Lean,
    Offcut,
    Part,
    Plan,
    SourceKind,
    StockLength,
    Workshop,
    groups_of,
)
from cutplan.model.last_answer import kept_last
from cutplan.model.order_totals import OrderLine
from cutplan.model.section_totals import finished_mass
from cutplan.model.totals import Totals, totals_of
from cutplan.reports import advice, extent
from cutplan.reports.cards import CardRow, card_rows
from cutplan.reports.diagonals import frame_words
from cutplan.reports.drawing import BarDrawing, draw, slants
from cutplan.reports.other_rows import OtherRow, other_row
from cutplan.units import Angle, Length, Mass, Money, Printing, kerf_along, length_text, stock_text
from cutplan.words import cautions, cutting, naming, part_words, proving
from cutplan.words.buying_words import cut_to_carry_text


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
class CutRow:
    """One part to cut. ``running`` is the distance from START to its far end, every kerf included.

    ``length`` is as sawn. ``remark`` holds what else the saw has to know, blank when there is nothing.
    ``first_out`` names the end that leaves the saw first, ``spoiled`` what to recut the part from, ``twin`` the part
    it is easily taken for; each may be blank. ``beyond`` is what of the bar lies beyond the cut; ``note`` is that of
    the list with what is stamped; ``short`` says that the part is shorter than a vice holds.
    ``slants`` are how its ends slant in the drawing, ``/`` or ``\\``, blank where square; ``other_leg`` says that it
    is an angle whose mitres are those of its other leg, ``shared`` that the cut after it is the next part's too.
    """

    number: int
    mark: str
    assembly: str
    length: Length
    running: Length
    angle_a: Angle
    angle_b: Angle
    scale: str
    parallel: bool
    slants: tuple[str, str]
    other_leg: bool
    shared: bool
    short_point: Length | None
    held: str
    clamped: Held
    turn: bool
    beyond: Length
    remark: str
    note: str
    short: bool
    first_out: str
    spoiled: str
    twin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """All bars that are cut alike, shown once. ``play`` words the slack and the largest kerf.

    ``what`` is ``section``, which holds its standard and finish, with the ``grade``.
    ``start`` says in a few words what ``trim`` says in a sentence; ``largest_kerf`` is None where any kerf works.
    ``origin`` is the offer or offcut by its id, ``source`` the same in words.
    ``reserved`` are the marks promised to the left overs, bar by bar; blank where none is. ``unknown_grade`` is true
    of an offcut whose grade nobody knows.
    """

    bars: tuple[int, ...]
    reserved: tuple[str, ...]
    title: str
    origin: str
    source: str
    what: str
    section: str
    grade: str
    counted: str
    trim: str
    start: str
    cuts: tuple[CutRow, ...]
    play: str
    slack: Length
    largest_kerf: Length | None
    left_over: str
    left: Length
    fate: Fate
    mass: Mass
    heavy: bool
    zinc: bool
    unknown_grade: bool
    drawing: BarDrawing


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
class PartRow:
    """One line of the parts list as it was understood, beside what was typed. ``grade`` is in words.

    ``length`` is as sawn; ``finished`` is None where that is the finished length. ``each`` is the quantity in one
    assembly, None where one is made. ``sawn`` says where that is longer than finished,
    and when it is cut; ``ends`` words how mitres lean and lie; ``allowances``, ``cope`` and ``hand`` are
    blank where there is nothing to say.
    """

    mark: str
    quantity: int
    each: int | None
    spares: str
    section: str
    typed_section: str
    standard: str
    grade: str
    finish: str
    length: Length
    typed_length: str
    length_meant: str
    short_point: Length | None
    angle_a: Angle
    angle_b: Angle
    finished: Length | None
    allowances: str
    sawn: tuple[str, ...]
    ends: str
    cope: str
    hand: str
    assembly: str
    mass_each: Mass
    mass: Mass
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """Every row and sentence of a plan, in the order of the day.

    ``orders`` run beside ``totals.orders``, and ``groups``, which are names, beside ``totals.sections``;
    ``frames`` has the diagonals to check by, by assembly; ``left_out`` names the groups that the money leaves out,
    ``beyond`` says what the files leave out. ``ways`` is in how many ways bars are cut, shown in ``blocks`` or not.
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
    frames: Mapping[str, tuple[str, ...]]
    groups: tuple[str, ...]
    left_out: tuple[str, ...]
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
        of_steel = bool(self.orders) and len(self.left_out) < len(self.groups)
        return of_steel or any(row.line.price_each is not None for row in self.others)


@dataclass(frozen=True, slots=True)
class _Known:
    """What a plan names, by name; ``sections`` holds the names of sections by key."""

    job: Job
    parts: dict[str, Part]
    offers: dict[str, StockLength]
    offcuts: dict[str, Offcut]
    sections: dict[str, str]
    reserved: Mapping[int, str]
    twins: dict[str, str]

    def source(self, bar: CutBar) -> Offcut | StockLength:
        """What a bar is cut from."""
        return self.offers[bar.source] if bar.kind is SourceKind.BOUGHT else self.offcuts[bar.source]

    def name(self, source: Offcut | StockLength) -> str:
        """What a bar's section is called."""
        return self.sections[source.section.key]


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
    known = _Known(
        job,
        {part.mark: part for part in job.parts},
        {offer.id: offer for offer in job.offers},
        {offcut.mark: offcut for offcut in job.offcuts},
        naming.section_names(job),
        {bar.number: bar.drop.mark for bar in plan.bars},
        advice.near_twins(job),
    )
    groups = naming.group_names(job)
    ways = _ways(plan, known)
    return Rows(
        job_name=job.name,
        workshop=job.workshop,
        totals=totals,
        orders=tuple(tuple(_order_row(line, known) for line in order.lines) for order in totals.orders),
        others=tuple(other_row(line) for line in job.others),
        fetch=tuple(_fetch_row(known.offcuts[b.source], b, known) for b in plan.bars if b.kind is SourceKind.OFFCUT),
        blocks=tuple(_block(bars, known, spares) for bars, spares in ways[first - 1 : first - 1 + extent.MOST_WAYS]),
        ways=len(ways),
        record=_record(plan, known),
        cards=card_rows(job),
        put_away=tuple(_put_away_row(bar, known) for bar in plan.bars if bar.drop.fate is Fate.KEEP),
        parts=tuple(_part_row(part, job.workshop.printing, known.sections[part.section.key]) for part in job.parts),
        frames=_frames(job),
        groups=tuple(groups.values()),
        left_out=tuple(groups[title] for title in totals.money.groups_left_out),
        proof=proving.proof_lines(job, plan),
        spares=proving.spare_lines(job, plan),
        forgone=proving.forgone_lines(job, plan),
        beyond=extent.beyond(plan, len(ways)),
        assumptions=job.assumptions,
        warnings=tuple(" ".join(str(warning).splitlines()) for warning in job.warnings),
        silenced=job.silenced,
        cautions=cautions.cautions(job, plan),
    )


def _frames(job: Job) -> dict[str, tuple[str, ...]]:
    by_assembly: dict[str, list[Part]] = {}
    for part in job.parts:
        by_assembly.setdefault(part.assembly, []).append(part)
    return {name: tuple(frame_words(parts, job.workshop.printing)) for name, parts in by_assembly.items()}


def _order_row(line: OrderLine, known: _Known) -> OrderRow:
    offer = known.offers[line.offer]
    return OrderRow(
        text=naming.order_text(offer, line.count, known.job.workshop.printing, known.name(offer)),
        cut=cut_to_carry_text(line, known.job.workshop.printing),
        line=line,
        price_typed=f"{offer.typed_price} {offer.basis.value}" if offer.typed_price else "no price",
    )


def _fetch_row(offcut: Offcut, bar: CutBar, known: _Known) -> FetchRow:
    return FetchRow(
        mark=offcut.mark,
        section=known.name(offcut),
        standard=offcut.section.standard,
        grade=naming.source_grade(offcut),
        finish=offcut.finish,
        length=offcut.length,
        slanted=cutting.slanted_offcut(offcut, known.job.workshop.printing),
        place=offcut.place,
        heat_number=offcut.heat_number,
        mass=offcut.section.mass_of(offcut.length),
        bar=bar.number,
    )


def _put_away_row(bar: CutBar, known: _Known) -> PutAwayRow:
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


def _part_row(part: Part, how: Printing, section: str) -> PartRow:
    mass = finished_mass(part)
    return PartRow(
        mark=part.mark,
        quantity=part.quantity,
        each=(part.quantity - part.spares_bought) // part.assemblies if part.assemblies > 1 else None,
        spares=proving.spares_text(part),
        section=section,
        typed_section=part.typed_section,
        standard=part.section.standard,
        grade=naming.grade_text(part.grade, "any grade"),
        finish=part.finish,
        length=part.length,
        typed_length=part.typed_length,
        length_meant=part.length_meant.value if part.mitred else "",
        short_point=part.short_point if part.mitred else None,
        angle_a=part.end_a.angle,
        angle_b=part.end_b.angle,
        finished=part.finished if part.allowances else None,
        allowances=part_words.allowance_words(part, how),
        sawn=part_words.sawn_words(part, how),
        ends="; ".join(part_words.ends_words(part, how)),
        cope=part.cope,
        hand="opposite" if part.opposite_hand else "",
        assembly=part.assembly,
        mass_each=mass,
        mass=mass * part.quantity,
        note=part_words.note_words(part),
    )


def _record(plan: Plan, known: _Known) -> tuple[RecordRow, ...]:
    """A row for each bar; none at all where they are too many, because a record that lacks a bar is refused."""
    if sum(len(group.bars) for group in plan.groups) > extent.MOST_RECORDED:
        return ()
    origins = naming.source_names(known.job)
    return tuple(
        RecordRow(bar=bar.number, origin=origins[bar.kind, bar.source], what=_section_words(known.source(bar), known))
        for bar in plan.bars
    )


def _section_words(source: Offcut | StockLength, known: _Known) -> str:
    return naming.section_words(known.name(source), source.section.standard, naming.source_grade(source), source.finish)


def _ways(plan: Plan, known: _Known) -> list[tuple[list[CutBar], advice.Spares]]:
    """Bars cut alike one after another, in the order of the plan, and where their parts could be cut again."""
    taken = frozenset(bar.source for bar in plan.bars if bar.kind is SourceKind.OFFCUT)
    ways: list[tuple[list[CutBar], advice.Spares]] = []
    for group, planned in zip(groups_of(known.job), plan.groups, strict=True):
        alike = [list(bars) for _, bars in groupby(planned.bars, key=_pattern)]
        spares = advice.spares_of(known.job, group, [bars[0] for bars in alike], taken)
        ways += [(bars, spares) for bars in alike]
    return ways


def _pattern(bar: CutBar) -> object:
    """What two bars share when one sheet serves both: everything but their numbers and the copies."""
    cuts = tuple(replace(cut, copy=1) for cut in bar.cuts)
    return (
        bar.kind,
        bar.source,
        bar.piece_of,
        bar.length,
        bar.start_trim,
        bar.far_trim,
        cuts,
        replace(bar.drop, mark=""),
    )


def _block(bars: list[CutBar], known: _Known, spares: advice.Spares) -> Block:
    bar, shop, parts = bars[0], known.job.workshop, known.parts
    how = shop.printing
    numbers = tuple(sorted(each.number for each in bars))
    offcut = known.offcuts[bar.source] if bar.kind is SourceKind.OFFCUT else None
    source = known.source(bar)
    if offcut is not None:
        place = f", place: {offcut.place}" if offcut.place else ""
        slanted = cutting.slanted_offcut(offcut, how)
        ends = f", {slanted}" if slanted else ""
        source_text = f"{naming.piece_word(offcut)} {offcut.mark}, {length_text(offcut.length, how)}{ends}{place}"
    elif bar.piece_of is not None:
        piece, pieces = bar.piece_of.number, len(bar.piece_of.ordered)
        ordered = length_text(bar.piece_of.ordered[piece - 1], how)
        length = f"piece {piece} of {pieces}, {ordered} as ordered, of a length of {stock_text(source.length, how)}"
        source_text = naming.from_merchant(length, known.offers[bar.source].merchant)
    else:
        length = f"{stock_text(source.length, how)} length"
        source_text = naming.from_merchant(length, known.offers[bar.source].merchant)
    ordered_as = bar.piece_of.ordered[bar.piece_of.number - 1] if bar.piece_of else source.length
    mass = cautions.bar_mass(bar, known.offers, known.offcuts)
    kerf = largest_kerf(bar, parts, shop)
    alike = f" ({len(numbers)} cut alike)" if len(numbers) > 1 else ""
    return Block(
        bars=numbers,
        reserved=tuple(known.reserved.get(number, "") for number in numbers),
        title=f"{'Bars' if alike else 'Bar'} {naming.numbers_text(numbers)}{alike}",
        origin=bar.source,
        source=source_text,
        what=_section_words(source, known),
        section=naming.section_words(known.name(source), source.section.standard, "", source.finish),
        grade=naming.source_grade(source),
        counted="" if bar.length == ordered_as else f"counted on as {length_text(bar.length, how)}: measure it",
        trim=cutting.trim_text(bar, offcut, how),
        start=cutting.start_words(bar, offcut, how),
        cuts=tuple(
            _cut_row(number, bar, parts[cut.mark], spares.words(bar, parts[cut.mark]), known)
            for number, cut in enumerate(bar.cuts, 1)
        ),
        play=cutting.play_text(bar.slack, kerf, how),
        slack=bar.slack,
        largest_kerf=kerf,
        left_over=_left_over(bar, parts, how),
        left=bar.drop.length,
        fate=bar.drop.fate,
        mass=mass,
        heavy=mass > shop.heavy,
        zinc=cautions.is_zinc(source.finish),
        unknown_grade=offcut is not None and not offcut.grade,
        drawing=draw(bar, parts, how, shop.saw.safe_hold),
    )


def _left_over(bar: CutBar, parts: dict[str, Part], how: Printing) -> str:
    told = cutting.left_over_text(bar.drop, how)
    slanted = cutting.slanted_left_over(bar, parts, how) if bar.drop.fate is Fate.KEEP else ""
    return f"{told}, {slanted}" if slanted else told


def _cut_row(number: int, bar: CutBar, part: Part, spoiled: str, known: _Known) -> CutRow:
    cut = bar.cuts[number - 1]
    return CutRow(
        number=number,
        mark=cut.mark,
        assembly=part.assembly,
        length=cut.end - cut.start,
        running=cut.end,
        angle_a=cut.angle_a,
        angle_b=cut.angle_b,
        scale=cutting.scale_text((cut.angle_a, cut.angle_b), known.job.workshop.saw),
        parallel=part.lean is Lean.PARALLEL,
        slants=slants(cut, part),
        other_leg=cut.rolled % 2 == 1,
        shared=cut.shared,
        short_point=part.short_point if part.mitred else None,
        held=cutting.held_text(cut.held, cut.turn),
        clamped=cut.held,
        turn=cut.turn,
        beyond=bar.length - cut.end - cut.kerf,
        remark=part_words.remark(part, known.job.workshop.printing),
        note=part_words.note_words(part),
        short=part.grip < known.job.workshop.saw.safe_hold,
        first_out=advice.first_out(cut.angle_a, cut.angle_b, part),
        spoiled=spoiled,
        twin=known.twins.get(cut.mark, ""),
    )


def largest_kerf(bar: CutBar, parts: dict[str, Part], shop: Workshop) -> Length | None:
    """The largest kerf with which the parts of a bar still fit it as they are laid.

    Between two parts lies the kerf of the steeper end, rounded as it is in every plan; the one after the last part may
    fall beyond the bar. A squaring cut that comes on top of the end trim grows with the kerf; one that is part of it
    may not outgrow the trim.

    Returns
    -------
    Length or None
        None when the kerf plays no part: one part, and nothing to square, or nothing to cut. [nm]
    """
    if not bar.cuts:
        return None
    saw = shop.saw
    steepest = [max(cut.angle_b, after.angle_a) for cut, after in pairwise(bar.cuts)]
    on_top = 0 if saw.end_trim_includes_cut else (bar.start_trim > 0) + (bar.far_trim > 0)
    lengths = sum(cut.end - cut.start for cut in bar.cuts) - bar.nested
    room = bar.length - bar.start_trim - bar.far_trim + on_top * saw.kerf - lengths
    limits = []
    if steepest or on_top:
        # The last of the kerfs that fit is found by halving: none takes less than a thinner one.
        kerfs = range(room + 1)
        limits.append(bisect_right(kerfs, room, key=lambda kerf: _taken(kerf, steepest) + on_top * kerf) - 1)
    if bar.start_trim and saw.end_trim_includes_cut:
        limits.append(saw.end_trim)
    return min(limits, default=None)


def _taken(kerf: Length, steepest: Sequence[Angle]) -> Length:
    return sum(kerf_along(kerf, angle) for angle in steepest)
