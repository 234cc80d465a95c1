"""A workbook looked through before the fast reader opens it, and what that reader keeps quiet about.

A formula without a stored value and an error such as #REF! both arrive as a
blank cell; a stray cell far down or far right asks for memory by the gigabyte.
The XML of every sheet therefore goes through a streaming parser, and what went
through it is put into a plain archive, which is all the fast reader gets: no
part of the file is seen by one of the two alone. What they saw is compared.

References
----------
ECMA-376 part 1, SpreadsheetML: ``c``, ``f``, ``v``, ``is``, ``row``, ``sheetData``.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from string import ascii_uppercase
from typing import NamedTuple
from xml.parsers import expat

from cutplan.problems import Problem, ProblemsFound

MAX_PARTS = 10_000
"""Files in the archive of a workbook."""
MAX_UNPACKED_BYTES = 200_000_000
"""Of all XML in a workbook: 100,000 rows of 30 columns are 140 MB."""
MAX_RATIO = 150
"""How many times its packed size an XML of more than ``RATIO_FROM_BYTES`` may unpack to; lists come to about 12."""
RATIO_FROM_BYTES = 10_000_000
MAX_ELEMENTS = 8_000_000
"""Of one sheet. It bounds the time, where a clock would refuse a file on one computer and take it on another."""
MAX_CELLS = 3_000_000
"""Cells between A1, the last row and the last column with a value in a sheet: 100,000 rows of 30 columns."""
MAX_COLUMNS = 208
"""Widest sheet read, column GZ."""
_PIECE = 1 << 18
_LONGEST_VALUE = 100_000
"""Longer than a spreadsheet program holds in a cell."""
_ENDINGS = (".xml", ".rels")
_ROOT = (
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" '
    'Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" '
    'Target="xl/workbook.xml"/></Relationships>'
)
"""What says where a workbook begins: the place looked at here, whatever else the file says."""

NO_VALUE = "a formula without a stored value"
ACCEPTED = f"at most 100000 rows, {MAX_COLUMNS} columns and {MAX_CELLS} cells in any sheet of the workbook"


class Broken(ValueError):
    """XML that no spreadsheet program writes; the message says what and where."""


@dataclass(slots=True)
class Scan:
    """Of one worksheet, rows and columns counted from 0.

    ``faults`` are what was found at faulty (row, column); ``filled`` says by row which columns may hold a value, and
    ``numbers`` which surely do, a bit each.
    """

    faults: dict[tuple[int, int], str] = field(default_factory=dict)
    hidden_rows: set[int] = field(default_factory=set)
    filled: dict[int, int] = field(default_factory=dict)
    numbers: dict[int, int] = field(default_factory=dict)

    def differs(self, rows: Sequence[Sequence[object]]) -> tuple[int, int] | None:
        """The first cell (row, column) in which rows as read hold a value that was not seen, or lack one that was."""
        for row, cells in enumerate(rows):
            seen = sum(1 << i for i, cell in enumerate(cells) if not (isinstance(cell, str) and not cell.strip()))
            wrong = (seen & ~self.filled.get(row, 0)) | (self.numbers.get(row, 0) & ~seen)
            if wrong:
                return row, wrong.bit_length() - 1
        lost = min((row for row in self.numbers if row >= len(rows)), default=None)
        return None if lost is None else (lost, self.numbers[lost].bit_length() - 1)


class Scanned(NamedTuple):
    """By name what was found in each worksheet, and the workbook as it was seen, an archive without compression."""

    sheets: dict[str, Scan]
    archive: bytes


def scan_workbook(data: bytes, max_rows: int, name: str) -> Scanned:
    """Look through every worksheet of a workbook.

    Parameters
    ----------
    data
        The file.
    max_rows
        Last row that may hold a value, counted from 1.
    name
        Of the file, for messages.

    Raises
    ------
    ProblemsFound
        When a sheet reaches too far, or the file unpacks to too much.
    Broken, zipfile.BadZipFile, KeyError
        When it is no workbook that a spreadsheet program writes.
    """
    kept = io.BytesIO()
    scans = {}
    with zipfile.ZipFile(io.BytesIO(data)) as archive, zipfile.ZipFile(kept, "w") as seen:
        parts = _parts(archive, name)
        sheets = _worksheets(archive, parts)
        seen.writestr("_rels/.rels", _ROOT)
        for entry, info in parts.items():
            title = sheets.get(entry)
            scan, parser = Scan(), _parser()
            if title is not None:
                scans[title] = scan
                _SheetScanner(parser, scan, max_rows, f'{name}, sheet "{title}"')
            with archive.open(info) as stream, seen.open(info.filename, "w") as copy:
                while piece := stream.read(_PIECE):
                    copy.write(piece)
                    if title is not None:
                        parser.Parse(piece)
            if title is not None:
                parser.Parse(b"", True)
    return Scanned(scans, kept.getvalue())


def _parts(archive: zipfile.ZipFile, name: str) -> dict[str, zipfile.ZipInfo]:
    """The XML in an archive by name in small letters, which tell no two apart; pictures, macros and such are left out.

    How much each unpacks to is what the archive says, and zipfile reads no more than that.
    """
    found: dict[str, zipfile.ZipInfo] = {}
    for info in archive.infolist():
        key = info.filename.lower()
        if not key.startswith("xl/") or not key.endswith(_ENDINGS):
            continue
        if key in found or info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise Broken(f"{key} twice, or packed in an unusual way")
        if info.file_size > max(RATIO_FROM_BYTES, MAX_RATIO * info.compress_size):
            what = f"a workbook with {info.filename}, which unpacks to {info.file_size / info.compress_size:.0f} times"
            raise _refused(
                name,
                f"{what} its packed size",
                f"XML that unpacks to at most {MAX_RATIO} times that",
                code="file.unpacked",
            )
        found[key] = info
    if sum(info.file_size for info in found.values()) > MAX_UNPACKED_BYTES:
        megabytes = MAX_UNPACKED_BYTES // 1_000_000
        raise _refused(
            name,
            f"a workbook that unpacks to more than {megabytes} MB",
            f"at most {megabytes} MB of XML",
            code="file.unpacked",
        )
    return found


def _refused(where: str, found: str, accepted: str = ACCEPTED, *, code: str) -> ProblemsFound:
    return ProblemsFound([Problem(where=where, found=found, accepted=accepted, found_is_text=False, code=code)])


def _worksheets(archive: zipfile.ZipFile, parts: Mapping[str, zipfile.ZipInfo]) -> dict[str, str]:
    """Title of each worksheet by its entry in the archive; charts and macro sheets are left out."""
    targets: dict[str, str] = {}
    for attributes in _elements(archive.read(parts["xl/_rels/workbook.xml.rels"]), "Relationship"):
        link, target = attributes.get("Id"), attributes.get("Target", "").lower()
        if link in targets:
            raise Broken(f"two parts called {link}")
        if link and attributes.get("Type", "").endswith("/worksheet"):
            inside = target.lstrip("/")
            targets[link] = inside if inside.startswith("xl/") else f"xl/{inside}"
    sheets: dict[str, str] = {}
    for attributes in _elements(archive.read(parts["xl/workbook.xml"]), "sheet"):
        entry = targets.get(next((value for key, value in attributes.items() if key.endswith(":id")), ""))
        title = attributes.get("name", "")
        if entry is None:
            continue
        if entry not in parts or entry in sheets or title in sheets.values():
            raise Broken(f"sheet {title} is not there, or there twice")
        sheets[entry] = title
    return sheets


def sheet_entries(data: bytes) -> dict[str, str]:
    """The file of the archive that each worksheet is in, by the sheet's name; of a workbook that could be read."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = _parts(archive, "")
        return {title: parts[entry].filename for entry, title in _worksheets(archive, parts).items()}


def _elements(xml: bytes, wanted: str) -> Iterator[dict[str, str]]:
    """Attributes of the elements of a small XML that are called so, prefixes left out."""
    found: list[dict[str, str]] = []

    def start(name: str, attributes: dict[str, str]) -> None:
        if name.rpartition(":")[2] == wanted:
            found.append(attributes)
        if len(found) > MAX_PARTS:
            raise Broken(f"more than {MAX_PARTS} parts")

    parser = _parser()
    parser.StartElementHandler = start
    parser.Parse(xml, True)
    yield from found


def _parser() -> expat.XMLParserType:
    """A parser that takes no document type, so no entities, and no encoding that the fast reader would not take."""
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartDoctypeDeclHandler = _no_document_type
    parser.XmlDeclHandler = _utf_8
    return parser


def _no_document_type(*about: object) -> None:
    raise Broken("a document type")


def _utf_8(version: str, encoding: str | None, standalone: int) -> None:
    if encoding and encoding.lower() not in ("utf-8", "us-ascii"):
        raise Broken(f"the encoding {encoding}")


def _columns() -> dict[str, int]:
    """Number by letters of every column a spreadsheet program has, A to XFD."""
    letters = ["", *ascii_uppercase]
    names = (a + b + c for a in letters for b in letters for c in ascii_uppercase if b or not a)
    return {name: number for number, name in enumerate(names) if number < 16_384}


_COLUMN = _columns()
_LETTERS = list(_COLUMN)


_NO_HEIGHT = re.compile(r"0+(?:\.0*)?")
"""Of a row that was pulled shut: a spreadsheet program shows nothing of it, and may not call it hidden."""


class _SheetScanner:
    """What a parser calls once this is made for it.

    It goes by the names that the fast reader goes by, which minds neither prefix nor what is around.
    """

    __slots__ = (
        "begins", "cell", "column", "elements", "ended", "far_column", "farthest", "filled", "formula", "inline",
        "inside", "kind", "max_rows", "numbers", "parser", "reading", "row", "scan", "text", "value", "where",
    )  # fmt: skip

    def __init__(self, parser: expat.XMLParserType, scan: Scan, max_rows: int, where: str) -> None:
        self.parser, self.scan, self.max_rows, self.where = parser, scan, max_rows, where
        self.elements = self.far_column = self.filled = self.numbers = self.begins = 0
        self.inside = self.ended = self.cell = self.reading = False
        self.formula = self.value = self.inline = False
        self.row = self.column = -1
        self.kind = self.text = self.farthest = ""
        parser.StartElementHandler, parser.EndElementHandler = self.start, self.end
        parser.CharacterDataHandler = self.characters
        parser.CommentHandler = parser.ProcessingInstructionHandler = self.between

    def start(self, name: str, attributes: dict[str, str]) -> None:
        self.elements += 1
        if self.elements > MAX_ELEMENTS:
            raise _refused(self.where, f"more than {MAX_ELEMENTS} elements of XML", code="file.unpacked")
        if self.reading:
            raise Broken("an element in a value")
        width = len(name)
        if ":" in name:
            name = name.rpartition(":")[2]
        if not self.inside:
            if name == "sheetData":
                if self.ended:
                    raise Broken("two blocks of cells")
                self.inside = True
        elif name == "c":
            self._cell_begins(attributes)
        elif name == "v":
            self.value = self.reading = True
            self.begins = 0 if attributes else self.parser.CurrentByteIndex + width + 2
        elif name == "f":
            self.formula = True
        elif name == "is":
            self.inline = True
        elif name == "row":
            self._row_begins(attributes)

    def _row_begins(self, attributes: dict[str, str]) -> None:
        before = self.row
        self.row = int(attributes["r"]) - 1 if "r" in attributes else before + 1
        if self.row <= before:
            raise Broken(f"row {self.row + 1} after row {before + 1}")
        self.column, self.filled, self.numbers = -1, 0, 0
        unseen = attributes.get("hidden") in ("1", "true") or _NO_HEIGHT.fullmatch(attributes.get("ht", ""))
        if self.row < self.max_rows and unseen:
            self.scan.hidden_rows.add(self.row)

    def _cell_begins(self, attributes: dict[str, str]) -> None:
        place, before = attributes.get("r"), self.column
        if place is None:
            self.column = before + 1
        else:
            letters = place.rstrip("0123456789")
            self.column = _COLUMN.get(letters, -1)
            if place[len(letters) :] != str(self.row + 1):
                raise Broken(f"cell {place} in row {self.row + 1}")
        if self.column <= before:
            raise Broken(f"cell {place} after column {before + 1}")
        self.kind, self.text = attributes.get("t", ""), ""
        self.formula = self.value = self.inline = False
        self.cell = True

    def end(self, name: str) -> None:
        if not self.inside:
            return
        if ":" in name:
            name = name.rpartition(":")[2]
        if name == "c":
            self._cell_ends()
        elif name == "v":
            self.reading = False
            # The fast reader ends a number at a character written by its code: 4&#53; would be 4.
            wrong = self.begins and self.text and self.kind in ("", "n", "b")
            if wrong and self.parser.CurrentByteIndex - self.begins != len(self.text):
                raise Broken("a number of which a character is written by its code")
        elif name == "row":
            if self.filled:
                self.scan.filled[self.row] = self.filled
            if self.numbers:
                self.scan.numbers[self.row] = self.numbers
        elif name == "sheetData":
            self.inside, self.ended = False, True

    def _cell_ends(self) -> None:
        self.cell = False
        row, column, kind = self.row, self.column, self.kind
        held = self.inline or (self.value and self.text.strip())
        if kind == "e":
            self.scan.faults[row, column] = f"the error {self.text}" if held else "an error"
        elif self.formula and not held:
            if not (self.value and kind == "str"):
                self.scan.faults[row, column] = NO_VALUE
        elif not held:
            return
        if row >= self.max_rows:
            raise _refused(self.where, f"a value in row {row + 1}", code="sheet.size")
        if column > self.far_column:
            self.far_column, self.farthest = column, f"{_LETTERS[column]}{row + 1}"
            if column >= MAX_COLUMNS:
                raise _refused(self.where, f"a value in cell {self.farthest}", code="sheet.size")
        if (row + 1) * (self.far_column + 1) > MAX_CELLS:
            found = f"{row + 1} rows of {self.far_column + 1} columns, the last of them for cell {self.farthest}"
            raise _refused(self.where, found, code="sheet.size")
        if held:
            self.filled |= 1 << column
            if kind in ("", "n", "b"):
                self.numbers |= 1 << column

    def characters(self, piece: str) -> None:
        if self.reading:
            self.text += piece
            if len(self.text) > _LONGEST_VALUE:
                raise Broken(f"a value of more than {_LONGEST_VALUE} characters")

    def between(self, *about: object) -> None:
        # The fast reader ends a value at one: 4<!-- -->5 would be 4.
        if self.cell:
            raise Broken("a comment or an instruction in a cell")
