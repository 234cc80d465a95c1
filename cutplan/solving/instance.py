"""One group in whole numbers: its pieces, its sources, what a bar is allowed and what it costs.

Lengths stay in nanometres here; :mod:`cutplan.solving.pricing` divides them by the
working step. Parts that are laid alike are one piece, so that a pattern, a tuple
of counts, has one count for each different piece.

What a pattern takes, and whether a bar can be cut to it, its pattern space says. ``take``, ``room`` and ``reach`` are
such that what adds up is never more than a set really takes.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from operator import mul

from cutplan.model import Goal, Split, serves
from cutplan.solving.patterns.space import PatternSpace, View
from cutplan.solving.solver_pieces import Pattern, Piece, Source
from cutplan.units import MM, Length


@dataclass(frozen=True)
class Block:
    """The bars of one source within component bounds: the least and the most they hold of each piece.

    ``kept`` tells those whose left over is kept and counted by its value from those where it counts nothing; None is
    both.

    References
    ----------
    F. Vanderbeck, On Dantzig-Wolfe decomposition in integer programming and ways to perform branching in a
    branch-and-price algorithm, Operations Research 48 (2000), from memory.
    """

    source: int
    least: Pattern
    most: Pattern
    kept: bool | None = None

    def has(self, pattern: Sequence[int], *, kept: bool = False) -> bool:
        """Is a bar of the source that is cut to ``pattern``, its left over ``kept`` or not, among them?"""
        if self.kept not in (None, kept):
            return False
        return all(low <= n <= high for low, n, high in zip(self.least, pattern, self.most, strict=True))

    def divided(self, split: Split) -> tuple[Block, Block]:
        """The bars that a split, by a piece or by what is kept, leaves where they are, and those that it takes."""
        if split.kept:
            return replace(self, kept=False), replace(self, kept=True)
        piece, copies = split.part, split.copies
        few = (*self.most[:piece], min(copies - 1, self.most[piece]), *self.most[piece + 1 :])
        many = (*self.least[:piece], max(copies, self.least[piece]), *self.least[piece + 1 :])
        return replace(self, most=few), replace(self, least=many)


@dataclass(frozen=True, kw_only=True)
class Instance:
    """One group in whole numbers.

    Parameters
    ----------
    hold
        Shortest length the vice may hold; 0 for no rule. [nm]
    keep
        Shortest left over that is kept. [nm]
    space_of
        Makes the pattern space of an instance.
    most_kept
        How many left overs may be kept; None is no limit.
    cut_at_least
        What a cut costs on the bar where it costs least. Every square part is cut once, so this much is the same in
        every plan and stands outside of all costs here; 0 where the number of strokes depends on the set.
    """

    goal: Goal
    kerf: Length
    pieces: tuple[Piece, ...]
    sources: tuple[Source, ...]
    hold: Length
    keep: Length
    space_of: Callable[[Instance], PatternSpace]
    most_kept: int | None = None
    cut_at_least: int = 0

    @cached_property
    def demand(self) -> Pattern:
        """How many of each part are wanted."""
        return tuple(piece.demand for piece in self.pieces)

    @property
    def outside(self) -> int:
        """What every plan costs on top of all that is counted here. [cost unit]"""
        return self.cut_at_least * sum(self.demand)

    @cached_property
    def space(self) -> PatternSpace:
        """All ways of cutting a bar, and how they are weighed."""
        return self.space_of(self)

    def keeping(self, most: int | None) -> Instance:
        """The same where so many left overs may be kept."""
        return self if most == self.most_kept else replace(self, most_kept=most)

    def seen(self, view: View) -> Instance:
        """The instance as a view of its space shows it."""
        return replace(self, pieces=view.pieces, sources=view.sources)

    @cached_property
    def divisor(self) -> Length:
        """Greatest common divisor of what sets can take. [nm]"""
        return math.gcd(*self.takes, *self.space.beyond)

    @cached_property
    def blocks(self) -> tuple[Block, ...]:
        """All bars of each source."""
        nothing = (0,) * len(self.pieces)
        return tuple(Block(source, nothing, self.demand) for source in range(len(self.sources)))

    @cached_property
    def served(self) -> tuple[tuple[bool, ...], ...]:
        """For each source, which parts its grade serves."""
        asked = {piece.grades for piece in self.pieces}
        answers = [{grades: serves(source.grade, grades) for grades in asked} for source in self.sources]
        return tuple(tuple([served[piece.grades] for piece in self.pieces]) for served in answers)

    @cached_property
    def takes(self) -> tuple[Length, ...]:
        """What each piece takes. [nm]"""
        return tuple(piece.take for piece in self.pieces)

    @cached_property
    def lengths(self) -> tuple[Length, ...]:
        """How long each piece is. [nm]"""
        return tuple([piece.length for piece in self.pieces])

    @cached_property
    def longest_first(self) -> tuple[int, ...]:
        """The pieces, those that take most first."""
        return tuple(sorted(range(len(self.pieces)), key=lambda i: (-self.pieces[i].take, i)))

    @cached_property
    def held(self) -> tuple[bool, ...]:
        """Which pieces are long enough for the vice."""
        return tuple([piece.held for piece in self.pieces])

    @cached_property
    def unserved(self) -> tuple[tuple[int, ...], ...]:
        """For each source, the parts its grade does not serve."""
        return tuple(tuple(i for i, ok in enumerate(served) if not ok) for served in self.served)

    @cached_property
    def uncut(self) -> tuple[tuple[int, ...], ...]:
        """For each source, the parts it may serve whole, without any cut."""
        return tuple(
            ()
            if source.trimmed or source.carrying
            else tuple(
                i
                for i, (piece, ok) in enumerate(zip(self.pieces, served, strict=True))
                if ok and piece.square and piece.length == source.length
            )
            for source, served in zip(self.sources, self.served, strict=True)
        )

    @cached_property
    def valued(self) -> bool:
        """Has the left over of any source a value?"""
        return any(source.rate for source in self.sources)

    @cached_property
    def sharing(self) -> tuple[int, ...]:
        """For each piece, how many pieces share its set-up, whose money is divided among them where it must add up."""
        settings = Counter(piece.setting for piece in self.pieces)
        return tuple(settings[piece.setting] for piece in self.pieces)

    @cached_property
    def cost_step(self) -> int:
        """Every plan's cost is a multiple of this, because every bar's is; 1 when left overs have a value."""
        if self.valued:
            return 1
        charges = [money for s in self.sources if s.carrying for money in (s.carrying.charge, s.per_stroke)]
        return math.gcd(*charges, *(money for s in self.sources for money in (s.price, s.per_cut, s.per_setup))) or 1

    @property
    def most_earned(self) -> int:
        """What empty bars could bring in, were they bought for their left overs: 0 where no bar costs less than that.

        A minimum order that is paid anyway makes such prices.
        """
        return sum(source.most * max(0, self.value(source, source.untouched) - source.price) for source in self.sources)

    @cached_property
    def flat(self) -> bool:
        """Does a bar of one source cost the same whatever is cut from it?"""
        if any(source.carrying and (source.carrying.charge or source.per_stroke) for source in self.sources):
            return False  # a smaller set may be shared out among fewer pieces
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

    def left(self, index: int, pattern: Pattern) -> Length:
        """What a set leaves of a bar that it may be cut from. [nm]"""
        return self.space.left(index, pattern)

    def value_left(self, index: int, pattern: Pattern) -> int:
        """Worth of what a set leaves of a bar, were it kept. [cost unit]"""
        source = self.sources[index]
        return self.value(source, self.left(index, pattern)) if source.rate else 0

    def set_up(self, source: Source, pattern: Sequence[int]) -> int:
        """What setting the saw for a set counts for. [cost unit]"""
        if not source.per_setup:
            return 0
        return source.per_setup * len({p.setting for p, n in zip(self.pieces, pattern, strict=True) if n})

    def cost(self, index: int, pattern: Pattern, *, kept: bool = True) -> int:
        """What a bar cut to a set costs; its left over counts by its value where it is ``kept``. [cost unit]

        Of a set that cannot be laid it is more than any that can.
        """
        return self.space.cost(index, pattern, kept=kept)

    def allowed(self, index: int, pattern: Sequence[int]) -> bool:
        """Can this set be cut from a bar of this source: grade, room and safe hold?"""
        return self.fill(pattern) <= self.sources[index].room and self.may_be_cut(index, tuple(pattern))

    def may_be_cut(self, index: int, pattern: Pattern) -> bool:
        """The same of a set that has room in the bar."""
        unserved = self.unserved[index]
        if unserved and any(pattern[i] for i in unserved):
            return False
        return self.space.can_be_cut(index, pattern)
