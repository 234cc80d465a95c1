"""States of sets where ends meet those of the other hand alone, as of angles: by how many there are more of one.

Every shared cut needs an end of either hand. So each end of the scarcer hand of a group is counted with all that a cut
saves, and in a set each of them that finds no other has to give that back; so has one where all ends would pair off
and every part has a mitre at both ends or at none: the mitres at the ends of such a row share no cut. Of the ends that
find none only some are told apart, and sets with more of them are seen at less than they take.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import NamedTuple

from cutplan.solving.patterns.trail_states import Edge
from cutplan.solving.patterns.vertices import SCARCER, Vertex

MOST_LACKING = 10
"""Ends of the scarcer hand without another that are told apart. The checker tells as many. Own choice."""

MOST_OVER = 1
"""Ends of the other hand beyond those: one more changes nothing."""


class HandState(NamedTuple):
    """By how many ends of the other hand outnumber the scarcer one, within limits; whether there are mitres.

    ``linked`` tells that some part has a mitre at one end alone, beside which a square one can lie.
    """

    excess: int = 0
    linked: bool = False
    mitred: bool = False
    empty: bool = True


_ANY = HandState(MOST_OVER + 1, True, True, False)
"""Of a set with more ends of the other hand than are told apart, to which ends of the scarcer came after that."""


@dataclass(frozen=True)
class HandStates:
    """The states of sets of parts with some edges; the first is that of the empty set.

    ``vertices`` are square, of the scarcer hand, and mitred else.
    """

    vertices: tuple[Vertex, ...]
    edges: tuple[Edge, ...]

    told_apart = True

    @cached_property
    def states(self) -> tuple[HandState, ...]:
        """Those that sets can be in."""
        found = {HandState(): None}
        waiting = [HandState()]
        while waiting:
            state = waiting.pop()
            # So many copies at once lead from the least to the greatest excess; more change nothing.
            for edge, copies in product(self.edges, range(1, MOST_LACKING + MOST_OVER + 1)):
                after = self._with(state, edge, copies)
                if after not in found:
                    found[after] = None
                    waiting.append(after)
        return tuple(found)

    def after(self, state: int, edge: Edge, copies: int) -> int:
        """The state with so many copies of an edge more, one or more; all by number."""
        return self._number[self._with(self.states[state], edge, copies)]

    def turn(self, edge: Edge) -> int:
        """By how much a part raises the excess: in rising order parts lead to the states that say most."""
        return sum(map(self._raises, edge))

    @cached_property
    def _number(self) -> dict[HandState, int]:
        return {state: number for number, state in enumerate(self.states)}

    @cached_property
    def halves(self) -> tuple[int, ...]:
        """By state what a set takes beyond the halves its parts are counted with, at least. [half nm]"""
        saved = max(vertex.saved for vertex in self.vertices) // 2
        return tuple(2 * saved * self._unpaired(state) - 2 * self._outer(state) for state in self.states)

    def halves_from(self, first: Vertex, *, at_most: bool) -> tuple[int, ...]:
        """The same at least, whichever end comes first; plans see none of this. [half nm]"""
        return self.halves

    def strokes(self, *, squared: bool, open_end: bool) -> tuple[int, ...]:
        """By state the strokes of a bar beyond one for each part, at least."""
        return (-int(open_end or not squared),) * len(self.states)

    def strokes_from(self, first: Vertex, *, open_end: bool) -> tuple[int, ...]:
        """The same where the first end is there already."""
        return self.strokes(squared=False, open_end=open_end)

    def _outer(self, state: HandState) -> int:
        """The most that the two outer ends are counted with for cuts between parts."""
        only_square = not (state.empty or state.mitred)
        return max(vertex.kerf for vertex in self.vertices if not (only_square and vertex.mitred))

    @staticmethod
    def _unpaired(state: HandState) -> int:
        if state.excess > 0 or not state.mitred:
            return 0
        return -state.excess if state.linked else max(1, -state.excess)

    def _raises(self, vertex: int) -> int:
        if self.vertices[vertex].hand == SCARCER:
            return -1
        return int(self.vertices[vertex].mitred)

    def _with(self, state: HandState, edge: Edge, copies: int) -> HandState:
        more = copies * self.turn(edge)
        if state == _ANY or (state.excess == MOST_OVER and more < 0):
            return _ANY
        mitred = [self.vertices[vertex].mitred for vertex in edge]
        return HandState(
            min(MOST_OVER, max(-MOST_LACKING, state.excess + more)),
            state.linked or mitred[0] != mitred[1],
            state.mitred or any(mitred),
            False,
        )
