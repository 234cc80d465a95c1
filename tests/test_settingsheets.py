"""Settings as cells: what TOML holds goes into a cell that gives the same value back."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from cutplan.model import Workshop
from cutplan.reading.jobbook import BLOCK_SHEETS
from cutplan.reading.workshop.workshop_keys import FAMILY_KEYS, SETTINGS
from cutplan.writing.newbook import book_bytes
from cutplan.writing.settingsheets import cell_value, setting_cell
from tests.test_newbook import SHOP, opened


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (True, "yes"),
        (False, "no"),
        (3, 3),
        (Decimal("2.5"), Decimal("2.5")),
        (Decimal("0.1234567890123456789"), "0.1234567890123456789"),
        ("2.5 mm", "2.5 mm"),
        (None, None),
        ([20, "40 mm"], "20, 40 mm"),
    ],
)
def test_values_as_cells(value: Any, expected: Any) -> None:
    assert cell_value(value) == expected


def test_every_setting_and_family_has_a_row() -> None:
    book = opened(book_bytes("gate", Workshop(), SHOP))
    sheet = book["Workshop"]
    rows = {row[4].value: row[1].value for row in sheet.iter_rows(min_row=4)}
    assert list(rows) == list(SETTINGS)
    assert rows["saw.kerf"] == "1.8 mm"
    assert rows["saw.end_trim"] is None
    assert setting_cell("workshop.name") == "Workshop!$B$4"
    assert [row[0].value for row in book["Families"].iter_rows(min_row=4)] == list(FAMILY_KEYS)


def test_choices_of_a_setting() -> None:
    sheet = opened(book_bytes("gate", Workshop(), SHOP))["Workshop"]
    rules = {str(rule.sqref): rule.formula1 for rule in sheet.data_validations.dataValidation}
    at = {row[4].value: row[1].coordinate for row in sheet.iter_rows(min_row=4)}
    assert rules[at["saw.clamp"]] == '"bar side,either side"'
    assert rules[at["saw.mill_ends_accepted"]] == '"yes,no"'
    assert at["saw.kerf"] not in rules


def test_values_and_meanings_are_seen_whole() -> None:
    """A column unit is a digit of 10 pt; a meaning is in letters of 9 pt, of which more go into one."""
    shop = SHOP | {"cost": {"included": "parts cut, drilled, welded and painted; delivery within 20 km"}}
    sheet = opened(book_bytes("gate", Workshop(), shop))["Workshop"]
    rows = {row[4].value: row for row in sheet.iter_rows(min_row=4)}
    heights = {key: sheet.row_dimensions[row[0].row].height or 12.75 for key, row in rows.items()}
    assert rows["cost.included"][1].alignment.wrap_text
    assert heights["cost.included"] >= 3 * 10 * 1.2, "64 letters in a column of 26 units"
    assert len(rows["drills.have"][3].value) > 2 * 80
    assert heights["drills.have"] >= 3 * 9 * 1.2
    assert heights["saw.kerf"] < 2 * 10 * 1.2


@pytest.mark.parametrize("name", list(BLOCK_SHEETS.values()))
def test_blocks_stand_on_one_page_below_what_they_mean(name: str) -> None:
    """On a second page beside the first the sentences above would be torn in mid-word."""
    sheet = opened(book_bytes("gate", Workshop(), SHOP))[name]
    assert sheet.page_setup.fitToWidth == 1
    letters_a_line = sum(each.width for each in sheet.column_dimensions.values()) * 1.25
    assert sheet.row_dimensions[2].height >= 9 * 1.2 * (len(sheet["A2"].value) / letters_a_line)
    longest = max((cell for cell in sheet[3] if cell.value), key=lambda cell: len(cell.value))
    if len(longest.value) > sheet.column_dimensions[longest.column_letter].width:
        assert sheet.row_dimensions[3].height >= 2 * 9 * 1.2


def test_what_a_block_says_is_seen_whole() -> None:
    folded = {"name": "sill", "legs": ["15 mm", "40 mm", "80 mm", "40 mm", "15 mm"]}
    sheet = opened(book_bytes("gate", Workshop(), SHOP | {"section": [folded, {"name": "rail"}]}))["Own sections"]
    assert sheet.row_dimensions[4].height >= 2 * 10 * 1.2, "33 letters in a column of 16 units"
    assert sheet.row_dimensions[5].height is None
