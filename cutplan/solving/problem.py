"""One group as whole numbers: what the solver sees of a Group and a Workshop.

Lengths stay in nanometres here; :mod:`cutplan.solving.grid` divides them by the
working step. A pattern is a tuple of counts, one per part.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

from cutplan.model import EndState, Goal, Group, Offcut, SourceKind, StockLength, Workshop, serves
from cutplan.units import Length, kerf_along

Pattern: TypeAlias = tuple[int, ...]
"""How many of each part one bar holds, in the order of the group's parts."""


@dataclass(frozen=True, kw_only=True)
class Piece:
    """One part as the solver sees it.

    ``take`` is its length and its kerf; ``held`` tells that it is long enough
    for the vice; ``grade`` blank is served by any bar. [nm]
    """

    mark: str
    length: Length
    take: Length
    demand: int
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
        What one bar costs before the value of its left over. [cost unit]
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
    most: int
    grade: str
    far_end: EndState

    @property
    def trimmed(self) -> bool:
        """Does either end need a cut before the bar is used?"""
        return self.start_trim > 0 or self.far_trim > 0


@dataclass(frozen=True, kw_only=True)
class Problem:
    """One group in whole numbers.

    Parameters
    ----------
    hold
        Shortest length the vice may hold; 0 for no rule. [nm]
    keep
        Shortest left over that is kept. [nm]
    rate
        Value of a kept left over. [cost unit per mm]
    """

    goal: Goal
    kerf: Length
    pieces: tuple[Piece, ...]
    sources: tuple[Source, ...]
    hold: Length
    keep: Length
    rate: int

    @property
    def demand(self) -> Pattern:
        """How many of each part are wanted."""
        return tuple(piece.demand for piece in self.pieces)

    @cached_property
    def divisor(self) -> Length:
        """Greatest common divisor of what the parts take. [nm]"""
        return math.gcd(*(piece.take for piece in self.pieces))

    @cached_property
    def served(self) -> tuple[tuple[bool, ...], ...]:
        """For each source, which parts its grade serves."""
        return tuple(tuple(serves(s.grade, p.grade) for p in self.pieces) for s in self.sources)

    @cached_property
    def uncut(self) -> tuple[tuple[int, ...], ...]:
        """For each source, the parts it may serve whole, without any cut."""
        return tuple(
            tuple(
                i
                for i, (piece, ok) in enumerate(zip(self.pieces, served, strict=True))
                if ok and piece.square and piece.length == source.length and not source.trimmed
            )
            for source, served in zip(self.sources, self.served, strict=True)
        )

    @cached_property
    def cost_step(self) -> int:
        """Every plan's cost is a multiple of this, because every bar's is; 1 when left overs have a value."""
        if self.rate:
            return 1
        return math.gcd(*(source.price for source in self.sources)) or 1

    def single(self, i: int) -> Pattern:
        """The pattern of one part ``i`` alone."""
        return tuple(int(i == k) for k in range(len(self.pieces)))

    def fill(self, pattern: Sequence[int]) -> Length:
        """What a set takes from a bar. [nm]"""
        return sum(n * piece.take for n, piece in zip(pattern, self.pieces, strict=True))

    def value(self, remainder: Length) -> int:
        """Worth of a left over of that length. [cost unit]"""
        if remainder < self.keep or remainder <= 0:
            return 0
        return remainder * self.rate // 1_000_000

    def cost(self, source: Source, pattern: Sequence[int]) -> int:
        """Price of a bar less the value of what it leaves. [cost unit]"""
        return source.price - (self.value(source.reach - self.fill(pattern)) if self.rate else 0)

    def allowed(self, index: int, pattern: Sequence[int]) -> bool:
        """Can this set be cut from a bar of this source: grade, room and safe hold?"""
        source, served = self.sources[index], self.served[index]
        if any(n and not ok for n, ok in zip(pattern, served, strict=True)):
            return False
        fill = self.fill(pattern)
        if fill > source.room:
            return False
        if self.hold == 0 or source.reach - fill >= self.hold:
            return True
        if any(n and piece.held for n, piece in zip(pattern, self.pieces, strict=True)):
            return True
        return sum(pattern) == 1 and any(pattern[i] for i in self.uncut[index])


def problem_of(group: Group, workshop: Workshop, offers: Sequence[StockLength]) -> Problem:
    """The whole numbers of a group when only ``offers`` may be bought.

    The goal follows from the group, not from ``offers``, so that every choice of
    merchants is measured alike.
    """
    saw = workshop.saw
    goal = Goal.MONEY if group.priced else Goal.MASS
    rate = workshop.offcut_value(group.section.family) if goal is Goal.MONEY else 0
    trim = saw.end_trim + (0 if saw.end_trim_includes_cut else saw.kerf)
    mill_trim = 0 if saw.mill_ends_accepted or saw.end_trim == 0 else trim
    pieces = tuple(
        Piece(
            mark=part.mark,
            length=part.length,
            take=part.length + kerf_along(saw.kerf, part.steeper_angle),
            demand=part.quantity,
            held=part.grip >= saw.safe_hold,
            square=not part.mitred,
            grade=part.grade,
        )
        for part in group.parts
    )
    total = sum(piece.demand for piece in pieces)

    def source(
        of: StockLength | Offcut, id: str, kind: SourceKind, length: Length, ends: tuple[EndState, EndState],
        price: int, most: int,
    ) -> Source:  # fmt: skip
        # START is a sawn end where there is one: it needs no trim.
        start, far = sorted(ends, key=lambda end: end is EndState.MILL)
        start_trim = mill_trim if start is EndState.MILL else 0
        far_trim = mill_trim if far is EndState.MILL else 0
        return Source(
            id=id, kind=kind, length=length, start_trim=start_trim, far_trim=far_trim,
            room=length - start_trim - far_trim + saw.kerf, reach=length - start_trim,
            price=price, most=most, grade=of.grade, far_end=far,
        )  # fmt: skip

    sources = []
    for offer in offers:
        price = (offer.bar_price or 0) if goal is Goal.MONEY else offer.mass
        most = total if offer.available is None else min(offer.available, total)
        mill = (EndState.MILL, EndState.MILL)
        sources.append(source(offer, offer.id, SourceKind.BOUGHT, offer.counted, mill, price, most))
    for offcut in group.offcuts:
        price = offcut.book_value if goal is Goal.MONEY else 0
        ends = (offcut.end_a, offcut.end_b)
        sources.append(source(offcut, offcut.mark, SourceKind.OFFCUT, offcut.length, ends, price, 1))
    return Problem(
        goal=goal,
        kerf=saw.kerf,
        pieces=pieces,
        sources=tuple(sources),
        hold=saw.safe_hold,
        keep=workshop.keep_length(group.section.family),
        rate=rate,
    )
