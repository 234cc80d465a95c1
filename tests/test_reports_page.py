"""A page makes rows high and columns wide enough for what stands in them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from cutplan.reports.rows import Rows, rows_of
from cutplan.reports.workbook.cells import A4, COLUMN_UNIT_MM, Book, text_mm
from cutplan.reports.workbook.page import (
    BOLD_CELL,
    TEXT_CELL,
    Field,
    Page,
    fitting_width,
    length_value,
    lines_in,
    narrowed,
    widths_of,
)
from cutplan.units import INCH, INCHES, MILLIMETRES, MM
from tests import builders
from tests.hand_plans import hand_plan


def rows(**changes: Any) -> Rows:
    job = builders.job([builders.part("A", 1, 1000)], [builders.offer("P1", 6000, 9)])
    job = replace(job, workshop=replace(job.workshop, **changes))
    return rows_of(job, hand_plan(job, ("P1", ["A"])))


FIELDS = (Field(head="mark", width=10), Field(head="what it is for", width=20))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({}, "amounts in EUR"),
        ({"name": "The shop"}, "The shop, amounts in EUR"),
        ({"tax_millionths": 200_000}, "amounts in EUR, prices without tax"),
        ({"tax_millionths": 200_000, "prices_include_tax": True}, "amounts in EUR, tax included in prices"),
    ],
)
def test_the_head_names_job_shop_and_what_money_means(changes: dict[str, Any], words: str) -> None:
    page = Page(Book(), rows(**changes), "Buy", widths_of(FIELDS))
    assert [page.sheet.cell(row, 1).value for row in (1, 2)] == ["Buy: tiny", words]
    page = Page(Book(), rows(**changes), "Parts", widths_of(FIELDS))
    assert page.sheet.cell(2, 1).value == changes.get("name")


def test_a_row_is_as_high_as_its_longest_text() -> None:
    page = Page(Book(), rows(), "Parts", widths_of(FIELDS))
    short = page.cells(FIELDS, ["A", "short"])
    long = page.cells(FIELDS, ["A", "a note that must be wrapped into three lines or more of this column"])
    assert long == short + 1
    heights = [page.sheet.row_dimensions[row].height for row in (short, long)]
    assert heights[1] > 2 * heights[0]


def test_the_printed_area_ends_with_the_last_row() -> None:
    page = Page(Book(), rows(), "Parts", widths_of(FIELDS))
    page.heads(FIELDS)
    page.cells(FIELDS, ["A", "short"])
    page.finish(A4, landscape=True)
    assert page.sheet.print_area == "'Parts'!$A$1:$B$4"


def of_widths(*widths: float) -> list[Field]:
    return [Field(head="mark", width=width) for width in widths]


def test_wide_columns_are_narrowed_where_the_page_is_then_wide_enough() -> None:
    """By hand: 274 mm of A4 landscape at 9/7 hold 190 units of 1.852 mm; 80 + 36 + 36 + 30 = 182, and 10 more."""
    fits = of_widths(*[10] * 8, 36, 36, 30)
    assert narrowed(fits, A4, landscape=True) == fits
    over = narrowed(of_widths(*[10] * 9, 36, 36, 30), A4, landscape=True)
    assert widths_of(over) == [*[10] * 9, 35, 35, 30]
    page = Page(Book(), rows(), "Parts", widths_of(over))
    page.finish(A4, landscape=True)
    assert page.sheet.page_setup.fitToWidth == 1


def test_columns_keep_their_widths_where_the_page_is_too_narrow_all_the_same() -> None:
    """A first column that stands on each of two pages is then as wide as ever."""
    many = of_widths(*[12] * 14, 36, 36)
    assert narrowed(many, A4, landscape=True) == many


def test_a_column_fits_its_longest_text_and_no_word_of_its_heading_breaks() -> None:
    name = "SHS 50.8x50.8x3.175"
    assert fitting_width("section", BOLD_CELL, ["x", name]) * COLUMN_UNIT_MM > text_mm(name, 10, bold=True)
    assert fitting_width("extraordinarily", TEXT_CELL, ["x"]) > fitting_width("kg", TEXT_CELL, ["x"])
    assert fitting_width("note", TEXT_CELL, ["x" * 500]) == 36


def test_a_length_is_a_number_of_mm_or_inches_in_words() -> None:
    assert length_value(1200 * MM, MILLIMETRES) == (1200, "0")
    assert length_value(builders.mm("12.5"), MILLIMETRES) == (12.5, "0.0")
    assert length_value(INCH // 2, INCHES) == "1/2"
    assert length_value(None, MILLIMETRES) is None


def test_a_row_has_as_many_lines_as_its_highest_cell() -> None:
    assert lines_in(FIELDS, [7, 8.5]) == 1
    assert lines_in(FIELDS, ["A", "short"]) == 1
    assert lines_in(FIELDS, ["A\nB\nC", "short"]) == 3
    assert lines_in(FIELDS, ["", "a long line of some twenty-five\nand one"]) == 3
