"""Bars that are cut alike, shown once: what is sawn from them, part by part, and what stays.

Numbers stay numbers, as in :mod:`cutplan.reports.rows`.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

from cutplan.model import (
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
    Swings,
    Workshop,
    groups_of,
    own_name,
)
from cutplan.model.faces import is_angle, lies_half_over, slanted_face
from cutplan.reports import advice
from cutplan.reports.drawing import BarDrawing, draw, slants
from cutplan.units import Angle, Length, Mass, Printing, kerf_along, length_text, stock_text
from cutplan.words import cautions, cutting, naming, part_words


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRow:
    """One part to cut. ``running`` is the distance from START to its far end, every kerf included.

    ``length`` is as sawn, ``assembly`` as its own list names it. ``remark`` holds what else the saw has to know, blank
    when there is nothing.
    ``first_out`` names the end that leaves the saw first, ``spoiled`` what to recut the part from, ``twin`` the part
    it is easily taken for; each may be blank. ``beyond`` is what of the bar lies beyond the cut; ``note`` is that of
    the list with what is stamped; ``short`` says that the part is shorter than a vice holds.
    ``slants`` are how its ends slant in the drawing, ``/`` or ``\\``, blank where square; ``other_leg`` says that it
    is an angle whose mitres are cut in its other leg as it lies, ``on_face`` which face lies on the table for them,
    blank where that is plain; ``half_over`` that its bar lies as well with the underside up, ``shared`` that the cut
    after it is the next part's too.
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
    on_face: str
    half_over: bool
    shared: bool
    on_slant: bool
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

    ``what`` is ``section``, which holds its standard and finish, and the saw where there are several, with the
    ``grade``; ``swings`` is which way that saw does.
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
    swings: Swings
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


@dataclass(frozen=True, slots=True)
class Known:
    """What a plan names, by name; ``sections`` holds the names of sections by key, ``of_one_length`` other bars cut
    from the same length for the carry.
    """

    job: Job
    parts: dict[str, Part]
    offers: dict[str, StockLength]
    offcuts: dict[str, Offcut]
    sections: dict[str, str]
    reserved: Mapping[int, str]
    twins: dict[str, str]
    of_one_length: Mapping[int, tuple[int, ...]]

    def source(self, bar: CutBar) -> Offcut | StockLength:
        """What a bar is cut from."""
        return self.offers[bar.source] if bar.kind is SourceKind.BOUGHT else self.offcuts[bar.source]

    def name(self, source: Offcut | StockLength) -> str:
        """What a bar's section is called."""
        return self.sections[source.section.key]


def what_words(source: Offcut | StockLength, known: Known) -> str:
    return naming.section_words(known.name(source), source.section.standard, naming.source_grade(source), source.finish)


def shop_of(bar: CutBar, known: Known) -> Workshop:
    """The workshop as it is for the saw that a bar is cut on."""
    return known.job.workshop.at_saw(known.parts[bar.cuts[0].mark].saw) if bar.cuts else known.job.workshop


def ways_of(plan: Plan, known: Known) -> list[tuple[list[CutBar], advice.Spares]]:
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


def block_of(bars: list[CutBar], known: Known, spares: advice.Spares) -> Block:
    bar, shop, parts = bars[0], shop_of(bars[0], known), known.parts
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
        others = known.of_one_length.get(bar.number)
        if others:
            source_text += f", with {naming.bars_text(others)}"
    else:
        length = f"{stock_text(source.length, how)} length"
        source_text = naming.from_merchant(length, known.offers[bar.source].merchant)
    terms = shop.terms(known.offers[bar.source].merchant) if bar.piece_of else None
    ordered_as = bar.piece_of.ordered[bar.piece_of.number - 1] if bar.piece_of else source.length
    mass = cautions.bar_mass(bar, known.offers, known.offcuts)
    kerf = largest_kerf(bar, parts, shop)
    on_saw = f", on {shop.saw.name}" if shop.saws else ""
    alike = f" ({len(numbers)} cut alike)" if len(numbers) > 1 else ""
    return Block(
        bars=numbers,
        reserved=tuple(known.reserved.get(number, "") for number in numbers),
        title=f"{'Bars' if alike else 'Bar'} {naming.numbers_text(numbers)}{alike}",
        origin=bar.source,
        source=source_text,
        what=what_words(source, known) + on_saw,
        section=naming.section_words(known.name(source), source.section.standard, "", source.finish) + on_saw,
        swings=shop.saw.swings,
        grade=naming.serving_grade(source, (parts[cut.mark] for cut in bar.cuts)),
        counted="" if bar.length == ordered_as else f"counted on as {length_text(bar.length, how)}: measure it",
        trim=cutting.trim_text(bar, offcut, terms, how),
        start=cutting.start_words(bar, offcut, terms, how),
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


def _cut_row(number: int, bar: CutBar, part: Part, spoiled: str, known: Known) -> CutRow:
    cut = bar.cuts[number - 1]
    return CutRow(
        number=number,
        mark=cut.mark,
        assembly=own_name(part.assembly, part.list_name),
        length=cut.end - cut.start,
        running=cut.end,
        angle_a=cut.angle_a,
        angle_b=cut.angle_b,
        scale=cutting.scale_text((cut.angle_a, cut.angle_b), known.job.workshop.at_saw(part.saw).saw),
        parallel=part.lean is Lean.PARALLEL,
        slants=slants(cut, part),
        other_leg=is_angle(part.section) and (slanted_face(part) == 2) != (cut.rolled % 2 == 1),
        on_face="" if is_angle(part.section) else part_words.on_table(part, known.job.workshop.printing),
        half_over=lies_half_over(part.section),
        shared=cut.shared,
        on_slant=number == 1 and bar.starts_on_slant,
        short_point=part.short_point if part.mitred else None,
        held=cutting.held_text(cut.held, cut.turn),
        clamped=cut.held,
        turn=cut.turn,
        beyond=bar.length - cut.end - cut.kerf,
        remark=part_words.remark(part, known.job.workshop.printing),
        note=part_words.note_words(part),
        short=part.grip < known.job.workshop.at_saw(part.saw).saw.safe_hold,
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
