"""Parts with mitres, each sawn for itself: what a set takes depends on the order of its parts.

What adds up part by part, for bounds, is never more than a set really takes; the truth of each set is its best order.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from cutplan.model import Part
from cutplan.solving.instance import Instance
from cutplan.solving.patterns.adding import Adding
from cutplan.solving.patterns.counts import fit_and_held
from cutplan.solving.patterns.laying import CutSequence, CutSequences, Kind
from cutplan.solving.patterns.space import Array, View
from cutplan.solving.solver_pieces import Pattern, Piece, Source
from cutplan.units import Length


@dataclass(frozen=True)
class EndWeighing:
    """Every part is counted with one of its ends; see :mod:`cutplan.solving.patterns.adding`."""

    adding: Adding

    @classmethod
    def of(cls, kinds: Sequence[Kind], demand: Sequence[int]) -> EndWeighing:
        """``demand`` is how many parts there are of each kind."""
        return cls(Adding.of(kinds, demand))

    def kerf(self, kind: Kind) -> Length:
        """[nm]"""
        return self.adding.kerf(kind)

    def cuts(self, kind: Kind) -> int:
        """See :meth:`Adding.cuts`."""
        return self.adding.cuts(kind)

    def spared(self) -> Length:
        """[nm]"""
        return max(level.spared() for level in self.adding.levels())

    def left_unsaid(self) -> Length:
        """[nm]"""
        return self.adding.left_unsaid()

    def strokes_beyond(self, *, squared: bool, open_end: bool) -> int:
        """The least of all levels, and no less than none: what a set costs beyond that is seen by its level."""
        levels = self.adding.levels()
        return max(0, min(level.strokes_beyond(squared=squared, open_end=open_end) for level in levels))

    def ends_flush(self, served: Iterable[Piece], room: Length, most_steps: int) -> bool:
        """A square end may be."""
        return any(not piece.kind.mitred_b for piece in served)


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


@dataclass(frozen=True)
class Sequences:
    """The pattern space of parts of which some are mitred."""

    instance: Instance
    _laid: dict[tuple[int, Pattern, bool], Laid | None] = field(default_factory=dict, repr=False, compare=False)

    adds_up = False

    def __reduce__(self) -> tuple[object, ...]:
        """What can be worked out again is not sent to another process."""
        return Sequences, (self.instance,)

    @cached_property
    def adding(self) -> Adding:
        """How parts add up where order is left aside."""
        return Adding.of([piece.kind for piece in self.instance.pieces], self.instance.demand)

    @cached_property
    def sequences(self) -> CutSequences:
        """The sequences of parts that differ."""
        return CutSequences(tuple(sorted({piece.kind for piece in self.instance.pieces})))

    @cached_property
    def judged(self) -> bool:
        """Where two mitres differ, an order that ends flush may be overlooked."""
        return self.sequences.in_step or not any(source.flush for source in self.instance.sources)

    def laid(self, index: int, pattern: Pattern, *, kept: bool = True) -> Laid | None:
        """The cheapest way to lay a set in a bar of a source, of these the shortest; None when it cannot be laid."""
        key = index, pattern, kept
        if key not in self._laid:
            counts = [0] * len(self.sequences.kinds)
            for piece, n in zip(self.instance.pieces, pattern, strict=True):
                counts[self.sequences.kinds.index(piece.kind)] += n
            source = self.instance.sources[index]
            ways = (
                self._as_laid(source, pattern, order, kept)
                for order in self.sequences.of(tuple(counts), squared=source.start_trim > 0)
            )
            laid = [way for way in ways if way is not None]
            self._laid[key] = min(laid, key=lambda way: (way.cost, way.end), default=None)
        return self._laid[key]

    def _as_laid(self, source: Source, pattern: Pattern, order: CutSequence, kept: bool) -> Laid | None:
        """A set in this order; None where it does not fit or cannot be held."""
        instance, last = self.instance, self.sequences.kinds[order.last]
        laid = self._outcome(source, pattern, order, kept)
        if laid.end > source.length - source.far_trim:
            return None
        short = laid.remainder < instance.hold
        if (short and laid.strokes and not last.held) or (order.out_of_turn and not short):
            return None
        fitted = (piece for piece, n in zip(instance.pieces, pattern, strict=True) if n and piece.kind.to_fit)
        if order.out_of_turn and any(piece.held for piece in fitted):
            return None
        return laid

    def _outcome(self, source: Source, pattern: Pattern, order: CutSequence, kept: bool) -> Laid:
        """What an order of a set comes to, whether it fits or not."""
        instance, last = self.instance, self.sequences.kinds[order.last]
        length = sum(piece.length * n for piece, n in zip(instance.pieces, pattern, strict=True) if n)
        end = source.start_trim + length + order.between
        remainder = max(0, source.length - end - last.kerf_b)
        strokes = order.strokes + int(last.mitred_b or end < source.length)
        cost = source.bare + strokes * source.per_cut + instance.set_up(source, pattern)
        value = instance.value(source, remainder) if kept else 0
        return Laid(sequence=order, end=end, remainder=remainder, strokes=strokes, cost=cost - value)

    def can_be_cut(self, index: int, pattern: Pattern) -> bool:
        """Is there an order in which it can be laid?"""
        return any(pattern) and self.laid(index, pattern) is not None

    def which_can_be_cut(self, index: int, counts: Array) -> Array:
        """As they add up first, then each by its orders."""
        found = fit_and_held(self.instance, index, counts)
        found[found] = [self.can_be_cut(index, tuple(row)) for row in counts[found].tolist()]
        return found

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

    def views_for_bounds(self) -> tuple[View, ...]:
        """A view for each level of :class:`Adding`."""
        instance, found = self.instance, []
        for level in self.adding.levels():
            sources = tuple(_seen(source, level) for source in instance.sources)
            limits = tuple(
                n if p.kind in level.kinds else 0 for p, n in zip(instance.pieces, instance.demand, strict=True)
            )
            found.append(View(instance.pieces, sources, limits))
        return tuple(found)

    def view_for_plans(self) -> View:
        """With the wider kerf of each part, as if those of the longest kerfs came first."""
        instance = self.instance
        kerfs = [max(piece.kind.kerf_a, piece.kind.kerf_b) for piece in instance.pieces]
        pieces = tuple(
            replace(piece, take=piece.length + kerf) for piece, kerf in zip(instance.pieces, kerfs, strict=True)
        )
        sources = tuple(
            replace(
                source,
                room=source.length - source.start_trim - source.far_trim + min(kerfs),
                reach=source.length - source.start_trim,
            )
            for source in instance.sources
        )
        return View(pieces, sources, instance.demand)

    def in_order(self, index: int, pattern: Pattern, parts: Sequence[Part], usual: Sequence[Part]) -> list[Part]:
        """As usual, where they fit so and nothing is cheaper; else in the cheapest order."""
        instance, source = self.instance, self.instance.sources[index]
        laid = self.laid(index, pattern)
        if laid is None:
            raise ValueError(f"a set cannot be laid in a bar of {source.id}")
        kinds = [piece.kind for piece, n in zip(instance.pieces, pattern, strict=True) for _ in range(n)]
        kind_of = {part.mark: kind for kind, part in zip(kinds, parts, strict=True)}
        places = [self.sequences.kinds.index(kind_of[part.mark]) for part in usual]
        as_usual = self._outcome(source, pattern, self.sequences.as_given(places, squared=source.start_trim > 0), True)
        fits = as_usual.end <= source.length - source.far_trim
        can_be_held = as_usual.remainder >= instance.hold or kind_of[usual[-1].mark].held or not as_usual.strokes
        if fits and can_be_held and as_usual.cost <= laid.cost and not any(part.cut_to_fit for part in parts):
            return list(usual)
        waiting: dict[Kind, list[Part]] = {}
        for kind, part in sorted(zip(kinds, parts, strict=True), key=lambda one: (one[1].length, one[1].mark)):
            waiting.setdefault(kind, []).append(part)
        return [waiting[self.sequences.kinds[k]].pop() for k in laid.sequence.kinds]


def _seen(source: Source, level: Adding) -> Source:
    """A source with the room and the price it has for sets of one level."""
    strokes = level.strokes_beyond(squared=source.start_trim > 0, open_end=source.far_trim == 0)
    room = source.length - source.start_trim - source.far_trim + level.spared()
    return replace(source, room=room, price=source.bare + source.per_cut * strokes)
