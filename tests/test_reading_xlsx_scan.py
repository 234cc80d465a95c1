"""Cells the fast reader keeps quiet about, in XML as different programs write it."""

from __future__ import annotations

import pytest

from cutplan.problems import ProblemsFound
from cutplan.reading.sheets import xlsx_scan
from cutplan.reading.sheets.xlsx_scan import NO_VALUE, scan_workbook
from tests.workbook_xml import MAIN
from tests.workbook_xml import workbook as archive


def faults_of(book: bytes, max_rows: int, name: str) -> dict[str, dict[tuple[int, int], str]]:
    return {sheet: scan.faults for sheet, scan in scan_workbook(book, max_rows, name).sheets.items()}


def sheet(cells: str, row: int = 2, tail: str = "") -> str:
    return f'<worksheet xmlns="{MAIN}"><sheetData><row r="{row}">{cells}</row></sheetData>{tail}</worksheet>'


@pytest.mark.parametrize(
    ("cell", "found"),
    [
        ('<c r="B2"><f>A1*2</f><v/></c>', NO_VALUE),
        ('<c r="B2"><f>A1*2</f><v></v></c>', NO_VALUE),
        ('<c r="B2"><f>A1*2</f></c>', NO_VALUE),
        ('<c r="B2" s="4"><f t="shared" si="0"/></c>', NO_VALUE),
        ('<c r="B2" t="e"><v>#REF!</v></c>', "the error #REF!"),
        ('<c r="B2" t="e"><f>1/0</f><v>#DIV/0!</v></c>', "the error #DIV/0!"),
        ('<c r="B2"><f>A1*2</f><v>4</v></c>', ""),
        ('<c r="B2" t="str"><f>IF(A1="","",A1)</f><v></v></c>', ""),
        ('<c r="B2"><v>4</v></c>', ""),
        ('<c r="B2" s="1"/>', ""),
        ('<c r="B2" t="inlineStr"><is><t>f</t></is></c>', ""),
    ],
)
def test_cells_without_a_value(cell: str, found: str) -> None:
    other = '<c r="A2"><f>B1</f><v>7</v></c>'
    faults = faults_of(archive(sheet(other + cell)), 10, "a.xlsx")
    assert faults == {"Parts": {(1, 1): found} if found else {}}


def test_names_with_a_prefix() -> None:
    row = '<x:row r="2"><x:c r="C2"><x:f>A1</x:f></x:c></x:row>'
    xml = f'<x:worksheet xmlns:x="{MAIN}"><x:sheetData>{row}</x:sheetData></x:worksheet>'
    assert faults_of(archive(xml), 10, "a.xlsx") == {"Parts": {(1, 2): NO_VALUE}}


def test_formulas_of_other_things_do_not_count() -> None:
    tail = "<conditionalFormatting><cfRule><formula>A1</formula></cfRule></conditionalFormatting>"
    assert faults_of(archive(sheet('<c r="A2"><v>1</v></c>', tail=tail)), 10, "a.xlsx") == {"Parts": {}}


def test_a_target_from_the_root_of_the_archive() -> None:
    assert faults_of(archive(sheet('<c r="A2"><f>B1</f></c>'), "/xl/worksheets/sheet1.xml"), 10, "a.xlsx") == {
        "Parts": {(1, 0): NO_VALUE}
    }


@pytest.mark.parametrize("row", [11, 1_048_576])
def test_a_value_below_the_last_row(row: int) -> None:
    with pytest.raises(ProblemsFound, match=f"a value in row {row}"):
        faults_of(archive(sheet(f'<c r="A{row}"><v>1</v></c>', row)), 10, "a.xlsx")


def test_rows_that_carry_no_number_are_counted() -> None:
    rows = "<row><c><v>1</v></c></row>" * 11
    xml = f'<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData></worksheet>'
    with pytest.raises(ProblemsFound, match="a value in row 11"):
        faults_of(archive(xml), 10, "a.xlsx")


def test_formatted_rows_without_values_reach_as_far_as_they_like() -> None:
    rows = "".join(f'<row r="{n}" ht="20"><c r="A{n}" s="1"/><c r="XFD{n}" s="1"/></row>' for n in range(1, 40))
    xml = f'<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData></worksheet>'
    assert faults_of(archive(xml), 10, "a.xlsx") == {"Parts": {}}


def test_pieces_of_any_size_find_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = "".join(f'<row r="{n}"><c r="A{n}"><v>{n}</v></c><c r="B{n}"><f>A{n}</f></c></row>' for n in range(1, 30))
    book = archive(f'<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData></worksheet>')
    whole = faults_of(book, 100, "a.xlsx")
    assert len(whole["Parts"]) == 29
    for size in (200, 333, 1000):
        monkeypatch.setattr(xlsx_scan, "_PIECE", size)
        assert faults_of(book, 100, "a.xlsx") == whole


def test_an_archive_that_unpacks_without_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(xlsx_scan, "MAX_UNPACKED_BYTES", 100)
    with pytest.raises(ProblemsFound, match="unpacks to more than"):
        faults_of(archive(sheet('<c r="A2"><v>1</v></c>')), 10, "a.xlsx")


@pytest.mark.parametrize("every", ["", '<sheetFormatPr defaultRowHeight="15" zeroHeight="1"/>'])
def test_hidden_rows(every: str) -> None:
    """``zeroHeight`` hides rows that have no element, thus no cell: others say it themselves (LibreOffice 7.4)."""
    rows = '<row r="1"><c r="A1"><v>1</v></c></row><row r="2" ht="15" hidden="1"><c r="A2"><v>1</v></c></row>'
    rows += '<row r="5" hidden="true"/><row r="6" hidden="0"><c r="A6"><v>1</v></c></row>'
    rows += '<row r="7" ht="0" customHeight="1"/><row r="8" ht="0.00"/><row r="9" ht="12.75"/><row r="10" ht="x"/>'
    xml = f'<worksheet xmlns="{MAIN}">{every}<sheetData>{rows}</sheetData></worksheet>'
    assert scan_workbook(archive(xml), 10, "a.xlsx").sheets["Parts"].hidden_rows == {1, 4, 6, 7}


@pytest.mark.parametrize(
    ("name", "limit", "words"), [("MAX_ELEMENTS", 20, "elements of XML"), ("MAX_CELLS", 20, "rows of")]
)
def test_a_sheet_of_too_much(name: str, limit: int, words: str, monkeypatch: pytest.MonkeyPatch) -> None:
    rows = "".join(f'<row r="{n}"><c r="A{n}"><v>1</v></c><c r="C{n}"><v>1</v></c></row>' for n in range(1, 9))
    book = archive(f'<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData></worksheet>')
    assert faults_of(book, 10, "a.xlsx") == {"Parts": {}}
    monkeypatch.setattr(xlsx_scan, name, limit)
    with pytest.raises(ProblemsFound, match=words):
        faults_of(book, 10, "a.xlsx")


@pytest.mark.parametrize(
    ("rows", "differs"),
    [([["a", 1.0]], None), ([["a", ""]], (0, 1)), ([["a", 1.0, 2.0]], (0, 2)), ([["", 1.0]], None), ([], (0, 1))],
)
def test_what_two_readers_saw_is_compared(rows: list[list[object]], differs: tuple[int, int] | None) -> None:
    cells = '<row r="1"><c r="A1" t="inlineStr"><is><t>a</t></is></c><c r="B1"><v>1</v></c></row>'
    xml = f'<worksheet xmlns="{MAIN}"><sheetData>{cells}</sheetData></worksheet>'
    assert scan_workbook(archive(xml), 10, "a.xlsx").sheets["Parts"].differs(rows) == differs
