"""Square parts on lengths that their merchant cuts into pieces for the carry: a set is shared out among the pieces.

What a set takes is still a sum, less what the cuts between pieces lose, and that is how bounds see it. Whether it can
be shared out among so many pieces, none longer than the carry, is for each set to be found. As few pieces as can be
are taken; more of them lose more and cost more, but may part a set that fewer do not.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from itertools import product
from typing import NamedTuple

from cutplan.model import Carrying, Part
from cutplan.solving.instance import Instance
from cutplan.solving.patterns.counts import Counts, fit_and_held
from cutplan.solving.patterns.sharing_out import MOST_SUMMED, Search, by_sums
from cutplan.solving.patterns.space import Array, CarriedPiece, Parted, PatternSpace, Placed, View
from cutplan.solving.solver_pieces import Pattern, Source
from cutplan.units import MM, Length, ceil_div


class _Bin(NamedTuple):
    """One piece while parts are put into it: what they take, whether one of them can be held, its place."""

    take: Length
    held: bool
    place: int


@dataclass(frozen=True)
class ForCarry(ABC):
    """What pattern spaces have in common where some lengths are cut for the carry.

    ``most_tried`` is how many parts are placed while a set is shared out among so many pieces; beyond that it counts
    as one that cannot be.
    """

    instance: Instance
    most_tried: int
    _parted: dict[tuple[int, Pattern], Parted | None] = field(default_factory=dict, repr=False, compare=False)
    _costs: dict[tuple[int, Pattern, bool], int] = field(default_factory=dict, repr=False, compare=False)
    _unsure: list[int] = field(default_factory=list, repr=False, compare=False)

    adds_up = False

    @property
    @abstractmethod
    def whole(self) -> PatternSpace:
        """How bars are cut that come as they are."""

    @abstractmethod
    def _in_pieces(self, index: int, pattern: Pattern) -> Parted | None:
        """A set shared out among as few pieces of a length as can be; None where it cannot be, or no way was found."""

    @abstractmethod
    def _paid(self, source: Source, parted: Parted, *, kept: bool) -> int:
        """What all pieces of a length cost, less what is left over of them where that is kept. [cost unit]"""

    @property
    def judged(self) -> bool:
        """Where work or left overs have a price, another way to share a set out may cost less."""
        cut = [source for source in self.instance.sources if source.carrying]
        priced = any(s.rate or s.per_stroke or s.per_setup for s in cut)
        return self.whole.judged and not self._unsure and not priced

    def parted(self, index: int, pattern: Pattern) -> Parted | None:
        """As few pieces as can be; None where the length comes whole. ValueError where the set cannot be shared out."""
        source = self.instance.sources[index]
        if source.carrying is None:
            return None
        parted = self._in_pieces(index, pattern)
        if parted is None:
            raise ValueError(f"a set cannot be shared out among pieces of {source.id}")
        return parted

    def _can_be_shared_out(self, index: int, pattern: Pattern) -> bool:
        return self._in_pieces(index, pattern) is not None

    def can_be_cut(self, index: int, pattern: Pattern) -> bool:
        """Can it be shared out among pieces, or cut from a bar that comes as it is?"""
        if self.instance.sources[index].carrying is None:
            return self.whole.can_be_cut(index, pattern)
        return any(pattern) and self._can_be_shared_out(index, pattern)

    def which_can_be_cut(self, index: int, counts: Array, stopped: Callable[[], bool]) -> Array:
        """As they add up first, then each by itself."""
        if self.instance.sources[index].carrying is None:
            return self.whole.which_can_be_cut(index, counts, stopped)
        found = fit_and_held(self.instance, index, counts)
        found[found] = [not stopped() and self.can_be_cut(index, tuple(row)) for row in counts[found].tolist()]
        return found

    def left(self, index: int, pattern: Pattern) -> Length:
        """The longest left over of any piece. [nm]"""
        if self.instance.sources[index].carrying is None:
            return self.whole.left(index, pattern)
        parted = self._in_pieces(index, pattern)
        return max(lefts(parted)) if parted else 0

    def cost(self, index: int, pattern: Pattern, *, kept: bool) -> int:
        """[cost unit]"""
        source = self.instance.sources[index]
        if source.carrying is None:
            return self.whole.cost(index, pattern, kept=kept)
        key = index, pattern, kept
        if key not in self._costs:
            self._costs[key] = self._cost(index, source, source.carrying, pattern, kept)
        return self._costs[key]

    def _cost(self, index: int, source: Source, carry: Carrying, pattern: Pattern, kept: bool) -> int:
        parted = self._in_pieces(index, pattern)
        if parted is None:
            return source.price + (sum(pattern) + 1) * (carry.charge + 2 * source.per_stroke + source.per_setup)
        return self._paid(source, parted, kept=kept)

    def _value_kept(self, values: Sequence[int]) -> int:
        """What left overs of a length are worth that are each worth so much, were they kept. [cost unit]"""
        return max(values) if self.instance.kept_counts else sum(values)


def lefts(parted: Parted) -> list[Length]:
    """What each piece leaves. [nm]"""
    return [max(0, piece.left) for piece in parted.pieces]


@dataclass(frozen=True)
class CutForCarry(ForCarry):
    """The pattern space of square parts where some lengths are cut for the carry."""

    _bins: dict[tuple[int, Pattern], list[list[int]] | None] = field(default_factory=dict, repr=False, compare=False)

    adds_up_on_pieces = True
    states = 1
    told_by_view = True
    beyond = ()

    def __reduce__(self) -> tuple[object, ...]:
        """What can be worked out again is not sent to another process."""
        return type(self), (self.instance, self.most_tried)

    @property
    def whole(self) -> Counts:
        """How bars are cut that come as they are."""
        return Counts(self.instance)

    def _in_pieces(self, index: int, pattern: Pattern) -> Parted | None:
        """A set shared out among as few pieces of a length as can be; None where it cannot be.

        Where that costs no more, some of these are left whole.
        """
        key = index, pattern
        if key not in self._parted:
            source, bins = self.instance.sources[index], self._shared_out(index, pattern)
            self._parted[key] = None if bins is None else self._least_cut(source, pattern, bins)
        return self._parted[key]

    def _least_cut(self, source: Source, pattern: Pattern, bins: list[list[int]]) -> Parted:
        usual, fewer = self._laid_out(source, bins), self._on_fewer(source, pattern, bins)
        if fewer is None:
            return usual
        # A left over cut in two may be worth more, and one cut to its very end spares a stroke.
        return min(self._laid_out(source, fewer), usual, key=lambda parted: self._paid(source, parted, kept=True))

    def _on_fewer(self, source: Source, pattern: Pattern, bins: Sequence[list[int]]) -> list[list[int]] | None:
        """The same parts on the fewest of as many pieces that a brief search finds; None where they are."""
        items, carry = longest_first(self.instance, pattern), source.carrying
        assert carry is not None
        takes, held = [self.instance.pieces[i].take for i in items], [self.instance.pieces[i].held for i in items]
        trims = [sum(carry.trims(len(bins), place + 1)) for place in range(len(bins))]
        rooms = [self._room(source, carry, len(bins), place) for place in range(len(bins))]
        for used in range(max(1, ceil_div(sum(takes), max(rooms))), sum(map(bool, bins))):
            search = Search(takes, held, trims, rooms, used, self.most_tried // 10, self._fits(carry, len(bins)))
            where = search.run()
            if where is not None:
                return [[i for i, at in zip(items, where, strict=True) if at == place] for place in range(len(bins))]
        return None

    def _can_be_shared_out(self, index: int, pattern: Pattern) -> bool:
        return self._shared_out(index, pattern) is not None

    def thinned(self, index: int, pattern: Pattern) -> Pattern:
        """Of a set that cannot be shared out, what can: the longest parts first, each where it fits."""
        source, carry = self.instance.sources[index], self.instance.sources[index].carrying
        if carry is None:
            return ()
        bins = [0] * carry.least
        counts = [0] * len(pattern)
        rooms = [self._room(source, carry, carry.least, place) for place in range(carry.least)]
        most = source.room
        for i in longest_first(self.instance, pattern):
            take = self.instance.pieces[i].take
            fits = [b for b, room in enumerate(rooms) if bins[b] + take <= room]
            if take <= most and fits:
                bins[max(fits, key=lambda b: bins[b])] += take
                most -= take
                counts[i] += 1
        return tuple(counts)

    def _cost(self, index: int, source: Source, carry: Carrying, pattern: Pattern, kept: bool) -> int:
        bins = self._shared_out(index, pattern)
        if bins is not None and not (source.rate or source.per_stroke or source.per_setup):
            return source.bare + (len(bins) - 1) * carry.charge
        return super()._cost(index, source, carry, pattern, kept)

    def _paid(self, source: Source, parted: Parted, *, kept: bool) -> int:
        """What all pieces of a length cost, less what is left over of them where that is kept. [cost unit]"""
        values = [self.instance.value(source, left) for left in lefts(parted)]
        worth = self._value_kept(values) if kept else 0
        return sum(self._work(piece) for piece in parted.pieces) - worth

    def _work(self, piece: CarriedPiece) -> int:
        """What a piece costs, its left over aside. [cost unit]"""
        source = piece.source
        if not piece.fill:
            return source.bare
        flush = source.start_trim + self.instance.fill(piece.pattern) - self.instance.kerf == source.length
        strokes = sum(piece.pattern) + int(source.start_trim > 0) - int(flush)
        return source.bare + strokes * source.per_cut + self.instance.set_up(source, piece.pattern)

    def views_for_bounds(self) -> tuple[View, ...]:
        """The instance as it is; where a whole bar may end flush it spares a stroke."""
        sources = tuple(replace(s, price=s.price - s.per_cut) if s.flush else s for s in self.instance.sources)
        return (View(self.instance.pieces, sources, self.instance.demand),)

    def view_for_plans(self) -> View:
        """The instance as it is: what cannot be shared out is thinned."""
        return View(self.instance.pieces, self.instance.sources, self.instance.demand)

    def in_order(self, index: int, pattern: Pattern, parts: Sequence[Part], usual: Sequence[Part]) -> list[Placed]:
        """No order is cheaper than another."""
        return [Placed(part) for part in usual]

    def _room(self, source: Source, carry: Carrying, pieces: int, place: int) -> Length:
        """What the takes of the parts on one of so many pieces may come to. [nm]"""
        return carry.longest - carry.tolerance - sum(carry.trims(pieces, place + 1)) + self.instance.kerf

    def _shared_out(self, index: int, pattern: Pattern) -> list[list[int]] | None:
        """The parts on each of as few pieces as can be; None where there is no way, or none was found."""
        key = index, pattern
        if key not in self._bins:
            source = self.instance.sources[index]
            carry = source.carrying
            assert carry is not None
            items = longest_first(self.instance, pattern)
            numbers = range(carry.least, max(carry.least, len(items)) + 1)
            ways = (self._packed(source, carry, pieces, items) for pieces in numbers)
            self._bins[key] = next((bins for bins in ways if bins is not None), None)
        return self._bins[key]

    def _packed(self, source: Source, carry: Carrying, pieces: int, items: Sequence[int]) -> list[list[int]] | None:
        """Which parts go on which of so many pieces; None where there is no way, or none was found."""
        takes = [self.instance.pieces[i].take for i in items]
        kerf = self.instance.kerf
        most, total = carry.ordered(pieces) - pieces * carry.tolerance, sum(takes)
        trims = [sum(carry.trims(pieces, place + 1)) for place in range(pieces)]
        rooms = [carry.longest - carry.tolerance - lost + kerf for lost in trims]
        room = max(rooms)
        # The kerf after the last part of a piece may fall beyond it; what is left whole takes a millimetre at least.
        lost = min(trims) - kerf
        if lost > MM:
            used = (most - total - pieces * MM) // (lost - MM)
        else:
            used = pieces if total + min(pieces, len(takes)) * (lost - MM) + pieces * MM <= most else 0
        used = min(used, pieces)
        # No two parts longer than half a piece lie on one.
        if not takes or takes[0] > room or total > used * room or sum(2 * take > room for take in takes) > used:
            return None
        if not _some_hold_all(rooms, trims, kerf, min(used, len(takes)), total, most):
            return None
        held = [self.instance.pieces[i].held for i in items]
        where = None
        summed = pieces <= 3 and len(takes) <= MOST_SUMMED and (all(held) or not self.instance.hold)
        if summed and total + sum(trims) - pieces * kerf <= most:
            where = by_sums(takes, rooms)
            if where is None and total > sum(sorted(rooms)[1:]):
                return None  # nor can any piece be left whole
        if where is None:
            where = self._searched(carry, takes, held, trims, rooms, used)
        if where is None:
            return None
        return [[i for i, at in zip(items, where, strict=True) if at == place] for place in range(pieces)]

    def _searched(
        self,
        carry: Carrying,
        takes: Sequence[Length],
        held: Sequence[bool],
        trims: Sequence[Length],
        rooms: Sequence[Length],
        used: int,
    ) -> list[int] | None:
        search = Search(takes, held, trims, rooms, used, self.most_tried, self._fits(carry, len(rooms)))
        where = search.run()
        if where is None and search.tried >= self.most_tried:
            self._unsure.append(1)
        return where

    def _fits(self, carry: Carrying, pieces: int) -> Callable[[Sequence[Length], Sequence[bool]], bool]:
        """Are so filled pieces within the carry, and together within the length?"""
        longest, total = carry.longest - carry.tolerance, carry.ordered(pieces) - pieces * carry.tolerance
        trims = [carry.trims(pieces, place + 1) for place in range(pieces)]
        # What a piece needs beyond what its parts take, where one of them is held and where none is.
        beyond = [start + far - self.instance.kerf for start, far in trims]
        unheld = [max(least, start + self.instance.hold) for least, (start, _) in zip(beyond, trims, strict=True)]
        if not self.instance.hold:
            unheld = beyond

        def fits(filled: Sequence[Length], held: Sequence[bool]) -> bool:
            needs = [
                take + (least if h else more) if take else MM
                for take, h, least, more in zip(filled, held, beyond, unheld, strict=True)
            ]
            return max(needs) <= longest and sum(needs) <= total

        return fits

    def _need(self, carry: Carrying, pieces: int, b: _Bin) -> Length:
        """The least length that a piece has to be counted on for. [nm]"""
        if not b.take:
            return MM
        start, far = carry.trims(pieces, b.place + 1)
        least = start + b.take - self.instance.kerf + far
        return least if b.held or not self.instance.hold else max(least, start + b.take + self.instance.hold)

    def _laid_out(self, source: Source, bins: Sequence[list[int]]) -> Parted:
        """The pieces with their lengths: what is to spare goes to the one that has most to spare, for one long left
        over, and the others are whole steps where that can be.
        """
        instance, pieces, carry, bins = self.instance, len(bins), source.carrying, list(bins)
        assert carry is not None
        # What the last piece is, the rest decides: the emptier of both ends.
        if sum(instance.pieces[i].take for i in bins[0]) < sum(instance.pieces[i].take for i in bins[-1]):
            bins[0], bins[-1] = bins[-1], bins[0]
        needs = []
        for place, items in enumerate(bins):
            take = sum(instance.pieces[i].take for i in items)
            held = any(instance.pieces[i].held for i in items)
            needs.append(self._need(carry, pieces, _Bin(take, held, place)))
        ordered = ordered_lengths(carry, needs)
        bars = [as_bar(source, source.bare, carry, ordered, place, instance.kerf) for place in range(pieces)]
        found = []
        for bar, items in zip(bars, bins, strict=True):
            had = Counter(items)
            pattern = tuple(had[i] for i in range(len(instance.pieces)))
            left = bar.reach - instance.fill(pattern) if items else bar.length
            found.append(CarriedPiece(pattern, bar, left))
        return Parted(ordered, tuple(found))


def ordered_lengths(carry: Carrying, needs: Sequence[Length]) -> tuple[Length, ...]:
    """What pieces are ordered by that are each to be counted on for so much at least. [nm]

    What is to spare goes to the one that has most to spare, and the others are whole steps where that can be.
    """
    pieces = len(needs)
    lengths = [need + carry.tolerance for need in needs]
    spare = carry.ordered(pieces) - sum(lengths)
    for place in range(pieces - 1):
        up = -lengths[place] % carry.step
        if up <= spare and lengths[place] + up <= carry.longest:
            lengths[place] += up
            spare -= up
    for place in sorted(range(pieces), key=lambda place: (lengths[place], -place)):
        more = min(spare, carry.longest - lengths[place])
        lengths[place] += more
        spare -= more
    return tuple(lengths)


def as_bar(source: Source, bare: int, carry: Carrying, ordered: Sequence[Length], place: int, spared: Length) -> Source:
    """A piece of a length as a bar of its own, by its place; sets may take so much less than their parts. [nm]

    The first of them costs what the ``bare`` length does, and the cuts for the carry. [cost unit]
    """
    pieces = len(ordered)
    start, far = carry.trims(pieces, place + 1)
    length = ordered[place] - carry.tolerance
    return replace(
        source,
        length=length,
        start_trim=start,
        far_trim=far,
        room=length - start - far + spared,
        reach=length - start,
        bare=bare + (pieces - 1) * carry.charge if place == 0 else 0,
        per_cut=source.per_stroke,
        far_end=carry.far_end(pieces, place + 1),
        carrying=None,
        in_pieces=(),
    )


def _some_hold_all(
    rooms: Sequence[Length], trims: Sequence[Length], kerf: Length, used: int, total: Length, most: Length
) -> bool:
    """Do some of the pieces, at most so many, hold parts that take ``total``, all pieces within ``most``?

    Those at either end are alike, and those between them.
    """
    between = len(rooms) - 2
    for outer, inner in product(range(3), range(between + 1)):
        room = outer * rooms[0] + (inner * rooms[1] if inner else 0)
        lost = outer * (trims[0] - kerf) + (inner * (trims[1] - kerf) if inner else 0)
        if outer + inner <= used and total <= room and total + lost + (len(rooms) - outer - inner) * MM <= most:
            return True
    return False


def longest_first(instance: Instance, pattern: Pattern) -> list[int]:
    """The parts of a set one by one, the longest first."""
    return [i for i in instance.longest_first if pattern[i] for _ in range(pattern[i])]
