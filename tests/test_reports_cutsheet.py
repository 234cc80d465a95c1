"""Blocks are never split by a page break unless longer than a page; the drawing is made of cells."""

from __future__ import annotations

import io
from functools import cache
from typing import Any

import pytest
from openpyxl import load_workbook

from cutplan.model import Job, Plan
from cutplan.reports.workbook.cutsheet import GRID, PAGE_POINTS, TITLE_ROWS
from cutplan.reports.workbook.plan_xlsx import workbook_bytes
from cutplan.units import DEGREE
from tests import builders
from tests.drilled import drilled, drilled_job, hole
from tests.hand_plans import hand_plan, turned, with_mark
from tests.workbooks import book, trailer


def cut_sheet(job: Job, plan: Plan) -> Any:
    return load_workbook(io.BytesIO(workbook_bytes(job, plan)))["Cut"]


def different_bars(count: int, pieces: int = 4) -> tuple[Job, Plan]:
    """So many bars, no two alike."""
    parts = [builders.part(f"A{i}", pieces, 1000 + i) for i in range(count)]
    job = builders.job(parts, [builders.offer("P1", 6000, 30)], kerf="2.5", end_trim=10)
    return job, hand_plan(job, *(("P1", [part.mark] * pieces) for part in parts))


@cache
def twelve() -> Any:
    """The sheet of twelve bars, to be looked at alone."""
    return cut_sheet(*different_bars(12))


def pages(sheet: Any) -> list[range]:
    """The rows of each page below the repeated head."""
    breaks = [brk.id for brk in sheet.row_breaks.brk]
    firsts = [TITLE_ROWS + 1, *(row + 1 for row in breaks)]
    return [range(first, last + 1) for first, last in zip(firsts, [*breaks, sheet.max_row], strict=True)]


def starts(sheet: Any) -> list[int]:
    return [row for row in range(1, sheet.max_row + 1) if str(sheet.cell(row, 1).value).startswith("Bar ")]


def stroke(side: Any) -> str:
    """Style of one side of a border; blank when it is not drawn."""
    return side.style or "" if side is not None else ""


def height(sheet: Any, rows: range) -> float:
    return sum(float(sheet.row_dimensions[row].height) for row in rows)


def test_the_reading_of_a_scale_that_counts_from_the_bar_stands_below_the_angle() -> None:
    part = builders.part("A", 1, 900, mitres=(30, 0))
    told = {}
    for reads in (0, 90):
        job = builders.job([part], [builders.offer("O", 4000, 9)], square_reads=reads * DEGREE)
        sheet = cut_sheet(job, hand_plan(job, ("O", ["A"])))
        told[reads] = [str(cell.value) for row in sheet for cell in row if cell.value is not None]
        assert "30° / square, short 876.9" in told[reads]
    assert [text for text in told[90] if text not in told[0]] == ["saw scale 60 | 90"]


@pytest.mark.thorough
def test_no_block_is_split_by_a_page() -> None:
    sheet = twelve()
    begins = starts(sheet)
    assert len(begins) == 12
    ends = [*(row - 1 for row in begins[1:]), sheet.max_row]
    for page in pages(sheet):
        assert page[0] in begins
        assert any(page[-1] == end for end in ends)
    assert 1 < len(pages(sheet)) < 12


def test_holes_are_dots_in_the_cells_of_the_bar() -> None:
    sheet = cut_sheet(*drilled_job(drilled("A", hole(250), hole(500), hole(750), length=4000), drilled("B")))
    dots = [cell for row in sheet.iter_rows() for cell in row if cell.value == "\N{BULLET}"]
    assert len({cell.row for cell in dots}) == 1, "of one bar"
    assert len(dots) == 3
    assert all(stroke(cell.border.top) and stroke(cell.border.bottom) for cell in dots), "inside its outline"
    assert str(sheet.cell(TITLE_ROWS, 1).value).endswith("Dot: hole, where there is room.")
    assert "Dot" not in str(cut_sheet(*different_bars(1)).cell(TITLE_ROWS, 1).value)


def test_every_page_fits_its_paper() -> None:
    for sheet in (twelve(), cut_sheet(*different_bars(3, 5))):
        head = height(sheet, range(1, TITLE_ROWS + 1))
        for page in pages(sheet):
            assert head + height(sheet, page) <= PAGE_POINTS


@pytest.mark.thorough
def test_a_block_longer_than_a_page_goes_on_under_its_name() -> None:
    job = builders.job([builders.part("T", 60, 40)], [builders.offer("P1", 6000, 30)], kerf="2.5", end_trim=10)
    sheet = cut_sheet(job, hand_plan(job, ("P1", ["T"] * 60)))
    assert len(pages(sheet)) == 3
    assert [sheet.cell(page[0], 1).value for page in pages(sheet)[1:]] == ["Bar 1, continued"] * 2
    numbers = [sheet.cell(row, 1).value for row in range(1, sheet.max_row + 1)]
    assert [n for n in numbers if str(n).isdigit()] == [str(n) for n in range(1, 61)]
    head = height(sheet, range(1, TITLE_ROWS + 1))
    assert all(head + height(sheet, page) <= PAGE_POINTS for page in pages(sheet))


def test_the_drawing_needs_no_colour() -> None:
    """Hatched, crossed, black and bare cells differ by strokes alone; fills are grey or none."""
    parts = [builders.part("A", 2, 1500), builders.part("B", 1, 900, mitres=(45, 30))]
    job = builders.job(parts, [builders.offer("P1", 6000, 30)], kerf="2.5", end_trim=10, keep=1000)
    sheet = cut_sheet(job, hand_plan(job, ("P1", ["A", "A", "B"])))
    row = next(r for r in range(1, 20) if sheet.row_dimensions[r].height == 22)
    kinds = []
    for column in range(1, GRID + 1):
        cell = sheet.cell(row, column)
        if stroke(cell.border.top):
            strokes = (bool(cell.border.diagonalUp), bool(cell.border.diagonalDown), stroke(cell.border.diagonal))
            kinds.append((cell.fill.fill_type or "", *strokes))
    bare, up = ("", False, False, ""), ("", True, False, "thin")
    assert kinds[0][0] == "solid", "the end trim"
    assert kinds[1] == bare
    assert kinds[-1] == up, "the left over to keep"
    assert ("", True, False, "medium") in kinds, "end A of the mitred part leans up"
    assert ("", False, True, "medium") in kinds, "its end B leans down"
    colours = {cell.fill.fgColor.rgb for line in sheet.iter_rows() for cell in line if cell.fill.fill_type}
    assert all(rgb[2:4] == rgb[4:6] == rgb[6:8] for rgb in colours), "only greys"


def test_scrap_is_crossed() -> None:
    job = builders.job([builders.part("A", 1, 5000)], [builders.offer("P1", 6000, 30)], keep=5000)
    sheet = cut_sheet(job, hand_plan(job, ("P1", ["A"])))
    crossed = [
        cell for line in sheet.iter_rows() for cell in line if cell.border.diagonalUp and cell.border.diagonalDown
    ]
    assert len(crossed) > 5


@pytest.mark.parametrize(("count", "heads"), [(1, ["bar 1"]), (3, ["1", "2", "3"]), (5, ["tally of 5"])])
def test_boxes_to_tick_for_every_bar(count: int, heads: list[str]) -> None:
    job = builders.job([builders.part("A", count, 1500)], [builders.offer("P1", 3000, 30)])
    sheet = cut_sheet(job, hand_plan(job, *[("P1", ["A"])] * count))
    head = next(row for row in range(1, 30) if sheet.cell(row, 1).value == "No.")
    assert [sheet.cell(head, c).value for c in range(78, GRID + 1) if sheet.cell(head, c).value] == heads
    boxes = [c for c in range(78, GRID + 1) if stroke(sheet.cell(head + 1, c).border.left)]
    assert len(boxes) == len(heads)


def test_turn_bar_stands_out() -> None:
    job = builders.job([builders.part("A", 2, 1400)], [builders.offer("P1", 3000, 30)])
    sheet = cut_sheet(job, turned(hand_plan(job, ("P1", ["A", "A"])), 1))
    cells = {cell.value: cell for line in sheet.iter_rows() for cell in line}
    assert cells["part side, TURN THE BAR"].font.bold
    assert not cells["bar side"].font.bold


def test_only_what_is_kept_has_a_box_for_its_measured_length() -> None:
    job = builders.job([builders.part("A", 1, 2000), builders.part("B", 1, 2900)], [builders.offer("P1", 3000, 30)])
    sheet = cut_sheet(job, hand_plan(job, ("P1", ["A"]), ("P1", ["B"])))
    texts = [cell.value for line in sheet.iter_rows() for cell in line if isinstance(cell.value, str)]
    assert [text for text in texts if text.endswith("measured:")] == ["bar 1, measured:"]


def test_each_bar_cut_alike_has_a_row_for_its_measured_left_over() -> None:
    job = builders.job([builders.part("A", 3, 2000)], [builders.offer("P1", 3000, 30)])
    sheet = cut_sheet(job, with_mark(hand_plan(job, *[("P1", ["A"])] * 3), 2, "K7"))
    texts = [cell.value for line in sheet.iter_rows() for cell in line if isinstance(cell.value, str)]
    wanted = ["bar 1, measured:", "bar 2, mark K7, measured:", "bar 3, measured:"]
    assert [text for text in texts if text.endswith("measured:")] == wanted


def test_no_letter_is_smaller_than_seven_points() -> None:
    workbook = book(*trailer())
    sizes = {cell.font.size for sheet in workbook for line in sheet.iter_rows() for cell in line if cell.value}
    assert min(sizes) >= 7


def test_a_heavy_bar_is_flagged() -> None:
    job = builders.job([builders.part("A", 1, 2000)], [builders.offer("P1", 9000, 30)])
    sheet = cut_sheet(job, hand_plan(job, ("P1", ["A"])))
    assert "27.0 kg, HEAVY: see cautions" in [cell.value for line in sheet.iter_rows() for cell in line]


@pytest.mark.thorough
def test_five_hundred_different_bars() -> None:
    job, plan = different_bars(500, 5)
    content = workbook_bytes(job, plan)
    assert content.count(b"xl/worksheets/") >= 5
    assert len(content) < 5_000_000


def test_the_strokes_of_the_plan_stand_at_the_head() -> None:
    job, plan = different_bars(2)
    assert cut_sheet(job, plan)["A1"].value == "Cut: tiny. 10 strokes of the saw, squaring included"
