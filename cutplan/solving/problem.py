"""One group as whole numbers: what the solver sees of a Group and a Workshop.

Lengths stay in nanometres here; :mod:`cutplan.solving.grid` divides them by the
working step. Parts that are cut alike are one piece, so that a pattern, a tuple
of counts, has one count for each different piece.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from operator import mul
from typing import TypeAlias

from cutplan.model import NO_WORK, EndState, Goal, Group, Offcut, SourceKind, StockLength, Work, Workshop, serves
from cutplan.units import MM, Length, kerf_along

Multipliers: TypeAlias = Mapping[str, Fraction]
"""By merchant how much its bar prices count for, from 0 to 1; 1 for all others."""

NO_MULTIPLIERS: Multipliers = {}

Pattern: TypeAlias = tuple[int, ...]
"""How many of each piece one bar holds, in the order of :attr:`Problem.pieces`."""


@dataclass(frozen=True, kw_only=True)
class Piece:
    """Parts that are cut alike, as the solver sees them.

    ``parts`` are their places in the group. ``take`` is the length and its
    kerf; ``held`` tells that it is long enough for the vice; ``grade`` blank is
    served by any bar. ``spares`` is how many more are welcome where they cost
    nothing. [nm]
    """

    parts: tuple[int, ...]
    length: Length
    take: Length
    demand: int
    spares: int
    held: bool
    square: bool
    grade: str


@dataclass(frozen=True, kw_only=True)
class Source:
    """A stock length or one offcut.

    Parameters
    ----------
    room
        What the takes of a set may add up to: length less trims plus one kerf. [nm]
    reach
        Length less the start trim; the remainder after a set is ``reach`` less its takes. [nm]
    price
        What one bar costs by itself: bought or booked, and handled. [cost unit]
    rate
        What a kept left over is worth; no more than the bar itself costs. [cost unit per mm]
    per_cut, per_setup
        What each cut (beyond :attr:`Problem.cut_at_least`) and each different piece on the bar adds. [cost unit]
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
    price: int
    rate: int
    per_cut: int
    per_setup: int
    most: int
    grade: str
    far_end: EndState

    @property
    def trimmed(self) -> bool:
        """Does either end need a cut before the bar is used?"""
        return self.start_trim > 0 or self.far_trim > 0


@dataclass(frozen=True)
class Share:
    """The bars of one source that hold at least and at most so many of each piece."""

    source: int
    least: Pattern
    most: Pattern

    def has(self, pattern: Sequence[int]) -> bool:
        """Is a bar of the source that is cut to ``pattern`` among them?"""
        return all(low <= n <= high for low, n, high in zip(self.least, pattern, self.most, strict=True))

    def divided(self, piece: int, copies: int) -> tuple[Share, Share]:
        """The bars with fewer than ``copies`` of a piece, and the others."""
        few = (*self.most[:piece], min(copies - 1, self.most[piece]), *self.most[piece + 1 :])
        many = (*self.least[:piece], max(copies, self.least[piece]), *self.least[piece + 1 :])
        return replace(self, most=few), replace(self, least=many)


@dataclass(frozen=True, kw_only=True)
class Problem:
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
        What a cut costs on the bar where it costs least. Every part is cut once, so this much is the same in every
        plan and stands outside of all costs here; 0 where some part may be a bar as it comes and needs no cut.
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
        """What every plan costs beside all that is counted here. [cost unit]"""
        return self.cut_at_least * sum(self.demand)

    @cached_property
    def divisor(self) -> Length:
        """Greatest common divisor of what the parts take. [nm]"""
        return math.gcd(*(piece.take for piece in self.pieces))

    @cached_property
    def shares(self) -> tuple[Share, ...]:
        """All bars of each source."""
        nothing = (0,) * len(self.pieces)
        return tuple(Share(source, nothing, self.demand) for source in range(len(self.sources)))

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

    def value_left(self, source: Source, pattern: Sequence[int]) -> int:
        """Worth of what a set leaves of a bar, were it kept. [cost unit]"""
        return self.value(source, source.reach - self.fill(pattern)) if source.rate else 0

    def work(self, source: Source, pattern: Sequence[int]) -> int:
        """What cutting a set from a bar counts for. [cost unit]"""
        if not (source.per_cut or source.per_setup):
            return 0
        cuts = 0 if self._is_uncut(source, pattern) else sum(pattern)
        return cuts * source.per_cut + sum(n > 0 for n in pattern) * source.per_setup

    def cost(self, source: Source, pattern: Sequence[int], *, kept: bool = True) -> int:
        """What a bar cut to a set costs; its left over counts by its value where it is ``kept``. [cost unit]"""
        value = self.value_left(source, pattern) if kept else 0
        return source.price + self.work(source, pattern) - value

    @staticmethod
    def _is_whole(source: Source, piece: Piece) -> bool:
        """Is the part the bar as it comes, so that nothing is cut?"""
        return piece.square and piece.length == source.length and not source.trimmed

    def _is_uncut(self, source: Source, pattern: Sequence[int]) -> bool:
        return sum(pattern) == 1 and any(
            n and self._is_whole(source, piece) for n, piece in zip(pattern, self.pieces, strict=True)
        )

    def allowed(self, index: int, pattern: Sequence[int]) -> bool:
        """Can this set be cut from a bar of this source: grade, room and safe hold?"""
        source = self.sources[index]
        if any(pattern[i] for i in self.unserved[index]):
            return False
        fill = self.fill(pattern)
        if fill > source.room:
            return False
        if self.hold == 0 or source.reach - fill >= self.hold:
            return True
        if any(n and piece.held for n, piece in zip(pattern, self.pieces, strict=True)):
            return True
        return sum(pattern) == 1 and any(pattern[i] for i in self.uncut[index])


def problem_of(
    group: Group, workshop: Workshop, offers: Sequence[StockLength], multipliers: Multipliers = NO_MULTIPLIERS
) -> Problem:
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
    alike: dict[Hashable, list[int]] = {}
    for place, part in enumerate(group.parts):
        alike.setdefault(part.cut_alike, []).append(place)
    pieces = tuple(
        Piece(
            parts=tuple(places),
            length=group.parts[places[0]].length,
            take=group.parts[places[0]].length + kerf_along(saw.kerf, group.parts[places[0]].steeper_angle),
            demand=sum(group.parts[place].quantity for place in places),
            spares=sum(group.parts[place].spares for place in places),
            held=group.parts[places[0]].grip >= saw.safe_hold,
            square=not group.parts[places[0]].mitred,
            grade=group.parts[places[0]].grade,
        )
        for places in alike.values()
    )
    total = sum(piece.demand for piece in pieces)

    def source(
        of: StockLength | Offcut, id: str, kind: SourceKind, length: Length, ends: tuple[EndState, EndState],
        price: int, most: int, work: Work, counted: Fraction | int = 1,
    ) -> Source:  # fmt: skip
        # START is a sawn end where there is one: it needs no trim.
        start, far = sorted(ends, key=lambda end: end is EndState.MILL)
        start_trim = mill_trim if start is EndState.MILL else 0
        far_trim = mill_trim if far is EndState.MILL else 0
        return Source(
            id=id, kind=kind, length=length, start_trim=start_trim, far_trim=far_trim,
            room=length - start_trim - far_trim + saw.kerf, reach=length - start_trim,
            price=math.floor(price * counted) + work.per_bar, rate=min(rate, price * MM // length),
            per_cut=work.per_cut, per_setup=work.per_setup, most=most, grade=of.grade, far_end=far,
        )  # fmt: skip

    sources = []
    for offer in offers:
        price = (offer.bar_price or 0) if goal is Goal.MONEY else offer.mass
        most = total if offer.available is None else min(offer.available, total)
        mill = (EndState.MILL, EndState.MILL)
        work = workshop.work_on(offer.merchant) if goal is Goal.MONEY else NO_WORK
        counted = multipliers.get(offer.merchant, 1)
        sources.append(source(offer, offer.id, SourceKind.BOUGHT, offer.counted, mill, price, most, work, counted))
    for offcut in group.offcuts:
        price = offcut.book_value if goal is Goal.MONEY else 0
        ends = (offcut.end_a, offcut.end_b)
        work = workshop.work_on("") if goal is Goal.MONEY else NO_WORK
        most = min(offcut.quantity, total)
        sources.append(source(offcut, offcut.mark, SourceKind.OFFCUT, offcut.length, ends, price, most, work))
    problem = Problem(
        goal=goal,
        kerf=saw.kerf,
        pieces=pieces,
        sources=tuple(sources),
        hold=saw.safe_hold,
        keep=workshop.keep_length(group.section.family),
        most_kept=workshop.most_kept,
    )
    least = min((source.per_cut for source in sources), default=0)
    if not least or any(problem.uncut):
        return problem
    cheaper = tuple(replace(source, per_cut=source.per_cut - least) for source in sources)
    return replace(problem, sources=cheaper, cut_at_least=least)
