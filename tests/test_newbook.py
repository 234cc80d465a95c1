"""A new workbook: nothing in it is read as a part, every cell may be filled, and the spreadsheet checks what it can."""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from cutplan.model import Workshop
from cutplan.problems import ProblemsFound
from cutplan.reading import read_job
from cutplan.reading.lists.part_columns import PARTS
from cutplan.reading.lists.price_columns import PRICES
from cutplan.reading.lists.rack_columns import RACK
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.headings import CHECK, HOLES
from cutplan.reading.sheets.raw_cells import RawFile, load_file, read_sheets
from cutplan.reading.sheets.table_search import read_table
from cutplan.writing.newbook import book_bytes, without_examples
from tests.effort import some

SHOP = {"saw": {"kerf": "1.8 mm"}, "stock": {"lengths": "6 m"}}


def opened(content: bytes) -> Any:
    return load_workbook(io.BytesIO(content))


@cache
def blank() -> Any:
    """A new workbook, to be looked at only."""
    return opened(book_bytes("gate", Workshop(), SHOP))


def heading_row(sheet: Any) -> int:
    """Of a list, whose headings are bold on grey."""
    return int(next(cell.row for cell in sheet["A"] if cell.font.bold and cell.fill.fgColor.rgb == "FFE6E6E6"))


def columns(sheet: Any) -> dict[str, int]:
    return {cell.value: cell.column for cell in sheet[heading_row(sheet)] if cell.value}


def filled(path: Path, shop: dict[str, Any] | None = None, **rows: list[dict[str, Any]]) -> Path:
    """A new workbook with rows filled in by their headings, and settings by their keys."""
    book = opened(book_bytes("gate", Workshop(), SHOP if shop is None else {}))
    for name, lines in rows.items():
        sheet = book[name]
        place = columns(sheet)
        for number, line in enumerate(lines, heading_row(sheet) + 1):
            for heading, value in line.items():
                cell = sheet.cell(number, place[heading])
                cell.value = value
                cell.data_type = "s" if isinstance(value, str) else cell.data_type
    for row in book["Workshop"].iter_rows(min_row=4):
        if row[4].value in (shop or {}):
            row[1].value = (shop or {})[row[4].value]
    book.save(path)
    return path


@pytest.mark.thorough
def test_the_same_bytes_every_time() -> None:
    assert book_bytes("gate", Workshop(), SHOP) == book_bytes("gate", Workshop(), SHOP)


@pytest.mark.parametrize("unit", some(["mm", "in"], "mm"))
def test_blank_it_holds_no_part(unit: str, tmp_path: Path) -> None:
    path = tmp_path / "gate.xlsx"
    path.write_bytes(book_bytes("gate", Workshop(unit=unit), {"workshop": {"unit": unit}}))
    with pytest.raises(ProblemsFound) as found:
        read_job(path, stock=["6 m"])
    assert str(found.value) == (
        'gate.xlsx, sheet "Parts", row 5: found no rows below the headings.\nAccepted: at least one part.'
    )


@pytest.mark.parametrize(("name", "headings"), [("Parts", PARTS), ("Prices", PRICES), ("Rack", RACK), ("Holes", HOLES)])
def test_every_column_that_is_read_is_there(name: str, headings: Any) -> None:
    sheet = blank()[name]
    assert set(columns(sheet)) == {each.name for each in headings if each.read or each.name == CHECK}


def test_what_is_filled_in_is_read(tmp_path: Path) -> None:
    path = filled(
        tmp_path / "gate.xlsx",
        Parts=[
            {"Mark": "A", "Quantity": 2, "Section": "SHS 40x40x3", "Length": 1200, "Cut A": 45, "Cut B": 45},
            {"Mark": "=B", "Quantity": 1, "Section": "RD 12", "Length": "1' 2 1/4\""},
        ],
        Prices=[{"Merchant": "Yard", "Section": "SHS 40x40x3", "Length": 6000, "Price": 30, "Per": "each"}],
        Rack=[{"Mark": "R1", "Section": "RD 12", "Length": 700, "End A": "mill"}],
        Merchants=[{"Name": "Yard", "Delivers": "yes"}],
    )
    job = read_job(path)
    assert [(part.mark, part.quantity, part.length) for part in job.parts] == [
        ("A", 2, 1_200_000_000),
        ("=B", 1, 361_950_000),
    ]
    assert [(offer.merchant, offer.length) for offer in job.offers] == [("Yard", 6_000_000_000), ("", 6_000_000_000)]
    assert job.offcuts[0].end_a.value == "mill"
    assert job.workshop.saw.kerf == 1_800_000
    assert job.workshop.merchant("Yard").delivers


def test_examples_are_greyed_and_stand_above_the_headings() -> None:
    for name in ("Parts", "Prices", "Rack"):
        sheet = blank()[name]
        head = heading_row(sheet)
        example = sheet.cell(head - 1, 1)
        assert example.value
        assert example.font.color.rgb == "FF808080"
        assert example.font.italic
        assert all(cell.value is None or cell.column == columns(sheet)[CHECK] for cell in sheet[head + 1])


def test_lists_to_choose_from_and_limits() -> None:
    book = blank()
    rules = {str(rule.sqref).split(":")[0]: rule for rule in book["Parts"].data_validations.dataValidation}
    at = {name: f"{book['Parts'].cell(1, column).column_letter}6" for name, column in columns(book["Parts"]).items()}
    assert rules[at["Quantity"]].type == "whole"
    assert rules[at["Length"]].formula1 == "OR(ISTEXT(D6),D6>=0)"
    assert rules[at["Cut A"]].formula2 == "75"
    assert rules[at["Length is"]].formula1 == '"long point,short point,centre line,one side"'
    assert rules[at["Section"]].formula1.startswith("Choices!")
    assert not rules[at["Section"]].showErrorMessage
    assert book["Choices"].sheet_state == "hidden"
    assert len(rules[at["Lean"]].formula1) < 255


def test_columns_for_less_usual_things_are_folded_away() -> None:
    sheet = blank()["Parts"]
    hidden = [name for name, column in columns(sheet).items() if _is_hidden(sheet, column)]
    assert "Lean" in hidden
    assert "Length" not in hidden


def _is_hidden(sheet: Any, column: int) -> bool:
    return any(each.hidden and each.min <= column <= each.max for each in sheet.column_dimensions.values())


@pytest.mark.parametrize("unit", some(["mm", "in"], "in"))
def test_examples_do_not_go_along_into_another_form(unit: str, tmp_path: Path) -> None:
    path = tmp_path / "gate.xlsx"
    path.write_bytes(book_bytes("gate", Workshop(unit=unit), {"workshop": {"unit": unit}}))
    for name, headings in {"Parts": PARTS, "Prices": PRICES, "Rack": RACK, "Holes": HOLES}.items():
        (sheet,) = [sheet for sheet in read_sheets(load_file(path), len, []) if sheet.name == name]
        table = read_table(RawFile(name=path.name, data=b"", sheets=(sheet,)), headings, Findings())
        assert table is not None
        bare = without_examples(table)
        assert [cell for cells in bare.sheet.rows[: bare.heading_row] for cell in cells if cell] == [f"{name}: gate"]
        assert bare.sheet.rows[bare.heading_row :] == table.sheet.rows[table.heading_row :]


def test_every_sheet_can_be_typed_into() -> None:
    """A guarded sheet lets nothing be typed but into cells that are open, and rows cannot be put in."""
    assert [sheet.title for sheet in blank() if sheet.protection.sheet] == []
