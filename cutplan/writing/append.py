"""Rows added below those of a list that is there, csv or xlsx, without touching anything else in it."""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Mapping, Sequence
from pathlib import Path

from cutplan.problems import Problem, ProblemsFound
from cutplan.reading.headings import PARTS
from cutplan.reading.jobbook import PARTS_SHEET, open_book
from cutplan.reading.sheets import RawFile, load_file, refuse
from cutplan.reading.tables import Findings, Table, in_order, read_table

Values = Mapping[str, str | int]
"""A row by the names of its headings; blank values are left out."""

NEW_COLUMNS = ("Mark", "Quantity", "Section", "Length", "Cut A", "Cut B", "Length is", "Lean", "Depth", "Note")


def append_parts(path: Path, rows: Sequence[Values]) -> None:
    """Add rows to a parts list; a csv list that is not there is begun.

    Raises
    ------
    ProblemsFound
        When the list cannot be read, lacks a column that a row needs, has the mark of a row already, or cannot be
        written; it is then as it was.
    """
    if not path.exists() and path.suffix.lower() == ".csv":
        _replace(path, _csv_text([list(NEW_COLUMNS), *_cells(rows, NEW_COLUMNS)], ",", "\n").encode("utf-8"))
        return
    raw = load_file(path)
    table = _table(raw)
    _check(table, rows)
    content = _with_rows_in_workbook(raw, table, rows) if table.sheet.name else _with_lines(raw, table, rows)
    try:
        _table(RawFile(name=path.name, data=content))
    except ProblemsFound:
        hint = "formulas lose their results when the file is written here: give the list as csv, or type the rows in"
        raise refuse(table.sheet.place, "a list with formulas", "a list without formulas", hint) from None
    _replace(path, content)


def _table(raw: RawFile) -> Table:
    findings = Findings()
    table = read_table(open_book(raw)[PARTS_SHEET], PARTS, findings)
    if table is None or findings.problems:
        raise ProblemsFound(in_order(findings.problems))
    return table


def _check(table: Table, rows: Sequence[Values]) -> None:
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
                )
            )
    column = table.columns.get("Mark")
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
                problems.append(Problem(where=where, found=mark, accepted=accepted, hint="name another with --mark"))
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
    encoding = next((name for start, name in _BYTE_ORDERS.items() if raw.data.startswith(start)), "utf-8")
    ended = raw.data.rstrip(b"\0").endswith((b"\n", b"\r"))
    return raw.data + (text if ended else line_end + text).encode(encoding)


_BYTE_ORDERS = {b"\xff\xfe": "utf-16-le", b"\xfe\xff": "utf-16-be"}


def _with_rows_in_workbook(raw: RawFile, table: Table, rows: Sequence[Values]) -> bytes:
    """The bytes of a workbook with the first empty rows of its list filled."""
    from openpyxl import load_workbook

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


def _replace(path: Path, content: bytes) -> None:
    """Put a file in its place as a whole, or leave everything as it was."""
    for owner in (path.with_name(f".~lock.{path.name}#"), path.with_name(f"~${path.name}")):
        if owner.exists():
            hint = f"close it and run again; if it is not open anywhere, delete {owner}"
            raise refuse(path.name, "a file that is open in a spreadsheet program", "a file that is closed", hint)
    temporary = path.with_name(f".{os.getpid()}.{path.name}")
    try:
        temporary.write_bytes(content)
        os.replace(temporary, path)
    except OSError as error:
        temporary.unlink(missing_ok=True)
        found = f"a file that cannot be written ({error.strerror or error})"
        raise refuse(str(path), found, "a folder and a file that can be written") from None
