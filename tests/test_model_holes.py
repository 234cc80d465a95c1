"""Where holes lie, which walls they pierce, and what cannot be drilled. Figures worked by hand from the sketch below.

Looking from end A:      face 1
                    face 4  +--+  face 2      an angle: leg 1 on top, its heel at the right, leg 2 hanging from it
                            +--+
                           face 3
"""

from __future__ import annotations

from typing import Any

import pytest

from cutplan.model import Allowance, Hole, Part, Purpose
from cutplan.model.holes import (
    ACROSS_MITRE,
    BEYOND_EDGE,
    NO_FACE,
    OUTSIDE,
    OVERLAPS,
    hole_faults,
    in_order,
    opposite_hand,
    walls,
)
from cutplan.units import MM
from tests.builders import mm, part_of


def hole(position: float | str, face: int = 1, across: float = 20, diameter: float = 10, **other: Any) -> Hole:
    return Hole(position=mm(position), face=face, across=mm(across), diameter=mm(diameter), **other)


def faults(of: Part, *holes: Hole) -> list[str]:
    return [fault.what for fault in hole_faults(of, holes)]


def test_a_through_hole_comes_out_of_the_far_face_mirrored() -> None:
    near, far = walls(hole(100, across=15), part_of("SHS 40x40x3"))
    assert (near.face, near.down, near.far) == (1, mm(15), False)
    assert (far.face, far.down, far.far) == (3, mm(25), True)
    assert len(walls(hole(100, through=False), part_of("SHS 40x40x3"))) == 1
    assert len(walls(hole(100, diameter=0), part_of("SHS 40x40x3"))) == 1, "nothing is drilled at a landing"


def test_the_heel_of_a_leg_is_the_edge_both_legs_share() -> None:
    angle = part_of("UA 60x40x5")
    assert [wall.down for wall in walls(hole(100, 1, 35), angle)] == [mm(25)]
    assert [wall.down for wall in walls(hole(100, 2, 35), angle)] == [mm(35)]
    other = part_of("UA 60x40x5", opposite_hand=True)
    assert [wall.down for wall in walls(hole(100, 1, 35), other)] == [mm(35)]
    assert [wall.down for wall in walls(hole(100, 2, 35), other)] == [mm(5)]


@pytest.mark.parametrize(
    ("asked", "what"),
    [
        (hole(5), []),
        (hole(4.9), [OUTSIDE]),
        (hole(995), []),
        (hole(995.1), [OUTSIDE]),
        (hole(1200), [OUTSIDE]),
        (hole(100, across=5), []),
        (hole(100, across=4.9), [BEYOND_EDGE]),
        (hole(100, across=36), [BEYOND_EDGE]),
        (hole(100, 5), [NO_FACE]),
        (hole(1000, diameter=0), []),
        (hole(1000.1, diameter=0), [OUTSIDE]),
        (hole(100, across=41, diameter=0), [BEYOND_EDGE]),
    ],
)
def test_within_the_part(asked: Hole, what: list[str]) -> None:
    assert faults(part_of("SHS 40x40x3"), asked) == what


def test_an_angle_has_two_legs() -> None:
    assert faults(part_of("EA 50x50x5"), hole(100, 3)) == [NO_FACE]


def test_clear_of_a_mitre_to_the_nanometre() -> None:
    """At 45 degrees a hole of 10 in the middle of 40 clears the cut from 20 + 5 x sqrt 2 = 27.0710678... on."""
    frame = part_of("SHS 40x40x3", mitres=(45, 45))
    assert faults(frame, hole("27.071068")) == []
    assert faults(frame, hole("27.071067")) == [ACROSS_MITRE]
    assert faults(frame, hole("972.928932")) == []
    assert faults(frame, hole("972.928933")) == [ACROSS_MITRE]
    assert faults(frame, hole(3)) == [OUTSIDE], "it passes the square end as well"


def test_a_through_hole_from_the_long_side_must_come_out_of_the_short_one() -> None:
    frame = part_of("SHS 40x40x3", mitres=(45, 45))
    assert faults(frame, hole(44, 2)) == [ACROSS_MITRE]
    assert faults(frame, hole(44, 2, through=False)) == []
    assert faults(frame, hole(45, 2)) == []


def test_allowances_are_no_part_of_where_holes_may_be() -> None:
    longer = part_of("SHS 40x40x3", allowances=(Allowance(purpose=Purpose.FIT, length=mm(20)),))
    assert faults(longer, hole(975)) == []
    assert faults(longer, hole(976)) == [OUTSIDE]


def test_overlaps() -> None:
    tube = part_of("SHS 40x40x3")
    assert faults(tube, hole(100), hole(110)) == [], "they touch in a point"
    assert faults(tube, hole(100), hole(109.9)) == [OVERLAPS]
    assert faults(tube, hole(100), hole(100)) == [OVERLAPS]
    assert faults(tube, hole(100), hole(100, 2)) == [], "crossed in a tube they share no metal"
    assert faults(tube, hole(100), hole(105, diameter=0)) == [], "a landing takes no metal"
    assert faults(tube, hole(100), hole(104, 3)) == [OVERLAPS], "the first comes out of face 3"
    assert faults(tube, hole(100), hole(104, 3, through=False)) == [OVERLAPS]
    assert faults(tube, hole(100, through=False), hole(104, 3, through=False)) == []
    assert faults(tube, hole(100, across=10), hole(106, across=18)) == [], "10 apart across the corner, 6 and 8"


def test_a_wide_hole_reaches_over_a_small_one_between() -> None:
    wide, small, last = hole(100, diameter=30), hole(118, across=6, diameter=4), hole(117, across=28)
    found = list(hole_faults(part_of("SHS 40x40x3"), (last, wide, small)))
    assert [(fault.hole, fault.other) for fault in found] == [(last, wide)], "17 along and 8 across: under 20"


def test_order_is_that_of_the_card() -> None:
    holes = (hole(200), hole(100, 2), hole(100, across=30), hole(100, across=10))
    assert [(h.face, h.position // MM, h.across // MM) for h in in_order(holes)] == [
        (1, 100, 10),
        (1, 100, 30),
        (1, 200, 20),
        (2, 100, 20),
    ]


def test_opposite_hand_is_a_mirror_image() -> None:
    """Faces 1 and 3 change places, so that face 2, where a mitred part is long, stays where it is."""
    tube = part_of("RHS 60x40x3", mitres=(45, 0))
    holes = (hole(100, 1, 20, through=False), hole(200, 2, 15, through=False))
    mirrored = opposite_hand(holes, tube)
    assert [(h.face, h.position // MM, h.across // MM) for h in mirrored] == [(2, 200, 25), (3, 100, 40)]
    assert opposite_hand(mirrored, tube) == in_order(holes), "mirrored twice it is as drawn"


def test_opposite_hand_of_a_mitre_across_the_narrow_side_swaps_2_and_4() -> None:
    rail = part_of("RHS 60x40x3", mitres=(45, 0), depth=mm(40))
    (mirrored,) = opposite_hand((hole(100, 2, 15, through=False),), rail)
    assert (mirrored.face, mirrored.across) == (4, mm(25))


def test_opposite_hand_of_an_angle_keeps_its_figures() -> None:
    holes = (hole(100, 1, 30), hole(200, 2, 30))
    assert opposite_hand(holes, part_of("EA 50x50x5")) == holes


@pytest.mark.parametrize("field", ["position", "across", "diameter"])
def test_figures_are_not_negative(field: str) -> None:
    whole: dict[str, Any] = {"position": 0, "face": 1, "across": 0}
    with pytest.raises(ValueError, match="not negative"):
        Hole(**whole | {field: -1})


def test_a_part_holds_no_hole_that_cannot_be_drilled() -> None:
    with pytest.raises(ValueError, match="A1: a hole cannot be drilled: it reaches beyond the part"):
        part_of("SHS 40x40x3", holes=(hole(1000),))
