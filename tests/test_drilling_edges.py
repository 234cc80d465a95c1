"""What holes come near to. Distances worked by hand; the factors are those of EN 1993-1-8, table 3.3."""

from __future__ import annotations

from typing import Any

from cutplan.drilling.edges import LEAST_EDGE, LEAST_PITCH, Near, edge_cautions
from cutplan.model import Part
from cutplan.units import MM
from tests.builders import mm
from tests.drilled import drilled, hole


def found(part: Part) -> list[tuple[Any, ...]]:
    return [(c.near, c.face, [at / MM for at in c.positions], c.found / MM, c.least / MM) for c in edge_cautions(part)]


def test_the_factors_are_those_of_the_standard() -> None:
    assert (LEAST_EDGE[0] / LEAST_EDGE[1], LEAST_PITCH[0] / LEAST_PITCH[1]) == (1.2, 2.2)


def test_ends_count_from_the_middle_of_the_hole() -> None:
    assert found(drilled("A", hole(12))) == []
    assert found(drilled("A", hole("11.9"))) == [(Near.END_A, 1, [11.9], 11.9, 12)]
    assert found(drilled("A", hole(990, through=False))) == [(Near.END_B, 1, [990], 10, 12)]


def test_a_mitred_end_is_measured_square_to_its_cut() -> None:
    """At 45 degrees, 36 from the long point and in the middle of 40: (36 - 20) / sqrt 2 = 11.3137085."""
    part = drilled("A", hole(36, through=False), mitres=(45, 0))
    ((near, _, _, distance, _),) = found(part)
    assert near is Near.END_A
    assert round(distance, 6) == 11.313708


def test_a_flat_has_free_edges_and_a_tube_has_not() -> None:
    assert found(drilled("A", hole(100, across=11), section="FL 50x6")) == [(Near.EDGE, 1, [100], 11, 12)]
    assert found(drilled("A", hole(100, across=11))) == []
    assert found(drilled("A", hole(100, across="7.9"))) == [(Near.CORNER, 1, [100], 0, 0)], (
        "7.9 - 5 is in the wall of 3"
    )


def test_the_toe_of_an_angle_is_free_and_its_heel_is_not() -> None:
    assert found(drilled("A", hole(100, across=40), section="EA 50x50x5")) == [(Near.EDGE, 1, [100], 10, 12)]
    assert found(drilled("A", hole(100, 2, 40), section="EA 50x50x5")) == [(Near.EDGE, 2, [100], 10, 12)]
    assert found(drilled("A", hole(100, across=9), section="EA 50x50x5")) == [(Near.CORNER, 1, [100], 0, 0)]
    mirrored = drilled("A", hole(100, across=40), section="EA 50x50x5", opposite_hand=True)
    assert found(mirrored) == [(Near.EDGE, 1, [100], 10, 12)]


def test_flanges_are_free_at_their_toes() -> None:
    assert found(drilled("A", hole(100, 1, 40), section="UPN 100")) == [(Near.EDGE, 1, [100], 10, 12)]
    assert found(drilled("A", hole(100, 3, 40), section="UPN 100")) == [(Near.EDGE, 3, [100], 10, 12)]


def test_pitch_counts_by_the_larger_hole() -> None:
    part = drilled("A", hole(100, size="8"), hole(120, size="10"), hole(300))
    assert found(part) == [(Near.HOLE, 1, [100, 120], 20, 22)]
    assert found(drilled("A", hole(100), hole(122))) == []


def test_holes_alike_are_one_caution() -> None:
    row = [hole(at, across=40) for at in (100, 200, 300)]
    assert found(drilled("A", *row, section="FL 50x6")) == [(Near.EDGE, 1, [100, 200, 300], 10, 12)]


def test_through_holes_that_meet_inside() -> None:
    part = drilled("A", hole(100), hole(105, 2))
    assert found(part) == [(Near.CROSSING, 1, [100], 0, 0), (Near.CROSSING, 2, [105], 0, 0)]
    assert found(drilled("A", hole(100), hole(110, 2))) == [], "side by side"
    assert found(drilled("A", hole(100, through=False), hole(105, 2))) == []
    assert found(drilled("A", hole(100, across=25), hole(105, 2, 25), section="EA 50x50x5")) == []


def test_a_round_section_has_no_edges_and_landings_none_of_it() -> None:
    assert found(drilled("A", hole(100, across="12.5"), section="RD 25")) == []
    assert found(drilled("A", hole(1, size=""))) == []


def test_least_is_told_in_nanometres() -> None:
    (caution,) = edge_cautions(drilled("A", hole(5)))
    assert (caution.found, caution.least, caution.diameter) == (mm(5), mm(12), mm(10))
