"""The order in which the parts of one bar are laid where neighbours share cuts: which comes after which, and which of
them lie the other way about.

Parts whose ends are alike to their neighbours are of one kind. Two more of a kind that lies between two vertices go
there and back beside one that is there already, at no more than what two ends of each vertex need; one more of a kind
whose ends meet one another lies beside its like. So all orders that differ are those of one or two of each kind. Where
ends meet those of the other hand alone, as of angles, every part of a kind has to be placed; beyond a number of parts
some good orders are tried there, not all.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import TypeAlias

from cutplan.solving.patterns.laying import MOST_SETS, Counts, Kind, orders_by_next, out_of_turn, sets_within
from cutplan.solving.patterns.vertices import Vertex, ends_of
from cutplan.units import Length

Step: TypeAlias = tuple[int, bool]
"""A kind, and whether a part of it lies with end B towards START."""

Key: TypeAlias = tuple[Length, int, Step, bool]
"""What a walk comes to: what lies between neighbours, the strokes that part them, its last step, and whether that comes
after parts that are cut to fit without being one of them."""


@dataclass(frozen=True)
class Walk:
    """Parts in an order in which they are laid, as far as orders differ, and what that comes to.

    ``between`` is what lies between neighbours in all, ``strokes`` those up to the beginning of the last part;
    ``out_of_turn`` tells that the last part comes after parts that are cut to fit. ``alongside`` are the kinds
    of which more lie beside the first, how many, and whether to and fro. [nm]
    """

    steps: tuple[Step, ...]
    alongside: tuple[tuple[int, int, bool], ...]
    between: Length
    strokes: int
    out_of_turn: bool

    @property
    def last(self) -> Step:
        """The step to the last part."""
        return self.steps[-1]

    def in_full(self) -> tuple[Step, ...]:
        """Every part in its place."""
        waiting = {kind: (number, to_and_fro) for kind, number, to_and_fro in self.alongside}
        found: list[Step] = []
        for kind, turned in self.steps:
            found.append((kind, turned))
            number, to_and_fro = waiting.pop(kind, (0, False))
            found += [(kind, turned != (to_and_fro and k % 2 == 0)) for k in range(number)]
        return tuple(found)


@dataclass
class Walks:
    """Every order of parts of some kinds; what was worked out for one bar serves the next."""

    kinds: Sequence[Kind]
    most_sets: int = MOST_SETS
    _ways: dict[tuple[Step, Counts], dict[Key, Step | None]] = field(default_factory=dict, repr=False)
    _known: dict[tuple[Counts, bool, Vertex | None], list[Walk]] = field(default_factory=dict, repr=False)

    def __getstate__(self) -> dict[str, object]:
        """What can be worked out again is not sent to another process."""
        return {
            "kinds": self.kinds, "most_sets": self.most_sets, "_ways": {}, "_known": {}, "_ends": self._ends
        }  # fmt: skip

    def __post_init__(self) -> None:
        self._ends = [ends_of(kind) for kind in self.kinds]

    def near(self, step: Step) -> Vertex:
        """The end nearer START."""
        return self._ends[step[0]][step[1]]

    def far(self, step: Step) -> Vertex:
        """The end away from START."""
        return self._ends[step[0]][not step[1]]

    def tries_all(self, most: Counts, together: int, *, slanted: bool = False) -> bool:
        """Is every order tried of up to so many parts of each kind, and up to so many ``together``?

        With ``slanted`` walks may begin on a slanted end.
        """
        mixed = len({self.kinds[k].to_fit for k, n in enumerate(most) if n}) > 1
        limits = [
            max(self._looked_for(k, max(0, n - less), mixed, slanted) for less in (0, 1)) for k, n in enumerate(most)
        ]
        return sets_within(limits, together, self.most_sets) <= self.most_sets

    def of(self, counts: Counts, *, squared: bool, slant: Vertex | None = None) -> Iterator[Walk]:
        """One walk for each outcome that orders of these parts have, and that no other beats.

        ``squared`` tells that START is trimmed, which takes a stroke where the first end is square. With ``slant``
        walks begin with such an end, which is there and takes none.
        """
        less = self._less(counts, slant is not None)
        more = [(k, n - m, self._ends[k]) for k, (n, m) in enumerate(zip(counts, less, strict=True)) if n > m]
        alongside = tuple((k, n, a.of_either_hand != b.of_either_hand) for k, n, (a, b) in more)
        between = sum(n * (a.meeting + b.meeting) for _, n, (a, b) in more) // 2
        strokes = sum(n * (_with_its_like(a) + _with_its_like(b)) for _, n, (a, b) in more) // 2
        key = less, squared, slant
        if key not in self._known:
            all_tried = math.prod(n + 1 for n in less) <= self.most_sets
            self._known[key] = list((self._unbeaten if all_tried else self._some)(*key))
        for walk in self._known[key]:
            yield Walk(walk.steps, alongside, walk.between + between, walk.strokes + strokes, walk.out_of_turn)

    def as_given(self, steps: Sequence[Step], *, squared: bool, slant: Vertex | None = None) -> Walk:
        """What an order comes to, whether it pays or not."""
        joins = [(self.far(one), self.near(other)) for one, other in pairwise(steps)]
        return Walk(
            steps=tuple(steps),
            alongside=(),
            between=sum(one.gap(other) for one, other in joins),
            strokes=sum(one.strokes(other) for one, other in joins) + self._begin(steps[0], squared, slant),
            out_of_turn=False,
        )

    def turned_best(self, kinds: Sequence[int], *, squared: bool) -> list[Step]:
        """The steps of an order of kinds that take least, of those with fewest strokes; as listed where all is one."""
        best: dict[bool, tuple[Length, int, list[Step]]] = {}
        for place, kind in enumerate(kinds):
            after: dict[bool, tuple[Length, int, list[Step]]] = {}
            for turned in self._turns(kind):
                step = kind, turned
                near = self.near(step)
                if not place:
                    after[turned] = 0, int(squared or near.mitred), [step]
                    continue
                after[turned] = min(
                    (between + self.far(way[-1]).gap(near), strokes + self.far(way[-1]).strokes(near), [*way, step])
                    for between, strokes, way in best.values()
                )
            best = after
        return min(best.values())[2]

    def _begin(self, first: Step, squared: bool, slant: Vertex | None) -> int:
        """The strokes at START."""
        return int(slant is None and (squared or self.near(first).mitred))

    def _firsts(self, counts: Counts, slant: Vertex | None) -> Iterator[Step]:
        """The steps that a walk may begin with."""
        for kind, n in enumerate(counts):
            for turned in self._turns(kind) if n else ():
                if slant is None or self.near((kind, turned)) == slant:
                    yield kind, turned

    def _turns(self, kind: int) -> tuple[bool, ...]:
        one, other = self._ends[kind]
        return (False, True) if self.kinds[kind].may_turn and one != other else (False,)

    def _less(self, counts: Counts, slanted: bool) -> Counts:
        mixed = len({self.kinds[k].to_fit for k, n in enumerate(counts) if n}) > 1
        return tuple(self._looked_for(k, n, mixed, slanted) for k, n in enumerate(counts))

    def _looked_for(self, kind: int, number: int, mixed: bool, slanted: bool) -> int:
        """How many of a kind orders are looked for with; where the first end is given, two more, one to be that."""
        more = min(number, 2) if slanted else 0
        return self._that_differ(kind, number - more, mixed) + more

    def _that_differ(self, kind: int, number: int, mixed: bool) -> int:
        """How many of a kind an order needs to be looked for with."""
        one, other = self._ends[kind]
        turns = len(self._turns(kind))
        if one.meets(other) or one == other == one.of_either_hand:
            # In each way one lies beside its like; one of several may have to come after those that are cut to fit.
            return min(number, turns + int(mixed))
        if turns == 1 or one.hand or other.hand:
            return number
        most = 3 if mixed else 2
        return number if number <= most else 2 - number % 2 if not mixed else 2 + number % 2

    def _unbeaten(self, counts: Counts, squared: bool, slant: Vertex | None) -> Iterator[Walk]:
        """Of walks that end alike, those that no other beats both in what it takes and in strokes."""
        found: dict[Key, Step] = {}
        for first in self._firsts(counts, slant):
            begin = self._begin(first, squared, slant)
            for between, strokes, last, late in self._after(first, _without(counts, first[0])):
                found.setdefault((between, strokes + begin, last, late), first)
        for key in self._least(found):
            between, strokes, last, late = key
            first = found[key]
            begin = self._begin(first, squared, slant)
            rest = _without(counts, first[0])
            steps = (first, *self._followed(first, rest, (between, strokes - begin, last, late)))
            yield Walk(steps, (), between, strokes, late)

    def _some(self, counts: Counts, squared: bool, slant: Vertex | None) -> Iterator[Walk]:
        """From every beginning on the part that takes least beside the one before it, and one that can be held last."""
        held = [k for k, n in enumerate(counts) if n and self.kinds[k].held]
        for order in orders_by_next(counts, [*self._firsts(counts, slant)], held, lambda step: step[0], self._next):
            late = out_of_turn([self.kinds[k] for k, _ in order])
            if late is not None:
                yield replace(self.as_given(order, squared=squared, slant=slant), out_of_turn=late)

    def _next(self, last: Step, left: Sequence[int]) -> Step:
        """Of parts that are left the one that takes least after another; of these one of a kind of which most are."""
        far = self.far(last)
        waiting = [k for k, n in enumerate(left) if n]
        in_turn = [k for k in waiting if not self.kinds[k].to_fit] or waiting
        steps = [(k, turned) for k in in_turn for turned in self._turns(k)]
        return min(steps, key=lambda step: (far.gap(self.near(step)), -left[step[0]], step))

    def _after(self, last: Step, rest: Counts) -> dict[Key, Step | None]:
        """What laying ``rest`` after a part can come to, and the step that comes next on the way."""
        known = self._ways.get((last, rest))
        if known is None:
            known = self._ways[last, rest] = self._worked_out(last, rest)
        return known

    def _worked_out(self, last: Step, rest: Counts) -> dict[Key, Step | None]:
        if not any(rest):
            return {(0, 0, last, False): None}
        before, ends = self.kinds[last[0]], sum(rest) == 1
        far = self.far(last)
        found: dict[Key, Step | None] = {}
        for after, kind in enumerate(self.kinds):
            out_of_turn = before.to_fit and not kind.to_fit
            if not rest[after] or (out_of_turn and not (ends and kind.held)):
                continue
            for turned in self._turns(after):
                step = after, turned
                near = self.near(step)
                gap, parting = far.gap(near), far.strokes(near)
                for between, strokes, end, late in self._after(step, _without(rest, after)):
                    found.setdefault((between + gap, strokes + parting, end, late or out_of_turn), step)
        return {key: found[key] for key in self._least(found)}

    def _least(self, found: Iterator[Key] | dict[Key, Step] | dict[Key, Step | None]) -> list[Key]:
        least: list[Key] = []
        fewest: dict[tuple[Vertex, bool, bool], int] = {}
        # In order of length: a longer one is of use only with fewer strokes (or flush by chance, which is not looked
        # for), since what may still come depends on no more of a walk than its ending.
        for key in sorted(found):
            _, strokes, last, late = key
            ending = self.far(last), self.kinds[last[0]].held, late
            if strokes < fewest.get(ending, strokes + 1):
                fewest[ending] = strokes
                least.append(key)
        return least

    def _followed(self, last: Step, rest: Counts, key: Key) -> Iterator[Step]:
        """The steps on the way to a key."""
        while any(rest):
            step = self._after(last, rest)[key]
            assert step is not None
            yield step
            far, near = self.far(last), self.near(step)
            between, strokes, end, late = key
            rest = _without(rest, step[0])
            # Only the last part may be out of turn, so that what follows it comes after nothing.
            late = late and any(rest)
            key = (between - far.gap(near), strokes - far.strokes(near), end, late)
            last = step


def _with_its_like(end: Vertex) -> int:
    """Strokes that part it from an end it shares its cut with, or else from one as it is itself."""
    return 1 if end.joint else end.strokes(end)


def _without(counts: Counts, kind: int) -> Counts:
    return (*counts[:kind], counts[kind] - 1, *counts[kind + 1 :])
