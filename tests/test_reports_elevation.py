"""The elevation of a card: to scale, in its place, no text over another or off the paper, whatever the part."""

from __future__ import annotations

import re
from itertools import combinations

import pytest

from cutplan.drilling.marking import cards_of
from cutplan.model import Part
from cutplan.reports.elevation import elevation
from cutplan.reports.svg import Placed, written
from cutplan.units import USUAL
from tests.drilled import drilled, drilled_job, hole

WIDTH = 186.0


def drawn(part: Part, unit: str = "mm", width: float = WIDTH) -> Placed:
    (card,) = cards_of(drilled_job(part)[0])
    return elevation(card, USUAL[unit], width)


CLOSE = (100, 106, 112, 118, 124, 980, 990)
NASTY = {
    "sixty holes": drilled("A", *[hole(15 + 16 * i, size="8") for i in range(60)]),
    "holes close together": drilled("A", *[hole(at, size="5") for at in CLOSE], length=8000),
    "tiny tab": drilled("A", hole(12, across=20), hole(48, across=20), section="FL 40x5", length=60),
    "all faces": drilled("A", *[hole(100 + 50 * f, f, 20, "9", through=False) for f in (1, 2, 3, 4)], length=4000),
    "steep mitres": drilled("A", hole(500), hole(200, 2), mitres=(60, 60)),
    "angle": drilled("A", hole(100, 1, 30), hole(150, 2, 30), section="EA 50x50x5", length=1200),
    "opposite hand": drilled("A", hole(100, 1, 30), hole(150, 2, 30), section="EA 50x50x5", opposite_hand=True),
    "two thousandths of a part": drilled("A", hole(3000, size="3"), length=12000),
}


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("name", NASTY)
def test_texts_stand_apart_and_on_the_paper(name: str, unit: str) -> None:
    placed = drawn(NASTY[name], unit)
    for text in placed.texts:
        left, top, right, bottom = text.box
        assert left >= -0.01, text
        assert right <= placed.width + 0.01, text
        assert top >= -0.01, text
        assert bottom <= placed.height + 0.01, text
    for one, other in combinations(placed.texts, 2):
        a, b = one.box, other.box
        apart = a[2] <= b[0] + 0.01 or b[2] <= a[0] + 0.01 or a[3] <= b[1] + 0.01 or b[3] <= a[1] + 0.01
        assert apart, (one, other)


@pytest.mark.parametrize("name", NASTY)
def test_every_stroke_is_on_the_paper(name: str) -> None:
    placed = drawn(NASTY[name])
    for stroke in (*placed.strokes, *placed.leaders):
        for x, y in stroke.points:
            assert -0.01 <= x <= placed.width + 0.01
            assert -0.9 <= y <= placed.height + 0.01


def test_running_dimensions_are_those_of_the_part_and_large() -> None:
    placed = drawn(drilled("A", hole(50), hole(125), hole(700, 2, size="")))
    figures = [text for text in placed.texts if text.points >= 11]
    assert [text.text for text in figures] == ["50", "125", "1000", "700", "1000"], "of faces that are marked out"


def test_holes_are_to_scale_along_the_part() -> None:
    placed = drawn(drilled("A", hole(250), hole(750)))
    crosses = [s for s in placed.strokes if len(s.points) == 2 and s.points[0][1] == s.points[1][1]]
    middles = [(s.points[0][0] + s.points[1][0]) / 2 for s in crosses]
    outline = next(s for s in placed.strokes if len(s.points) == 5)
    left, right = outline.points[0][0], outline.points[1][0]
    assert [round((middle - left) / (right - left), 6) for middle in middles] == [0.25, 0.75]


def test_a_short_part_is_drawn_in_its_own_proportions() -> None:
    placed = drawn(NASTY["tiny tab"])
    outline = next(s for s in placed.strokes if len(s.points) == 5)
    (left, top), (right, _), (_, bottom) = outline.points[:3]
    assert round((right - left) / (bottom - top), 6) == 60 / 40


def test_a_mitre_leans_as_cut() -> None:
    placed = drawn(drilled("A", hole(200), mitres=(45, 0), length=400))
    outline = next(s for s in placed.strokes if len(s.points) == 5)
    upper_left, _, _, lower_left, _ = outline.points
    assert round((upper_left[0] - lower_left[0]) / (lower_left[1] - upper_left[1]), 6) == 1


def test_where_a_hole_comes_out_is_dashed_and_has_no_cross() -> None:
    landing = hole(500, 3, size="")  # face 3 is drawn for what lands there, and the hole of face 1 comes out on it
    one_wall, through = (drawn(drilled("A", hole(100, through=t), landing)) for t in (False, True))
    assert sum(s.dashed for s in one_wall.strokes) == 1, "the landing"
    assert sum(s.dashed for s in through.strokes) == 2
    crosses = [len([s for s in placed.strokes if len(s.points) == 2]) for placed in (one_wall, through)]
    assert crosses == [3, 3], "two lines for the cross, one for the landing"


def test_a_thread_has_a_second_circle() -> None:
    plain, tapped = (drawn(drilled("A", hole(100, size=size, through=False))) for size in ("6.8", "M8 tapped"))
    assert len(tapped.strokes) == len(plain.strokes) + 1


def test_the_heel_is_drawn_thick_on_the_edge_the_legs_share() -> None:
    placed = drawn(NASTY["angle"])
    thick = [s.points[0][1] for s in placed.strokes if s.thick > 1]
    first, second = (s for s in placed.strokes if len(s.points) == 5)
    assert thick == [first.points[2][1], second.points[0][1]], "below leg 1, above leg 2"
    heels = [text for text in placed.texts if text.text == "heel"]
    assert len(heels) == 2


def test_more_places_than_the_paper_has_room_for_are_thinned_out() -> None:
    placed = drawn(drilled("A", *[hole(5 + 3 * i, size="2") for i in range(300)]))
    figures = [text.text for text in placed.texts if text.points >= 11]
    assert figures[0] == "5"
    assert figures.count("1000") == 1
    assert len(figures) < 180


def test_the_drawing_is_words_as_well() -> None:
    text = written(drawn(NASTY["angle"]), "leg 1 & 2")
    assert 'aria-label="leg 1 &amp; 2"' in text
    assert re.search(r'<svg [^>]*width="186mm"', text)
