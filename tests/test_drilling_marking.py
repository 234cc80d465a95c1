"""Marking cards: faces with something on them, sizes to drill, and parts that share a drilling jig."""

from __future__ import annotations

from dataclasses import replace

from cutplan.drilling.marking import PILOT_ABOVE, cards_of, jigs_of
from cutplan.model import Heel
from cutplan.units import INCH, MM
from tests.builders import part
from tests.drilled import drilled, drilled_job, hole


def test_a_card_for_every_part_with_something_on_it() -> None:
    parts = (drilled("A", hole(100)), part("B", 1, 900), drilled("C", hole(50, size="")))
    job = replace(drilled_job(parts[0])[0], parts=parts)
    assert [card.part.mark for card in cards_of(job)] == ["A", "C"]


def test_faces_of_a_tube_show_where_the_drill_comes_out() -> None:
    (card,) = cards_of(drilled_job(drilled("A", hole(300, 2), hole(100), hole(200, 4, size="")))[0])
    assert [(face, [(wall.hole.position // MM, wall.far) for wall in walls]) for face, walls in card.faces] == [
        (1, [(100, False)]),
        (2, [(300, False)]),
        (3, [(100, True)]),
        (4, [(200, False), (300, True)]),
    ]


def test_a_solid_section_shows_the_face_it_is_drilled_from() -> None:
    (card,) = cards_of(drilled_job(drilled("A", hole(100, across=25), section="FL 50x6"))[0])
    assert [face for face, _ in card.faces] == [1]


def test_sizes_largest_first_with_their_count() -> None:
    holes = (hole(100, size="M6 clear"), hole(200, size="M12 clear"), hole(300, size="M6 clear", through=False))
    (card,) = cards_of(drilled_job(drilled("A", *holes, hole(400, size="")))[0])
    assert [(line.name, line.each, line.walls, line.pilot) for line in card.drills] == [
        ("M12 clear", 1, 2, True),
        ("M6 clear", 2, 3, True),
    ]
    assert [line.metric.name for line in card.drills if line.metric] == ["13.5 mm", "6.6 mm"]
    assert PILOT_ABOVE == INCH // 4


def test_the_legs_of_an_opposite_hand_stand_the_other_way_round() -> None:
    part = drilled("A", hole(100, 1, 25), hole(200, 2, 25), section="EA 50x50x5", opposite_hand=True)
    (card,) = cards_of(drilled_job(part)[0])
    assert [face for face, _ in card.faces] == [2, 1], "so that the heel is between them"


def test_same_holes_from_end_a_whatever_the_length() -> None:
    parts = (
        drilled("A", hole(100), hole(200)),
        drilled("B", hole(100), hole(200), length=700),
        drilled("C", hole(100)),
    )
    assert [(jig.marks, jig.stop) for jig in jigs_of(parts)] == [(("A", "B"), "A")]


def test_same_holes_from_end_b() -> None:
    parts = (drilled("A", hole(900)), drilled("B", hole(600), length=700))
    assert [(jig.marks, jig.stop) for jig in jigs_of(parts)] == [(("A", "B"), "B")]


def test_what_end_a_serves_is_not_told_again_for_end_b() -> None:
    parts = (drilled("A", hole(100)), drilled("B", hole(100)))
    assert [jig.stop for jig in jigs_of(parts)] == ["A"]
    more = (*parts, drilled("C", hole(1000), length=2000))
    assert [(jig.marks, jig.stop) for jig in jigs_of(more)] == [(("A", "B"), "A")]
    other = (*parts, drilled("C", hole(200), length=1100))
    assert [(jig.marks, jig.stop) for jig in jigs_of(other)] == [(("A", "B"), "A"), (("A", "B", "C"), "B")]


def test_a_jig_fits_one_size_of_section_one_cut_and_one_hand() -> None:
    first = drilled("A", hole(100))
    for other in (
        drilled("B", hole(100, across=25), section="SHS 50x50x3"),
        drilled("B", hole(100), mitres=(45, 45)),
        drilled("B", hole(100, 3)),
        drilled("B", hole(100, size="12")),
        drilled("B", hole(100, through=False)),
        drilled("B", hole(100, size="")),
    ):
        assert jigs_of((first, other)) == ()
    assert jigs_of((first, drilled("B", hole(100), section="SHS 40x40x2"))), "a thinner wall does not matter"
    angle = drilled("A", hole(100, 1, 25), section="EA 50x50x5", heel=Heel.LONG_POINT)
    assert jigs_of((angle, replace(angle, mark="B", opposite_hand=True))) == ()
