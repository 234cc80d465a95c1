"""What a set takes beyond its parts, as far as it depends on the set: a few states, for any order that saves most.

A part is an edge between the vertices of its ends, counted with half of what lies between two ends of each. Ends of
one vertex pair off; a pair less saves less. How many pairs there are follows from Euler trails: with the two outer ends
joined and the walks that break off joined too, every vertex has an even number of ends and all hang together. So what a
set takes less than its parts are counted with depends on two things alone: which vertices have an odd number of ends,
and which hang together.

References
----------
L. Euler, Solutio problematis ad geometriam situs pertinentis, 1741 (trails), from memory; the rest was worked out here
and is held to trying every order and turn by ``tests/test_trail_states.py``.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, combinations_with_replacement, product
from typing import Any, Protocol, TypeAlias

from cutplan.solving.patterns.vertices import Vertex, as_bounded
from cutplan.solving.solver_pieces import Source
from cutplan.units import Length, ceil_div

MOST_VERTICES = 4
"""Kinds of ends up to which states are told apart. The checker tells as many."""

MOST_STATES = 130
"""States up to which they are told apart; else all count as the one that takes least. The checker tells as many."""

State: TypeAlias = tuple[tuple[int, ...], int]
"""Of every vertex the first of those it hangs together with, counted from 1, or 0 where no part has it; and a bit for
each vertex with an odd number of ends."""

Edge: TypeAlias = tuple[int, int]
"""The places of the vertices of a part's ends."""


@dataclass(frozen=True)
class TrailStates:
    """The states of sets of parts with some edges; the first is that of the empty set."""

    vertices: tuple[Vertex, ...]
    edges: tuple[Edge, ...]

    @cached_property
    def told_apart(self) -> bool:
        """Is there more than one state?"""
        return len(self.vertices) <= MOST_VERTICES and len(self._reached) <= MOST_STATES

    @cached_property
    def states(self) -> tuple[State, ...]:
        """Those that sets can be in."""
        return self._reached if self.told_apart else self._reached[:1]

    @cached_property
    def _reached(self) -> tuple[State, ...]:
        first: State = ((0,) * len(self.vertices), 0)
        if len(self.vertices) > MOST_VERTICES:
            return (first,)
        found = {first: None}
        waiting = [first]
        while waiting and len(found) <= MOST_STATES:
            state = waiting.pop()
            for edge in self.edges:
                after = _with(state, edge)
                if after not in found:
                    found[after] = None
                    waiting.append(after)
        return tuple(found)

    def turn(self, edge: Edge) -> int:
        """All parts lead to the same states in any order."""
        return 0

    def after(self, state: int, edge: Edge, copies: int) -> int:
        """The state with so many copies of an edge more, one or more; all by number."""
        if not self.told_apart:
            return 0
        known = self.states[state]
        # Only whether copies are odd or even counts: one or two stand for all.
        for _ in range(2 - copies % 2):
            known = _with(known, edge)
        return self._number[known]

    @cached_property
    def _number(self) -> dict[State, int]:
        return {state: number for number, state in enumerate(self.states)}

    @cached_property
    def halves(self) -> tuple[int, ...]:
        """By state what a set takes beyond the halves its parts are counted with, at least. [half nm]"""
        if not self.told_apart:
            return (-2 * max(vertex.meeting for vertex in self.vertices),)
        either = range(len(self.vertices))
        nothing = -2 * max(vertex.meeting for vertex in self.vertices)
        least = (self._least(state, either, self._jumps) for state in self.states)
        return tuple(nothing if half is None else half for half in least)

    def halves_from(self, first: Vertex, *, at_most: bool) -> tuple[int | None, ...]:
        """The same for walks that begin with such an end, at least or ``at_most``; None where there are none. [half nm]

        A walk that jumps from the single end of that vertex would begin with an end of another. Both are the same where
        no walk is better for that.
        """
        if not self.told_apart:
            return self.halves
        end = as_bounded(first)
        if end not in self.vertices:
            return (None,) * len(self.states)
        return self._halves_from[self.vertices.index(end), at_most]

    @cached_property
    def _halves_from(self) -> dict[tuple[int, bool], tuple[int | None, ...]]:
        found = {}
        for v, at_most in product(range(len(self.vertices)), (False, True)):
            without = {edge: cost for edge, cost in self._jumps.items() if v not in edge}
            found[v, at_most] = tuple(
                # An odd number of ends may be a single one.
                self._least(state, (v,), without if at_most and state[1] >> v & 1 else self._jumps)
                for state in self.states
            )
        return found

    @cached_property
    def _jumps(self) -> dict[Edge, int]:
        """What it takes more to go from an end of one vertex to one of another. [half nm]"""
        return {
            (a, b): 2 * max(self.vertices[a].kerf, self.vertices[b].kerf)
            - self.vertices[a].meeting
            - self.vertices[b].meeting
            for a, b in combinations(range(len(self.vertices)), 2)
        }

    def strokes(self, *, squared: bool, open_end: bool) -> tuple[int, ...]:
        """By state the strokes of a bar beyond one for each part, at least; an empty bar counts as one of square ends.

        Both outer ends may be of the vertex that takes least, even where a walk would end elsewhere.
        """
        return self._strokes[squared, open_end]

    def strokes_from(self, first: Vertex, *, open_end: bool) -> tuple[int, ...]:
        """The same for walks that begin with an end that is there already, where there are such."""
        return self._worked_out(squared=False, open_end=open_end, begun=True)

    @cached_property
    def _strokes(self) -> dict[tuple[bool, bool], tuple[int, ...]]:
        either = (False, True)
        return {(s, o): self._worked_out(squared=s, open_end=o) for s in either for o in either}

    def _worked_out(self, *, squared: bool, open_end: bool, begun: bool = False) -> tuple[int, ...]:
        if any(vertex.mitred and not vertex.joint for vertex in self.vertices):
            # Ends that share nothing take two strokes with their like too, so that a walk is not what takes fewest.
            return (-int(open_end or not squared),) * len(self.states)
        found = []
        for hangs, odd in self.states:
            there = [vertex for vertex, label in zip(self.vertices, hangs, strict=True) if label]
            mitred = bool(there) and all(vertex.mitred for vertex in there)
            together = [[v for v, label in enumerate(hangs) if label == each] for each in {*hangs} - {0}]
            # Each walk ends at two odd vertices; where none is odd, one closed walk takes in all that hang together.
            walks = sum(max(1, sum(odd >> v & 1 for v in each) // 2) for each in together)
            found.append(int(not begun and (squared or mitred)) + int(mitred or not open_end) + max(walks, 1) - 2)
        return tuple(found)

    def _least(self, state: State, firsts: Sequence[int], jumps: dict[Edge, int]) -> int | None:
        """For the best pair of outer ends, one of them of some vertices, with the jumps that a walk between them needs.

        None where there is no such walk.
        """
        there = [vertex for vertex, hangs in enumerate(state[0]) if hangs]
        usable = {edge: cost for edge, cost in jumps.items() if {*edge} <= {*there}}
        found = []
        for a, b in combinations_with_replacement(there, 2):
            between = _cheapest(_with(state, (a, b)), usable) if a in firsts or b in firsts else None
            if between is not None:
                found.append(between - self.vertices[a].meeting - self.vertices[b].meeting)
        return min(found, default=None)


def _cheapest(start: State, jumps: dict[Edge, int]) -> int | None:
    """Least cost of jumps after which every vertex has an even number of ends and all hang together; None if none."""
    # E. W. Dijkstra's shortest path (1959). It asks that no jump costs less than nothing, and none does: the wider of
    # two kerfs is no less than their mean, and ends that meet take no more than their kerf.
    costs, waiting = {start: 0}, [(0, start)]
    while waiting:
        cost, state = heapq.heappop(waiting)
        if not state[1] and len({*state[0]} - {0}) == 1:
            return cost
        for jump, more in jumps.items():
            after = _with(state, jump)
            if cost + more < costs.get(after, cost + more + 1):
                costs[after] = cost + more
                heapq.heappush(waiting, (cost + more, after))
    return None


def _with(state: State, edge: Edge) -> State:
    """The state with one more edge."""
    hangs, odd = list(state[0]), state[1]
    a, b = edge
    for vertex in edge:
        hangs[vertex] = hangs[vertex] or vertex + 1
        odd ^= 1 << vertex
    first, other = sorted((hangs[a], hangs[b]))
    return tuple(first if label == other else label for label in hangs), odd


@dataclass(frozen=True)
class Beyond:
    """By state, what sets take and cost beyond what their parts do. [steps; cost unit times whatever costs count]"""

    steps: tuple[int, ...]
    costs: tuple[Any, ...]


class States(Protocol):
    """States of sets, by number, the first that of the empty set; which come to what, see :class:`TrailStates`."""

    @property
    def vertices(self) -> tuple[Vertex, ...]:
        """The ends of parts, as bounds see them."""
        ...

    @property
    def told_apart(self) -> bool:
        """Is there more than one state?"""
        ...

    @property
    def states(self) -> Sequence[object]:
        """Those that sets can be in."""
        ...

    @property
    def halves(self) -> tuple[int, ...]:
        """By state what a set takes beyond the halves its parts are counted with, at least. [half nm]"""
        ...

    def after(self, state: int, edge: Edge, copies: int) -> int:
        """The state with so many copies of an edge more, one or more."""
        ...

    def halves_from(self, first: Vertex, *, at_most: bool) -> tuple[int | None, ...]:
        """The same for sets that begin with such an end, at least or at most; None where there are none. [half nm]"""
        ...

    def turn(self, edge: Edge) -> int:
        """Parts of a lower number are to be added before others: so states say most."""
        ...

    def strokes(self, *, squared: bool, open_end: bool) -> tuple[int, ...]:
        """By state the strokes of a bar beyond one for each part, at least."""
        ...

    def strokes_from(self, first: Vertex, *, open_end: bool) -> tuple[int, ...]:
        """The same where the first end is such a one and takes none."""
        ...


@dataclass(frozen=True)
class Stated:
    """The states of sets of an instance: the edge of each piece, and what its bars take and cost at least."""

    states: States
    edges: tuple[Edge, ...]

    @property
    def least(self) -> int:
        """What the state that takes least takes. [half nm]"""
        return min(self.states.halves)

    def start(self, counts: Sequence[int]) -> int:
        """The state of a set, by number."""
        state = 0
        for edge, n in sorted(zip(self.edges, counts, strict=True), key=lambda each: self.states.turn(each[0])):
            state = self.states.after(state, edge, n) if n else state
        return state

    def fewest(self, source: Source) -> int:
        """Strokes beyond one for each part that a bar takes at least, whatever it holds."""
        return min(self._strokes(source))

    def _halves(self, source: Source, *, up: bool) -> tuple[int, ...]:
        """By state what a set takes of a bar beyond the halves of its parts; no less with ``up``. [half nm]

        Of one with a slanted end from that on, which a part begins on where there is one, or else behind the tip.
        """
        behind = self.states.halves
        if source.slant is None:
            return behind
        pairs = zip(behind, self.states.halves_from(source.slant.vertex, at_most=up), strict=True)
        squared = ((one + 2 * source.start_trim, other) for one, other in pairs)
        return tuple(one if other is None else min(one, other) for one, other in squared)

    def beyond(self, step: Length, source: Source, unit: Any, *, up: bool) -> Beyond:
        """What states take beyond the least of them, rounded ``up`` to steps or down; and what their strokes cost."""
        takes = [half - self.least for half in self._halves(source, up=up)]
        steps = [ceil_div(take, 2 * step) if up else take // (2 * step) for take in takes]
        fewest = self.fewest(source)
        return Beyond(tuple(steps), tuple((n - fewest) * source.per_cut * unit for n in self._strokes(source)))

    def _strokes(self, source: Source) -> tuple[int, ...]:
        open_end = source.far_trim == 0
        found = self.states.strokes(squared=source.start_trim > 0, open_end=open_end)
        if source.slant is None:
            return found
        return tuple(map(min, found, self.states.strokes_from(source.slant.vertex, open_end=open_end)))
