"""What an end of a part looks like to its neighbour in a bar, and what lies between two ends that meet."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from cutplan.solving.patterns.laying import Joint, Kind
from cutplan.units import Length

SCARCER = 2
"""The hand of which a group has fewer ends, where bounds count what cuts save with these alone; the other is -2."""


class Vertex(NamedTuple):
    """Ends that are alike to their neighbours: the kerf of their cut, whether that is a mitre, and who shares it.

    A part is an edge between two vertices, and a bar a walk that goes through every part once. ``joint`` is empty
    where the cut is shared with nobody. Ends of one joint share it where their hands are opposite, or both 0. [nm]
    """

    kerf: Length
    mitred: bool
    joint: Joint = ()
    hand: int = 0

    @property
    def saved(self) -> Length:
        """How far two ends that share their cut reach into one another. [nm]"""
        return self.joint[-1] if self.joint else 0

    @property
    def meeting(self) -> Length:
        """From one part to the next where they share their cut; less than nothing where they reach further. [nm]"""
        return self.kerf - self.saved

    def meets(self, other: Vertex) -> bool:
        """Can one cut part two such ends?"""
        return self.joint == other.joint != () and self.hand == -other.hand

    def gap(self, other: Vertex) -> Length:
        """From one part to the next, where these ends meet. [nm]"""
        return self.meeting if self.meets(other) else max(self.kerf, other.kerf)

    def strokes(self, other: Vertex) -> int:
        """Strokes that part two such ends: one where both are square or share their cut."""
        return 1 if self.meets(other) else 1 + (self.mitred or other.mitred)

    @property
    def of_either_hand(self) -> Vertex:
        """The same where hands are left aside."""
        return self._replace(hand=0)


def ends_of(kind: Kind) -> tuple[Vertex, Vertex]:
    """End A and end B of parts of a kind."""
    return (
        Vertex(kind.kerf_a, kind.mitred_a, kind.joint_a, kind.hand_a),
        Vertex(kind.kerf_b, kind.mitred_b, kind.joint_b, kind.hand_b),
    )


def edge_of(kind: Kind) -> tuple[Vertex, Vertex]:
    """The same as bounds see it: as if any two ends of a joint met, which takes no more than the truth.

    Where one hand is marked as the scarcer, each end of it counts with all that a cut saves, those of the other with
    nothing.
    """
    one, other = ends_of(kind)
    return as_bounded(one), as_bounded(other)


def as_bounded(end: Vertex) -> Vertex:
    """An end of a part as bounds see it; see :func:`edge_of`."""
    if end.hand == SCARCER:
        return end._replace(joint=(2 * end.saved,))
    return end._replace(joint=(), hand=0) if end.hand == -SCARCER else end.of_either_hand


def vertices_of(kinds: Iterable[Kind]) -> tuple[Vertex, ...]:
    """All ends that differ, as bounds see them."""
    return tuple(sorted({end for kind in kinds for end in edge_of(kind)}))
