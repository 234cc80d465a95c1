"""Parts with mitres, each sawn for itself: what a set takes depends on the order of its parts.

What adds up part by part, for bounds, is never more than a set really takes; the truth of each set is its best order.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from cutplan.model import Part
from cutplan.solving.patterns.adding import Adding
from cutplan.solving.patterns.laid import Laid, LaidSpace, LastPart, add_up, copies_of, parts_by_kind
from cutplan.solving.patterns.laying import FEW_SETS, Counts, CutSequence, CutSequences, Kind
from cutplan.solving.patterns.space import Placed, View
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
        """Is there a square end B that the vice can hold last, and do some lengths and kerfs add up to the bar?"""
        pieces = list(served)
        kerfs = frozenset(kerf for piece in pieces for kerf in (piece.kind.kerf_a, piece.kind.kerf_b))
        last = any(piece.held and not piece.kind.mitred_b for piece in pieces)
        return last and add_up(copies_of(pieces), kerfs, room - self.spared())


@dataclass(frozen=True)
class Sequences(LaidSpace[CutSequence]):
    """The pattern space of parts of which some are mitred."""

    @cached_property
    def adding(self) -> Adding:
        """How parts add up where order is left aside."""
        return Adding.of([piece.kind for piece in self.instance.pieces], self.instance.demand)

    @cached_property
    def sequences(self) -> CutSequences:
        """The sequences of parts that differ."""
        every = CutSequences(tuple(sorted({piece.kind for piece in self.instance.pieces})))
        return every if every.tries_all(*self.most_in_a_bar(every.kinds)) else replace(every, most_sets=FEW_SETS)

    @cached_property
    def judged(self) -> bool:
        """Where two mitres differ, an order that ends flush may be overlooked."""
        if self.sequences.most_sets == FEW_SETS:
            return False
        return self.sequences.in_step or not any(source.flush for source in self.instance.sources)

    @property
    def kinds(self) -> Sequence[Kind]:
        """See :class:`CutSequences`."""
        return self.sequences.kinds

    def orders(self, counts: Counts, source: Source) -> Iterable[CutSequence]:
        """See :class:`CutSequences`."""
        return self.sequences.of(counts, squared=source.start_trim > 0)

    def last_part(self, order: CutSequence) -> LastPart:
        """With end B away from START, as every part lies."""
        last = self.kinds[order.last]
        return LastPart(last.kerf_b, last.mitred_b, last.held)

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
            piece._replace(take=piece.length + kerf) for piece, kerf in zip(instance.pieces, kerfs, strict=True)
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

    def placed(
        self, source: Source, laid: Laid[CutSequence], pattern: Pattern, parts: Sequence[Part], usual: Sequence[Part]
    ) -> list[Placed]:
        """As usual, where they fit so and nothing is cheaper; else in the cheapest order."""
        instance = self.instance
        kinds = [piece.kind for piece, n in zip(instance.pieces, pattern, strict=True) for _ in range(n)]
        kind_of = {part.mark: kind for kind, part in zip(kinds, parts, strict=True)}
        places = [self.kinds.index(kind_of[part.mark]) for part in usual]
        order = self.sequences.as_given(places, squared=source.start_trim > 0)
        (as_usual,) = self.outcomes(source, pattern, [order], True)
        fits = as_usual.end <= source.length - source.far_trim
        can_be_held = as_usual.remainder >= instance.hold or kind_of[usual[-1].mark].held or not as_usual.strokes
        if fits and can_be_held and as_usual.cost <= laid.cost and not any(part.cut_to_fit for part in parts):
            return [Placed(part) for part in usual]
        waiting = parts_by_kind(kinds, parts)
        return [Placed(waiting[self.kinds[k]].pop()) for k in laid.sequence.kinds]


def _seen(source: Source, level: Adding) -> Source:
    """A source with the room and the price it has for sets of one level."""
    strokes = level.strokes_beyond(squared=source.start_trim > 0, open_end=source.far_trim == 0)
    room = source.length - source.start_trim - source.far_trim + level.spared()
    return replace(source, room=room, price=source.bare + source.per_cut * strokes)
