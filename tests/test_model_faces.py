"""Which face is which, and where the ends of a part lie on each. Figures worked by hand from the sketch below.

Looking from end A:      face 1
                    face 4  +--+  face 2      an angle: leg 1 on top, its heel at the right, leg 2 hanging from it
                            +--+
                           face 3
"""

from __future__ import annotations

import pytest

from cutplan.model import Heel, Lean
from cutplan.model.faces import (
    Ends,
    down_from_edge,
    face_numbers,
    face_width,
    face_word,
    is_hollow,
    is_open,
    is_round,
    opposite,
    outline,
    slanted_face,
)
from cutplan.units import MM
from tests.builders import mm, part_of


def in_mm(lines: Ends) -> list[list[float]]:
    return [[at / MM for at in line] for line in lines]


def test_wide_faces_are_1_and_3() -> None:
    rhs = part_of("RHS 60x40x3").section
    assert [face_width(rhs, face) // MM for face in (1, 2, 3, 4)] == [60, 40, 60, 40]
    assert [opposite(face) for face in (1, 2, 3, 4)] == [3, 4, 1, 2]


def test_square_ends_are_straight_on_every_face() -> None:
    for face in (1, 2, 3, 4):
        assert in_mm(outline(part_of("RHS 60x40x3"), face)) == [[0, 0], [1000, 1000]]


def test_a_frame_member_is_long_on_face_2_and_short_on_face_4() -> None:
    frame = part_of("SHS 40x40x3", mitres=(45, 45))
    assert in_mm(outline(frame, 1)) == [[40, 0], [960, 1000]], "upper edge first"
    assert in_mm(outline(frame, 2)) == [[0, 0], [1000, 1000]]
    assert in_mm(outline(frame, 3)) == [[0, 40], [1000, 960]]
    assert in_mm(outline(frame, 4)) == [[40, 40], [960, 960]]


def test_a_brace_is_as_long_on_both_sides() -> None:
    brace = part_of("SHS 40x40x3", mitres=(45, 45), lean=Lean.PARALLEL)
    assert in_mm(outline(brace, 1)) == [[40, 0], [1000, 960]]
    assert in_mm(outline(brace, 2)) == [[0, 0], [960, 960]]
    assert in_mm(outline(brace, 4)) == [[40, 40], [1000, 1000]]


def test_a_mitre_across_the_narrow_side_shows_on_faces_2_and_4() -> None:
    rail = part_of("RHS 60x40x3", mitres=(45, 0), depth=mm(40))
    assert in_mm(outline(rail, 2)) == [[40, 0], [1000, 1000]]
    assert in_mm(outline(rail, 3)) == [[0, 0], [1000, 1000]]
    assert in_mm(outline(rail, 1)) == [[40, 40], [1000, 1000]]


def test_an_angle_is_long_at_the_heel_unless_said() -> None:
    frame = part_of("EA 50x50x5", mitres=(45, 0), heel=Heel.LONG_POINT)
    assert in_mm(outline(frame, 1)) == [[50, 0], [1000, 1000]], "the heel is the lower edge of leg 1"
    assert in_mm(outline(frame, 2)) == [[0, 0], [1000, 1000]], "the leg that stands up along the heel"
    short = part_of("EA 50x50x5", mitres=(45, 0), heel=Heel.SHORT_POINT)
    assert in_mm(outline(short, 1)) == [[0, 50], [1000, 1000]]
    assert in_mm(outline(short, 2)) == [[50, 50], [1000, 1000]]


def test_flanges_are_1_and_3_and_the_web_2_and_4() -> None:
    channel, beam = part_of("UPN 100").section, part_of("IPE 100").section
    assert [face_width(channel, face) // MM for face in (1, 2, 3)] == [50, 100, 50]
    assert [face_width(beam, face) // MM for face in (1, 2, 3, 4)] == [55, 100, 55, 100]
    assert (face_numbers(channel), face_numbers(beam)) == ((1, 2, 3), (1, 2, 3, 4))


def test_a_channel_is_measured_from_the_back_and_from_the_upper_flange() -> None:
    channel = part_of("UPN 100")
    assert [down_from_edge(channel, face, mm(30)) // MM for face in (1, 2, 3)] == [20, 30, 30]
    mirrored = part_of("UPN 100", opposite_hand=True)
    assert [down_from_edge(mirrored, face, mm(30)) // MM for face in (1, 2, 3)] == [30, 70, 20]


def test_both_sides_of_a_web_are_measured_from_the_upper_flange() -> None:
    beam = part_of("IPE 100")
    assert [down_from_edge(beam, face, mm(30)) // MM for face in (2, 4)] == [30, 70]


def test_the_web_of_a_beam_lies_midway_in_a_mitre_across_its_flanges() -> None:
    beam = part_of("IPE 100", mitres=(45, 0), depth=mm(55))
    assert in_mm(outline(beam, 1)) == [[55, 0], [1000, 1000]]
    assert in_mm(outline(beam, 2)) == in_mm(outline(beam, 4)) == [[27.5, 27.5], [1000, 1000]]


def test_the_web_of_a_channel_lies_at_the_long_point() -> None:
    channel = part_of("UPN 100", mitres=(45, 0), depth=mm(50))
    assert in_mm(outline(channel, 2)) == [[0, 0], [1000, 1000]]


def test_a_mitre_across_the_web() -> None:
    beam = part_of("IPE 100", mitres=(45, 0), depth=mm(100))
    assert slanted_face(beam) == 2
    assert in_mm(outline(beam, 2)) == [[100, 0], [1000, 1000]]
    assert in_mm(outline(beam, 3)) == [[0, 0], [1000, 1000]]
    assert in_mm(outline(beam, 1)) == [[100, 100], [1000, 1000]]


def test_an_opposite_hand_of_an_open_section_is_drawn_in_the_mirror() -> None:
    frame = part_of("EA 50x50x5", mitres=(45, 0), opposite_hand=True)
    assert in_mm(outline(frame, 1)) == [[0, 50], [1000, 1000]], "the heel has changed to the upper edge of leg 1"
    assert in_mm(outline(frame, 2)) == [[0, 0], [1000, 1000]]


@pytest.mark.parametrize(
    ("section", "kind"),
    [
        ("SHS 40x40x3", "hollow"),
        ("CHS 48.3x3.2", "round hollow"),
        ("RD 25", "round"),
        ("FL 50x6", ""),
        ("EA 50x50x5", "open"),
        ("UPN 100", "open"),
    ],
)
def test_kinds(section: str, kind: str) -> None:
    of = part_of(section).section
    found = [word for word, is_so in (("round", is_round), ("hollow", is_hollow), ("open", is_open)) if is_so(of)]
    assert " ".join(found) == kind
    assert face_word(of) == ("leg" if section.startswith("EA") else "face")
