"""Cells of a workbook changed in its own XML: the cells and nothing else, as openpyxl and the reader see it then."""

from __future__ import annotations

import io
import zipfile
from datetime import date
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.styles import Font
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.table import Table

from cutplan.problems import ProblemsFound
from cutplan.reading.sheets.raw_cells import RawFile, cell_text, read_sheets
from cutplan.writing.cells_changed import hindrance, with_cells
from tests.effort import examples
from tests.test_writing_append import with_values
from tests.workbook_xml import heading_row, part_row, workbook
from tests.workbook_xml import sheet as xml_of

HEADS = ("Mark", "Quantity", "Section", "Length")


def book(**more: object) -> openpyxl.Workbook:
    """A list of two parts with all that a library would drop or move, and a sheet of notes."""
    made = openpyxl.Workbook()
    sheet = made.active
    assert sheet is not None
    sheet.title = "Parts"
    for row in (("Gate",), (), HEADS, ("A", 2, "SHS 40x40x3", 1200), ("B", 1, "SHS 40x40x3", date(2031, 1, 2))):
        sheet.append(row)
    sheet["A4"].font = Font(bold=True, color="FF0000")
    sheet["A4"].comment = Comment("painted", "me")
    sheet.column_dimensions["C"].width = 31
    sheet.merge_cells("A1:D1")
    rule = DataValidation(type="whole", operator="greaterThan", formula1="0")
    rule.add("B4:B9")
    sheet.add_data_validation(rule)
    chart = BarChart()
    chart.add_data(Reference(sheet, min_col=2, min_row=4, max_row=5))
    sheet.add_chart(chart, "G2")
    made.create_sheet("Notes").append(("kept", 7))
    return made


def raw(made: openpyxl.Workbook) -> RawFile:
    out = io.BytesIO()
    made.save(out)
    return RawFile(name="gate.xlsx", data=out.getvalue())


def changed(before: RawFile, changes: dict[tuple[int, int], str]) -> RawFile:
    return RawFile(name=before.name, data=with_cells(before, "Parts", changes))


def texts(file: RawFile, name: str = "Parts") -> list[list[str]]:
    (sheet,) = [each for each in read_sheets(file, lambda _: 0, []) if each.name == name]
    return [[cell_text(cell) for cell in row] for row in sheet.rows]


def files(file: RawFile) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(file.data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def test_cells_are_others_and_all_else_is_as_it_was() -> None:
    before = raw(book())
    after = changed(
        before, {(4, 3): "900", (3, 0): "A & B", (3, 3): "", (5, 0): "C", (7, 2): "EA 30x30x3", (2, 4): "Note"}
    )
    assert texts(after)[2:] == [
        [*HEADS, "Note"],
        ["A & B", "2", "SHS 40x40x3"],
        ["B", "1", "SHS 40x40x3", "900"],
        ["C"],
        [],
        ["", "", "EA 30x30x3"],
    ]
    one, other = files(before), files(after)
    assert list(one) == list(other)
    assert {name for name in one if one[name] != other[name]} == {"xl/worksheets/sheet1.xml"}
    seen = openpyxl.load_workbook(io.BytesIO(after.data))["Parts"]
    assert seen["A4"].font.b
    assert seen["A4"].value == "A & B"
    assert seen["A4"].comment.text == "painted"
    assert seen.column_dimensions["C"].width == 31
    assert [str(each) for each in seen.merged_cells.ranges] == ["A1:D1"]
    assert len(seen.data_validations.dataValidation) == 1


def test_a_number_in_a_cell_of_days_stays_what_was_typed() -> None:
    before = raw(book())
    assert texts(before)[4][3] == "2031-01-02"
    after = changed(before, {(4, 3): "900", (3, 1): "3"})
    seen = openpyxl.load_workbook(io.BytesIO(after.data))["Parts"]
    assert (seen["D5"].value, seen["B4"].value) == ("900", 3), "text where a number would be a day, else a number"


@pytest.mark.parametrize(
    "text", ["007", "2.50", "1e5", "+3", "=1+1", "  x", "é <&> \"'", "12345678901234567", "-0.5", ".5"]
)
def test_what_is_typed_is_what_is_read(text: str) -> None:
    assert texts(changed(raw(book()), {(3, 0): text}))[3][0].strip() == text.strip()


@settings(max_examples=examples(60), deadline=None)
@given(
    st.dictionaries(
        st.tuples(st.integers(3, 12), st.integers(0, 8)),
        st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S")), max_size=9),
        max_size=12,
    )
)
def test_any_cells_are_read_as_they_were_typed_and_the_others_as_before(changes: dict[tuple[int, int], str]) -> None:
    before = raw(book())
    was = {(r, c): text for r, row in enumerate(texts(before)) for c, text in enumerate(row)}
    now = {(r, c): text for r, row in enumerate(texts(changed(before, changes))) for c, text in enumerate(row)}
    wanted = {**was, **changes}
    assert {place: text for place, text in wanted.items() if text} == {
        place: text for place, text in now.items() if text
    }


@pytest.mark.parametrize("prefix", ["", "x:"])
def test_rows_and_cells_without_numbers_and_names_with_a_prefix(prefix: str) -> None:
    """As other programs write it: no ``r``, an empty row as a tag alone, single quotation marks, a row of spans."""
    xml = (
        f"<?xml version='1.0'?><{prefix}worksheet xmlns{':x' if prefix else ''}="
        "'http://schemas.openxmlformats.org/spreadsheetml/2006/main'><sheetData>"
        "<row spans='1:2'><c t='inlineStr'><is><t>Quantity</t></is></c>"
        "<c t='inlineStr'><is><t>Length</t></is></c></row>"
        "<row/><row><c><v>1</v></c><c><v>2</v></c></row></sheetData></worksheet>"
    )
    for name in ("worksheet", "sheetData", "row", "c", "is", "t", "v"):
        xml = xml.replace(f"<{name}>", f"<{prefix}{name}>").replace(f"<{name} ", f"<{prefix}{name} ")
        xml = xml.replace(f"</{name}>", f"</{prefix}{name}>").replace(f"<{name}/>", f"<{prefix}{name}/>")
    before = RawFile(name="gate.xlsx", data=workbook(xml))
    after = changed(before, {(1, 1): "9", (0, 2): "Mark", (2, 0): "5", (4, 0): "6"})
    assert texts(after) == [["Quantity", "Length", "Mark"], ["", "9"], ["5", "2"], [], ["6"]]


def test_a_sheet_with_nothing_in_it_is_filled() -> None:
    before = RawFile(name="gate.xlsx", data=workbook(xml_of("").replace("<sheetData></sheetData>", "<sheetData/>")))
    assert texts(changed(before, {(1, 0): "1"})) == [[], ["1"]]


def test_formulas_that_the_list_is_read_with_stand_against_it(tmp_path: Path) -> None:
    made = book()
    made["Parts"]["D4"] = "=600*2"
    path = tmp_path / "gate.xlsx"
    made.save(path)
    with_values(path, "600*2", "1200")
    before = RawFile(name=path.name, data=path.read_bytes())
    assert hindrance(before, "Parts").startswith("formulas, whose results")
    with pytest.raises(ProblemsFound, match="found formulas, whose results"):
        changed(before, {(3, 0): "X"})


def test_formulas_of_a_sheet_that_is_not_read_are_worked_out_anew_when_it_is_opened(tmp_path: Path) -> None:
    made = book()
    made["Notes"]["C1"] = "=Parts!B4"
    made.calculation.fullCalcOnLoad = None
    path = tmp_path / "gate.xlsx"
    made.save(path)
    with_values(path, "Parts!B4", "2")
    before = RawFile(name=path.name, data=path.read_bytes())
    assert hindrance(before, "Parts") == ""
    after = changed(before, {(3, 1): "3"})
    assert b"fullCalcOnLoad" not in files(before)["xl/workbook.xml"]
    assert b'fullCalcOnLoad="1"' in files(after)["xl/workbook.xml"]
    assert openpyxl.load_workbook(io.BytesIO(after.data))["Notes"]["C1"].value == "=Parts!B4"


def test_what_is_hidden_in_a_merged_cell_and_the_headings_of_a_table_are_left_alone() -> None:
    made = book()
    with pytest.raises(ProblemsFound, match="part of a merged cell"):
        changed(raw(made), {(0, 1): "x"})
    assert texts(changed(raw(made), {(0, 0): "Rail"}))[0] == ["Rail"]
    made["Parts"].add_table(Table(displayName="parts", ref="A3:D5"))
    with pytest.raises(ProblemsFound, match="headings of a table"):
        changed(raw(made), {(2, 3): "Long"})
    assert texts(changed(raw(made), {(3, 3): "800"}))[3][3] == "800"


def test_letters_that_no_workbook_can_hold_are_refused() -> None:
    with pytest.raises(ProblemsFound, match="would not read as they were typed"):
        changed(raw(book()), {(3, 0): "a\x01b"})


@pytest.mark.thorough
def test_other_things_that_unpack_to_very_much_stand_against_it() -> None:
    before = RawFile(
        name="gate.xlsx",
        data=workbook(xml_of(heading_row() + part_row()), more={"xl/media/image1.png": bytes(210_000_000)}),
    )
    assert hindrance(before, "Parts") == "pictures or other things that unpack to very much"
