"""One workbook that holds a whole job: parts, holes, prices, rack and workshop, each on a sheet known by name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from cutplan.problems import Problem, ProblemsFound
from cutplan.reading.lists.price_columns import PRICES
from cutplan.reading.lists.rack_columns import RACK
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.headings import ASSEMBLIES, HOLES, Heading, Kind
from cutplan.reading.sheets.raw_cells import Cell, RawFile, cell_text, is_workbook, read_sheets
from cutplan.reading.sheets.table_search import read_table, rows_below
from cutplan.reading.sheets.tables import Row
from cutplan.reading.workshop.workshop_keys import BLOCKS, FAMILY_KEYS, FAMILY_TABLES, KEYS, SAWS
from cutplan.reading.workshop.workshop_values import legs, truth

PARTS_SHEET, HOLES_SHEET, PRICES_SHEET, RACK_SHEET = "Parts", "Holes", "Prices", "Rack"
ASSEMBLIES_SHEET = "Assemblies"
WORKSHOP_SHEET, FAMILIES_SHEET, MERCHANTS_SHEET = "Workshop", "Families", "Merchants"
SAWS_SHEET, COATS_SHEET, MATERIALS_SHEET, OWN_SECTIONS_SHEET = "Saws", "Coats", "Materials", "Own sections"

SETTINGS: tuple[Heading, ...] = (
    Heading("Key", Kind.TEXT, needed=True, about="the key of the workshop file"),
    Heading("Value", Kind.TEXT, needed=True, about="blank is the default"),
    Heading("Setting", Kind.TEXT, read=False),
    Heading("Default", Kind.TEXT, read=False),
    Heading("Meaning", Kind.TEXT, read=False),
)


FAMILIES: tuple[Heading, ...] = (
    Heading("Family", Kind.TEXT, needed=True),
    *(Heading(table.setting, Kind.TEXT) for table in FAMILY_TABLES.values()),
    Heading("Meaning", Kind.TEXT, read=False),
)
BLOCK_SHEETS = {
    "merchant": MERCHANTS_SHEET,
    SAWS: SAWS_SHEET,
    "coat": COATS_SHEET,
    "material": MATERIALS_SHEET,
    "section": OWN_SECTIONS_SHEET,
}
"""Tables of the workshop file that may be there several times, and the sheet on which each is a row."""

BLOCK_HEADINGS: dict[str, tuple[Heading, ...]] = {
    table: tuple(Heading(key.setting, Kind.TEXT, needed=key.word == "name") for key in BLOCKS[table].values())
    for table in BLOCK_SHEETS
}

HEADINGS = {
    ASSEMBLIES_SHEET: ASSEMBLIES,
    HOLES_SHEET: HOLES,
    PRICES_SHEET: PRICES,
    RACK_SHEET: RACK,
    WORKSHOP_SHEET: SETTINGS,
    FAMILIES_SHEET: FAMILIES,
    **{sheet: BLOCK_HEADINGS[table] for table, sheet in BLOCK_SHEETS.items()},
}
"""The headings of every sheet that is known by its name; the rest of a workbook is parts."""


def open_book(file: RawFile) -> dict[str, RawFile]:
    """A workbook by sheet: those of a whole job under their names where they hold anything, the rest as parts.

    Anything else, and a workbook that cannot be opened, is the parts list as it is; what is wrong with it is reported
    when that is read. A visible sheet counts by its name, whatever its case, when its headings are those of its kind.
    """
    if not is_workbook(file):
        return {PARTS_SHEET: file}
    try:
        sheets = read_sheets(file, lambda _: 0, [])
    except ProblemsFound:
        return {PARTS_SHEET: file}
    kinds = {name.casefold(): name for name in HEADINGS}
    own: dict[str, RawFile] = {}
    rest = []
    for sheet in sheets:
        kind = kinds.get(sheet.name.strip().casefold(), "")
        filled = rows_below(sheet, HEADINGS[kind]) if kind and kind not in own and not sheet.hidden else None
        if filled is None:
            rest.append(sheet)
        elif filled:
            own[kind] = replace(file, sheets=(sheet,))
    return {PARTS_SHEET: replace(file, sheets=tuple(rest)), **own}


def warn_of_unread(book: Mapping[str, RawFile], findings: Findings) -> None:
    """Tell of shown sheets that are named as one of a whole job, and have not its headings."""
    kinds = {name.casefold(): name for name in HEADINGS}
    for sheet in book[PARTS_SHEET].sheets or ():
        kind = kinds.get(sheet.name.strip().casefold())
        if not kind or kind in book or sheet.hidden or rows_below(sheet, HEADINGS[kind]) is not None:
            continue
        if any(cell != "" for cells in sheet.rows for cell in cells):
            needed = ", ".join(heading.name for heading in HEADINGS[kind] if heading.needed)
            found = "a sheet of this name without its headings; it was not read"
            problem = Problem(
                where=sheet.place,
                found=found,
                accepted=f"a row with the headings {needed}, or another name",
                found_is_text=False,
                code="sheet.unread",
            )
            findings.warn(0, problem)


def read_settings(book: Mapping[str, RawFile], findings: Findings) -> tuple[str, dict[str, Any], dict[str, str]] | None:
    """What the sheets of the workshop say, as a workshop file would, and where each key stands.

    Returns
    -------
    tuple or None
        The sheet's place, the tables of keys, and the places of keys; None when no such sheet holds a value.
    """
    document: dict[str, Any] = {}
    places: dict[str, str] = {}
    name = ""
    for row in _rows(book, WORKSHOP_SHEET, SETTINGS, findings):
        key = row.needed("Key", str, "a key of the workshop file, such as saw.kerf") or ""
        table, _, word = key.partition(".")
        value = _value(key, row.raw("Value")) if not row.told("Value") else None
        if value is None or not key:
            continue
        name = name or row.table.sheet.place
        places.setdefault(table, row.table.place(row.number, "Key"))
        places.setdefault(key, row.table.place(row.number, "Value"))
        document.setdefault(table, {})
        if word in document[table]:
            row.refuse("Key", key, "each key once", code="workshop.twice")
        elif word:
            document[table][word] = value
        else:
            document[table] = value
    for row in _rows(book, FAMILIES_SHEET, FAMILIES, findings):
        family = row.needed("Family", str, ", ".join(FAMILY_KEYS))
        for table, words in FAMILY_TABLES.items() if family else ():
            key, heading = f"{table}.{family}", words.setting
            value = _value(key, row.raw(heading)) if not row.told(heading) else None
            if value is not None:
                name = name or row.table.sheet.place
                places[key] = row.table.place(row.number, heading)
                document.setdefault(table, {})[family] = value
    for table, sheet in BLOCK_SHEETS.items():
        blocks: list[dict[str, Any]] = []
        for row in _rows(book, sheet, BLOCK_HEADINGS[table], findings):
            name = name or row.table.sheet.place
            number = len(blocks) + 1
            places[f"{table}.{number}"] = row.table.place(row.number)
            values: dict[str, Any] = {}
            for word, known in BLOCKS[table].items():
                heading = known.setting
                places[f"{table}.{number}.{word}"] = row.table.place(row.number, heading)
                value = _value(known.name, row.raw(heading)) if not row.told(heading) else None
                if value is not None:
                    values[word] = value
            blocks.append(values)
        if blocks:
            document[table] = blocks
    return (name, document, places) if name else None


def _rows(book: Mapping[str, RawFile], sheet: str, headings: Sequence[Heading], findings: Findings) -> list[Row]:
    if sheet not in book:
        return []
    table = read_table(book[sheet], headings, findings)
    return list(table.rows(findings)) if table else []


_YES = {"yes": True, "true": True, "y": True, "no": False, "false": False, "n": False}


def _value(key: str, cell: Cell) -> Any:
    """A cell as TOML would give the value of a key; None when it is blank."""
    if isinstance(cell, bool | int):
        return cell
    text = " ".join(cell_text(cell).split())
    if not text:
        return None
    if isinstance(cell, float):
        return Decimal(text)
    read = KEYS[key].read if key in KEYS else None
    if read is legs:
        return [word.strip() for word in text.split(",")]
    return _YES.get(text.lower(), text) if read is truth else text
