"""What an end of a part looks like to its neighbour in a bar, and what lies between two ends that meet."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from cutplan.solving.patterns.laying import Joint, Kind
from cutplan.units import Length


class Vertex(NamedTuple):
    """Ends that are alike to their neighbours: the kerf of their cut, whether that is a mitre, and who shares it.

    A part is an edge between two vertices, and a bar a walk that goes through every part once. ``joint`` is empty
    where the cut is shared with nobody. [nm]
    """

    kerf: Length
    mitred: bool
    joint: Joint = ()

    @property
    def saved(self) -> Length:
        """How far two such ends reach into one another. [nm]"""
        return self.joint[-1] if self.joint else 0

    @property
    def meeting(self) -> Length:
        """From one part to the next, where two such ends meet; less than nothing where they reach further. [nm]"""
        return self.kerf - self.saved

    def gap(self, other: Vertex) -> Length:
        """From one part to the next, where these ends meet. [nm]"""
        return self.meeting if self == other else max(self.kerf, other.kerf)

    def strokes(self, other: Vertex) -> int:
        """Strokes that part two such ends: one where both are square or share their cut."""
        return 1 if self == other and (self.joint or not self.mitred) else 1 + (self.mitred or other.mitred)


def ends_of(kind: Kind) -> tuple[Vertex, Vertex]:
    """End A and end B of parts of a kind."""
    return Vertex(kind.kerf_a, kind.mitred_a, kind.joint_a), Vertex(kind.kerf_b, kind.mitred_b, kind.joint_b)


def vertices_of(kinds: Iterable[Kind]) -> tuple[Vertex, ...]:
    """All ends that differ."""
    return tuple(sorted({end for kind in kinds for end in ends_of(kind)}))
