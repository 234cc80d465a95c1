"""Raw cells: encodings, delimiters, workbooks, and what a cell shows."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from pathlib import Path
from types import SimpleNamespace
from typing import Any, NoReturn

import pytest
import python_calamine

from cutplan.problems import Problem, ProblemsFound
from cutplan.reading.sheets.raw_cells import (
    RawFile,
    Sheet,
    cell_text,
    column_letter,
    is_date,
    load_file,
    read_sheets,
)
from tests.input_files import PARTS, write_csv, write_xlsx
from tests.workbook_xml import heading_row, part_row, workbook
from tests.workbook_xml import sheet as workbook_sheet


def sheets(path: Path, warnings: list[Problem] | None = None) -> list[Sheet]:
    def width(rows: Sequence[Sequence[object]]) -> int:
        return max((len(row) for row in rows), default=0)

    return read_sheets(load_file(path), width, warnings if warnings is not None else [])


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_delimiter_is_the_one_that_makes_most_sense(delimiter: str, tmp_path: Path) -> None:
    (sheet,) = sheets(write_csv(tmp_path / "a.csv", PARTS, delimiter))
    assert sheet.rows[1] == ["A1", "2", "SHS 40x40x3", "1200"]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le"])
def test_unicode_is_read_in_silence(encoding: str, tmp_path: Path) -> None:
    text = "\ufeffé,¼".encode(encoding) if encoding == "utf-16-le" else "é,¼".encode(encoding)
    (tmp_path / "a.csv").write_bytes(text)
    warnings: list[Problem] = []
    (sheet,) = sheets(tmp_path / "a.csv", warnings)
    assert sheet.rows == [["é", "¼"]]
    assert not warnings


def test_windows_text_is_read_with_a_warning(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_bytes(b"Note\nB\xe9n\xe9dicte\n")
    warnings: list[Problem] = []
    (sheet,) = sheets(tmp_path / "a.csv", warnings)
    assert sheet.rows[1] == ["Bénédicte"]
    assert [warning.where for warning in warnings] == ["a.csv, line 2"]


def test_an_inch_mark_inside_a_cell_is_no_quotation(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text('47 1/4",x\n"3\' 11 1/4""",y\n', encoding="utf-8")
    assert sheets(tmp_path / "a.csv")[0].rows == [['47 1/4"', "x"], ["3' 11 1/4\"", "y"]]


def test_marks_survive_a_workbook(tmp_path: Path) -> None:
    (sheet,) = sheets(write_xlsx(tmp_path / "a.xlsx", S=(("007", "1E5", "NA", "=note", 101, 1200.1),)))
    assert [cell_text(cell) for cell in sheet.rows[0]][:3] == ["007", "1E5", "NA"]
    assert [cell_text(cell) for cell in sheet.rows[0]][4:] == ["101", "1200.1"]


def test_rows_keep_their_numbers_when_the_first_are_empty(tmp_path: Path) -> None:
    (sheet,) = sheets(write_xlsx(tmp_path / "a.xlsx", S=((), (), (None, "x"))))
    assert sheet.rows[2] == ["", "x"]


@pytest.mark.parametrize(
    ("cell", "shown"),
    [
        (1200.0, "1200"),
        (0.1 + 0.2, "0.3"),
        (1e16, "10000000000000000"),
        (1e-7, "0.0000001"),
        (True, "TRUE"),
        (7, "7"),
        (datetime.date(2031, 3, 1), "2031-03-01"),
    ],
)
def test_cell_text(cell: Any, shown: str) -> None:
    assert cell_text(cell) == shown


def test_dates_and_times_are_dates() -> None:
    assert is_date(datetime.date(2031, 3, 1))
    assert is_date(datetime.time(3, 4))
    assert is_date(datetime.timedelta(hours=30))
    assert not is_date("2031-03-01")


def test_column_letters() -> None:
    assert [column_letter(n) for n in (0, 25, 26, 51, 701, 702)] == ["A", "Z", "AA", "AZ", "ZZ", "AAA"]


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write_csv(tmp_path / "a.csv", PARTS)

    def denied(self: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", denied)
    with pytest.raises(ProblemsFound, match="a file that may not be read"):
        load_file(path)


def test_a_disk_error_is_told_in_its_own_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write_csv(tmp_path / "a.csv", PARTS)

    def failing(self: Path) -> bytes:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(Path, "read_bytes", failing)
    with pytest.raises(ProblemsFound, match="Input/output error"):
        load_file(path)


def test_a_name_no_system_has() -> None:
    with pytest.raises(ProblemsFound):
        load_file(Path("a\0b.csv"))


@pytest.mark.parametrize("fault", [AttributeError, TypeError, ImportError])
def test_what_a_library_lacks_is_no_fault_of_the_workbook(
    fault: type[Exception], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write_xlsx(tmp_path / "a.xlsx", Parts=PARTS)
    with monkeypatch.context() as patch:
        patch.setattr(
            python_calamine, "CalamineWorkbook", SimpleNamespace(from_filelike=raising(fault("no such thing")))
        )
        with pytest.raises(fault, match="no such thing"):
            sheets(path)
    monkeypatch.setattr(python_calamine, "CalamineWorkbook", SimpleNamespace(from_filelike=raising(ValueError("torn"))))
    with pytest.raises(ProblemsFound, match="a workbook that is broken") as found:
        sheets(path)
    assert str(found.value.__cause__) == "torn"


def raising(error: Exception) -> Callable[[object], NoReturn]:
    def fails(_: object) -> NoReturn:
        raise error

    return fails


def test_too_large_a_file(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    with path.open("wb") as file:
        file.truncate(50_000_001)
    with pytest.raises(ProblemsFound, match="more than 50 MB"):
        load_file(path)


def test_any_cut_of_a_workbook_is_refused_in_words(tmp_path: Path) -> None:
    whole = write_xlsx(tmp_path / "a.xlsx", S=PARTS).read_bytes()
    for size in range(4, len(whole), 97):
        with pytest.raises(ProblemsFound):
            read_sheets(RawFile(name="a.xlsx", data=whole[:size]), len, [])


def test_any_changed_byte_of_a_workbook_is_read_or_refused(tmp_path: Path) -> None:
    whole = bytearray(write_xlsx(tmp_path / "a.xlsx", S=PARTS).read_bytes())
    read = 0
    for place in range(0, len(whole), 61):
        changed = bytes(whole[:place]) + bytes([whole[place] ^ 0xFF]) + bytes(whole[place + 1 :])
        try:
            read += len(read_sheets(RawFile(name="a.xlsx", data=changed), len, []))
        except ProblemsFound:
            continue
    assert read, "no change was harmless, so the test shows nothing"


def test_a_value_that_two_ways_of_reading_see_differently(tmp_path: Path) -> None:
    """A value before its formula, which no spreadsheet program writes."""
    cell = "<v>45</v><f>A1</f>"
    path = tmp_path / "a.xlsx"
    path.write_bytes(workbook(workbook_sheet(heading_row() + part_row(more=f'<c r="D2">{cell}</c>'))))
    with pytest.raises(ProblemsFound) as refused:
        sheets(path)
    (problem,) = refused.value.problems
    assert (problem.code, problem.where) == ("file.ambiguous", 'a.xlsx, sheet "Parts", cell D2')
