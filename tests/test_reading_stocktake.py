"""The two forms read back."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import Workbook

from cutplan.model import EndState, Workshop
from cutplan.problems import ProblemsFound
from cutplan.reading.forms.stocktake import read_count, read_delivery
from tests import builders
from tests.builders import mm
from tests.input_files import write_csv

OFFERS = [builders.offer("P2", 6000, 35)]


def test_a_count(tmp_path: Path) -> None:
    rows = (
        ("Mark", "Section", "Length", "Found", "Length as measured (in)", "End A"),
        ("A1", "SHS 40x40x3", "1240", 0, "", ""),
        ("", "SHS 40x40x3", "", 2, "10", "mill"),
    )
    first, second = read_count(write_csv(tmp_path / "count.csv", rows), Workshop())
    assert (first.mark, first.found, first.noted, first.measured) == ("A1", 0, mm(1240), None)
    assert (second.mark, second.found, second.measured, second.end_a) == ("", 2, mm(254), EndState.MILL)


def test_a_delivery(tmp_path: Path) -> None:
    rows = (
        ("Line", "Section", "Grade", "Quantity", "Length", "Wall", "Price", "Heat number"),
        ("P2", "SHS 40x40x3", "s235jrh", 3, "6.02 m", "2.9", "34.50", "H1"),
    )
    (given,) = read_delivery(write_csv(tmp_path / "given.csv", rows), Workshop(), OFFERS)
    assert (given.offer, given.grade, given.quantity, given.length, given.wall, given.price) == (
        "P2", "S235JRH", 3, mm(6020), mm("2.9"), 34_500_000,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("row", "told"),
    [
        (("A1", "SHS 40x40x3", "", "two"), "Accepted: a whole number from 0 to 100000"),
        (("A1", "SHS 40x40x3", "", "1.5"), "Accepted: a whole number from 0 to 100000"),
        (("A1", "SHS 40x40x3", "", ""), "a blank cell"),
        (("", "SHS 40x40x3", "", "1"), "the length of a piece that bears no mark"),
        (("A1", "SHS 40", "", "1"), 'column B "Section"'),
    ],
)
def test_a_count_refused(row: tuple[str, ...], told: str, tmp_path: Path) -> None:
    rows = (("Mark", "Section", "Length", "Found", "Length as measured"), row)
    with pytest.raises(ProblemsFound) as refused:
        read_count(write_csv(tmp_path / "count.csv", rows), Workshop())
    assert told in str(refused.value)


def test_a_line_that_was_not_ordered(tmp_path: Path) -> None:
    rows = (("Line", "Section", "Quantity", "Length"), ("P9", "SHS 40x40x3", "x", "1,2"))
    with pytest.raises(ProblemsFound) as refused:
        read_delivery(write_csv(tmp_path / "given.csv", rows), Workshop(), OFFERS)
    assert [problem.found for problem in refused.value.problems] == ["P9", "x", "1,2"]
    for read in (
        lambda: read_delivery(tmp_path / "none", Workshop(), OFFERS),
        lambda: read_count(tmp_path / "n", Workshop()),
    ):
        with pytest.raises(ProblemsFound):
            read()


COMMA = Workshop(decimal_sign=",")


def test_a_count_with_the_decimal_comma_of_the_workshop(tmp_path: Path) -> None:
    rows = (
        ("Mark", "Section", "Length", "Found", "Length as measured"),
        ("A1", "SHS 40x40x3", "6.000", 1, "5.998,5"),
    )
    (row,) = read_count(write_csv(tmp_path / "count.csv", rows, delimiter=";"), COMMA)
    assert (row.noted, row.measured) == (mm(6000), mm("5998.5"))


def test_a_delivery_with_the_decimal_comma_of_the_workshop(tmp_path: Path) -> None:
    rows = (
        ("Line", "Section", "Quantity", "Length", "Wall", "Price"),
        ("P2", "SHS 40x40x3", 3, "6.000", "2,9", "1.034,50"),
    )
    (row,) = read_delivery(write_csv(tmp_path / "given.csv", rows, delimiter=";"), COMMA, OFFERS)
    assert (row.length, row.wall, row.price) == (mm(6000), mm("2.9"), 1_034_500_000)


def test_a_measured_length_is_that_of_the_same_piece(tmp_path: Path) -> None:
    rows = (
        ("Mark", "Section", "Length", "Found", "Length as measured"),
        ("A1", "SHS 40x40x3", "1200", 1, "29 m"),
        ("A2", "SHS 40x40x3", "1200", 1, "12"),
        ("A3", "SHS 40x40x3", "1200", 1, "1190"),
        ("A4", "SHS 40x40x3", "1200", 0, "1"),
    )
    path = write_csv(tmp_path / "count.csv", rows)
    with pytest.raises(ProblemsFound) as refused:
        read_count(path, Workshop())
    assert [problem.where for problem in refused.value.problems] == [
        f'count.csv, row {row}, column E "Length as measured"' for row in (2, 3)
    ]
    assert "a length from 600 mm to 2400 mm, as the piece is 1200 mm" in str(refused.value)
    assert len(read_count(path, Workshop(), any_length=True)) == 4


@pytest.mark.parametrize(("length", "taken"), [("12", False), ("1500", True), ("12 m", True), ("12001", False)])
def test_a_delivered_length_is_one_of_its_order_line(length: str, taken: bool, tmp_path: Path) -> None:
    path = write_csv(tmp_path / "g.csv", (("Line", "Section", "Quantity", "Length"), ("P2", "SHS 40x40x3", 1, length)))
    if taken:
        assert read_delivery(path, Workshop(), OFFERS)
        return
    with pytest.raises(ProblemsFound) as refused:
        read_delivery(path, Workshop(), OFFERS)
    (problem,) = refused.value.problems
    assert problem.accepted == "1500 mm to 12000 mm, as 6000 mm was ordered"


@pytest.mark.parametrize(("wall", "fault"), [("2.9", False), ("3.6", False), ("99", True), ("0.1", True)])
def test_a_wall_that_is_no_wall_of_the_section(wall: str, fault: bool, tmp_path: Path) -> None:
    """Measured, a wall of 3 mm may be some tenths off, by the tolerances of EN 10219-2; never 99 mm."""
    rows = (("Line", "Section", "Quantity", "Length", "Wall"), ("P2", "SHS 40x40x3", 1, "6000", wall))
    path = write_csv(tmp_path / "given.csv", rows)
    if not fault:
        assert len(read_delivery(path, Workshop(), OFFERS)) == 1
        return
    with pytest.raises(ProblemsFound) as refused:
        read_delivery(path, Workshop(), OFFERS)
    assert [(problem.code, problem.found) for problem in refused.value.problems] == [("delivery.wall", wall)]


def _merged(path: Path, rows: tuple[tuple[object, ...], ...], cells: str) -> Path:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in rows:
        sheet.append(row)
    sheet.merge_cells(cells)
    book.save(path)
    return path


def test_a_number_of_pieces_merged_over_rows_is_refused(tmp_path: Path) -> None:
    """It could be that of each row or of all; a heat number of several rows is that of each."""
    given = (
        ("Line", "Section", "Quantity", "Length", "Heat number"),
        ("P2", "SHS 40x40x3", 2, "6 m", "H1"),
        ("P2", "SHS 40x40x3", 1, "5990", None),
    )
    rows = read_delivery(_merged(tmp_path / "heats.xlsx", given, "E2:E3"), Workshop(), OFFERS)
    assert [(row.quantity, row.heat_number) for row in rows] == [(2, "H1"), (1, "H1")]
    with pytest.raises(ProblemsFound) as refused:
        read_delivery(_merged(tmp_path / "given.xlsx", given, "C2:C3"), Workshop(), OFFERS)
    assert [problem.code for problem in refused.value.problems] == ["cell.merged"]
    assert 'row 2, column C "Quantity": found merged cells C2:C3' in str(refused.value)
    count = (("Mark", "Section", "Length", "Found"), ("A1", "SHS 40x40x3", 900, 1), ("B1", "SHS 40x40x3", 800, None))
    with pytest.raises(ProblemsFound, match="merged cells D2:D3"):
        read_count(_merged(tmp_path / "count.xlsx", count, "D2:D3"), Workshop())
