"""Mitres of neighbours that share one cut: parts are turned and rolled so that as many slants meet as can.

A set is weighed by the best walk through the ends of its parts; for bounds and for pricing a few states of sets say
what that takes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

from cutplan.model import Part
from cutplan.model.placing import meet, placed_ends, ways_of
from cutplan.solving.patterns.hand_states import HandStates
from cutplan.solving.patterns.laid import Laid, LaidSpace, LastPart, add_up, copies_of, parts_by_kind
from cutplan.solving.patterns.laying import FEW_SETS, Counts, Kind
from cutplan.solving.patterns.space import Placed, View
from cutplan.solving.patterns.trail_states import Stated, TrailStates
from cutplan.solving.patterns.vertices import edge_of, ends_of, vertices_of
from cutplan.solving.patterns.walks import Step, Walk, Walks
from cutplan.solving.solver_pieces import Pattern, Piece, SlantedEnd, Source
from cutplan.units import Length, ceil_div


def stated(kinds: Sequence[Kind]) -> Stated:
    """The states of sets of parts of some kinds."""
    vertices = vertices_of(kinds)
    edges = tuple((vertices.index(a), vertices.index(b)) for a, b in map(edge_of, kinds))
    by_hand = any(vertex.hand for vertex in vertices)
    return Stated((HandStates if by_hand else TrailStates)(vertices, tuple(sorted(set(edges)))), edges)


@dataclass(frozen=True)
class JointWeighing:
    """Every part is counted with half of what lies between two ends of each of its vertices."""

    stated: Stated

    def kerf(self, kind: Kind) -> Length:
        """Half a nanometre is dropped; it may be less than nothing. [nm]"""
        one, other = edge_of(kind)
        return (one.meeting + other.meeting) // 2

    def cuts(self, kind: Kind) -> int:
        """One for every part: what pairs of ends need at least."""
        return 1

    def spared(self) -> Length:
        """[nm]"""
        return ceil_div(-self.stated.least, 2)

    def left_unsaid(self) -> Length:
        """The last part of a bar takes the kerf of its far end at least. [nm]"""
        return self.spared() - min(vertex.kerf for vertex in self.stated.states.vertices)

    def strokes_beyond(self, *, squared: bool, open_end: bool) -> int:
        """No less than none: what a set costs beyond that, its state shows."""
        return max(0, min(self.stated.states.strokes(squared=squared, open_end=open_end)))

    def ends_flush(self, served: Iterable[Piece], room: Length, most_steps: int) -> bool:
        """Is there a square end that the vice can hold last, and do some lengths and gaps add up to the bar?"""
        pieces = list(served)
        ends = {end for piece in pieces for end in ends_of(piece.kind)}
        gaps = frozenset(one.gap(other) for one in ends for other in ends)
        last = any(piece.held and not end.mitred for piece in pieces for end in ends_of(piece.kind))
        return last and add_up(copies_of(pieces), gaps, room - self.spared())


@dataclass(frozen=True)
class SharedCuts(LaidSpace[Walk]):
    """The pattern space of parts whose mitres may share a cut."""

    @cached_property
    def _walks(self) -> Walks:
        every = Walks(tuple(sorted({piece.kind for piece in self.instance.pieces})))
        most = self.most_in_a_bar(every.kinds, lambda piece: max(end.saved for end in ends_of(piece.kind)))
        return (
            every
            if every.tries_all(*most, slanted=any(source.slant for source in self.instance.sources))
            else replace(every, most_sets=FEW_SETS)
        )

    @cached_property
    def stated(self) -> Stated:
        """The states of sets of the pieces."""
        return stated([piece.kind for piece in self.instance.pieces])

    @cached_property
    def states(self) -> int:  # type: ignore[override]
        """Those of sets."""
        return len(self.stated.states.states)

    @property
    def kinds(self) -> Sequence[Kind]:
        """See :class:`Walks`."""
        return self._walks.kinds

    @cached_property
    def beyond(self) -> tuple[Length, ...]:  # type: ignore[override]
        """[nm]"""
        tips = (source.start_trim for source in self.instance.sources if source.slant)
        return (*((half - self.stated.least) // 2 for half in self.stated.states.halves), *tips)

    @cached_property
    def judged(self) -> bool:
        """Where a bar may end flush, an order that takes more may spare a stroke; that is not looked for.

        With one mitre such an order needs a stroke more elsewhere, or is the other way about no dearer.
        """
        if self._walks.most_sets == FEW_SETS or any(s.slant and s.flush for s in self.instance.sources):
            return False
        handed = any(kind.hand_a or kind.hand_b for kind in self.kinds)
        one_mitre = len(self.stated.states.vertices) <= 2 and not handed
        always_held = self.instance.hold == 0 or all(self.instance.held)
        return (one_mitre and always_held) or not any(source.flush for source in self.instance.sources)

    @cached_property
    def told_by_view(self) -> bool:  # type: ignore[override]
        """Does its state tell what a set takes? Where hands differ, if each part brings one end of either."""
        return self.stated.states.told_apart and all(
            not (kind.hand_a or kind.hand_b) or (kind.joint_a == kind.joint_b and kind.hand_a == -kind.hand_b)
            for kind in self.kinds
        )

    def orders(self, counts: Counts, source: Source) -> Iterable[Walk]:
        """See :class:`Walks`."""
        slant = source.slant.vertex if source.slant and source.on_slant else None
        return self._walks.of(counts, squared=source.start_trim > 0, slant=slant)

    def begun(self, source: Source) -> Sequence[Source]:
        """Squared, or its first mitre cut behind the tip; and on its slanted end, where some part can begin there."""
        return (source, source.as_slanted) if source.slant else (source,)

    def last_part(self, order: Walk) -> LastPart:
        """With its far end as it lies."""
        far = self._walks.far(order.last)
        return LastPart(far.kerf, far.mitred, self.kinds[order.last[0]].held)

    def views_for_bounds(self) -> tuple[View, ...]:
        """One view, with the states of sets."""
        instance = self.instance
        weighing = JointWeighing(self.stated)
        pieces = tuple(p._replace(take=p.length + weighing.kerf(p.kind), cuts=1) for p in instance.pieces)
        sources = tuple(
            replace(
                source,
                room=_behind(source) - source.far_trim + weighing.spared(),
                reach=_behind(source) + weighing.left_unsaid(),
                price=source.bare + source.per_cut * self.stated.fewest(source),
            )
            for source in instance.sources
        )
        return (View(pieces, sources, instance.demand, self.stated),)

    def view_for_plans(self) -> View:
        """The same rounded up; where states are too many to be told apart, as if no cut were shared.

        Where hands differ it depends on them too whether a part can begin on a slanted end, so that none does here.
        """
        instance, by_state = self.instance, self.told_by_view
        as_it_is = by_state and not any(kind.hand_a or kind.hand_b for kind in self.kinds)
        least = self.stated.least if by_state else -2 * min(vertex.kerf for vertex in self.stated.states.vertices)

        def take(kind: Kind) -> Length:
            one, other = ends_of(kind)
            return ceil_div(one.meeting + other.meeting, 2) if by_state else max(one.kerf, other.kerf)

        pieces = tuple(p._replace(take=p.length + take(p.kind), cuts=1) for p in instance.pieces)
        seen = instance.sources if as_it_is else [replace(source, slant=None) for source in instance.sources]
        sources = tuple(
            replace(source, room=_behind(source) - source.far_trim + -least // 2, reach=_behind(source))
            for source in seen
        )
        return View(pieces, sources, instance.demand, self.stated if by_state else None)

    def placed(
        self, source: Source, laid: Laid[Walk], pattern: Pattern, parts: Sequence[Part], usual: Sequence[Part]
    ) -> list[Placed]:
        """As usual, turned as is best, where nothing is lost by that; else in the best order."""
        instance = self.instance
        kinds = [piece.kind for piece, n in zip(instance.pieces, pattern, strict=True) for _ in range(n)]
        kind_of = {part.mark: self.kinds.index(kind) for kind, part in zip(kinds, parts, strict=True)}
        if laid.on_slant:
            return self._in_best_order(source, laid, kinds, parts)
        squared = source.start_trim > 0
        steps = self._walks.turned_best([kind_of[part.mark] for part in usual], squared=squared)
        (as_usual,) = self.outcomes(source, pattern, [self._walks.as_given(steps, squared=squared)], True)
        can_be_held = as_usual.remainder >= instance.hold or self.kinds[steps[-1][0]].held or not as_usual.strokes
        as_good = (as_usual.cost, as_usual.end, as_usual.strokes) <= (laid.cost, laid.end, laid.strokes)
        if can_be_held and as_good and not any(part.cut_to_fit for part in parts):
            return self._placed(usual, steps)
        return self._in_best_order(source, laid, kinds, parts)

    def _in_best_order(
        self, source: Source, laid: Laid[Walk], kinds: Sequence[Kind], parts: Sequence[Part]
    ) -> list[Placed]:
        waiting = parts_by_kind(kinds, parts)
        steps = list(laid.sequence.in_full())
        ordered = [waiting[self.kinds[kind]].pop() for kind, _ in steps]
        return self._placed(ordered, steps, source.slant if laid.on_slant else None)

    def _placed(self, parts: Sequence[Part], steps: Sequence[Step], slant: SlantedEnd | None = None) -> list[Placed]:
        """Each part rolled so that it meets the one before it, where they share a cut; the first a slanted end."""
        shared = [bool(self._joint(one, other)) for one, other in pairwise(steps)] + [False]
        found: list[Placed] = []
        for part, (_, turned), after in zip(parts, steps, shared, strict=True):
            ways = (way for way in ways_of(part) if way.turned == turned)
            if found and found[-1].shared:
                before = placed_ends(found[-1].part, found[-1].way)[1]
                ways = (way for way in ways if meet(before, placed_ends(part, way)[0]))
            elif slant and not found:
                ways = (way for way in ways if placed_ends(part, way)[0] == slant.lying)
            found.append(Placed(part, next(ways), after, on_slant=slant is not None and not found))
        return found

    def _joint(self, one: Step, other: Step) -> bool:
        return self._walks.far(one).meets(self._walks.near(other))


def _behind(source: Source) -> Length:
    """What a bar has from where its states count: its start trim, or with a slanted end its long point. [nm]"""
    return source.length if source.slant else source.length - source.start_trim
