"""Cells of a workbook changed in its own XML, and nothing else of it: what a library would not write again stays too.

Formats stay where they are, and charts, pictures, notes and macros lie in other files of the archive, which are copied.

References
----------
ECMA-376 part 1, SpreadsheetML: ``sheetData``, ``row``, ``c``, ``is``, ``calcPr``.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from xml.parsers import expat
from xml.sax.saxutils import escape

from cutplan.problems import ProblemsFound
from cutplan.reading.jobbook import PARTS_SHEET, open_book
from cutplan.reading.lists.part_columns import PARTS
from cutplan.reading.sheets.raw_cells import Position, RawFile, Sheet, cell_text, column_letter, read_sheets, refuse
from cutplan.reading.sheets.table_search import columns_named, has_headings
from cutplan.reading.sheets.xlsx_scan import MAX_UNPACKED_BYTES, sheet_entries

PLAIN = "cells of plain values, or changed in the program that the workbook was made with"
_NUMBER = re.compile(r"-?(0|[1-9]\d{0,11})(\.\d{0,2}[1-9])?")
"""What is written as a number: whoever reads it then sees the same figures. 007 is a mark, and 2.50 stays as typed."""
_TAG = re.compile(rb"""<(?:[^"'<>]|"[^"]*"|'[^']*')*>""")
_SPANS = re.compile(rb"""\sspans\s*=\s*("[^"]*"|'[^']*')""")
_CALCULATION = re.compile(rb"<((?:\w+:)?calcPr)\b(?![^>]*fullCalcOnLoad)")
_BOOK = "xl/workbook.xml"


@dataclass(slots=True)
class _Element:
    """A row or a cell in the XML: its number from 0, where it begins, and where its tag and the whole of it end.

    ``inside`` is where what it holds ends; of an element that is but a tag, the end of the tag.
    """

    number: int
    start: int
    tag_end: int
    inside: int = 0
    end: int = 0
    style: str = ""
    cells: list[_Element] = field(default_factory=list)


@dataclass(slots=True)
class _Grid:
    """The rows in the XML of a sheet, the element around them, and the prefix of its names."""

    rows: list[_Element] = field(default_factory=list)
    around: _Element | None = None
    prefix: str = ""
    formulas: bool = False


def hindrance(raw: RawFile, name: str) -> str:
    """What stands against changing cells of a sheet here; blank where nothing does.

    Raises
    ------
    ProblemsFound
        When the workbook cannot be read.
    """
    entries = sheet_entries(raw.data)
    with zipfile.ZipFile(io.BytesIO(raw.data)) as archive:
        if sum(info.file_size for info in archive.infolist()) > MAX_UNPACKED_BYTES:
            return "pictures or other things that unpack to very much"
        for sheet in _read(raw):
            if _grid(archive.read(entries[sheet])).formulas:
                of = "" if sheet == name else f' on sheet "{sheet}"'
                return f"formulas{of}, whose results would stay those of the cells as they were"
    return ""


def _read(raw: RawFile) -> list[str]:
    """The sheets of a workbook that a job is read from."""
    book = open_book(raw)
    known = [sheet for kind, file in book.items() if kind != PARTS_SHEET for sheet in file.sheets or ()]
    lists = [sheet for sheet in book[PARTS_SHEET].sheets or () if has_headings(sheet, PARTS)]
    return [sheet.name for sheet in (*lists, *known)]


def with_cells(raw: RawFile, name: str, changes: Mapping[Position, str]) -> bytes:
    """A workbook with other texts in some cells of a sheet, by row and column from 0; a blank text empties its cell.

    Raises
    ------
    ProblemsFound
        When something stands against changing them here, or they would not read as they were typed.
    """
    sheets = read_sheets(raw, lambda _: 0, [])
    sheet = next(each for each in sheets if each.name == name)
    entry = sheet_entries(raw.data)[name]
    with zipfile.ZipFile(io.BytesIO(raw.data)) as archive:
        xml = archive.read(entry)
        tables = any(each.lower().startswith("xl/tables/") for each in archive.namelist())
    against = hindrance(raw, name)
    if tables and any(row <= columns_named(_texts(sheet), PARTS)[0] for row, _ in changes):
        against = "the headings of a table of a spreadsheet program"
    if any(_hidden_in_merged(sheet, place) for place in changes):
        against = "a part of a merged cell that is not shown"
    if against:
        raise refuse(sheet.place, against, PLAIN, code="list.formulas")
    grid, as_text = _grid(xml), set[Position]()
    for _ in range(2):
        content = _archive(raw.data, {entry: _changed(xml, grid, changes, as_text), _BOOK: None})
        otherwise = _read_otherwise(sheets, sheet, changes, RawFile(name=raw.name, data=content))
        if not otherwise:
            return content
        as_text |= otherwise  # a number in a cell whose format makes a day of it
    raise refuse(sheet.place, "cells that would not read as they were typed", PLAIN, code="file.kind")


def _texts(sheet: Sheet) -> list[list[str]]:
    return [[cell_text(cell) for cell in row] for row in sheet.rows]


def _hidden_in_merged(sheet: Sheet, place: Position) -> bool:
    return any(
        first != place and first[0] <= place[0] <= last[0] and first[1] <= place[1] <= last[1]
        for first, last in sheet.merged
    )


def _read_otherwise(
    before: Sequence[Sheet], sheet: Sheet, changes: Mapping[Position, str], after: RawFile
) -> set[Position]:
    """The cells of a changed workbook that do not read as they should."""
    try:
        now = read_sheets(after, lambda _: 0, [])
    except ProblemsFound:
        return set(changes)
    if [each.name for each in now] != [each.name for each in before]:
        return set(changes)
    wrong = set()
    for was, is_now in zip(before, now, strict=True):
        own = changes if was is sheet else {}
        texts, wanted = _by_place(is_now), {**_by_place(was), **own}
        wrong |= {place for place in texts | wanted if texts.get(place, "").strip() != wanted.get(place, "").strip()}
    return wrong


def _by_place(sheet: Sheet) -> dict[Position, str]:
    return {(row, column): text for row, cells in enumerate(_texts(sheet)) for column, text in enumerate(cells)}


def _grid(xml: bytes) -> _Grid:
    """Where the rows and cells of a sheet stand in its XML."""
    grid, parser, within = _Grid(), expat.ParserCreate(), list[_Element]()

    def started(name: str, attributes: dict[str, str]) -> None:
        prefix, _, kind = name.rpartition(":")
        row = within[1] if len(within) == 2 else None
        if kind == "sheetData":
            grid.around, grid.prefix = begun(0, ""), f"{prefix}:" if prefix else ""
            within.append(grid.around)
        elif kind == "row" and len(within) == 1:
            number = int(attributes["r"]) - 1 if "r" in attributes else grid.rows[-1].number + 1 if grid.rows else 0
            grid.rows.append(begun(number, ""))
            within.append(grid.rows[-1])
        elif kind == "c" and row is not None:
            last = row.cells[-1].number if row.cells else -1
            row.cells.append(
                begun(_column(attributes["r"]) if "r" in attributes else last + 1, attributes.get("s", ""))
            )
            within.append(row.cells[-1])
        elif kind == "f" and len(within) == 3:
            grid.formulas = True

    def begun(number: int, style: str) -> _Element:
        start = parser.CurrentByteIndex
        tag = _TAG.match(xml, start)
        assert tag is not None  # the parser has taken it for one
        return _Element(number=number, start=start, tag_end=tag.end(), style=style)

    def ended(name: str) -> None:
        if name.rpartition(":")[2] not in ("sheetData", "row", "c") or not within:
            return
        one, at = within.pop(), parser.CurrentByteIndex
        alone = xml[one.tag_end - 2 : one.tag_end] == b"/>"
        one.inside, one.end = (one.tag_end, one.tag_end) if alone else (at, xml.index(b">", at) + 1)

    parser.StartElementHandler, parser.EndElementHandler = started, ended
    parser.Parse(xml, True)
    return grid


def _column(place: str) -> int:
    number = 0
    for letter in place.rstrip("0123456789"):
        number = number * 26 + ord(letter) - ord("A") + 1
    return number - 1


def _changed(xml: bytes, grid: _Grid, changes: Mapping[Position, str], as_text: set[Position]) -> bytes:
    """The XML of a sheet with other cells; ``as_text`` are those that are no numbers whatever they look like."""
    assert grid.around is not None
    prefix = grid.prefix
    rows = {row.number: row for row in grid.rows}
    edits: list[tuple[int, int, bytes]] = []
    new: list[tuple[int, bytes]] = []
    for number in sorted({row for row, _ in changes}):
        cells = {column: text for (row, column), text in sorted(changes.items()) if row == number}

        def made(column: int, style: str = "", number: int = number, cells: Mapping[int, str] = cells) -> bytes:
            return _cell(prefix, number, column, cells[column], style, as_text)

        if number in rows:
            edits += _of_row(xml, prefix, rows[number], cells, made)
        else:
            inner = b"".join(made(column) for column, text in cells.items() if text)
            if inner:
                tag = f"{prefix}row"
                new.append((number, f'<{tag} r="{number + 1}">'.encode() + inner + f"</{tag}>".encode()))
    edits += _placed(xml, grid.around, grid.rows, new, f"{prefix}sheetData")
    return _edited(xml, edits)


def _of_row(
    xml: bytes, prefix: str, row: _Element, cells: Mapping[int, str], made: Callable[..., bytes]
) -> list[tuple[int, int, bytes]]:
    there = {cell.number: cell for cell in row.cells}
    edits = [
        (there[column].start, there[column].end, made(column, there[column].style))
        for column in cells
        if column in there
    ]
    new = [(column, made(column)) for column, text in cells.items() if text and column not in there]
    return edits + _placed(xml, row, row.cells, new, f"{prefix}row")


def _placed(
    xml: bytes, around: _Element, there: Sequence[_Element], new: Sequence[tuple[int, bytes]], name: str
) -> list[tuple[int, int, bytes]]:
    """New elements among those that an element holds, by their numbers."""
    if not new:
        return []
    tag = _SPANS.sub(b"", xml[around.start : around.tag_end])
    if around.end == around.tag_end:
        whole = tag[:-2].rstrip() + b">" + b"".join(content for _, content in new) + f"</{name}>".encode()
        return [(around.start, around.end, whole)]
    edits = [(around.start, around.tag_end, tag)]
    for number, content in new:
        at = next((each.start for each in there if each.number > number), around.inside)
        edits.append((at, at, content))
    return edits


def _edited(xml: bytes, edits: list[tuple[int, int, bytes]]) -> bytes:
    pieces, done = [], 0
    # Of those at one place what is put in comes first, in its order, and then what is put in the place of something.
    for start, end, content in sorted(edits, key=lambda edit: edit[:2]):
        pieces += [xml[done:start], content]
        done = end
    return b"".join([*pieces, xml[done:]])


def _cell(prefix: str, row: int, column: int, text: str, style: str, as_text: set[Position]) -> bytes:
    tag, place = f"{prefix}c", f"{column_letter(column)}{row + 1}"
    head = f'<{tag} r="{place}"' + (f' s="{style}"' if style else "")
    if not text:
        return f"{head}/>".encode()
    if _NUMBER.fullmatch(text) and (row, column) not in as_text:
        return f"{head}><{prefix}v>{text}</{prefix}v></{tag}>".encode()
    words = f'<{prefix}is><{prefix}t xml:space="preserve">{escape(text)}</{prefix}t></{prefix}is>'
    return f'{head} t="inlineStr">{words}</{tag}>'.encode()


def _archive(data: bytes, contents: Mapping[str, bytes | None]) -> bytes:
    """The archive with another content of some files; None of the workbook's own, which then has formulas worked out
    anew when it is opened.
    """
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as archive, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as into:
        for info in archive.infolist():
            content = contents.get(info.filename)
            if content is None:
                content = archive.read(info)
            if info.filename == _BOOK:
                content = _CALCULATION.sub(rb'<\1 fullCalcOnLoad="1"', content)
            into.writestr(info, content)
    return out.getvalue()
