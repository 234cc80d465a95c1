"""Parts of which some are mitred, on lengths that their merchant cuts into pieces for the carry.

A set is shared out among the pieces of a length, and on each piece it is laid in the best order there is. Bounds see
all pieces of a length as one bar, in which the parts of each lie behind those of the piece before it: what lies between
two pieces is then no wider than the cut that parts them, and every shared cut stays shared.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from typing import Any

from cutplan.model import Carrying, Part
from cutplan.solving.instance import Instance
from cutplan.solving.patterns.carried import ForCarry, as_bar, longest_first, ordered_lengths
from cutplan.solving.patterns.laid import Laid, LaidSpace
from cutplan.solving.patterns.sharing_out import MOST_SEARCHED
from cutplan.solving.patterns.space import CarriedPiece, Parted, Placed, View
from cutplan.solving.solver_pieces import Pattern, Source
from cutplan.units import MM, Length


@dataclass(frozen=True)
class _Pieces:
    """The pieces of a length while parts are put on them: those of each, and what each is to be counted on for.

    Parts come longest first, so that pieces with the same parts have the same list of them. ``most`` is what all pieces
    are, ``need`` what one with such trims has to be for such a list, if any will do. [nm]
    """

    trims: Sequence[tuple[Length, Length]]
    held: list[list[int]]
    needs: list[Length]
    most: Length
    need: Callable[[tuple[Length, Length], tuple[int, ...]], Length | None]

    def fullest_first(self) -> list[int]:
        """The places of the pieces."""
        return sorted(range(len(self.needs)), key=lambda place: (-self.needs[place], self.trims[place]))

    def put(self, i: int, place: int) -> bool:
        """Put one part more on a piece, if that is still within the carry and all pieces within the length."""
        self.held[place].append(i)
        need = self.need(self.trims[place], tuple(self.held[place]))
        if need is None or sum(self.needs) - self.needs[place] + need > self.most:
            self.held[place].pop()
            return False
        self.needs[place] = need
        return True

    def take_off(self, place: int) -> None:
        """Take the last part off again."""
        self.held[place].pop()
        left = self.need(self.trims[place], tuple(self.held[place])) if self.held[place] else MM
        assert left is not None
        self.needs[place] = left


@dataclass(frozen=True)
class MitresForCarry(ForCarry):
    """The pattern space of parts of which some are mitred, where some lengths are cut for the carry.

    ``laid_by`` makes the space that lays the parts of one bar or piece; a length is cut into ``most_further`` pieces
    more than need be at most, since with further ones every bound sees it as one bar.
    """

    laid_by: Callable[[Instance], LaidSpace[Any]] = field(kw_only=True)
    most_further: int = field(kw_only=True)
    _needs: dict[tuple[Length, Length, Length, tuple[int, ...]], Length | None] = field(
        default_factory=dict, repr=False, compare=False
    )

    adds_up_on_pieces = False

    def __reduce__(self) -> tuple[object, ...]:
        """What can be worked out again is not sent to another process."""
        made = partial(type(self), laid_by=self.laid_by, most_further=self.most_further)
        return made, (self.instance, self.most_tried)

    @cached_property
    def whole(self) -> LaidSpace[Any]:
        """How bars are cut that come as they are."""
        return self.laid_by(self.instance)

    @property
    def states(self) -> int:
        """Those of sets in a bar."""
        return self.whole.states

    @property
    def told_by_view(self) -> bool:
        """As of bars that come as they are."""
        return self.whole.told_by_view

    @property
    def beyond(self) -> tuple[Length, ...]:
        """[nm]"""
        return self.whole.beyond

    def thinned(self, index: int, pattern: Pattern) -> Pattern:
        """Of a set that cannot be shared out, what can: the longest first, each on the fullest piece with room."""
        source = self.instance.sources[index]
        if source.carrying is None:
            return ()
        pieces = self._pieces(source, source.carrying, source.carrying.least)
        counts = [0] * len(pattern)
        for i in longest_first(self.instance, pattern):
            counts[i] += next((1 for place in pieces.fullest_first() if pieces.put(i, place)), 0)
        return tuple(counts)

    def _in_pieces(self, index: int, pattern: Pattern) -> Parted | None:
        """A set shared out among as few pieces of a length as can be; None where it cannot be, or no way was found."""
        key = index, pattern
        if key not in self._parted:
            source = self.instance.sources[index]
            assert source.carrying is not None
            least = source.carrying.least
            numbers = range(least, max(least, min(sum(pattern), least + self.most_further)) + 1)
            ways = (self._shared_out(source, source.carrying, number, pattern) for number in numbers)
            self._parted[key] = next((way for way in ways if way is not None), None)
            if self._parted[key] is None and sum(pattern) > numbers[-1]:
                self._unsure.append(1)
        return self._parted[key]

    def _shared_out(self, source: Source, carry: Carrying, number: int, pattern: Pattern) -> Parted | None:
        """The same for so many pieces. More of them than need be are all cut from."""
        pieces, items, tried = self._pieces(source, carry, number), longest_first(self.instance, pattern), 0
        if self.instance.fill(pattern) > pieces.most + number * max(0, _spared(source)):
            return None
        if len(items) > MOST_SEARCHED:
            if all(any(pieces.put(i, place) for place in pieces.fullest_first()) for i in items):
                return self._as_bars(source, carry, pieces)
            self._unsure.append(1)
            return None

        def placed(k: int) -> bool:
            nonlocal tried
            if k == len(items):
                return number == carry.least or all(pieces.held)
            seen = set()
            for place in pieces.fullest_first():
                alike = (pieces.trims[place], *pieces.held[place])
                if alike in seen or tried >= self.most_tried:
                    continue
                seen.add(alike)
                tried += 1
                if pieces.put(items[k], place):
                    if placed(k + 1):
                        return True
                    pieces.take_off(place)
            return False

        found = placed(0)
        if found:
            return self._as_bars(source, carry, pieces)
        if tried >= self.most_tried or not self._longer_with_more:
            self._unsure.append(1)
        return None

    @cached_property
    def _longer_with_more(self) -> bool:
        """Does a part more make every row longer, and none that the vice could not hold before one that it can?

        Else a row that is refused may be the beginning of one that is not.
        """
        if self.instance.hold and not all(piece.held for piece in self.instance.pieces):
            return False
        joints = [joint for p in self.instance.pieces for joint in (p.kind.joint_a, p.kind.joint_b) if joint]
        saved = max((joint[2] for joint in joints), default=0)
        return all(piece.length >= 2 * saved for piece in self.instance.pieces)

    def _pieces(self, source: Source, carry: Carrying, number: int) -> _Pieces:
        """So many pieces of a length from which nothing is cut."""
        trims = [carry.trims(number, place + 1) for place in range(number)]
        held: list[list[int]] = [[] for _ in range(number)]
        return _Pieces(
            trims=trims,
            held=held,
            # A piece that is left whole is a millimetre long at least.
            needs=[MM] * number,
            most=carry.ordered(number) - number * carry.tolerance,
            need=partial(self._need, source, carry),
        )

    def _as_bars(self, source: Source, carry: Carrying, pieces: _Pieces) -> Parted | None:
        """Pieces as bars of their own, with what each is ordered by."""
        ordered = ordered_lengths(carry, pieces.needs)
        bare = source.bare - (carry.least - 1) * carry.charge
        found = []
        for place, held in enumerate(pieces.held):
            bar, pattern = as_bar(source, bare, carry, ordered, place, _spared(source)), self._counted(held)
            if not held:
                found.append(CarriedPiece(pattern, bar, bar.length))
                continue
            laid = self.whole.laid_in(bar, pattern)
            if laid is None:
                # Of a longer piece more is left, by which an order that was allowed may be so no longer.
                self._unsure.append(1)
                return None
            found.append(CarriedPiece(pattern, bar, laid.remainder, partial(self.whole.placed, bar, laid, pattern)))
        return Parted(ordered, tuple(found))

    def _counted(self, held: Sequence[int]) -> Pattern:
        """Parts one by one as a set."""
        counts = [0] * len(self.instance.pieces)
        for i in held:
            counts[i] += 1
        return tuple(counts)

    def _need(
        self, source: Source, carry: Carrying, trims: tuple[Length, Length], held: tuple[int, ...]
    ) -> Length | None:
        """The least that a piece with such trims is counted on for to lay parts on; None beyond the carry. [nm]"""
        start, far = trims
        key = start, far, carry.longest, held
        if key not in self._needs:
            longest = carry.longest - carry.tolerance
            bar = replace(source, length=longest, start_trim=start, far_trim=far, carrying=None)
            ways = self.whole.ways(bar, self._counted(held))
            self._needs[key] = min((self._least_length(bar, way) for way in ways), default=None)
        return self._needs[key]

    def _least_length(self, bar: Source, way: Laid[Any]) -> Length:
        last, hold = self.whole.last_part(way.sequence), self.instance.hold
        if last.held or not hold or way.remainder < hold:
            return way.end + bar.far_trim
        return max(way.end + bar.far_trim, way.end + last.kerf + hold)

    def _paid(self, source: Source, parted: Parted, *, kept: bool) -> int:
        """What all pieces of a length cost, less what is left over of them where that is kept. [cost unit]"""
        work, values = 0, []
        for held, bar, left, _ in parted.pieces:
            values.append(self.instance.value(bar, left))
            laid = self.whole.laid_in(bar, held) if any(held) else None
            work += laid.cost + values[-1] if laid else bar.bare
        return work - (self._value_kept(values) if kept else 0)

    def views_for_bounds(self) -> tuple[View, ...]:
        """Those of bars that come as they are; of what pieces leave, more may be left than of one bar."""
        return tuple(self._with_reach(view) for view in self.whole.views_for_bounds())

    def _with_reach(self, view: View) -> View:
        pairs = zip(view.sources, self.instance.sources, strict=True)
        return replace(
            view, sources=tuple(replace(seen, reach=own.reach) if own.carrying else seen for seen, own in pairs)
        )

    def view_for_plans(self) -> View:
        """That of bars that come as they are: what cannot be shared out is thinned."""
        return self.whole.view_for_plans()

    def in_order(self, index: int, pattern: Pattern, parts: Sequence[Part], usual: Sequence[Part]) -> list[Placed]:
        """Of bars that come as they are."""
        return self.whole.in_order(index, pattern, parts, usual)


def _spared(source: Source) -> Length:
    """The most that sets in a bar of a source take less than their parts are counted with. [nm]"""
    return source.room - (source.length - source.start_trim - source.far_trim)
