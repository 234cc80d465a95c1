"""Ends that meet in a bar: what lies between them, and the strokes that part them."""

from __future__ import annotations

import pytest

from cutplan.solving.patterns.laying import Kind
from cutplan.solving.patterns.vertices import Vertex, ends_of, vertices_of

SQUARE = Vertex(25, False)
MITRE = Vertex(36, True, (45, 0, 400))
OTHER = Vertex(36, True, (45, 1, 600))
OWN = Vertex(36, True)


@pytest.mark.parametrize(
    ("one", "other", "gap", "strokes"),
    [
        (SQUARE, SQUARE, 25, 1),
        (SQUARE, MITRE, 36, 2),
        (MITRE, MITRE, -364, 1),
        (MITRE, OTHER, 36, 2),
        (OTHER, OTHER, -564, 1),
        (OWN, OWN, 36, 2),
        (OWN, MITRE, 36, 2),
    ],
)
def test_ends_that_meet(one: Vertex, other: Vertex, gap: int, strokes: int) -> None:
    assert (one.gap(other), one.strokes(other)) == (gap, strokes)
    assert (other.gap(one), other.strokes(one)) == (gap, strokes)


def test_ends_of_one_hand_meet_those_of_the_other() -> None:
    one, other = MITRE._replace(hand=1), MITRE._replace(hand=-1)
    assert one.meets(other)
    assert (one.gap(other), one.strokes(other)) == (36 - 400, 1)
    assert (one.gap(one), one.strokes(one)) == (36, 2)
    assert not one.meets(MITRE)
    assert one.of_either_hand == other.of_either_hand == MITRE
    kind = Kind(36, 36, True, True, True, False, MITRE.joint, MITRE.joint, False, 1, -1)
    assert ends_of(kind) == (one, other)
    assert vertices_of([kind]) == (MITRE,)


def test_the_ends_of_a_kind() -> None:
    kind = Kind(25, 36, False, True, True, False, (), (45, 0, 400), True)
    assert ends_of(kind) == (SQUARE, MITRE)
    assert vertices_of([kind, kind]) == (SQUARE, MITRE)
