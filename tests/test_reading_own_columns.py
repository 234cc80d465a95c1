"""A column is declared once: what a row becomes, a new workbook and the manual all have it from there."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import fields as dataclass_fields
from dataclasses import replace
from pathlib import Path

import pytest
from openpyxl import load_workbook

from cutplan.model import Offcut, Part, StockLength, Workshop
from cutplan.reading.lists import part_columns, price_columns, rack_columns, rack_list
from cutplan.reading.lists.rack_list import read_rack_file
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.headings import HOLES, Heading, Kind
from cutplan.reading.sheets.own_columns import Column, values_of
from cutplan.reading.sheets.raw_cells import load_file
from cutplan.reading.sheets.table_search import read_table
from cutplan.writing import newbook
from tests.input_files import write_csv
from tests.manual_tables import columns

LISTS: dict[str, tuple[Sequence[Heading], Sequence[Column], type]] = {
    "Parts": (part_columns.PARTS, part_columns.OWN_COLUMNS, Part),
    "Prices": (price_columns.PRICES, price_columns.OWN_COLUMNS, StockLength),
    "Rack": (rack_columns.RACK, rack_columns.OWN_COLUMNS, Offcut),
}
CASTER = Column(
    name="Heat treatment",
    kind=Kind.TEXT,
    variants=("treated",),
    about="how it was treated",
    shown=20,
    choices=("none", "annealed"),
    strict=True,
    field="place",
    cell=lambda row: row.words("Heat treatment").upper(),
)


@pytest.mark.parametrize("name", LISTS)
def test_own_columns_give_different_fields_of_the_model(name: str) -> None:
    headings, own, model = LISTS[name]
    fields = [column.field for column in own]
    assert len(set(fields)) == len(fields) > 0
    assert set(fields) <= {each.name for each in dataclass_fields(model)}
    alone = [each for each in headings if isinstance(each, Column) and not isinstance(each, part_columns.EndColumn)]
    assert alone == list(own)


@pytest.mark.parametrize("headings", [*(headings for headings, _, _ in LISTS.values()), HOLES], ids=[*LISTS, "Holes"])
def test_those_in_sight_stand_in_one_order(headings: Sequence[Heading]) -> None:
    shown = sorted(heading.shown for heading in headings if heading.shown)
    assert shown == list(range(1, len(shown) + 1))
    assert all(heading.shown for heading in headings if heading.needed)
    assert len({heading.name for heading in headings}) == len(headings)


def test_a_column_more_is_read_shown_in_a_new_workbook_and_told_in_the_manual(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One declaration and nothing else: here in place of the column that gives the same field."""
    others = [heading for heading in rack_columns.RACK if heading.name != "Place"]
    rack = (*(replace(heading, shown=heading.shown - (heading.shown > 8)) for heading in others), CASTER)
    own = tuple(column for column in rack if isinstance(column, Column))
    monkeypatch.setattr(rack_list, "RACK", rack)
    monkeypatch.setattr(rack_list, "OWN_COLUMNS", own)
    monkeypatch.setattr(newbook, "RACK", rack)
    rows = (("Mark", "Section", "Length", "Treated"), ("R1", "SHS 40x40x3", 1200, "annealed"))
    (offcut,) = read_rack_file(write_csv(tmp_path / "rack.csv", rows), Workshop())
    assert offcut.place == "ANNEALED"
    sheet = load_workbook(io.BytesIO(newbook.book_bytes("gate", Workshop(), {})))["Rack"]
    head = next(row for row in sheet.iter_rows() if row[0].value == "Mark")
    seen = [cell.value for cell in head]
    assert seen[9:11] == ["Heat treatment", "Check"]
    rules = {rule.formula1: rule.showErrorMessage for rule in sheet.data_validations.dataValidation}
    assert rules['"none,annealed"'] is True
    assert "| Heat treatment |  | treated | how it was treated |" in columns(rack)


def test_values_of_a_row_by_field(tmp_path: Path) -> None:
    rows = (("Mark", "Section", "Length", "End B", "Quantity"), ("R1", "SHS 40x40x3", 1200, "mill", 3))
    findings = Findings()
    table = read_table(load_file(write_csv(tmp_path / "rack.csv", rows)), rack_columns.RACK, findings)
    assert table is not None
    (row,) = table.rows(findings)
    assert values_of(row, rack_columns.OWN_COLUMNS) == {
        "mark": "R1",
        "end_a": None,
        "end_b": rack_columns.END_WORDS["mill"],
        "place": "",
        "heat_number": "",
        "book_value": None,
        "quantity": 3,
    }
