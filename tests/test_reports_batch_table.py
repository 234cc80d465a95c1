"""One row per list, the same in words, in JSON and in each form of file; text stays text."""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from pathlib import Path

import pytest
from openpyxl import load_workbook

from cutplan.actions.batch import write_batch
from cutplan.reports.batch_table import HEADINGS
from cutplan.units import KG
from cutplan.words.batch_words import Row, row_values

DONE = Row(
    parts=Path("jobs/gate.csv"),
    folder=Path("out/gate"),
    outcome="planned",
    proof="proven, rechecked",
    currency="EUR",
    money=126_930_000,
    bought_mass=55 * KG + KG // 2,
    bars_bought=6,
    pieces=35,
    seconds=1.234,
)
AT_FAULT = Row(parts=Path("=1+1.csv"), folder=Path("out/x"), outcome="at fault", faults=("row 2: wrong\nmore", "row 3"))
UNPRICED = Row(parts=Path("c.csv"), folder=Path("out/c"), outcome="as before", proof="not proven", stopped_by="user")


@pytest.mark.parametrize("name", ["table.csv", "deeper/table.xlsx", "table.JSONL"])
def test_the_forms_hold_the_same(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    write_batch([DONE, AT_FAULT], path)
    if name.endswith("csv"):
        rows = list(csv.reader(path.open(newline="", encoding="utf-8-sig")))
        assert rows[2][0] == "'=1+1.csv"  # a csv file has no types: without the mark a spreadsheet reckons it out
        rows[2][0] = rows[2][0][1:]
    elif name.endswith("xlsx"):
        sheet = load_workbook(path).active
        assert sheet is not None
        assert sheet["A3"].data_type == "s"
        rows = [["" if cell is None else str(cell) for cell in row] for row in sheet.iter_rows(values_only=True)]
    else:
        values = [json.loads(line) for line in path.read_text().splitlines()]
        assert values == [json.loads(json.dumps(row_values(row))) for row in (DONE, AT_FAULT)]
        return
    assert rows[0] == list(HEADINGS)
    assert rows[1] == [
        *("jobs/gate.csv", "out/gate", "planned", "proven, rechecked", ""),
        *("126.93", "EUR", "55.5", "6", "35", "1.23", "0", "", ""),
    ]
    assert rows[2][:3] == ["=1+1.csv", "out/x", "at fault"]
    assert set(rows[2][3:10]) == {""}
    assert rows[2][11:] == ["2", "row 2: wrong\nmore", "row 2: wrong\nmore\nrow 3"]


def test_more_faults_than_a_cell_holds_are_counted(tmp_path: Path) -> None:
    """A spreadsheet takes 32,767 characters in a cell (published limits of spreadsheet programs, from memory), and a
    csv file is opened in one too. Whole faults stand there, and how many more there are.
    """
    faults = tuple(f"row {number}: {'wrong ' * 50}" for number in range(2, 502))
    many = replace(AT_FAULT, faults=faults)
    for name in ("table.csv", "table.xlsx"):
        write_batch([many], tmp_path / name)
    (_, row) = csv.reader((tmp_path / "table.csv").open(newline="", encoding="utf-8-sig"))
    sheet = load_workbook(tmp_path / "table.xlsx").active
    assert sheet is not None
    assert sheet.cell(2, len(HEADINGS)).value == row[-1]
    *shown, last = row[-1].splitlines()
    assert (row[11], shown) == ("500", list(faults[: len(shown)]))
    assert 100 < len(shown) < 500
    assert last == f"and {500 - len(shown)} more: --table FILE.jsonl holds all"
    assert 31_000 < len(row[-1]) <= 32_767


def test_all_faults_of_a_list_make_its_row_no_higher(tmp_path: Path) -> None:
    """Else a list of many faults would fill the screen; the first of them is wrapped, and seen whole."""
    many = replace(AT_FAULT, faults=("row 2: wrong", *(f"row {number}" for number in range(3, 99))))
    long = replace(AT_FAULT, faults=("row 2: wrong\n" + "what would be accepted in its place " * 5,))
    write_batch([DONE, many, long], tmp_path / "table.xlsx")
    sheet = load_workbook(tmp_path / "table.xlsx").active
    assert sheet is not None
    first, everything = (sheet.cell(3, len(HEADINGS) - after) for after in (1, 0))
    assert first.alignment.wrap_text
    assert not everything.alignment.wrap_text
    assert first.alignment.vertical == everything.alignment.vertical == "top"
    one, same, higher = (sheet.row_dimensions[row].height for row in (2, 3, 4))
    assert (same, higher >= 4 * one) == (one, True)


def test_the_sheet_prints_on_one_page_with_figures_below_their_headings(tmp_path: Path) -> None:
    write_batch([DONE, UNPRICED, AT_FAULT], tmp_path / "table.xlsx")
    sheet = load_workbook(tmp_path / "table.xlsx").active
    assert sheet is not None
    assert (sheet.page_setup.orientation, sheet.page_setup.fitToWidth) == ("landscape", 1)
    assert sheet.print_area == "'Batch'!$A$1:$M$4", "all faults are for the screen"
    assert sheet.print_title_rows == "$1:$1"
    by_heading = {head: [cell.alignment.horizontal for cell in column[:2]] for head, column in zip(
        HEADINGS, sheet.iter_cols(), strict=True
    )}  # fmt: skip
    figures = ("To pay", "Mass to buy, kg", "Bars to buy", "Parts", "Seconds", "Faults")
    assert by_heading == {head: ["right" if head in figures else "left"] * 2 for head in HEADINGS}
    shown = {head: sheet.cell(2, HEADINGS.index(head) + 1).number_format for head in figures}
    assert (shown["To pay"], shown["Mass to buy, kg"], shown["Parts"]) == ("#,##0.00", "#,##0.0", "0")


def test_no_amount_is_wider_than_its_column(tmp_path: Path) -> None:
    """A spreadsheet program shows only crosses for a figure that its column does not hold; a unit is about a digit."""
    write_batch([replace(DONE, money=12_345_678_900_000)], tmp_path / "table.xlsx")
    sheet = load_workbook(tmp_path / "table.xlsx").active
    assert sheet is not None
    assert sheet.column_dimensions["F"].width > len("12,345,678.90")
