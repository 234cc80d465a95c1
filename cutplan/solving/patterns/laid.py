"""Sets judged by the best order they can be laid in, for spaces in which what a set takes depends on that."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from itertools import compress
from operator import mul
from typing import Generic, NamedTuple, Protocol, TypeVar

from cutplan.model import Part
from cutplan.solving.instance import Instance
from cutplan.solving.patterns.counts import fit_and_held
from cutplan.solving.patterns.laying import Counts, Kind
from cutplan.solving.patterns.space import Array, Placed, View
from cutplan.solving.solver_pieces import Pattern, Piece, Source
from cutplan.units import Length

MOST_SUMS = 4_000
"""Sums of lengths and gaps up to which it is worked out whether some bar can end flush."""


class Order(Protocol):
    """Parts in an order, and what that comes to before the end of the last is looked at.

    ``between`` is what lies between neighbours, ``strokes`` those up to the beginning of the last part;
    ``out_of_turn`` tells that the last part comes after parts that are cut to fit. [nm]
    """

    @property
    def between(self) -> Length:
        """[nm]"""

    @property
    def strokes(self) -> int:
        """Up to the beginning of the last part."""

    @property
    def out_of_turn(self) -> bool:
        """Does the last part come after parts that are cut to fit?"""


Some = TypeVar("Some", bound=Order)


class LastPart(NamedTuple):
    """The part laid last: the kerf of its far end, whether that is a mitre, and whether the vice can hold it. [nm]"""

    kerf: Length
    mitred: bool
    held: bool


@dataclass(frozen=True, kw_only=True)
class Laid(Generic[Some]):
    """A set as it is laid in a bar: the order of its kinds, and what that comes to.

    ``end`` is where the last part ends, from START; ``remainder`` what is left after its cut. [nm]
    ``cost`` is that of the bar, its left over counted by its value where it is kept. [cost unit]
    ``on_slant`` tells that the first part begins on a slanted end of the piece.
    """

    sequence: Some
    end: Length
    remainder: Length
    strokes: int
    cost: int
    on_slant: bool


@dataclass(frozen=True)
class LaidSpace(ABC, Generic[Some]):
    """What spaces of ordered parts have in common; see :class:`~cutplan.solving.patterns.space.PatternSpace`."""

    instance: Instance
    _laid: dict[tuple[int, Pattern, bool], Laid[Some] | None] = field(default_factory=dict, repr=False, compare=False)

    adds_up = False
    adds_up_on_pieces = False
    states = 1
    told_by_view = True
    beyond = ()

    def __reduce__(self) -> tuple[object, ...]:
        """What can be worked out again is not sent to another process."""
        return type(self), (self.instance,)

    @property
    @abstractmethod
    def kinds(self) -> Sequence[Kind]:
        """The kinds of parts, by number."""

    @property
    @abstractmethod
    def judged(self) -> bool:
        """See :class:`~cutplan.solving.patterns.space.PatternSpace`."""

    @cached_property
    def _kind_of(self) -> tuple[int, ...]:
        """The number of the kind of each piece."""
        return tuple([self.kinds.index(piece.kind) for piece in self.instance.pieces])

    @cached_property
    def _held_to_fit(self) -> tuple[bool, ...]:
        """Which pieces are cut to fit and long enough for the vice."""
        return tuple([piece.kind.to_fit and piece.held for piece in self.instance.pieces])

    @abstractmethod
    def views_for_bounds(self) -> tuple[View, ...]:
        """See :class:`~cutplan.solving.patterns.space.PatternSpace`."""

    @abstractmethod
    def view_for_plans(self) -> View:
        """See :class:`~cutplan.solving.patterns.space.PatternSpace`."""

    @abstractmethod
    def orders(self, counts: Counts, source: Source) -> Iterable[Some]:
        """Orders of so many parts of each kind that differ in a bar of a source."""

    def begun(self, source: Source) -> Sequence[Source]:
        """A source in each way in which a bar of it may be begun."""
        return (source,)

    @abstractmethod
    def last_part(self, order: Some) -> LastPart:
        """The part that an order ends with."""

    def laid(self, index: int, pattern: Pattern, *, kept: bool = True) -> Laid[Some] | None:
        """The cheapest way to lay a set in a bar of a source, of these the shortest; None when it cannot be laid."""
        key = index, pattern, kept
        if key not in self._laid:
            self._laid[key] = self.laid_in(self.instance.sources[index], pattern, kept=kept)
        return self._laid[key]

    def laid_in(self, bar: Source, pattern: Pattern, *, kept: bool = True) -> Laid[Some] | None:
        """The same in any bar, such as a piece of a source."""
        ways = (way for source in self.begun(bar) for way in self.ways(source, pattern, kept=kept))
        return min(ways, key=lambda way: (way.cost, way.end), default=None)

    def ways(self, source: Source, pattern: Pattern, *, kept: bool = True) -> Iterator[Laid[Some]]:
        """A set in each order that differs in a bar in which it fits and can be held so."""
        counts = [0] * len(self.kinds)
        # Of hundreds of parts a bar holds a few, and is asked for again and again.
        for kind, n in compress(zip(self._kind_of, pattern, strict=True), pattern):
            counts[kind] += n
        return self._ways(source, pattern, self.orders(tuple(counts), source), kept)

    def _ways(self, source: Source, pattern: Pattern, orders: Iterable[Some], kept: bool) -> Iterator[Laid[Some]]:
        """A set in each order in which it fits and can be held."""
        held_to_fit = any(compress(self._held_to_fit, pattern))
        for laid in self.outcomes(source, pattern, orders, kept):
            if laid.end > source.length - source.far_trim:
                continue
            short = laid.remainder < self.instance.hold
            if short and laid.strokes and not self.last_part(laid.sequence).held:
                continue
            # A part comes after those that are cut to fit only where the bar could not be held otherwise.
            if laid.sequence.out_of_turn and (not short or held_to_fit):
                continue
            yield laid

    def outcomes(self, source: Source, pattern: Pattern, orders: Iterable[Some], kept: bool) -> Iterator[Laid[Some]]:
        """What orders of a set come to, whether it fits or not."""
        instance = self.instance
        begins = source.start_trim + sum(map(mul, pattern, instance.lengths))
        bare = source.bare + instance.set_up(source, pattern)
        for order in orders:
            last = self.last_part(order)
            end = begins + order.between
            remainder = max(0, source.length - end - last.kerf)
            strokes = order.strokes + int(last.mitred or end < source.length)
            value = instance.value(source, remainder) if kept else 0
            cost = bare + strokes * source.per_cut - value
            yield Laid(
                sequence=order, end=end, remainder=remainder, strokes=strokes, cost=cost, on_slant=source.on_slant
            )

    def most_in_a_bar(
        self, kinds: Sequence[Kind], saved: Callable[[Piece], Length] = lambda _: 0
    ) -> tuple[Counts, int]:
        """How many parts of each kind there are, and how many a bar can hold where cuts of a part save so much. [nm]"""
        most = [0] * len(kinds)
        for piece in self.instance.pieces:
            most[kinds.index(piece.kind)] += piece.demand + piece.spares
        least = max(1, min(piece.length - saved(piece) for piece in self.instance.pieces))
        longest = max((source.length for source in self.instance.sources), default=0)
        return tuple(most), 1 + longest // least

    def can_be_cut(self, index: int, pattern: Pattern) -> bool:
        """Is there an order in which it can be laid?"""
        return any(pattern) and self.laid(index, pattern) is not None

    def which_can_be_cut(self, index: int, counts: Array, stopped: Callable[[], bool]) -> Array:
        """As they add up first, then each by its orders."""
        found = fit_and_held(self.instance, index, counts)
        found[found] = [not stopped() and self.can_be_cut(index, tuple(row)) for row in counts[found].tolist()]
        return found

    def thinned(self, index: int, pattern: Pattern) -> Pattern:
        """No set of a view for plans wants it."""
        return ()

    @abstractmethod
    def placed(
        self, source: Source, laid: Laid[Some], pattern: Pattern, parts: Sequence[Part], usual: Sequence[Part]
    ) -> list[Placed]:
        """The parts of a bar in the ``usual`` order, where they fit so and nothing is cheaper; else as ``laid``."""

    def in_order(self, index: int, pattern: Pattern, parts: Sequence[Part], usual: Sequence[Part]) -> list[Placed]:
        """See :meth:`placed`."""
        source, laid = self.instance.sources[index], self.laid(index, pattern)
        if laid is None:
            raise ValueError(f"a set cannot be laid in a bar of {source.id}")
        return self.placed(source, laid, pattern, parts, usual)

    def left(self, index: int, pattern: Pattern) -> Length:
        """[nm]"""
        laid = self.laid(index, pattern)
        return laid.remainder if laid else 0

    def cost(self, index: int, pattern: Pattern, *, kept: bool) -> int:
        """[cost unit]"""
        laid = self.laid(index, pattern, kept=kept)
        if laid is not None:
            return laid.cost
        source = self.instance.sources[index]
        return source.price + 2 * (sum(pattern) + 1) * source.per_cut + self.instance.set_up(source, pattern)

    def parted(self, index: int, pattern: Pattern) -> None:
        """Every bar comes whole."""


def parts_by_kind(kinds: Sequence[Kind], parts: Sequence[Part]) -> dict[Kind, list[Part]]:
    """The parts of each kind, the longest last, to be taken from the end."""
    waiting: dict[Kind, list[Part]] = {}
    for kind, part in sorted(zip(kinds, parts, strict=True), key=lambda one: (one[1].length, one[1].mark)):
        waiting.setdefault(kind, []).append(part)
    return waiting


def copies_of(pieces: Iterable[Piece]) -> tuple[tuple[Length, int], ...]:
    """Each length that differs, and how many parts of it there can be, the longest first. [nm]"""
    copies: Counter[Length] = Counter()
    for piece in pieces:
        copies[piece.length] += piece.demand + piece.spares
    return tuple(sorted(copies.items(), reverse=True))


@lru_cache(maxsize=1_000)
def add_up(copies: tuple[tuple[Length, int], ...], gaps: frozenset[Length], between: Length) -> bool:
    """Can some parts, with any of the gaps between neighbours, come to exactly ``between``?

    ``copies`` are lengths, each with how many there are of it. Which ends make a gap is left aside, so that more sums
    are counted than there are orders; beyond :data:`MOST_SUMS` it is assumed that they can. [nm]
    """
    if not gaps or not copies:
        return False
    least = min(gaps)
    if copies[-1][0] + least <= 0:
        return True  # a part more may make a bar no longer
    sums: set[Length] = set()
    for length, number in copies:
        latest = sums
        for placed in range(number):
            longer = {before + gap + length for before in latest for gap in gaps}
            if not placed:
                longer.add(length)
            latest = {one for one in longer if one <= between} - sums
            if not latest:
                break
            sums = sums | latest
            if len(sums) > MOST_SUMS:
                return True
    return between in sums
