"""The numbers of the faces stand where the model has them: clockwise from the top, seen from end A."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from cutplan.reports.face_picture import face_pictures
from cutplan.units import INCHES, MILLIMETRES
from tests.drilled import drilled, hole


def places(svg: str) -> dict[str, tuple[float, float]]:
    nodes = ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")
    return {str(node.text): (float(node.attrib["x"]), float(node.attrib["y"])) for node in nodes}


@pytest.mark.parametrize(
    ("section", "faces"),
    [
        ("SHS 40x40x3", "1234"),
        ("RHS 60x40x3", "1234"),
        ("FL 50x6", "1234"),
        ("CHS 42.4x3.2", "1234"),
        ("EA 50x50x5", "12"),
        ("UPN 100", "123"),
        ("IPE 100", "1234"),
    ],
)
def test_numbers_stand_around_the_section(section: str, faces: str) -> None:
    (picture,) = face_pictures([drilled("A", hole(100), section=section)], MILLIMETRES)
    found = places(picture["svg"])
    assert "".join(sorted(found)) == faces
    assert found["1"][1] < found["2"][1], "face 1 on top"
    assert found["2"][0] > found["1"][0], "face 2 to the right"
    if "3" in found:
        assert found["3"][1] > found["2"][1]
    if "4" in found:
        assert found["4"][0] < found["1"][0]
    assert picture["words"].startswith("Seen from end A: ")


def test_the_opposite_hand_of_an_angle_has_its_heel_at_the_left() -> None:
    (picture,) = face_pictures([drilled("A", hole(100), section="EA 50x50x5", opposite_hand=True)], MILLIMETRES)
    found = places(picture["svg"])
    assert found["2"][0] < found["1"][0]


def test_sections_of_one_kind_share_a_picture() -> None:
    names = ("SHS 40x40x3", "RHS 60x40x3", "FL 50x6")
    parts = [drilled(name, hole(100), section=name) for name in names]
    assert [picture["names"] for picture in face_pictures(parts, MILLIMETRES)] == ["SHS, RHS", "FL"]
    assert [picture["names"] for picture in face_pictures(parts, INCHES)] == ["HSS", "flat"]
