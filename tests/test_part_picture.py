"""Parts as small pictures: mitres at their angles, holes where they are, all of it in the picture."""

from __future__ import annotations

import math
import re

import pytest

from cutplan.model import Part
from cutplan.reports.part_picture import part_picture, placed, shown_faces
from cutplan.reports.svg import Point
from cutplan.units import USUAL
from tests.builders import part_of
from tests.drilled import drilled, hole

PARTS = {
    "frame": part_of("SHS 40x40x3", 900, (45, 45)),
    "one end": part_of("SHS 40x40x3", 8000, (22.5, 0)),
    "steep and short": part_of("SHS 40x40x3", 300, (60, 60)),
    "holes and mitres": drilled("A", hole(200), hole(700, 2), mitres=(45, 30)),
    "many": drilled("A", *[hole(15 + 16 * i, size="8") for i in range(60)]),
    "all faces": drilled("A", *[hole(100 + 50 * f, f, 20, "9", through=False) for f in (1, 2, 3, 4)], length=4000),
    "tab": drilled("A", hole(30, across=20), section="FL 40x5", length=60),
    "angle": drilled("A", hole(100, 2, 30), section="EA 50x50x5", length=1200),
}


def corners(part: Part) -> list[tuple[Point, ...]]:
    """Of each face: end A above, end B above, end B below, end A below."""
    return [stroke.points for stroke in placed(part, shown_faces(part)).strokes if len(stroke.points) == 4]


@pytest.mark.parametrize("name", PARTS)
def test_all_of_it_is_in_the_picture(name: str) -> None:
    picture = placed(PARTS[name], shown_faces(PARTS[name]))
    for stroke in picture.strokes:
        assert all(0 <= x <= picture.width and 0 <= y <= picture.height for x, y in stroke.points)
    for text in picture.texts:
        left, _, right, _ = text.box
        assert left >= 0
        assert right <= picture.width


@pytest.mark.parametrize(("angle_a", "angle_b"), [(45, 45), (22.5, 0), (30, 60)])
def test_a_mitre_has_its_angle(angle_a: float, angle_b: float) -> None:
    """By the definition of the tangent, whatever the length of the part; a run is rounded up to 0.1 mm of 40."""
    for length in (400, 1500, 8000):
        ((a_up, b_up, b_down, a_down),) = corners(part_of("SHS 40x40x3", length, (angle_a, angle_b)))
        high = a_down[1] - a_up[1]
        assert (a_up[0] - a_down[0]) / high == pytest.approx(math.tan(math.radians(angle_a)), abs=0.1 / 40)
        assert (b_down[0] - b_up[0]) / high == pytest.approx(math.tan(math.radians(angle_b)), abs=0.1 / 40)


def test_a_short_part_is_to_scale_and_a_long_one_keeps_its_holes_in_order() -> None:
    tab = PARTS["tab"]
    (face,) = corners(tab)
    assert (face[1][0] - face[0][0]) / (face[3][1] - face[0][1]) == pytest.approx(60 / 40)
    picture = placed(PARTS["many"], shown_faces(PARTS["many"]))
    circles = [stroke.points for stroke in picture.strokes if len(stroke.points) > 20 and not stroke.fill]
    middles = [(points[0][0] + points[12][0]) / 2 for points in circles]
    assert len(middles) == 60
    assert middles == sorted(middles)


def test_only_what_differs_is_drawn() -> None:
    assert part_picture(part_of("SHS 40x40x3", 900), USUAL["mm"]) == ""
    assert [face for face, _ in shown_faces(PARTS["holes and mitres"])] == [1, 2]
    svg = part_picture(PARTS["holes and mitres"], USUAL["mm"])
    assert re.search('aria-label="(.*)"', svg.split(" font-family")[0]).group(1) == (  # type: ignore[union-attr]
        "A seen from outside, end A to the left; cut A 45°; cut B 30°; face 1: 200 from end A; face 2: 700 from end A"
    )
    assert "style=" not in svg, "which the content policy of a page forbids"
