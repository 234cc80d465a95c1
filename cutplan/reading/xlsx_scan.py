"""What the fast spreadsheet reader keeps quiet about, found in the sheet's own XML.

A formula without a stored value and an error such as #REF! both arrive as a
blank cell; a stray cell far down or far right asks for memory by the gigabyte.
The XML is read in pieces, so a sheet too large is refused at little cost.

References
----------
ECMA-376 part 1, SpreadsheetML: ``c``, ``f``, ``v``, ``is``, ``row``, ``sheetData``.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator
from typing import NamedTuple
from xml.etree import ElementTree

from cutplan.problems import Problem, ProblemsFound

MAX_UNPACKED_BYTES = 500_000_000
_PIECE = 1 << 22
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_STRICT_MAIN = "http://purl.oclc.org/ooxml/spreadsheetml/main"

NO_VALUE = "a formula without a stored value"


class Scan(NamedTuple):
    """Of one worksheet: what was found at each faulty (row, column), and the rows hidden; counted from 0."""

    faults: dict[tuple[int, int], str]
    hidden_rows: frozenset[int]


def scan_workbook(archive: zipfile.ZipFile, max_rows: int, name: str) -> dict[str, Scan]:
    """Faulty cells and hidden rows of every worksheet, by sheet name.

    Parameters
    ----------
    archive
        The opened workbook.
    max_rows
        Last row that may hold a value, counted from 1.
    name
        Of the file, for messages.

    Returns
    -------
    dict
        Sheet name to what was found in it.

    Raises
    ------
    ProblemsFound
        When a sheet reaches too far, or the file unpacks to more than 500 MB.
    """
    if sum(entry.file_size for entry in archive.infolist()) > MAX_UNPACKED_BYTES:
        raise _too_large(name, f"a workbook that unpacks to more than {MAX_UNPACKED_BYTES // 1_000_000} MB")
    return {
        sheet: _scan_sheet(archive, entry, max_rows, f'{name}, sheet "{sheet}"')
        for sheet, entry in _worksheets(archive)
    }


def _too_large(where: str, found: str) -> ProblemsFound:
    accepted = "at most 100000 rows and 208 columns in any sheet of the workbook"
    return ProblemsFound([Problem(where=where, found=found, accepted=accepted, found_is_text=False)])


def _worksheets(archive: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    """Name and archive entry of each worksheet; charts and macro sheets are left out."""
    targets = {}
    for link in ElementTree.fromstring(archive.read("xl/_rels/workbook.xml.rels")):
        if link.get("Type", "").endswith("/worksheet"):
            target = link.get("Target", "")
            targets[link.get("Id")] = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
    book = ElementTree.fromstring(archive.read("xl/workbook.xml"))
    for sheet in book.iter():
        if sheet.tag in (f"{{{_MAIN}}}sheet", f"{{{_STRICT_MAIN}}}sheet"):
            entry = targets.get(next((value for key, value in sheet.items() if key.endswith("}id")), None))
            if entry:
                yield sheet.get("name", ""), entry


def _rows(archive: zipfile.ZipFile, entry: str) -> Iterator[bytes]:
    """The sheet's XML in pieces that end where a row ends, namespace prefixes taken off, up to the end of its data."""
    with archive.open(entry) as stream:
        held = b""
        prefix = b""
        first = True
        while piece := stream.read(_PIECE):
            if first:
                match = re.search(rb"<(\w+:)worksheet[\s>]", piece)
                prefix = match[1] if match else b""
                first = False
            held += piece
            end = held.rfind(b"</%brow>" % prefix)
            if end < 0:
                continue
            end += len(prefix) + 6
            yield _plain(held[:end], prefix)
            held = held[end:]
        # Rows that close themselves hold no cells, and nothing after the data concerns the reader.


def _plain(xml: bytes, prefix: bytes) -> bytes:
    return xml.replace(b"<" + prefix, b"<").replace(b"</" + prefix, b"</") if prefix else xml


def _scan_sheet(archive: zipfile.ZipFile, entry: str, max_rows: int, where: str) -> Scan:
    faults: dict[tuple[int, int], str] = {}
    hidden: set[int] = set()
    rows_before = 0
    for xml in _rows(archive, entry):
        last = max(xml.rfind(b"</v>"), xml.rfind(b"</is>"))
        if last >= 0:
            row_start = xml.rfind(b"<row", 0, last)
            number = re.match(rb'<row\b[^>]*?\sr="(\d+)"', xml[row_start:last])
            row = int(number[1]) if number else rows_before + xml.count(b"<row", 0, last)
            if row > max_rows:
                raise _too_large(where, f"a value in row {row}")
        rows_before += xml.count(b"<row")
        for match in re.finditer(rb"<row\b[^>]*>", xml):
            number = re.search(rb'\sr="(\d+)"', match[0])
            if number and re.search(rb'\shidden="(?:1|true)"', match[0]):
                hidden.add(int(number[1]) - 1)
        wide = re.search(rb'<c\b[^>/]*?\sr="((?:[A-Z]{3}|[H-Z][A-Z])\d+)"[^>/]*>', xml)
        if wide:
            raise _too_large(where, f"a value in cell {wide[1].decode()}")
        for match in re.finditer(rb'<f[\s>/]|<c\b[^>/]*?\st="e"', xml):
            start = xml.rfind(b"<c ", 0, match.start() + 1) if match[0][1:2] == b"f" else match.start()
            cell = xml[start : xml.find(b"</c>", match.start())]
            attributes = cell[: cell.find(b">")]
            place = re.search(rb'\sr="([A-Z]+)(\d+)"', attributes)
            value = re.search(rb"<v[^>/]*>([^<]+)<", cell)
            kind = re.search(rb'\st="(\w+)"', attributes)
            position = (int(place[2]) - 1, _column(place[1])) if place else (0, 0)
            if kind and kind[1] == b"e" and value:
                faults[position] = f"the error {value[1].decode('utf-8', 'replace')}"
            elif value is None and not (kind and kind[1] == b"str" and b"<v" in cell):
                faults[position] = NO_VALUE
    return Scan(faults, frozenset(hidden))


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number - 1
