"""One group as whole numbers: what the solver sees of a Group and a Workshop.

Lengths stay in nanometres here; :mod:`cutplan.solving.pricing` divides them by the
working step. Parts that are laid alike are one piece, so that a pattern, a tuple
of counts, has one count for each different piece.

Where no part is mitred, what a set takes adds up part by part. Where some are,
it depends on the order; then ``take``, ``room`` and ``reach`` are such that what
adds up is never more than a set really takes, and :class:`Laid` is the truth.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from operator import mul
from typing import TypeAlias

from cutplan.model import (
    NO_WORK,
    EndState,
    Goal,
    Group,
    Offcut,
    Part,
    Saw,
    SourceKind,
    StockLength,
    Work,
    Workshop,
    serves,
)
from cutplan.solving.adding import Adding, fills
from cutplan.solving.laying import CutSequence, CutSequences, Kind
from cutplan.solving.parameters import Parameters
from cutplan.units import MM, Angle, Length, kerf_along

Multipliers: TypeAlias = Mapping[str, Fraction]
"""By merchant how much its bar prices count for, from 0 to 1; 1 for all others."""

NO_MULTIPLIERS: Multipliers = {}

Pattern: TypeAlias = tuple[int, ...]
"""How many of each piece one bar holds, in the order of :attr:`Instance.pieces`."""


@dataclass(frozen=True, kw_only=True)
class Piece:
    """Parts that are laid alike, as the solver sees them.

    ``parts`` are their places in the group. ``take`` is the length and a kerf;
    ``cuts`` the strokes that are counted for one, one or two; ``kind`` tells
    kerfs and mitres of its ends; ``setting`` is equal for pieces that share a
    set-up. ``grade`` blank is served by any bar. ``spares`` is how many more
    are welcome where they cost nothing. [nm]
    """

    parts: tuple[int, ...]
    length: Length
    take: Length
    demand: int
    spares: int
    grade: str
    kind: Kind
    cuts: int
    setting: int

    @property
    def held(self) -> bool:
        """Is it long enough for the vice?"""
        return self.kind.held

    @property
    def square(self) -> bool:
        """Are both ends square?"""
        return not (self.kind.mitred_a or self.kind.mitred_b)


@dataclass(frozen=True, kw_only=True)
class Source:
    """A stock length or one offcut.

    Parameters
    ----------
    room
        What the takes of a set may add up to: length less trims plus one kerf. [nm]
    reach
        Length less the start trim; the remainder after a set is ``reach`` less its takes. [nm]
    bare
        What one bar costs by itself: bought or booked, and handled. [cost unit]
    price
        The same with the strokes that no part of a bar is counted for, such as the squaring of START. [cost unit]
    rate
        What a kept left over is worth; no more than the bar itself costs. [cost unit per mm]
    per_cut, per_setup
        What each cut (beyond :attr:`Instance.cut_at_least`) and each different piece on the bar adds. [cost unit]
    flush
        True where square parts can fill the bar to its very end, which spares the last cut.
    most
        How many there are; the number of pieces when there is no limit.
    trimmed
        True when either end loses something before use.
    """

    id: str
    kind: SourceKind
    length: Length
    start_trim: Length
    far_trim: Length
    room: Length
    reach: Length
    bare: int
    price: int
    rate: int
    per_cut: int
    per_setup: int
    most: int
    grade: str
    far_end: EndState
    flush: bool = False

    @property
    def trimmed(self) -> bool:
        """Does either end need a cut before the bar is used?"""
        return self.start_trim > 0 or self.far_trim > 0


@dataclass(frozen=True)
class Block:
    """The bars of one source within component bounds: the least and the most they hold of each piece.

    References
    ----------
    F. Vanderbeck, On Dantzig-Wolfe decomposition in integer programming and ways to perform branching in a
    branch-and-price algorithm, Operations Research 48 (2000), from memory.
    """

    source: int
    least: Pattern
    most: Pattern

    def has(self, pattern: Sequence[int]) -> bool:
        """Is a bar of the source that is cut to ``pattern`` among them?"""
        return all(low <= n <= high for low, n, high in zip(self.least, pattern, self.most, strict=True))

    def divided(self, piece: int, copies: int) -> tuple[Block, Block]:
        """The bars with fewer than ``copies`` of a piece, and the others."""
        few = (*self.most[:piece], min(copies - 1, self.most[piece]), *self.most[piece + 1 :])
        many = (*self.least[:piece], max(copies, self.least[piece]), *self.least[piece + 1 :])
        return replace(self, most=few), replace(self, least=many)


@dataclass(frozen=True, kw_only=True)
class Laid:
    """A set as it is laid in a bar: the order of its kinds, and what that comes to.

    ``end`` is where the last part ends, from START; ``remainder`` what is left after its cut. [nm]
    ``cost`` is that of the bar, its left over counted by its value where it is kept. [cost unit]
    """

    sequence: CutSequence
    end: Length
    remainder: Length
    strokes: int
    cost: int


@dataclass(frozen=True, kw_only=True)
class Instance:
    """One group in whole numbers.

    Parameters
    ----------
    hold
        Shortest length the vice may hold; 0 for no rule. [nm]
    keep
        Shortest left over that is kept. [nm]
    most_kept
        How many left overs may be kept; None is no limit.
    cut_at_least
        What a cut costs on the bar where it costs least. Every square part is cut once, so this much is the same in
        every plan and stands outside of all costs here; 0 where some part is mitred or may end flush.
    """

    goal: Goal
    kerf: Length
    pieces: tuple[Piece, ...]
    sources: tuple[Source, ...]
    hold: Length
    keep: Length
    most_kept: int | None = None
    cut_at_least: int = 0

    @property
    def demand(self) -> Pattern:
        """How many of each part are wanted."""
        return tuple(piece.demand for piece in self.pieces)

    @property
    def outside(self) -> int:
        """What every plan costs on top of all that is counted here. [cost unit]"""
        return self.cut_at_least * sum(self.demand)

    @cached_property
    def mitred(self) -> bool:
        """Does what a set takes depend on the order of its parts?"""
        return not all(piece.square for piece in self.pieces)

    @cached_property
    def divisor(self) -> Length:
        """Greatest common divisor of what the parts take. [nm]"""
        return math.gcd(*(piece.take for piece in self.pieces))

    @cached_property
    def blocks(self) -> tuple[Block, ...]:
        """All bars of each source."""
        nothing = (0,) * len(self.pieces)
        return tuple(Block(source, nothing, self.demand) for source in range(len(self.sources)))

    @cached_property
    def served(self) -> tuple[tuple[bool, ...], ...]:
        """For each source, which parts its grade serves."""
        return tuple(tuple(serves(s.grade, p.grade) for p in self.pieces) for s in self.sources)

    @cached_property
    def takes(self) -> tuple[Length, ...]:
        """What each piece takes. [nm]"""
        return tuple(piece.take for piece in self.pieces)

    @cached_property
    def unserved(self) -> tuple[tuple[int, ...], ...]:
        """For each source, the parts its grade does not serve."""
        return tuple(tuple(i for i, ok in enumerate(served) if not ok) for served in self.served)

    @cached_property
    def uncut(self) -> tuple[tuple[int, ...], ...]:
        """For each source, the parts it may serve whole, without any cut."""
        return tuple(
            tuple(
                i
                for i, (piece, ok) in enumerate(zip(self.pieces, served, strict=True))
                if ok and self._is_whole(source, piece)
            )
            for source, served in zip(self.sources, self.served, strict=True)
        )

    @cached_property
    def valued(self) -> bool:
        """Has the left over of any source a value?"""
        return any(source.rate for source in self.sources)

    @cached_property
    def adding(self) -> Adding:
        """How parts add up where order is left aside."""
        return Adding.of([piece.kind for piece in self.pieces], self.demand)

    @cached_property
    def sequences(self) -> CutSequences:
        """The sequences of parts that differ."""
        return CutSequences(tuple(sorted({piece.kind for piece in self.pieces})))

    @cached_property
    def judged(self) -> bool:
        """Is the cost of every set known? Where two mitres differ, an order that ends flush may be overlooked."""
        return not self.mitred or self.sequences.in_step or not any(s.flush for s in self.sources)

    @cached_property
    def sharing(self) -> tuple[int, ...]:
        """For each piece, how many pieces share its set-up, whose money is divided among them where it must add up."""
        settings = Counter(piece.setting for piece in self.pieces)
        return tuple(settings[piece.setting] for piece in self.pieces)

    @cached_property
    def _laid(self) -> dict[tuple[int, Pattern, bool], Laid | None]:
        return {}

    @cached_property
    def cost_step(self) -> int:
        """Every plan's cost is a multiple of this, because every bar's is; 1 when left overs have a value."""
        if self.valued:
            return 1
        return math.gcd(*(money for s in self.sources for money in (s.price, s.per_cut, s.per_setup))) or 1

    @property
    def most_earned(self) -> int:
        """What empty bars could bring in, were they bought for their left overs: 0 where no bar costs less than that.

        A minimum order that is paid anyway makes such prices.
        """
        return sum(source.most * max(0, self.value(source, source.reach) - source.price) for source in self.sources)

    @cached_property
    def flat(self) -> bool:
        """Does a bar of one source cost the same whatever is cut from it?"""
        return not self.valued and not any(source.per_cut or source.per_setup for source in self.sources)

    @property
    def kept_counts(self) -> bool:
        """Does it matter for the cost how many left overs may be kept?"""
        return self.valued and self.most_kept is not None

    def by_part(self, duals: Sequence[int]) -> tuple[int, ...]:
        """The duals of the pieces, one for each part of the group."""
        worth = {part: dual for piece, dual in zip(self.pieces, duals, strict=True) for part in piece.parts}
        return tuple(worth[part] for part in sorted(worth))

    def single(self, i: int) -> Pattern:
        """The pattern of one piece ``i`` alone."""
        return tuple(int(i == k) for k in range(len(self.pieces)))

    def fill(self, pattern: Sequence[int]) -> Length:
        """What a set takes from a bar. [nm]"""
        return sum(map(mul, pattern, self.takes))

    def value(self, source: Source, remainder: Length) -> int:
        """Worth of what is left of a bar, by its length. [cost unit]"""
        if remainder < self.keep or remainder <= 0:
            return 0
        return remainder * source.rate // MM

    def laid(self, index: int, pattern: Pattern, *, kept: bool = True) -> Laid | None:
        """The cheapest way to lay a set in a bar of a source, of these the shortest; None when it cannot be laid."""
        key = index, pattern, kept
        if key not in self._laid:
            counts = [0] * len(self.sequences.kinds)
            for piece, n in zip(self.pieces, pattern, strict=True):
                counts[self.sequences.kinds.index(piece.kind)] += n
            source = self.sources[index]
            ways = (
                self._as_laid(source, pattern, order, kept)
                for order in self.sequences.of(tuple(counts), squared=source.start_trim > 0)
            )
            laid = [way for way in ways if way is not None]
            self._laid[key] = min(laid, key=lambda way: (way.cost, way.end), default=None)
        return self._laid[key]

    def _as_laid(self, source: Source, pattern: Pattern, order: CutSequence, kept: bool) -> Laid | None:
        """A set in this order; None where it does not fit or cannot be held."""
        last = self.sequences.kinds[order.last]
        length = sum(piece.length * n for piece, n in zip(self.pieces, pattern, strict=True) if n)
        end = source.start_trim + length + order.between
        if end > source.length - source.far_trim:
            return None
        remainder = max(0, source.length - end - last.kerf_b)
        strokes = order.strokes + int(last.mitred_b or end < source.length)
        short = remainder < self.hold
        if (short and strokes and not last.held) or (order.out_of_turn and not short):
            return None
        fitted = (piece for piece, n in zip(self.pieces, pattern, strict=True) if n and piece.kind.to_fit)
        if order.out_of_turn and any(piece.held for piece in fitted):
            return None
        cost = source.bare + strokes * source.per_cut + self.set_up(source, pattern)
        value = self.value(source, remainder) if kept else 0
        return Laid(sequence=order, end=end, remainder=remainder, strokes=strokes, cost=cost - value)

    def left(self, index: int, pattern: Pattern) -> Length:
        """What a set leaves of a bar that it may be cut from. [nm]"""
        if not self.mitred:
            return max(0, self.sources[index].reach - self.fill(pattern))
        laid = self.laid(index, pattern)
        return laid.remainder if laid else 0

    def value_left(self, index: int, pattern: Pattern) -> int:
        """Worth of what a set leaves of a bar, were it kept. [cost unit]"""
        source = self.sources[index]
        return self.value(source, self.left(index, pattern)) if source.rate else 0

    def set_up(self, source: Source, pattern: Sequence[int]) -> int:
        """What setting the saw for a set counts for. [cost unit]"""
        if not source.per_setup:
            return 0
        return source.per_setup * len({p.setting for p, n in zip(self.pieces, pattern, strict=True) if n})

    def _work(self, source: Source, pattern: Sequence[int]) -> int:
        """What cutting a set of square parts counts for beyond the price of a bar. [cost unit]"""
        if not (source.per_cut or source.per_setup):
            return 0
        cuts = sum(pattern) - int(source.flush and self.fill(pattern) == source.room)
        return cuts * source.per_cut + self.set_up(source, pattern)

    def cost(self, index: int, pattern: Pattern, *, kept: bool = True) -> int:
        """What a bar cut to a set costs; its left over counts by its value where it is ``kept``. [cost unit]

        Of a set that cannot be laid it is more than any that can.
        """
        source = self.sources[index]
        if not self.mitred:
            return source.price + self._work(source, pattern) - (self.value_left(index, pattern) if kept else 0)
        laid = self.laid(index, pattern, kept=kept)
        if laid is not None:
            return laid.cost
        return source.price + 2 * (sum(pattern) + 1) * source.per_cut + self.set_up(source, pattern)

    @staticmethod
    def _is_whole(source: Source, piece: Piece) -> bool:
        """Is the part the bar as it comes, so that nothing is cut?"""
        return piece.square and piece.length == source.length and not source.trimmed

    def allowed(self, index: int, pattern: Sequence[int]) -> bool:
        """Can this set be cut from a bar of this source: grade, room and safe hold?"""
        source = self.sources[index]
        if any(pattern[i] for i in self.unserved[index]):
            return False
        fill = self.fill(pattern)
        if fill > source.room:
            return False
        if self.mitred:
            return any(pattern) and self.laid(index, tuple(pattern)) is not None
        if self.hold == 0 or source.reach - fill >= self.hold:
            return True
        if any(n and piece.held for n, piece in zip(pattern, self.pieces, strict=True)):
            return True
        return sum(pattern) == 1 and any(pattern[i] for i in self.uncut[index])


def instance_of(
    group: Group,
    workshop: Workshop,
    offers: Sequence[StockLength],
    parameters: Parameters,
    multipliers: Multipliers = NO_MULTIPLIERS,
) -> Instance:
    """The whole numbers of a group when only ``offers`` may be bought.

    The goal follows from the group, not from ``offers``, so that every choice of
    merchants is measured alike. A price counts by its merchant's multiplier,
    rounded down; what a left over is worth follows from the price itself.
    """
    saw = workshop.saw
    goal = Goal.MONEY if group.priced else Goal.MASS
    rate = workshop.offcut_value(group.section.family) if goal is Goal.MONEY else 0
    trim = saw.end_trim + (0 if saw.end_trim_includes_cut else saw.kerf)
    mill_trim = 0 if saw.mill_ends_accepted or saw.end_trim == 0 else trim
    mill_ends = EndState.MILL, EndState.MILL
    pieces, adding = _pieces(group, saw)
    total = sum(piece.demand for piece in pieces)

    def source(
        of: StockLength | Offcut, id: str, kind: SourceKind, length: Length, ends: tuple[EndState, EndState],
        price: int, most: int, work: Work, counted: Fraction | int = 1,
    ) -> Source:  # fmt: skip
        # START is a sawn end where there is one: it needs no trim.
        start, far = sorted(ends, key=lambda end: end is EndState.MILL)
        start_trim = mill_trim if start is EndState.MILL else 0
        far_trim = mill_trim if far is EndState.MILL else 0
        between, bare = length - start_trim - far_trim, math.floor(price * counted) + work.per_bar
        levels = list(adding.levels())
        room = between + max(level.spared() for level in levels)
        beyond = [level.strokes_beyond(squared=start_trim > 0, open_end=far_trim == 0) for level in levels]
        served = [p for p in pieces if serves(of.grade, p.grade)]
        flush = work.per_cut > 0 and far_trim == 0 and any(not p.kind.mitred_b for p in served)
        if all(p.square for p in pieces):
            # A last cut that is spared depends on the set, which is then priced by itself.
            beyond = [int(start_trim > 0)]
            flush = flush and fills([p.take for p in served], [p.demand for p in served], room, parameters.most_steps)
        return Source(
            id=id, kind=kind, length=length, start_trim=start_trim, far_trim=far_trim,
            room=room, reach=length - start_trim + adding.left_unsaid(),
            bare=bare, price=bare + work.per_cut * max(0, min(beyond)), rate=min(rate, price * MM // length),
            per_cut=work.per_cut, per_setup=work.per_setup, most=most, grade=of.grade, far_end=far, flush=flush,
        )  # fmt: skip

    sources = []
    for offer in offers:
        price = (offer.bar_price or 0) if goal is Goal.MONEY else offer.mass
        most = total if offer.available is None else min(offer.available, total)
        work = workshop.work_on(offer.merchant) if goal is Goal.MONEY else NO_WORK
        counted = multipliers.get(offer.merchant, 1)
        sources.append(source(offer, offer.id, SourceKind.BOUGHT, offer.counted, mill_ends, price, most, work, counted))
    for offcut in group.offcuts:
        price = offcut.book_value if goal is Goal.MONEY else 0
        ends = (offcut.end_a, offcut.end_b)
        work = workshop.work_on("") if goal is Goal.MONEY else NO_WORK
        most = min(offcut.quantity, total)
        sources.append(source(offcut, offcut.mark, SourceKind.OFFCUT, offcut.length, ends, price, most, work))
    instance = Instance(
        goal=goal,
        kerf=saw.kerf,
        pieces=tuple(pieces),
        sources=tuple(sources),
        hold=saw.safe_hold,
        keep=workshop.keep_length(group.section.family),
        most_kept=workshop.most_kept,
    )
    least = min((source.per_cut for source in sources), default=0)
    if not least or instance.mitred or any(source.flush for source in sources):
        return instance
    cheaper = tuple(replace(source, per_cut=source.per_cut - least) for source in sources)
    return replace(instance, sources=cheaper, cut_at_least=least)


def _pieces(group: Group, saw: Saw) -> tuple[list[Piece], Adding]:
    """Parts that are laid alike as one, and how they add up."""
    alike: dict[Hashable, list[int]] = {}
    settings: dict[Hashable, int] = {}
    setting_of = []
    for place, part in enumerate(group.parts):
        alike.setdefault(part.laid_alike, []).append(place)
        setting_of.append(settings.setdefault(part.cut_alike, place))
    known: dict[tuple[Angle, Angle, bool, bool], Kind] = {}  # of very many parts most are of one kind

    def kind_of(part: Part) -> Kind:
        a, b = part.end_a.angle, part.end_b.angle
        of = a, b, part.grip >= saw.safe_hold, part.cut_to_fit
        if of not in known:
            known[of] = Kind(
                kerf_a=kerf_along(saw.kerf, a),
                kerf_b=kerf_along(saw.kerf, b),
                mitred_a=a > 0,
                mitred_b=b > 0,
                held=of[2],
                to_fit=of[3],
            )
        return known[of]

    kinds = [kind_of(group.parts[places[0]]) for places in alike.values()]
    demands = [sum(group.parts[place].quantity for place in places) for places in alike.values()]
    adding = Adding.of(kinds, demands)
    takes = {kind: (adding.kerf(kind), adding.cuts(kind)) for kind in known.values()}
    pieces = [
        Piece(
            parts=tuple(places),
            length=group.parts[places[0]].length,
            take=group.parts[places[0]].length + takes[kind][0],
            demand=demand,
            spares=sum(group.parts[place].spares for place in places),
            grade=group.parts[places[0]].grade,
            kind=kind,
            cuts=takes[kind][1],
            setting=setting_of[places[0]],
        )
        for places, kind, demand in zip(alike.values(), kinds, demands, strict=True)
    ]
    return pieces, adding
