"""The workshop of a new workbook: its settings one below the other, a row per family, a row per merchant."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from openpyxl.worksheet.datavalidation import DataValidation

from cutplan.model.workshop import DEFAULT_KEEP, DEFAULT_STANDARD
from cutplan.reading.jobbook import (
    BLOCK_HEADINGS,
    BLOCK_SHEETS,
    FAMILIES,
    FAMILIES_SHEET,
    WORKSHOP_SHEET,
)
from cutplan.reading.jobbook import SETTINGS as SETTING_HEADINGS
from cutplan.reading.workshop.workshop_keys import BLOCKS, FAMILY_KEYS, FAMILY_TABLES, SAWS, SETTINGS, YES_NO
from cutplan.reports.workbook.cells import CELL_MARGINS_MM, COLUMN_UNIT_MM, Book, Look, lines_needed, set_up_page
from cutplan.reports.workbook.page import LINE_POINTS, Field, lines_in, widths_of
from cutplan.sections import STANDARDS
from cutplan.units import length_text
from cutplan.writing.listsheet import FIELD, HEADING, HINT, TITLE

BLOCK_ROWS = 20
SMALL = Look(size=8, grey=True)
PLAIN = Look(indent=1)
SAID = replace(FIELD, wrap=True)
EXPLAIN = Look(size=9, wrap=True, indent=1)
NAME = Look(bold=True)

SETTINGS_HINT = "A blank value is the default beside it. Lengths: a number in the unit, or 6.5 m, 2.5 mm, 3/32 in."
FIRST_SETTING = 4


def setting_cell(key: str) -> str:
    """Where the value of a setting stands, as a formula on another sheet names it."""
    return f"{WORKSHOP_SHEET}!$B${FIRST_SETTING + list(SETTINGS).index(key)}"


def cell_value(value: Any) -> Any:
    """A value as TOML has it, as a cell holds it: yes or no for a truth, a number where 15 digits hold it."""
    if isinstance(value, bool):
        return YES_NO[0] if value else YES_NO[1]
    if isinstance(value, list):
        return ", ".join(str(each) for each in value)
    if isinstance(value, int | Decimal):
        return value if len(f"{value:f}".replace(".", "").lstrip("0")) <= 15 else f"{value:f}"
    return value


def write_workshop(book: Book, document: Mapping[str, Any], job: str, paper: int) -> None:
    """The sheets of the workshop, filled with what is said and blank where the default stands."""
    _write_settings(book, document, job, paper)
    _write_families(book, document, job, paper)
    for table in BLOCK_SHEETS:
        _write_blocks(book, table, document.get(table, ()), job, paper)


def _headed(book: Book, name: str, title: str, hint: str, heads: Sequence[str], widths: Sequence[float]) -> Any:
    sheet = book.sheet(name)
    book.put(sheet, 1, 1, title, TITLE)
    sheet.merge_cells(start_row=2, end_row=2, start_column=1, end_column=len(heads))
    book.put(sheet, 2, 1, hint, HINT)
    room = sum(widths) * COLUMN_UNIT_MM - CELL_MARGINS_MM
    sheet.row_dimensions[2].height = max(28, 4 + 12 * lines_needed(hint, room, HINT.size))
    fields = [Field(head=head, width=width, look=HEADING) for head, width in zip(heads, widths, strict=True)]
    sheet.row_dimensions[FIRST_SETTING - 1].height = 4 + 12 * lines_in(fields, heads)
    for column, (head, width) in enumerate(zip(heads, widths, strict=True), 1):
        cell = sheet.cell(FIRST_SETTING - 1, column)
        book.put(sheet, FIRST_SETTING - 1, column, head, HEADING)
        sheet.column_dimensions[cell.column_letter].width = width
    sheet.freeze_panes = f"A{FIRST_SETTING}"
    return sheet


def _heighten(sheet: Any, row: int, fields: Sequence[Field], cells: Sequence[Any]) -> None:
    """Make a row as high as its texts; one of a line is left to the program, which suits it to what is typed there."""
    lines = lines_in(fields, cells)
    if lines > 1:
        sheet.row_dimensions[row].height = LINE_POINTS * lines


def _finish(sheet: Any, job: str, paper: int, columns: int) -> None:
    set_up_page(
        sheet,
        job=job,
        paper=paper,
        landscape=True,
        last_row=sheet.max_row,
        columns=columns,
        title_rows=FIRST_SETTING - 1,
    )


def _write_settings(book: Book, document: Mapping[str, Any], job: str, paper: int) -> None:
    heads = ("Setting", "Value", "Default", "Meaning", "Key")
    assert set(heads) == {heading.name for heading in SETTING_HEADINGS}
    fields = [
        Field(head=head, width=width, look=look)
        for head, width, look in zip(heads, (26, 26, 12, 70, 24), (NAME, SAID, PLAIN, EXPLAIN, SMALL), strict=True)
    ]
    sheet = _headed(book, WORKSHOP_SHEET, f"Workshop: {job}", SETTINGS_HINT, heads, widths_of(fields))
    for row, key in enumerate(SETTINGS.values(), FIRST_SETTING):
        value = cell_value(document.get(key.table, {}).get(key.word))
        cells = (key.setting, value, key.default, key.meaning, key.name)
        for column, (cell, field) in enumerate(zip(cells, fields, strict=True), 1):
            book.put(sheet, row, column, cell, field.look)
        _heighten(sheet, row, fields, cells)
        if key.choices:
            _choose(sheet, f'"{",".join(key.choices)}"', f"B{row}")
    _finish(sheet, job, paper, len(heads))


def _write_families(book: Book, document: Mapping[str, Any], job: str, paper: int) -> None:
    heads = ("Family", *(table.setting for table in FAMILY_TABLES.values()), "Meaning")
    assert set(heads) == {heading.name for heading in FAMILIES}
    hint = "Blank cells take the default. " + "; ".join(
        f"{table.setting}: {table.meaning}" for table in FAMILY_TABLES.values()
    )
    widths = (10, *(20 for _ in FAMILY_TABLES), 52)
    sheet = _headed(book, FAMILIES_SHEET, f"Families of sections: {job}", hint, heads, widths)
    for row, (word, family) in enumerate(FAMILY_KEYS.items(), FIRST_SETTING):
        book.put(sheet, row, 1, word, NAME)
        for column, table in enumerate(FAMILY_TABLES, 2):
            book.put(sheet, row, column, cell_value(document.get(table, {}).get(word)), FIELD)
            if table == "standards":
                _choose(sheet, f'"{",".join(STANDARDS[family])}"', sheet.cell(row, column).coordinate)
        default = f"{length_text(DEFAULT_KEEP[family])}, {DEFAULT_STANDARD[family]}"
        book.put(sheet, row, len(heads), f"{family.title}; defaults {default}", EXPLAIN)
    _finish(sheet, job, paper, len(heads))


_WIDE, _NARROW, _MOST_WIDE = 16, 11, 10
"""Column widths of blocks, and up to how many columns are wide: 22 + 14 x 11 units of a merchant fit on Letter too."""
_BLOCK_HINTS = {
    "merchant": "Only merchants that charge for delivery, small orders or cuts need a row, named as on sheet Prices.",
    SAWS: "Several saws, each in a row; with one saw leave it blank and fill in the sheet Workshop.",
    "coat": "What is put on the finished parts: paint of the workshop's own, or a coat that others charge for.",
    "material": "Materials other than the workshop's steel, each with its density.",
    "section": "Sections of your own, by the dimensions or the mass that you know.",
}


def _write_blocks(book: Book, table: str, blocks: Sequence[Mapping[str, Any]], job: str, paper: int) -> None:
    keys = list(BLOCKS[table].values())
    heads = tuple(heading.name for heading in BLOCK_HEADINGS[table])
    name = BLOCK_SHEETS[table]
    meanings = "; ".join(f"{key.setting}: {key.meaning}" for key in keys[1:])
    widths = (22, *((_WIDE if len(heads) <= _MOST_WIDE else _NARROW) for _ in heads[1:]))
    sheet = _headed(book, name, f"{name}: {job}", f"{_BLOCK_HINTS[table]} {meanings}.", heads, widths)
    fields = [Field(head=head, width=width, look=SAID) for head, width in zip(heads, widths, strict=True)]
    for row in range(FIRST_SETTING, FIRST_SETTING + max(BLOCK_ROWS, len(blocks) + 5)):
        number = row - FIRST_SETTING
        said = blocks[number] if number < len(blocks) else {}
        cells = [cell_value(said.get(key.word)) for key in keys]
        for column, value in enumerate(cells, 1):
            book.put(sheet, row, column, value, SAID)
        _heighten(sheet, row, fields, cells)
    for column, key in enumerate(keys, 1):
        if key.choices:
            letter = sheet.cell(1, column).column_letter
            _choose(sheet, f'"{",".join(key.choices)}"', f"{letter}{FIRST_SETTING}:{letter}200")
    _finish(sheet, job, paper, len(heads))


def _choose(sheet: Any, words: str, cells: str) -> None:
    rule = DataValidation(type="list", formula1=words, showErrorMessage=True, allow_blank=True)
    rule.error = "choose from the list, or leave it blank for the default"
    rule.add(cells)
    sheet.add_data_validation(rule)
