"""Raw cells of a csv or xlsx file, with everything needed to name their place.

Cells stay as they were typed: marks such as 007, 1E5 and NA are text and stay
so. What the columns mean is for :mod:`cutplan.reading.sheets.tables`.
"""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from hashlib import sha256
from itertools import islice
from pathlib import Path
from typing import TypeAlias, TypeVar

from cutplan.problems import Problem, ProblemsFound
from cutplan.reading.sheets.texts import TEXT_FORMS, seen_text
from cutplan.reading.sheets.xlsx_scan import MAX_COLUMNS, MAX_PARTS, Broken, scan_workbook

Cell: TypeAlias = str | int | float | bool | date | datetime | time | timedelta
Held = TypeVar("Held", bound="Cell")
Position: TypeAlias = tuple[int, int]
"""Row and column, both counted from 0."""

MAX_ROWS = 100_000
"""Rows read under the headings; a list of a workshop has a few hundred."""
TITLE_ROWS = 50
"""The headings are looked for in this many rows at the top."""
MAX_FILE_BYTES = 50_000_000

DELIMITERS = (",", ";", "\t")
FILE_FORMS = "an .xlsx workbook, or a .csv text with commas, semicolons or tabs"
_ZIP = b"PK\x03\x04"
_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_BOMS = {b"\xef\xbb\xbf": "utf-8-sig", b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}
_OTHER_FILES = {b"%PDF": "a PDF", b"\x89PNG": "a picture", b"\xff\xd8\xff": "a picture", b"{\\rtf": "a text document"}


@dataclass(frozen=True, slots=True, kw_only=True)
class RawFile:
    """Bytes of a file, with its name as messages show it.

    ``sheets`` are those of it that count, when it was opened already; None when it was not.
    """

    name: str
    data: bytes
    sheets: tuple[Sheet, ...] | None = None

    @property
    def sha256(self) -> str:
        """Digest of the bytes, in hexadecimal."""
        return sha256(self.data).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The cells of one sheet, or of a csv file, in which case ``name`` is blank.

    ``rows`` start at the top left cell. ``merged`` holds the corners of merged
    cells, ``faults`` what was found in cells that hold no usable value. ``names``
    says what a row, counted from 1, is called where it is no row of a sheet;
    ``hidden_rows``, counted from 0, are those a spreadsheet does not show.
    """

    file: str
    name: str = ""
    hidden: bool = False
    rows: list[list[Cell]]
    delimiter: str = ""
    merged: tuple[tuple[Position, Position], ...] = ()
    faults: Mapping[Position, str] = field(default_factory=dict)
    hidden_rows: frozenset[int] = frozenset()
    names: Mapping[int, str] = field(default_factory=dict)

    @property
    def place(self) -> str:
        """File, and sheet where there is one, as messages show it."""
        return f'{self.file}, sheet "{self.name}"' if self.name else self.file


def refuse(where: str, found: str, accepted: str, hint: str = "", *, code: str) -> ProblemsFound:
    """One Problem about a whole file, whose ``found`` is a statement, ready to be raised."""
    return ProblemsFound(
        [Problem(where=where, found=found, accepted=accepted, hint=hint, found_is_text=False, code=code)]
    )


def load_file(path: Path, accepted: str = FILE_FORMS, where: str = "") -> RawFile:
    """Read a file whole.

    Parameters
    ----------
    path
        Where it lies; messages show its last name only, so that they read the same anywhere.
    accepted
        What kind of file would do, for messages.
    where
        Who asked for the file, e.g. a key of the workshop file; the file itself when blank.

    Raises
    ------
    ProblemsFound
        When it is missing, a folder, not readable or larger than 50 MB.
    """
    place = where or path.name or str(path)
    about = f' "{path.name}"' if where else ""
    try:
        if path.is_dir():
            raise refuse(place, f"a folder{about}", accepted, code="file.folder")
        if not path.exists():
            raise refuse(place, f"no such file{about}", accepted, code="file.missing")
        if not path.is_file():
            raise refuse(place, f"a device{about}", accepted, code="file.device")
        if path.stat().st_size > MAX_FILE_BYTES:
            raise refuse(
                place, f"a file{about} of more than {MAX_FILE_BYTES // 1_000_000} MB", accepted, code="file.large"
            )
        data = path.read_bytes()
    except PermissionError:
        raise refuse(
            place, f"a file{about} that may not be read", "a file whose permissions allow reading", code="file.denied"
        ) from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise refuse(place, f"a file{about} that cannot be read ({reason})", accepted, code="file.unreadable") from None
    return RawFile(name=path.name, data=data)


def read_sheets(file: RawFile, recognised: Callable[[list[list[Cell]]], int], warnings: list[Problem]) -> list[Sheet]:
    """All sheets of a workbook, or the one of a csv text.

    Parameters
    ----------
    file
        The content decides whether it is a workbook or a text, not the name.
    recognised
        How many headings the top rows hold; decides which delimiter a text uses.
    warnings
        Gains a Problem when a text was read as Windows-1252.

    Raises
    ------
    ProblemsFound
        When it is empty, no spreadsheet, encrypted, broken, in an unknown encoding or too large.
    """
    if file.sheets is not None:
        return list(file.sheets)
    if not file.data.strip():
        raise refuse(file.name, "an empty file", FILE_FORMS, code="file.empty")
    if is_workbook(file):
        return _workbook(file)
    if file.data.startswith(_OLE):
        if "EncryptedPackage".encode("utf-16-le") in file.data:
            raise refuse(
                file.name, "a workbook that is encrypted", "a workbook saved without a password", code="file.encrypted"
            )
        raise refuse(file.name, "a workbook in an older format", FILE_FORMS, "save it as .xlsx", code="file.kind")
    for start, what in _OTHER_FILES.items():
        if file.data.startswith(start):
            raise refuse(file.name, f"{what}, not a spreadsheet", FILE_FORMS, code="file.kind")
    text = _decode(file, warnings)
    if file.name.lower().endswith((".xlsx", ".xlsm")):
        raise refuse(
            file.name, "text, not a workbook", FILE_FORMS, "is it a csv text with a wrong name?", code="file.kind"
        )
    return [_text_sheet(file.name, text, recognised)]


def is_workbook(file: RawFile) -> bool:
    """Does the content, whatever the name says, look like an xlsx workbook?"""
    return file.data.startswith(_ZIP)


def cell_text(cell: Cell) -> str:
    """A cell as a spreadsheet shows it: 1200.0 is ``1200``, a date is ISO 8601, blank is empty."""
    if isinstance(cell, str):
        return cell
    if isinstance(cell, bool):
        return "TRUE" if cell else "FALSE"
    if isinstance(cell, float):
        # A spreadsheet keeps 15 significant digits; the rest is the shadow of binary fractions.
        text = f"{cell:.15g}"
        return f"{Decimal(text):f}" if "e" in text else text
    return str(cell)


def is_date(cell: Cell) -> bool:
    """Did the spreadsheet store this as a date or a time of day?"""
    return isinstance(cell, date | time | timedelta)


def column_letter(column: int) -> str:
    """Letters of a column counted from 0: ``A``, ``Z``, ``AA``."""
    letters = ""
    number = column + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def _decode(file: RawFile, warnings: list[Problem]) -> str:
    encodings_text = "UTF-8 text"
    for bom, encoding in _BOMS.items():
        if file.data.startswith(bom):
            try:
                text = file.data.decode(encoding)
            except UnicodeDecodeError:
                found = f"bytes that are not {encoding.removesuffix('-sig').upper()}, as its first bytes promise"
                raise refuse(file.name, found, encodings_text, code="file.encoding") from None
            break
    else:
        if b"\0" in file.data:
            raise refuse(file.name, "bytes that are no text", FILE_FORMS, code="file.encoding")
        try:
            text = file.data.decode("utf-8")
        except UnicodeDecodeError as error:
            row = file.data.count(b"\n", 0, error.start) + 1
            try:
                text = file.data.decode("cp1252")
            except UnicodeDecodeError as second:
                row = file.data.count(b"\n", 0, second.start) + 1
                found = f"the byte {file.data[second.start]:#04x}, which is text in neither UTF-8 nor Windows-1252"
                raise refuse(f"{file.name}, line {row}", found, encodings_text, code="file.encoding") from None
            warnings.append(
                Problem(
                    where=f"{file.name}, line {row}",
                    found="letters that are not UTF-8; the file was read as Windows-1252",
                    accepted="UTF-8 text; check letters with accents",
                    found_is_text=False,
                    code="file.encoding_assumed",
                )
            )
    if "\0" in text:
        raise refuse(file.name, "bytes that are no text", FILE_FORMS, code="file.encoding")
    return text


def _text_sheet(name: str, text: str, recognised: Callable[[list[list[Cell]]], int]) -> Sheet:
    """The csv text split at the delimiter under which most headings are recognised."""
    best, delimiter = -1, ","
    for candidate in DELIMITERS:
        reader = csv.reader(_lines(text), delimiter=candidate)
        try:
            top: list[list[Cell]] = [
                list(map(seen_text, record[:MAX_COLUMNS])) for record in islice(reader, TITLE_ROWS)
            ]
        except csv.Error:
            continue
        found = recognised(top)
        if found > best:
            best, delimiter = found, candidate
    return Sheet(file=name, rows=_records(name, text, delimiter), delimiter=delimiter)


def _lines(text: str) -> io.TextIOWrapper:
    """A text line by line, line ends kept; ``StringIO`` would take four bytes for each letter."""
    return io.TextIOWrapper(io.BytesIO(text.encode()), encoding="utf-8", newline="")


def _records(name: str, text: str, delimiter: str) -> list[list[Cell]]:
    # Strict, because a quotation mark left open would swallow the rows that follow.
    reader = csv.reader(_lines(text), delimiter=delimiter, strict=True)
    rows: list[list[Cell]] = []
    line = 1
    try:
        for record in reader:
            line = reader.line_num + 1
            if len(record) > MAX_COLUMNS and any(cell.strip() for cell in record[MAX_COLUMNS:]):
                found = f"a row of {len(record)} cells"
                raise refuse(
                    f"{name}, line {reader.line_num}", found, f"at most {MAX_COLUMNS} columns", code="file.columns"
                )
            cells = [seen_text(cell) for cell in _trimmed(record[:MAX_COLUMNS])]
            filled = any(cell.strip() for cell in cells)
            rows.append(list(cells) if filled else [])
            if filled and len(rows) > MAX_ROWS + TITLE_ROWS:
                break
    except csv.Error as error:
        accepted = 'every opened quotation mark closed, and a mark inside a quoted cell doubled: "47 1/4"""'
        if "limit" in str(error):
            found = f"a cell of more than {csv.field_size_limit()} characters"
            raise refuse(
                f"{name}, line {line}", found, TEXT_FORMS, "is a quotation mark left open?", code="file.csv"
            ) from None
        found = "a quotation mark that is not closed, or is closed in mid-cell"
        raise refuse(f"{name}, line {line}", found, accepted, code="cell.text") from None
    return rows


def _workbook(file: RawFile) -> list[Sheet]:
    from python_calamine import CalamineWorkbook, PasswordError, SheetTypeEnum, SheetVisibleEnum

    try:
        _check_kind(file)
        scans, seen = scan_workbook(file.data, MAX_ROWS + TITLE_ROWS, file.name)
        with CalamineWorkbook.from_filelike(io.BytesIO(seen)) as book:
            sheets = []
            for index, meta in enumerate(book.sheets_metadata):
                if meta.typ != SheetTypeEnum.WorkSheet:
                    continue  # charts and macros
                scan = scans[meta.name]
                sheet = book.get_sheet_by_index(index)
                rows = [_trimmed(row) for row in sheet.to_python(skip_empty_area=False)] if sheet.height else []
                place = scan.differs(rows)
                if place:
                    raise refuse(
                        f'{file.name}, sheet "{meta.name}", cell {column_letter(place[1])}{place[0] + 1}',
                        "a value that one way of reading sees and another does not",
                        FILE_FORMS,
                        "open it in the spreadsheet program and save it again",
                        code="file.ambiguous",
                    )
                sheets.append(
                    Sheet(
                        file=file.name,
                        name=meta.name,
                        hidden=meta.visible != SheetVisibleEnum.Visible,
                        rows=[[seen_text(cell) if isinstance(cell, str) else cell for cell in row] for row in rows],
                        merged=tuple(sheet.merged_cell_ranges or ()),
                        faults=scan.faults,
                        hidden_rows=frozenset(scan.hidden_rows),
                    )
                )
    except PasswordError:
        raise refuse(
            file.name, "a workbook that is encrypted", "a workbook saved without a password", code="file.encrypted"
        ) from None
    except (ProblemsFound, KeyboardInterrupt, SystemExit, MemoryError):
        raise
    except (AssertionError, AttributeError, ImportError, NameError, TypeError):
        raise  # no file does that: a fault of the program, or of a library that lacks what is asked of it
    except BaseException as error:
        # Whatever a broken archive makes the two readers do; a panic of the compiled one is a BaseException.
        what = f" ({error})" if isinstance(error, Broken) else ""
        found = f"a workbook that is broken{what}"
        raise refuse(
            file.name, found, FILE_FORMS, "open it in the spreadsheet program and save it again", code="file.damaged"
        ) from error
    return sheets


def _check_kind(file: RawFile) -> None:
    """Refuse an archive that is no .xlsx workbook, in words that say what it is."""
    if file.data.count(b"PK\x01\x02") > MAX_PARTS:  # before the list of them is read, which takes 1 kB for each
        raise refuse(
            file.name,
            f"an archive of more than {MAX_PARTS} files",
            f"a workbook of at most {MAX_PARTS} files",
            code="file.unpacked",
        )
    with zipfile.ZipFile(io.BytesIO(file.data)) as archive:
        names = {name.lower() for name in archive.namelist()}
    if "xl/workbook.xml" not in names:
        kind = "a workbook in another format" if {"xl/workbook.bin", "content.xml"} & names else "an archive"
        hint = "" if kind == "an archive" else "save it as .xlsx"
        raise refuse(file.name, f"{kind}, not an .xlsx workbook", FILE_FORMS, hint, code="file.kind")


def _trimmed(cells: list[Held]) -> list[Held]:
    """A row without the blanks behind its last value, which one stray cell far right would make many of."""
    end = len(cells)
    while end and cells[end - 1] == "":
        end -= 1
    return cells[:end]
