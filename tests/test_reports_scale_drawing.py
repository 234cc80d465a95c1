"""A bar to scale: what lies where, no text touches another, none leaves the sheet and no leader runs through one."""

from __future__ import annotations

import re
from itertools import combinations
from xml.etree import ElementTree

import pytest
from fontTools.ttLib import TTFont

from cutplan.reports.drawing import BarDrawing, Dimension, Kind, Stretch, draw
from cutplan.reports.lettering import FONTS
from cutplan.reports.scale_drawing import BAR_HEIGHT, LABEL_POINTS, bar_svg, place
from cutplan.units import MILLIMETRES
from tests import slanted_start
from tests.nasty_bars import NASTY, one

WIDTHS = [120.0, 186.0, 260.0]
Box = tuple[float, float, float, float]


def meet(one_box: Box, other: Box, slack: float = 1e-6) -> bool:
    left, top, right, bottom = one_box
    return left + slack < other[2] and other[0] + slack < right and top + slack < other[3] and other[1] + slack < bottom


def crosses(start: tuple[float, float], end: tuple[float, float], box: Box) -> bool:
    """Does a straight line run through a box? It is cut off at one side after the other."""
    enters, leaves = 0.0, 1.0
    for i in (0, 1):
        run = end[i] - start[i]
        if run == 0:
            if not box[i] < start[i] < box[i + 2]:
                return False
            continue
        at, until = sorted(((box[i] - start[i]) / run, (box[i + 2] - start[i]) / run))
        enters, leaves = max(enters, at), min(leaves, until)
    return enters < leaves - 1e-9


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", NASTY)
def test_no_text_overlaps_another_or_leaves_the_paper(name: str, width: float) -> None:
    placed = place(NASTY[name], width)
    for text in placed.texts:
        left, top, right, bottom = text.box
        assert left > -0.01, text
        assert top > -0.01, text
        assert right < width + 0.01, text
        assert bottom < placed.height + 0.01, text
    for one_text, other in combinations(placed.texts, 2):
        assert not meet(one_text.box, other.box), (one_text, other)


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", NASTY)
def test_no_leader_runs_through_a_text(name: str, width: float) -> None:
    placed = place(NASTY[name], width)
    for leader in placed.leaders:
        for start, end in zip(leader.points, leader.points[1:], strict=False):
            for text in placed.texts:
                assert not crosses(start, end, text.box), (leader, text)


@pytest.mark.parametrize("name", NASTY)
def test_no_letters_are_below_eight_points(name: str) -> None:
    assert min(LABEL_POINTS) == 8
    assert {text.points for text in place(NASTY[name], 186).texts} <= set(LABEL_POINTS)


@pytest.mark.parametrize("name", NASTY)
def test_a_part_is_named_where_it_lies(name: str) -> None:
    """A label inside the bar stands within the part it names, or within the run of parts of that mark."""
    drawing = NASTY[name]
    placed = place(drawing, 186)
    scale = (186 - 1.6) / drawing.length
    top = placed.height - 1.5 - BAR_HEIGHT
    parts = [stretch for stretch in drawing.stretches if stretch.kind is Kind.PART]
    for text in (text for text in placed.texts if text.y > top):
        run = [one for one in drawing.stretches if one.label and one.label in text.text]
        assert run, text
        assert text.box[0] > 0.8 + run[0].start * scale - 0.01
        assert text.box[2] < 0.8 + run[-1].end * scale + 0.01
    assert parts


def texts_of(document: str) -> list[tuple[str, float, float, float, bool, bool]]:
    """Each text of an SVG: its words, x, y, size, bold, turned."""
    root = ElementTree.fromstring(document)
    return [
        (
            node.text or "",
            float(node.attrib["x"]),
            float(node.attrib["y"]),
            float(node.attrib["font-size"]),
            node.get("font-weight") == "bold",
            "transform" in node.attrib,
        )
        for node in root.iter("{http://www.w3.org/2000/svg}text")
    ]


@pytest.mark.parametrize("name", NASTY)
def test_the_written_texts_do_not_meet_by_an_independent_measure(name: str) -> None:
    fonts = {bold: TTFont(FONTS / f"DejaVuSansCondensed{'-Bold' if bold else ''}.ttf") for bold in (False, True)}
    boxes: list[Box] = []
    for words, x, y, size, bold, turned in texts_of(bar_svg(NASTY[name], 186)):
        font = fonts[bold]
        cmap, advances, glyphs = font.getBestCmap(), font["hmtx"], font["glyf"]
        names = [cmap[ord(letter)] for letter in words if ord(letter) in cmap]
        wide = sum(advances[glyph][0] for glyph in names) / font["head"].unitsPerEm * size
        wide += (len(words) - len(names)) * size  # a letter of another font is as wide as it is high
        ink = [glyphs[glyph] for glyph in names if hasattr(glyphs[glyph], "yMax")]
        high, low = (pick(getattr(g, side) for g in ink) / 2048 * size for pick, side in ((max, "yMax"), (min, "yMin")))
        boxes.append((x - high, y - wide, x - low, y) if turned else (x, y - high, x + wide, y - low))
    for one_box, other in combinations(boxes, 2):
        assert not meet(one_box, other), (one_box, other)


def test_lengths_and_slants_are_to_scale() -> None:
    """One scale for all: parts, what a mitre runs along the bar, what is left; only the height is not to scale."""
    drawing = one([("M", 2, 2000)], mitres=(45, 45))
    placed = place(drawing, 186)
    scale = (186 - 1.6) / drawing.length
    white = [stroke.points for stroke in placed.strokes if stroke.fill == "#fff" and len(stroke.points) == 4]
    parts = [stretch for stretch in drawing.stretches if stretch.kind is Kind.PART]
    for stretch, corners in zip(parts, white, strict=False):
        x = [0.8 + at * scale for at in (stretch.start, stretch.start + stretch.run_start)]
        x += [0.8 + at * scale for at in (stretch.end - stretch.run_end, stretch.end)]
        assert [corner[0] for corner in corners] == pytest.approx(x)
    assert parts[0].run_start == 40_000_000


def test_kinds_differ_in_black_and_white() -> None:
    def strokes(parts: list[tuple[str, int, float]]) -> int:
        return sum(stroke.thick == 0.18 for stroke in place(one(parts), 186).strokes)

    assert strokes([("A", 1, 5700)]) > 0, "scrap is crossed"
    assert strokes([("A", 1, 5700)]) != strokes([("A", 1, 5685)])
    colours = set(re.findall(r"#[0-9a-f]+", bar_svg(NASTY["steep mitres"], 186)))
    assert colours == {"#000", "#bbb", "#fff"}


def test_start_is_a_heavy_line_at_the_left() -> None:
    (line,) = [stroke for stroke in place(NASTY["one 8 m part"], 186).strokes if stroke.thick == 1.6]
    assert {x for x, _ in line.points} == {0.8}


def test_a_bar_that_begins_on_a_slant_is_drawn_so() -> None:
    """What is not there is not drawn: the line at START leans as the part does, and so does the outline."""
    made, bar = slanted_start.begun_job(), slanted_start.begun_bar()
    drawing = draw(bar, {part.mark: part for part in made.parts}, MILLIMETRES)
    placed = place(drawing, 186)
    (start,) = [stroke for stroke in placed.strokes if stroke.thick == 1.6]
    (low, bottom), (high, top) = start.points
    assert bottom - top == pytest.approx(BAR_HEIGHT)
    # 40 of 700 mm on 186 mm less the air at both ends.
    assert abs(low - high) == pytest.approx(40 / 700 * (186 - 1.6))
    assert placed.strokes[0].points[0] == (high, top)
    assert placed.strokes[0].points[-1] == (low, bottom)


def test_holes_are_marked_above_the_label() -> None:
    hole = BarDrawing(
        length=6_000_000_000,
        stretches=(Stretch(kind=Kind.PART, start=0, end=6_000_000_000, label="A", number=1, holes=(3_000_000_000,)),),
        dimensions=(Dimension(at=6_000_000_000, text="6000"),),
    )
    marks = [s for s in place(hole, 186).strokes if s.fill == "#000" and s.points[1][0] - s.points[0][0] < 1]
    assert len(marks) == 1
    label = next(text for text in place(hole, 186).texts if text.text == "A")
    assert max(y for _, y in marks[0].points) < label.box[1]


def test_stated_widths_are_for_readers_without_the_font() -> None:
    assert "textLength" not in bar_svg(NASTY["one 8 m part"], 186)
    assert bar_svg(NASTY["one 8 m part"], 186, keep_widths=True).count("textLength") == bar_svg(
        NASTY["one 8 m part"], 186
    ).count("<text")


def test_a_mark_is_text_and_not_markup() -> None:
    document = bar_svg(one([('<A&"1">', 2, 2000)]), 186)
    assert '<A&"1">' in {words for words, *_ in texts_of(document)}
    assert ElementTree.fromstring(document).attrib["aria-label"].startswith('Bar from START: end trim, <A&"1">')
