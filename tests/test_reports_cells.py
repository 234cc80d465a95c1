"""Text stays text, formulas show what they come to, the same content gives the same bytes."""

from __future__ import annotations

import io
import zipfile
from typing import Any

import pytest
from openpyxl import load_workbook

from cutplan.reports.workbook import cells
from cutplan.reports.workbook.cells import Book, Formula, Look
from cutplan.units import INCH, INCHES, KG, MILLIMETRES, MM, Printing
from tests.builders import mm


def one_cell(value: Any, look: Look | None = None, *, data_only: bool = False) -> Any:
    book = Book()
    sheet = book.sheet("One")
    book.put(sheet, 1, 1, value, look or Look())
    return load_workbook(io.BytesIO(book.to_bytes()), data_only=data_only)["One"]["A1"]


@pytest.mark.parametrize("text", ["=1+1", "+44 20", "-5", "@here", "=HYPERLINK(1)", "'quoted", "007", "1E5", "#N/A"])
def test_text_is_never_a_formula_or_a_number(text: str) -> None:
    cell = one_cell(text)
    assert (cell.data_type, cell.value) == ("s", text)


@pytest.mark.parametrize(("text", "quoted"), [("=1+1", True), ("-5", True), ("+", True), ("@a", True), ("A=1", False)])
def test_text_that_looks_like_a_formula_is_quoted(text: str, quoted: bool) -> None:
    assert bool(one_cell(text).quotePrefix) is quoted


def test_characters_that_no_workbook_holds_are_replaced() -> None:
    assert one_cell("bell\x07 end").value == "bell\N{REPLACEMENT CHARACTER} end"


def test_a_formula_keeps_its_text_and_shows_its_value() -> None:
    assert one_cell(Formula("2*3", 6.0)).value == "=2*3"
    assert one_cell(Formula("2*3", 6.0), data_only=True).value == 6


def test_every_font_has_a_name() -> None:
    cell = one_cell("x", Look(size=8))
    assert (cell.font.name, cell.font.size) == ("Arial", 8)


def test_same_content_same_bytes_and_no_time_of_day() -> None:
    def filled() -> bytes:
        book = Book()
        sheet = book.sheet("One")
        for row in range(1, 40):
            book.put(sheet, row, 1, f"r{row}", Look(size=8 + row % 5, border="ltrb"[: row % 4]))
            book.put(sheet, row, 2, Formula(f"A{row}*2", row * 2.0), Look(form=cells.MONEY))
        return book.to_bytes()

    first, second = filled(), filled()
    assert first == second
    with zipfile.ZipFile(io.BytesIO(first)) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        core = archive.read("docProps/core.xml").decode()
    assert core.count("2000-01-01T00:00:00Z") == 2


def test_lengths_as_cell_values() -> None:
    assert cells.length_cell(1200 * MM, MILLIMETRES) == 1200
    assert cells.length_cell(mm("1200.5"), MILLIMETRES) == 1200.5
    assert cells.length_cell(47 * INCH + INCH // 4, INCHES) == "47 1/4"
    assert cells.length_cell(None, MILLIMETRES) is None
    assert [cells.length_form(length, MILLIMETRES) for length in (1200 * MM, mm("0.5"))] == ["0", "0.0"]


def test_a_rounded_length_in_a_cell_says_so() -> None:
    half = Printing("mm", mm("0.5"))
    assert (cells.length_cell(mm("1200.3"), half), cells.length_form(mm("1200.3"), half)) == (1200.5, '"~"0.0')
    assert (cells.length_cell(mm("1587.54"), MILLIMETRES), cells.length_form(mm("1587.54"), MILLIMETRES)) == (
        1587.5,
        '"~"0.0',
    )
    whole = Printing("mm", MM)
    assert (cells.length_cell(mm("1200.5"), whole), cells.length_form(mm("1200.5"), whole)) == (1201, '"~"0')
    assert cells.length_cell(mm("10"), INCHES) == "~25/64"


def test_masses_as_cell_values() -> None:
    # 1 lb is 0.45359237 kg: 10 kg is 22.0462 lb (NIST SP 811 (2008), appendix B.8, to its printed figures).
    assert cells.mass_number(10 * KG, MILLIMETRES) == 10
    assert cells.mass_number(10 * KG, INCHES) == pytest.approx(22.0462, abs=5e-5)


def test_widths_follow_the_font() -> None:
    """Twelve digits of 10 pt at 0.556 em: 12 x 0.556 x 10 / 72 in."""
    assert cells.text_mm("000000000000", 10) == pytest.approx(12 * 0.556 * 10 / 72 * 25.4)
    assert cells.text_mm("WWW", 10) > cells.text_mm("iii", 10) * 3
    assert cells.text_mm("梁", 10) == pytest.approx(10 / 72 * 25.4)
    assert cells.text_mm("e\N{COMBINING ACUTE ACCENT}", 10) == cells.text_mm("e", 10)


def test_a_text_is_made_smaller_and_then_shorter() -> None:
    assert cells.fitted("AB", 100, (12, 8)) == ("AB", 12)
    assert cells.fitted("AB", 5, (12, 8))[1] == 8
    text, size = cells.fitted("W" * 40, 20, (12, 8))
    assert size == 8
    assert text.endswith("…")
    assert cells.text_mm(text, 8) <= 20


@pytest.mark.parametrize(
    ("text", "room", "lines"), [("", 10, 1), ("aaa aaa", 100, 1), ("aaa aaa", 8, 2), ("a" * 20, 8, 5)]
)
def test_lines_of_a_wrapped_text(text: str, room: float, lines: int) -> None:
    assert cells.lines_needed(text, room, 10) == lines


def test_a_cell_is_named_for_another_sheet() -> None:
    assert cells.reference("Buy", 7, 28) == "'Buy'!$AB$7"


@pytest.mark.parametrize(
    ("text", "held"),
    [
        ("A_x0041_B", "A_x005F_x0041_B"),
        ("A\ufffeB\uffff", "A\ufffdB\ufffd"),
        ("leg_x1", "leg_x1"),
    ],
)
def test_text_that_a_workbook_would_read_otherwise(text: str, held: str) -> None:
    assert cells.clean_text(text) == held


def test_rows_are_written_as_openpyxl_writes_them() -> None:
    book = Book()
    sheet = book.sheet("Rows")
    for column, value in enumerate(("a", " spaced ", "<&>\"'", "=x", "é\u4e16", "", None, 3, 2.5, 1e-7, 10**12), 1):
        book.put(sheet, 2, column, value, Look(bold=column % 2 == 0, border="tb"))
        book.put(sheet, 4 + column, 1, value, Look())
    sheet.row_dimensions[3].height = 12.5
    book.rule_row(sheet, 4, Look(border="b"))
    own = io.BytesIO()
    book.workbook.save(own)
    parts = [zipfile.ZipFile(io.BytesIO(content)) for content in (own.getvalue(), book.to_bytes())]
    first, second = (part.read("xl/worksheets/sheet1.xml") for part in parts)
    assert b"preserve" in first
    assert second == first


def test_a_stretch_is_filled_as_its_cells_one_by_one() -> None:
    rule, heavy = Look(border="b"), Look(border="T", bold=True)

    def written(stretches: bool) -> bytes:
        book = Book()
        sheet = book.sheet("Rows")
        book.put(sheet, 1, 3, "before", heavy)
        for row, columns, look in ((1, range(1, 7), rule), (1, range(5, 9), heavy), (3, range(2, 90), rule)):
            if stretches:
                book.fill(sheet, row, columns, look)
                continue
            for column in columns:
                if (row, column) != (1, 3):
                    book.put(sheet, row, column, None, look)
        book.put(sheet, 1, 2, "after", heavy)
        book.put(sheet, 3, 40, 7.5, Look())
        return zipfile.ZipFile(io.BytesIO(book.to_bytes())).read("xl/worksheets/sheet1.xml")

    assert written(True) == written(False)
