"""The drawing covers a bar without gap or overlap, and its layout gives every text a place of its own."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest

from cutplan.model import Job, Plan
from cutplan.reports.drawing import BarDrawing, Kind, Layout, character_width, draw, lay_out, picture
from cutplan.units import MM
from tests import builders
from tests.hand_plans import hand_plan

WIDE_MARK = "WWWWMMMMWWWWMMMMWWWWMMMM"
UNICODE_MARK = "Ständer-Ünter 90° ж梁柱 né"


def drawings(job: Job, plan: Plan, unit: str = "mm") -> list[BarDrawing]:
    parts = {part.mark: part for part in job.parts}
    return [draw(bar, parts, unit) for bar in plan.bars]


def one(parts: list[tuple[str, int, float]], bar: float = 6000, mitres: tuple[float, float] = (0, 0)) -> BarDrawing:
    """A bar that holds all parts in order."""
    listed = [builders.part(mark, quantity, length, mitres=mitres) for mark, quantity, length in parts]
    job = builders.job(listed, [builders.offer("P1", bar, 30)], kerf="2.5", end_trim=10)
    marks = [mark for mark, quantity, _ in parts for _ in range(quantity)]
    return drawings(job, hand_plan(job, ("P1", marks)))[0]


NASTY = {
    "60 tiny parts": one([("T", 60, 40)]),
    "60 tiny parts with long marks": one([(f"{WIDE_MARK[:20]}{i:04}", 1, 40) for i in range(60)]),
    "one 8 m part": one([("LONG", 1, 7900)], bar=8000),
    "one part, nearly nothing left": one([(WIDE_MARK, 1, 5985)]),
    "shallow mitres": one([("S", 5, 1100)], mitres=(1, 1)),
    "steep mitres": one([("S", 5, 1100)], mitres=(75, 75)),
    "steep short parts": one([("S", 15, 320)], mitres=(75, 75)),
    "marks of 24 characters": one([(WIDE_MARK, 3, 300), (UNICODE_MARK, 10, 400)]),
    "short after long": one([("A", 1, 5700), (WIDE_MARK, 4, 50)]),
    "more parts than columns": one([("T", 200, 25)]),
    "more parts than columns, all different": one([(f"T{i}", 1, 25) for i in range(200)]),
}


def layouts(drawing: BarDrawing) -> list[Layout]:
    """As the workbook and as the narrowest and the widest terminal lay it out."""
    return [
        lay_out(drawing, 79, 7, lambda text: -(-len(text) * 3 // 5) + 1),
        lay_out(drawing, 31, 9, lambda text: character_width(text) + 1),
        lay_out(drawing, 71, 9, lambda text: character_width(text) + 1),
    ]


@pytest.mark.parametrize("name", NASTY)
def test_stretches_cover_the_bar_without_gap_or_overlap(name: str) -> None:
    drawing = NASTY[name]
    assert drawing.stretches[0].start == 0
    assert drawing.stretches[-1].end == drawing.length
    assert all(one.end == next_one.start for one, next_one in pairwise(drawing.stretches))
    assert all(one.start < one.end for one in drawing.stretches)


@pytest.mark.parametrize("name", NASTY)
def test_no_text_overlaps_another_or_leaves_the_grid(name: str) -> None:
    for layout in layouts(NASTY[name]):
        for text in layout.texts:
            assert text.column >= 0
            assert text.column + text.columns <= layout.columns, text
        for one_text, other in combinations(layout.texts, 2):
            if one_text.lane == other.lane:
                apart = one_text.column + one_text.columns <= other.column
                assert apart or other.column + other.columns <= one_text.column, (one_text, other)


@pytest.mark.parametrize("name", NASTY)
def test_no_leader_crosses_a_text(name: str) -> None:
    for layout in layouts(NASTY[name]):
        for lane in layout.lanes:
            for column in layout.leaders(lane):
                for text in (text for text in layout.texts if text.lane == lane):
                    assert not text.column <= column < text.column + text.columns, (lane, column, text)


def test_a_leader_runs_from_the_bar_to_a_text_in_a_lower_lane() -> None:
    layout = lay_out(one([("A", 1, 5985)]), 60, 9, lambda text: len(text) + 1)
    below = {text.text: text for text in layout.texts if text.lane > 0}
    assert {name: text.lane for name, text in below.items()} == {"10": 1, "5995": 2, "6000": 1}
    assert layout.leaders(1) == (below["5995"].column,)
    assert layout.leaders(2) == ()


@pytest.mark.parametrize("name", NASTY)
def test_boxes_fill_the_bar_in_order(name: str) -> None:
    for layout in layouts(NASTY[name]):
        assert layout.boxes[0].first == 0
        assert layout.boxes[-1].last == layout.bar_columns
        assert all(one.last == next_one.first for one, next_one in pairwise(layout.boxes))
        assert all(box.first < box.last for box in layout.boxes)


def test_texts_inside_stay_inside_their_box() -> None:
    for drawing in NASTY.values():
        for layout in layouts(drawing):
            for text in (text for text in layout.texts if text.lane == 0):
                assert any(box.first <= text.column and text.column + text.columns <= box.last for box in layout.boxes)


def test_the_drawing_is_to_scale_where_there_is_room() -> None:
    layout = lay_out(one([("A", 1, 3000), ("B", 1, 1500)]), 600, 9, len)
    widths = [box.last - box.first for box in layout.boxes]
    assert widths == [1, 300, 150, 149]


def test_every_part_is_told_by_mark_or_number() -> None:
    layout = lay_out(NASTY["short after long"], 79, 7, lambda text: len(text))
    texts = [text.text for text in layout.texts if text.lane <= 0]
    assert texts[:2] == ["A", "(2)"], "where a mark has no room to the right edge, its number in the list stands"


def test_running_dimensions_name_every_cut() -> None:
    drawing = one([("A", 2, 1200)])
    assert [d.text for d in drawing.dimensions] == ["10", "1210", "2412.5", "6000"]
    assert [d.at for d in drawing.dimensions] == [10 * MM, 1210 * MM, builders.mm("2412.5"), 6000 * MM]


def test_a_mitre_leans_by_depth_and_angle() -> None:
    part = next(s for s in one([("A", 1, 1200)], mitres=(45, 0)).stretches if s.kind is Kind.PART)
    assert (part.run_start, part.run_end) == (40 * MM, 0)


def test_a_flush_bar_has_no_left_over() -> None:
    job = builders.job([builders.part("A", 2, 500)], [builders.offer("P1", 1000, 10)])
    drawing = drawings(job, hand_plan(job, ("P1", ["A", "A"])))[0]
    assert [s.kind for s in drawing.stretches] == [Kind.PART, Kind.PART]


def test_inches_are_written_in_fractions() -> None:
    job = builders.job([builders.part("A", 1, "1200.15")], [builders.offer("P1", 6096, 10)])
    drawing = drawings(job, hand_plan(job, ("P1", ["A"])), "in")[0]
    assert [d.text for d in drawing.dimensions] == ["47 1/4", "240"]


def test_the_picture_in_plain_characters() -> None:
    job = builders.job(
        [builders.part("A1", 2, 1500), builders.part("B", 1, 800, mitres=(45, 45))],
        [builders.offer("P1", 6000, 30)],
        kerf="2.5",
        end_trim=10,
    )
    drawn = picture(drawings(job, hand_plan(job, ("P1", ["A1", "A1", "B"])))[0], 60).splitlines()
    assert drawn == PICTURE


PICTURE = [
    "                                         keep 2181.4 mm",
    "#|     A1    |     A1     /  B \\|//////////////////|",
    " 10          1510         |     3815               6000",
    "                          3012.5",
]


@pytest.mark.parametrize("name", NASTY)
@pytest.mark.parametrize("width", [30, 40, 60, 80])
def test_a_picture_keeps_to_its_width(name: str, width: int) -> None:
    lines = picture(NASTY[name], width).splitlines()
    assert all(character_width(line) <= width for line in lines), max(lines, key=len)
