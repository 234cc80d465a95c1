"""Lengths that a merchant cuts into pieces for the carry, as the checker derives them from job and terms.

A bound sees all pieces of a length as one bar: what they are counted on for in all, less what every piece loses at its
ends, and with a kerf of the saw to spare for each piece. That holds for as few pieces as the carry allows; each piece
more takes a cut of the merchant, which is no narrower than one of the saw, and costs a charge more.

Mitred parts of all pieces, laid in one bar piece after piece, take the widest kerf between two pieces at most, and what
is shared within each stays shared; in what further ways they may share cuts there only makes the bound lower.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from cutplan.checking.fetching import may_be_fetched, one_way
from cutplan.checking.sources import (
    InPieces,
    Source,
    at_mm,
    at_saw_of,
    mill_end_trim,
    offcut_source,
    offer_source,
    squaring_trim,
    work_on,
)
from cutplan.model import (
    CutBar,
    EndState,
    Goal,
    Group,
    Job,
    Multiplier,
    PieceOf,
    Saw,
    SourceKind,
    StockLength,
    within_carry,
)
from cutplan.units import Length, Money, kerf_along


@dataclass(frozen=True, slots=True, kw_only=True)
class _Terms:
    """What cuts for the carry take off a length, and how long its pieces may be. [nm]"""

    most: Length
    width: Length
    short: Length
    mill: Length
    new: Length
    new_end: EndState
    charge: Money

    def ends(self, pieces: int, number: int) -> tuple[Length, Length]:
        """What a piece loses at its two ends, the less first."""
        first, last = (self.mill if at_end else self.new for at_end in (number == 1, number == pieces))
        return min(first, last), max(first, last)


def _terms(job: Job, group: Group, offer: StockLength) -> _Terms | None:
    shop = at_saw_of(job, group).workshop
    merchant, saw = shop.merchant(offer.merchant), shop.saw
    if not (merchant.cuts_to_carry and may_be_fetched(job, offer.merchant)):
        return None
    if within_carry(offer, shop):
        return None
    return _Terms(
        # The piece that is left over from the last cut may come longer, as the whole length may.
        most=max(shop.longest_carry, shop.longest_flagged) - offer.length + offer.counted,
        width=max(merchant.carry_kerf, _widest(group, saw)),
        short=merchant.carry_tolerance,
        mill=mill_end_trim(saw),
        new=squaring_trim(saw) if merchant.carry_cuts_squared else 0,
        new_end=EndState.MILL if merchant.carry_cuts_squared else EndState.SAWN,
        charge=merchant.carry_cut_charge,
    )


def _widest(group: Group, saw: Saw) -> Length:
    """The widest kerf of any cut on parts of the group, along the bar. [nm]"""
    return max(kerf_along(saw.kerf, end.angle) for part in group.parts for end in (part.end_a, part.end_b))


def can_be_had(job: Job, group: Group, offer: StockLength) -> bool:
    """Can a length be brought home for the parts of a group: whole, or cut for the carry?"""
    if within_carry(offer, job.workshop):
        return True
    terms = _terms(job, group, offer)
    return terms is not None and terms.most > terms.short + 2 * max(terms.mill, terms.new)


def better_cut(job: Job, group: Group, fetched: Collection[str]) -> bool:
    """Can a length from those ``fetched`` hold more than whole, or be sawn for less, where it is cut for the carry?

    A piece that is trimmed at its new end takes a stroke and loses as much as a mill end does. One that is not may be
    just as long as its part, without a stroke and with nothing to hold.
    """
    if not any(offer.merchant in fetched for offer in group.offers):
        return False
    settled = at_saw_of(one_way(job, fetched), group)
    valued = settled.workshop.offcut_value(group.section.family)
    for offer in group.offers:
        terms = _terms(settled, group, offer) if offer.merchant in fetched else None
        if terms is None:
            continue
        if valued or work_on(job, offer.merchant, Goal.MONEY).per_cut:
            return True
        if terms.new == 0 and (terms.mill or settled.workshop.saw.safe_hold):
            return True
    return False


def bounded_source(job: Job, group: Group, offer: StockLength, goal: Goal, at: Sequence[Multiplier]) -> Source:
    """A stock length as a bound sees it: whole, or all of its pieces as one bar."""
    whole = offer_source(job, offer, goal, at)
    terms = _terms(job, group, offer)
    if terms is None or not can_be_had(job, group, offer):
        return whole
    pieces = 2
    while pieces * terms.most + (pieces - 1) * terms.width < offer.counted:
        pieces += 1
    ends = [terms.ends(pieces, number) for number in range(1, pieces + 1)]
    starts, fars = [start for start, _ in ends], [far for _, far in ends]
    length = offer.counted - (pieces - 1) * terms.width - pieces * terms.short
    kerf = _widest(group, at_saw_of(job, group).workshop.saw)
    # Where a piece is left whole it is not trimmed; then the parts are on fewer, each as long as can be carried.
    piece_room = terms.most - terms.short - min(map(sum, ends))
    trims = sum(starts) + sum(fars)
    all_cut, one_whole = length - trims, (pieces - 1) * piece_room
    as_one = max(all_cut + (pieces - 1) * kerf, one_whole + (pieces - 2) * kerf)
    ways = [InPieces(pieces, all_cut, one_whole, as_one, 0)]
    # Where START of a piece may be used as it is, no squaring is counted on; where an end may be flush, no strokes.
    squared = min(starts) > 0
    charge = terms.charge if goal is Goal.MONEY else 0
    for number in (pieces + 1, pieces + 2):
        lost = sum(sum(terms.ends(number, place)) for place in range(1, number + 1))
        room = offer.counted - (number - 1) * terms.width - number * terms.short - lost
        ways.append(InPieces(number, room, 0, room + (number - 1) * kerf, (number - pieces) * charge))
    # Any length may be cut into a piece more, which has new ends alone.
    per_cut = whole.per_cut if min(*fars, terms.new) else 0
    left_whole = sum(starts) - min(starts) if whole.rate and squared else 0
    more_left = pieces * max(0, kerf - min(fars)) + left_whole
    mitred = any(part.mitred for part in group.parts)
    return replace(
        whole,
        length=as_one - (pieces - 1) * kerf + trims,
        start_trim=sum(starts) if squared else 0,
        far_trim=sum(fars) if squared else trims,
        price=whole.price + (pieces - 1) * charge,
        per_cut=per_cut,
        pieces=pieces,
        more_room=(pieces - 1) * kerf,
        more_left=more_left + (pieces - 1) * kerf if mitred else more_left,
        steps=(charge, whole.per_cut),
        piece_room=piece_room,
        # Of mitred parts each piece takes strokes of its own, which no sum over pieces counts.
        ways=() if mitred and per_cut else tuple(ways),
    )


def sources_of(
    job: Job, group: Group, goal: Goal, multipliers: Sequence[Multiplier] = ()
) -> dict[tuple[SourceKind, str], Source]:
    """Every source of a group as a bound sees it, offers then offcuts; both may bear the same name."""
    found = [bounded_source(job, group, offer, goal, multipliers) for offer in group.offers]
    found += [offcut_source(job, offcut, goal) for offcut in group.offcuts]
    return {(source.kind, source.name): source for source in found}


def bar_source(job: Job, group: Group, goal: Goal, bar: CutBar) -> tuple[Source | None, Sequence[str]]:
    """What a bar is cut from, None where it is nothing of the group; and what is wrong with the cuts for the carry."""
    if bar.kind is SourceKind.OFFCUT:
        offcut = next((offcut for offcut in group.offcuts if offcut.mark == bar.source), None)
        wrong = [": is a piece of an offcut, which no merchant cuts"] if bar.piece_of else []
        return None if offcut is None else offcut_source(job, offcut, goal), wrong
    offer = next((offer for offer in group.offers if offer.id == bar.source), None)
    if offer is None or bar.piece_of is None:
        return None if offer is None else offer_source(job, offer, goal), []
    return piece_source(job, group, offer, goal, bar.piece_of)


def piece_source(
    job: Job, group: Group, offer: StockLength, goal: Goal, piece: PieceOf
) -> tuple[Source, Sequence[str]]:
    """A piece of a length as a bar of its own, and what is wrong with how its length is cut."""
    whole = offer_source(job, offer, goal)
    terms = _terms(job, group, offer)
    if terms is None:
        return whole, [f": {offer.id} is not cut for the carry"]
    pieces, number = len(piece.ordered), piece.number
    failures = []
    for length in piece.ordered:
        if length > terms.most:
            failures.append(f": a piece of {at_mm(length)} is longer than can be carried, {at_mm(terms.most)} at most")
    total = sum(piece.ordered) + (pieces - 1) * terms.width
    if total != offer.counted:
        failures.append(
            f": the pieces of {offer.id} and the cuts between them come to {at_mm(total)}, "
            f"it is counted on for {at_mm(offer.counted)}"
        )
    start, far = terms.ends(pieces, number)
    charge = terms.charge if goal is Goal.MONEY else 0
    return replace(
        whole,
        length=piece.ordered[number - 1] - terms.short,
        start_trim=start,
        far_trim=far,
        far_end=EndState.MILL if number in (1, pieces) else terms.new_end,
        price=whole.price + (pieces - 1) * charge if number == 1 else 0,
        carried=True,
    ), failures


def whole_faults(bar: CutBar) -> list[str]:
    """What is wrong with a piece from which nothing is cut, its left over aside."""
    if bar.slack == bar.length:
        return []
    return [f": has a slack of {at_mm(bar.slack)} stated, nothing is cut from its {at_mm(bar.length)}"]


def piece_failures(bars: Sequence[CutBar]) -> list[str]:
    """Of lengths cut alike every piece is there as often as every other."""
    found: dict[tuple[str, tuple[Length, ...]], Counter[int]] = {}
    for bar in bars:
        if bar.piece_of is not None and bar.kind is SourceKind.BOUGHT:
            found.setdefault((bar.source, bar.piece_of.ordered), Counter())[bar.piece_of.number] += 1
    return [
        f"of {name}, cut into {' + '.join(map(at_mm, ordered))}, piece 1 is there {counts[1]} times and "
        f"piece {number} {counts[number]} times"
        for (name, ordered), counts in found.items()
        for number in range(2, len(ordered) + 1)
        if counts[number] != counts[1]
    ]
