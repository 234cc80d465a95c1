"""Rows added below those of a list that is there, csv or xlsx, without touching anything else in it."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from dataclasses import replace as whole
from pathlib import Path

from cutplan.problems import Problem, ProblemsFound
from cutplan.reading.job_files import WORKBOOKS
from cutplan.reading.jobbook import HEADINGS, HOLES_SHEET, PARTS_SHEET, open_book
from cutplan.reading.lists.part_columns import PARTS
from cutplan.reading.sheets.findings import Findings, in_order
from cutplan.reading.sheets.headings import HOLES, Heading
from cutplan.reading.sheets.raw_cells import (
    Cell,
    RawFile,
    Sheet,
    cell_text,
    is_workbook,
    load_file,
    read_sheets,
    refuse,
)
from cutplan.reading.sheets.table_search import read_table
from cutplan.reading.sheets.tables import Table
from cutplan.writing.inplace import alone_in, behind_links, replace

Values = Mapping[str, str | int]
"""A row by the names of its headings; blank values are left out."""

NEW_COLUMNS = ("Mark", "Quantity", "Section", "Length", "Cut A", "Cut B", "Length is", "Lean", "Depth", "Note")


HOLES_BEGUN = ("Mark", "Position", "Face", "Hole", "Note")


@dataclass(frozen=True, slots=True)
class _Kind:
    """A kind of list: its sheet in a workbook, headings, those of a new csv, and whether a mark stands there once."""

    sheet: str
    headings: tuple[Heading, ...]
    begun: tuple[str, ...]
    marks_once: bool


_PARTS = _Kind(PARTS_SHEET, PARTS, NEW_COLUMNS, True)
_HOLES = _Kind(HOLES_SHEET, HOLES, HOLES_BEGUN, False)


def append_parts(path: Path, rows: Sequence[Values]) -> None:
    """Add rows to a parts list; a csv list that is not there is begun.

    Raises
    ------
    ProblemsFound
        When the list cannot be read, lacks a column that a row needs, has the mark of a row already, or cannot be
        written; it is then as it was.
    """
    _append(path, rows, _PARTS)


def append_holes(parts: Path, rows: Sequence[Values]) -> Path:
    """Add rows to the holes of a parts list: to the sheet of its workbook, or to the file beside it, which is begun.

    Returns
    -------
    Path
        Where they stand.

    Raises
    ------
    ProblemsFound
        As :func:`append_parts`.
    """
    beside = [parts.with_name(f"{parts.stem}-holes{suffix}") for suffix in (".csv", ".xlsx")]
    in_book = parts.suffix.lower() in WORKBOOKS and _sheet(load_file(parts), HOLES_SHEET) is not None
    path = parts if in_book else next((each for each in beside if each.exists()), beside[0])
    _append(path, rows, _HOLES)
    return path


def _append(path: Path, rows: Sequence[Values], kind: _Kind) -> None:
    path = behind_links(path)
    with alone_in(path.parent):
        if not path.exists() and path.suffix.lower() == ".csv":
            new = _csv_text([list(kind.begun), *_cells(rows, kind.begun)], ",", "\n").encode("utf-8")
            replace(path, new, None)
            return
        raw = load_file(path)
        table = _table(raw, kind)
        _check(table, rows, kind)
        content = _with_rows_in_workbook(raw, table, rows) if table.sheet.name else _with_lines(raw, table, rows)
        _check_kept(raw, table, RawFile(name=path.name, data=content), rows, kind)
        replace(path, content, raw.data)


def _sheet(raw: RawFile, name: str) -> RawFile | None:
    """The shown sheet of a name in a workbook, which may hold nothing yet."""
    found = [each for each in read_sheets(raw, lambda _: 0, []) if each.name.strip().casefold() == name.casefold()]
    return whole(raw, sheets=tuple(found[:1])) if found and not found[0].hidden else None


def _check_kept(raw: RawFile, table: Table, after: RawFile, rows: Sequence[Values], kind: _Kind) -> None:
    """Refuse to write what would be read as anything but the same sheets with the rows below those of the list."""
    try:
        added = _table(after, kind)
    except ProblemsFound:
        hint = "formulas lose their results when the file is written here: give the list as csv, or type the rows in"
        raise refuse(
            table.sheet.place, "a list with formulas", "a list without formulas", hint, code="list.formulas"
        ) from None
    same = _other_lists(raw, kind) == _other_lists(after, kind)
    list_before, list_after = _filled(table.sheet), _filled(added.sheet)
    new = list_after[len(list_before) :]
    typed = [
        all(_shown(cells, added, name) == " ".join(str(value).split()) for name, value in row.items())
        for row, cells in zip(rows, new, strict=len(rows) == len(new))
    ]
    if not same or list_after[: len(list_before)] != list_before or len(typed) != len(rows) or not all(typed):
        hint = "give the list as csv, or type the rows in"
        found = "a file that would not read the same with rows added here"
        raise refuse(table.sheet.file, found, "a plain list of values", hint, code="list.formulas")


def _other_lists(raw: RawFile, kind: _Kind) -> dict[str, list[list[str]]]:
    """What is read of the other lists of a workbook. Sheets that hold none, such as a first page that counts rows by
    formulas, keep those; their results come back when a spreadsheet program opens the file.
    """
    found = {}
    headings = {**HEADINGS, PARTS_SHEET: PARTS}
    for name, file in open_book(raw).items():
        table = read_table(file, headings[name], Findings()) if name in headings and name != kind.sheet else None
        if table is not None:
            found[name] = [[row.text(heading) for heading in table.columns] for row in table.rows(Findings())]
    return found


def _filled(sheet: Sheet) -> list[list[Cell]]:
    """The rows of a sheet that hold anything."""
    return [cells for cells in sheet.rows if any(cell_text(cell).strip() for cell in cells)]


def _shown(cells: Sequence[Cell], table: Table, name: str) -> str:
    index = table.columns[name].index
    return " ".join(cell_text(cells[index]).split()) if index < len(cells) else ""


def _table(raw: RawFile, kind: _Kind) -> Table:
    findings = Findings()
    book = open_book(raw)
    own = _sheet(raw, kind.sheet) if kind.sheet in HEADINGS and is_workbook(raw) else book[PARTS_SHEET]
    table = read_table(own or book[PARTS_SHEET], kind.headings, findings)
    if table is None or findings.problems:
        raise ProblemsFound(in_order(findings.problems))
    return table


def _check(table: Table, rows: Sequence[Values], kind: _Kind) -> None:
    """Every value has a column, and no mark is there already."""
    problems = []
    for name in dict.fromkeys(name for row in rows for name in row):
        if name not in table.columns:
            problems.append(
                Problem(
                    where=table.place(table.heading_row + 1),
                    found=f"no heading for {name}",
                    accepted=f"a column headed {name}, which the rows to be added need",
                    found_is_text=False,
                    code="heading.missing",
                )
            )
    column = table.columns.get("Mark") if kind.marks_once else None
    if column:
        used = {
            str(cells[column.index]).strip().casefold(): number
            for number, cells in enumerate(table.sheet.rows[table.heading_row + 1 :], table.heading_row + 2)
            if column.index < len(cells)
        }
        for mark in (str(row["Mark"]) for row in rows if "Mark" in row):
            number = used.get(mark.casefold(), 0)
            if number:
                where, accepted = table.place(number, "Mark"), "a mark that is not in the list yet"
                problems.append(
                    Problem(
                        where=where, found=mark, accepted=accepted, hint="name another with --mark", code="mark.twice"
                    )
                )
    if problems:
        raise ProblemsFound(problems)


def _cells(rows: Sequence[Values], names: Sequence[str]) -> list[list[str | int]]:
    return [[row.get(name, "") for name in names] for row in rows]


def _csv_text(rows: Sequence[Sequence[str | int]], delimiter: str, line_end: str) -> str:
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter, lineterminator=line_end).writerows(rows)
    return text.getvalue()


def _with_lines(raw: RawFile, table: Table, rows: Sequence[Values]) -> bytes:
    """The bytes of a csv list with lines added in its own delimiter, line ends and encoding."""
    names = {column.index: name for name, column in table.columns.items()}
    width = max(names) + 1
    added = _cells(rows, [names.get(index, "") for index in range(width)])
    line_end = "\r\n" if b"\r\n" in raw.data or b"\r\0\n" in raw.data else "\n"
    text = _csv_text(added, table.sheet.delimiter, line_end)
    ended = raw.data.rstrip(b"\0").endswith((b"\n", b"\r"))
    encoding = _encoding(raw.data)
    try:
        return raw.data + (text if ended else line_end + text).encode(encoding)
    except UnicodeEncodeError as error:
        letter = text[error.start]
        found = f'a list in Windows letters, which have no "{letter}"'
        raise refuse(raw.name, found, "letters of the list, or a list saved as UTF-8", code="file.encoding") from None


def _encoding(data: bytes) -> str:
    """How a list is read, and so how rows below it have to be written."""
    for start, name in _BYTE_ORDERS.items():
        if data.startswith(start):
            return name
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


_BYTE_ORDERS = {b"\xff\xfe": "utf-16-le", b"\xfe\xff": "utf-16-be"}


_LOST = {
    "xl/vbaproject": "macros",
    "xl/activex": "controls",
    "xl/ctrlprops": "controls",
    "xl/drawings/drawing": "drawings or charts",
    "xl/pivot": "pivot tables",
    "xl/slicers": "slicers",
    "xl/threadedcomments": "comments in threads",
    "xl/querytables": "queries",
    "xl/connections": "queries",
}
"""What openpyxl does not write again, or not whole, by the beginning of its name in the archive."""


def _names(raw: RawFile) -> list[str]:
    with zipfile.ZipFile(io.BytesIO(raw.data)) as archive:
        return [name.lower() for name in archive.namelist()]


def _with_rows_in_workbook(raw: RawFile, table: Table, rows: Sequence[Values]) -> bytes:
    """The bytes of a workbook with the first empty rows of its list filled."""
    from openpyxl import load_workbook

    # What is written here would no longer open under the name of a workbook with macros.
    names = ["xl/vbaproject"] if raw.name.lower().endswith(".xlsm") else _names(raw)
    lost = sorted({what for name in names for start, what in _LOST.items() if name.startswith(start)})
    if lost:
        found = f"a workbook with {' and '.join(lost)}, which would be lost when it is written here"
        raise refuse(
            raw.name, found, "a workbook of plain sheets", "give the list as csv, or type the rows in", code="file.kind"
        )
    book = load_workbook(io.BytesIO(raw.data))
    sheet = book[table.sheet.name]
    indexes = [column.index for column in table.columns.values()]
    filled = [
        number
        for number, cells in enumerate(table.sheet.rows, 1)
        if any(i < len(cells) and str(cells[i]).strip() for i in indexes)
    ]
    for number, row in enumerate(rows, max(filled, default=table.heading_row + 1) + 1):
        for name, value in row.items():
            cell = sheet.cell(number, table.columns[name].index + 1)
            cell.value = value
            if isinstance(value, str):
                cell.data_type = "s"
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()
