"""The layout on a grid gives every text of a drawing a place of its own."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest

from cutplan.reports.drawing import BarDrawing
from cutplan.reports.layout import Layout, boxes_of, lay_out
from cutplan.reports.terminal.picture import character_width
from tests.nasty_bars import NASTY, one


def layouts(drawing: BarDrawing) -> list[Layout]:
    """As the workbook and as the narrowest and the widest terminal lay it out."""
    return [
        lay_out(drawing, 79, 7, lambda text: -(-len(text) * 3 // 5) + 1),
        lay_out(drawing, 31, 9, lambda text: character_width(text) + 1),
        lay_out(drawing, 71, 9, lambda text: character_width(text) + 1),
    ]


@pytest.mark.parametrize("name", NASTY)
def test_no_text_overlaps_another_or_leaves_the_grid(name: str) -> None:
    for layout in layouts(NASTY[name]):
        for text in layout.texts:
            assert text.column >= 0
            assert text.column + text.columns <= layout.columns, text
        for one_text, other in combinations(layout.texts, 2):
            if one_text.lane == other.lane:
                assert one_text.column + one_text.columns <= other.column, (one_text, other)


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


@pytest.mark.parametrize("name", NASTY)
def test_boxes_keep_a_least_width(name: str) -> None:
    boxes = boxes_of(NASTY[name], 1000, least=9, most=60)
    assert len(boxes) <= 60
    assert boxes[0].first == 0
    assert boxes[-1].last == 1000
    assert min(box.last - box.first for box in boxes) >= 9
    pieces = sum(box.stretch.pieces for box in boxes if box.stretch.number)
    alike = len({s.label for s in NASTY[name].stretches if s.number}) == 1
    assert not alike or pieces == sum(1 for s in NASTY[name].stretches if s.number)
