"""A length that is too long to carry, cut by its merchant into pieces that are not."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace

from cutplan.model.groups import groups_of, within_carry
from cutplan.model.job import Job
from cutplan.model.merchant import Brought, Merchant
from cutplan.model.offcut import EndState
from cutplan.model.part import Part
from cutplan.model.plan import PieceOf, Plan
from cutplan.model.saw import Saw
from cutplan.model.stock_length import StockLength
from cutplan.model.workshop import Workshop
from cutplan.units import Length, Money, ceil_div, kerf_along


@dataclass(frozen=True, slots=True, kw_only=True)
class Carrying:
    """How a length is cut for the carry. Lengths in nm.

    Parameters
    ----------
    counted
        What the whole length is counted on for.
    longest
        The most that one piece may be ordered by.
    kerf
        What one cut takes: no less than the widest cut of the workshop's own on these parts, along the bar, so that no
        cut ever makes room.
    tolerance
        By how much each piece may come short.
    mill_trim, new_trim
        What a mill end loses before use, and an end that such a cut has left.
    new_end
        How such an end is taken to be.
    step
        Pieces are ordered by whole steps where that can be.
    charge
        For one cut. [millionths of the currency]
    """

    counted: Length
    longest: Length
    kerf: Length
    tolerance: Length
    mill_trim: Length
    new_trim: Length
    new_end: EndState
    step: Length
    charge: Money

    @property
    def least(self) -> int:
        """The fewest pieces, each within the carry, that the length can be cut into."""
        return ceil_div(self.counted + self.kerf, self.longest + self.kerf)

    def ordered(self, pieces: int) -> Length:
        """What so many pieces are ordered by in all. [nm]"""
        return self.counted - (pieces - 1) * self.kerf

    def trims(self, pieces: int, number: int) -> tuple[Length, Length]:
        """What one of so many pieces, by its number from 1, loses at START and at its far end. [nm]

        START is the end that loses less.
        """
        ends = [self.mill_trim if outer else self.new_trim for outer in (number == 1, number == pieces)]
        return min(ends), max(ends)

    def all_trims(self, pieces: int) -> tuple[Length, Length]:
        """What so many pieces lose in all, at START and at their far ends. [nm]"""
        starts, fars = zip(*(self.trims(pieces, number) for number in range(1, pieces + 1)), strict=True)
        return sum(starts), sum(fars)

    def as_one(self, kerf: Length) -> Length:
        """What the pieces are counted on for in all, where these are as few as can be and a saw takes ``kerf``. [nm]

        Where one piece is left whole nothing is trimmed off it, and the others are as long as can be carried: where
        that gives more, it is so much more.
        """
        pieces = self.least
        length = self.ordered(pieces) - pieces * self.tolerance
        room = length - sum(self.all_trims(pieces)) + pieces * kerf
        trims = min(sum(self.trims(pieces, number)) for number in range(1, pieces + 1))
        return length + max(0, (pieces - 1) * (self.longest - self.tolerance - trims + kerf) - room)

    def far_end(self, pieces: int, number: int) -> EndState:
        """How the far end of a piece is."""
        return EndState.MILL if number in (1, pieces) else self.new_end


def carrying(offer: StockLength, workshop: Workshop, parts: Iterable[Part]) -> Carrying | None:
    """How a length that ``parts`` are to be cut from is cut for the carry; None where it is not."""
    terms, saw = workshop.terms(offer.merchant), workshop.saw
    if not (terms.may_be_fetched and terms.cuts_to_carry) or within_carry(offer, workshop):
        return None
    # What is left after the last cut may be longer by what the length may come longer than it is counted on for.
    longest = workshop.carry - (offer.length - offer.counted)
    new_trim = saw.squaring if terms.carry_cuts_squared else 0
    found = Carrying(
        counted=offer.counted,
        longest=longest,
        kerf=max(terms.carry_kerf, widest_kerf(parts, saw)),
        tolerance=terms.carry_tolerance,
        mill_trim=saw.mill_trim,
        new_trim=new_trim,
        new_end=EndState.MILL if terms.carry_cuts_squared else EndState.SAWN,
        step=workshop.printing.measured_off,
        charge=terms.carry_cut_charge,
    )
    return found if longest > found.tolerance + 2 * max(found.mill_trim, new_trim) else None


def widest_kerf(parts: Iterable[Part], saw: Saw) -> Length:
    """What the steepest cut on some parts takes along the bar. [nm]"""
    return kerf_along(saw.kerf, max((part.steeper_angle for part in parts), default=0))


def ends_of(piece: PieceOf, terms: Merchant) -> tuple[EndState, EndState]:
    """How the ends of a piece are: a mill end at either end of the length, and what its merchant's cuts leave."""
    if terms.carry_cuts_squared:
        return EndState.MILL, EndState.MILL
    return EndState.SAWN, EndState.MILL if piece.number in (1, len(piece.ordered)) else EndState.SAWN


def bars_of_lengths(plan: Plan) -> dict[tuple[str, tuple[Length, ...]], tuple[tuple[int, ...], ...]]:
    """The bars that lengths are cut into for the carry, by number of the piece: of each offer and way to cut one.

    Of lengths cut alike nothing tells which of them were one.
    """
    found: dict[tuple[str, tuple[Length, ...]], tuple[list[int], ...]] = {}
    for bar in plan.bars:
        if bar.piece_of is not None:
            ordered = bar.piece_of.ordered
            of_one = found.setdefault((bar.source, ordered), tuple([] for _ in ordered))
            of_one[bar.piece_of.number - 1].append(bar.number)
    return {way: tuple(tuple(numbers) for numbers in by_piece) for way, by_piece in found.items()}


def of_one_length(job: Job, plan: Plan) -> dict[int, tuple[int, ...]]:
    """Beside bars cut for the carry the other ones of their length, where that can be told at the saw.

    It cannot of lengths cut alike, nor where something else that is bought could be taken for one of the pieces.
    """
    offers = {offer.id: offer for offer in job.offers}
    ways = bars_of_lengths(plan)
    like: Counter[tuple[str, str, str, Length]] = Counter()
    whole = {(bar.source, (offers[bar.source].length,)) for bar in plan.bars if bar.buys and bar.piece_of is None}
    for source, ordered in (*ways, *whole):
        offer = offers[source]
        like.update((offer.section.key, offer.grade, offer.finish, length) for length in set(ordered))
    told = {}
    for (source, ordered), by_piece in ways.items():
        offer = offers[source]
        plain = all(like[offer.section.key, offer.grade, offer.finish, length] == 1 for length in ordered)
        if plain and len(by_piece[0]) == 1:
            numbers = sorted(number for bars in by_piece for number in bars)
            told.update({number: tuple(other for other in numbers if other != number) for number in numbers})
    return told


def obtainable(offer: StockLength, workshop: Workshop, parts: Iterable[Part]) -> bool:
    """Can a length be brought home for some parts: whole, or in pieces?"""
    return within_carry(offer, workshop) or carrying(offer, workshop, parts) is not None


def as_brought(job: Job, plan: Plan) -> Job:
    """The job with one way for every order to come, as the plan has it."""
    shop = job.workshop.as_brought(plan.fetched)
    return job if shop is job.workshop else replace(job, workshop=shop)


def as_weighed(job: Job) -> Job:
    """The job with a way for every order to come that cannot be weighed: delivered, where some length has no price."""
    shop = job.workshop
    if not any(shop.is_weighed(terms.name) for terms in shop.merchants):
        return job
    unpriced = {offer.merchant for group in groups_of(job) if not group.priced for offer in group.offers}
    merchants = tuple(
        replace(terms, brought=Brought.DELIVERED) if terms.name in unpriced and shop.is_weighed(terms.name) else terms
        for terms in shop.merchants
    )
    return job if merchants == shop.merchants else replace(job, workshop=replace(shop, merchants=merchants))


def with_no_limit(job: Job) -> Job:
    """The job with no length on offer too long to carry."""
    longest = max((offer.length for offer in job.offers), default=0)
    return replace(job, workshop=replace(job.workshop, longest_carry=longest, longest_flagged=0))
