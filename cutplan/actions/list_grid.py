"""A parts list as a grid of its cells: read as it stands, each cell answered by the reader, and put back as a whole.

What the reader makes of a list it says here too, so that a page never knows better than the command. Every row and
column of the file is in the grid, those that mean nothing to a plan as well.
"""

from __future__ import annotations

import csv
import hashlib
import io
import os
import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from cutplan.actions.lists import read_job
from cutplan.actions.workshop_form import check_inside
from cutplan.problems import Problem, ProblemsFound

if TYPE_CHECKING:
    from cutplan.reading.sheets.raw_cells import RawFile

COLUMNS = ("Mark", "Quantity", "Section", "Length", "Cut A", "Cut B", "Note")
"""Those of a parts list that is begun on a page; every other is one button away."""
MOST_ROWS = 2_000
"""Rows that a page shows; a longer list is kept in a spreadsheet."""

_CELL = re.compile(r" row (\d+)(?:, column ([A-Z]{1,2})\b)?")
_NAME = re.compile(r"[^\W_][\w .+-]{0,79}")
_OURS = (".csv", ".xlsx")


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """The cells of a list, row by row; ``sha256`` is of the file that they were read from.

    Parameters
    ----------
    delimiter, line_end, begins
        Of a csv text: what parts its cells and its rows, and the mark of Unicode before them where it has one, by which
        a spreadsheet program tells letters with accents.
    sheet, sheets
        Of a workbook: the sheet that the cells are on, and all of its parts.
    """

    rows: tuple[tuple[str, ...], ...]
    delimiter: str = ","
    line_end: str = "\n"
    begins: str = ""
    sha256: str = ""
    sheet: str = ""
    sheets: tuple[str, ...] = ()


TEXT = Grid(rows=())
"""Of a csv text with commas, whatever it holds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """What the reader says of a list: each finding with its row and column, counted from 0, -1 where it has none.

    ``stops`` is false of a warning, with which a list may be planned.
    """

    row: int
    column: int
    problem: Problem
    stops: bool


def grid_of(path: Path, sheet: str = "") -> Grid | None:
    """The grid of a csv file, or of a sheet of a workbook, the first one of parts where none is said.

    None of a longer one, of a workbook that cells cannot be changed in here, and where letters cannot be told.
    """
    data = path.read_bytes()
    sha256 = hashlib.sha256(data).hexdigest()
    if path.suffix.lower() not in _OURS or grid_hindrance(path, sheet):
        return None
    if path.suffix.lower() == ".xlsx":
        return _grid_of_book(path, data, sheet, sha256)
    text, delimiter = data.decode("utf-8-sig"), _delimiter(path, data)
    return Grid(
        rows=tuple(tuple(row) for row in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)),
        delimiter=delimiter,
        line_end="\r\n" if "\r\n" in text else "\n",
        begins="\ufeff" if data.decode().startswith("\ufeff") else "",
        sha256=sha256,
    )


def _grid_of_book(path: Path, data: bytes, sheet: str, sha256: str) -> Grid:
    from cutplan import reading
    from cutplan.reading.sheets.raw_cells import RawFile, cell_text, read_sheets

    names = reading.part_sheets(path)
    found = read_sheets(RawFile(name=path.name, data=data), lambda _: 0, [])
    named = next(each for each in found if each.name == (sheet or names[0]))
    rows = tuple(tuple(cell_text(cell) for cell in row) for row in named.rows)
    return Grid(rows=rows, sha256=sha256, sheet=named.name, sheets=names)


def _delimiter(path: Path, data: bytes) -> str:
    from cutplan import reading
    from cutplan.reading.sheets.raw_cells import RawFile

    return reading.delimiter_of(RawFile(name=path.name, data=data)) if data.strip() else ","


def grid_hindrance(path: Path, sheet: str = "") -> str:
    """What stands against changing cells of a csv file, or of a sheet of a workbook, here; blank where nothing does."""
    data = path.read_bytes()
    try:
        if path.suffix.lower() == ".xlsx":
            return _book_hindrance(path, data, sheet)
        rows = csv.reader(io.StringIO(data.decode(), newline=""), delimiter=_delimiter(path, data))
        return _length_hindrance(sum(1 for _ in rows))
    except UnicodeDecodeError:
        return "letters that are not UTF-8"
    except ProblemsFound as wrong:
        return wrong.problems[0].found


def _book_hindrance(path: Path, data: bytes, sheet: str) -> str:
    from cutplan import reading
    from cutplan.reading.sheets.raw_cells import RawFile
    from cutplan.writing.cells_changed import hindrance

    names = reading.part_sheets(path)
    if not names or (sheet and sheet not in names):
        return "no sheet with the headings of a parts list"
    against = hindrance(RawFile(name=path.name, data=data), sheet or names[0])
    return against or _length_hindrance(len(_grid_of_book(path, data, sheet, "").rows))


def _length_hindrance(rows: int) -> str:
    return f"more than {MOST_ROWS:,} rows" if rows > MOST_ROWS else ""


def answered(path: Path, rows: Sequence[Sequence[str]], of: Grid = TEXT) -> tuple[Answered, ...]:
    """What the reader says of cells that are to be those of a list; nothing where the list would be sound."""
    return answered_by(lambda tried: read_job(tried, holes=_holes_of(path)).warnings, path, rows, of)


def pictures(path: Path, rows: Sequence[Sequence[str]], of: Grid = TEXT) -> dict[int, str]:
    """What the parts of some cells will look like, by their row counted from 0: SVG of those with mitres or holes.

    Of a list on several sheets none, whose rows are counted through.
    """
    from cutplan import reading
    from cutplan.reports.part_picture import part_picture

    if len(of.sheets) > 1:
        return {}
    try:
        with _tried(path, rows, of) as tried:
            parts, shop = reading.read_drawn(tried, _holes_of(path))
    except ProblemsFound:
        return {}
    drawn: dict[int, str] = {}
    for part in parts:
        picture = part_picture(part, shop.printing)
        if picture:
            drawn[part.row - 1] = drawn.get(part.row - 1, "") + picture
    return drawn


def _holes_of(path: Path) -> Path | None:
    """The file with the sheet of holes beside a list, which its cells that are tried elsewhere need too."""
    named = [path.with_name(f"{path.stem}-holes{suffix}") for suffix in (".csv", ".xlsx")]
    return next((each for each in named if each.exists()), None)


@contextmanager
def _tried(path: Path, rows: Sequence[Sequence[str]], of: Grid) -> Iterator[Path]:
    """A file of some cells that has the name of another, for as long as it is read."""
    with TemporaryDirectory(dir=path.parent, prefix=".") as aside:
        tried = Path(aside) / path.name
        tried.write_bytes(_content(path, rows, of))
        yield tried


def _content(path: Path, rows: Sequence[Sequence[str]], of: Grid) -> bytes:
    """A list with other cells in the place of those of its grid.

    Raises
    ------
    ProblemsFound
        When the cells of a workbook cannot be changed so.
    """
    if not of.sheet:
        return (of.begins + _text(rows, of.delimiter, of.line_end)).encode()
    from cutplan.reading.sheets.raw_cells import load_file
    from cutplan.writing.cells_changed import with_cells

    now, before = _by_place(rows), _by_place(of.rows)
    changes = {place: now.get(place, "") for place in now | before if now.get(place, "") != before.get(place, "")}
    raw = load_file(path)
    return with_cells(raw, of.sheet, changes) if changes else raw.data


def _by_place(rows: Sequence[Sequence[str]]) -> dict[tuple[int, int], str]:
    return {(row, column): text.strip() for row, cells in enumerate(rows) for column, text in enumerate(cells)}


def answered_by(
    warnings: Callable[[Path], Sequence[Problem]], path: Path, rows: Sequence[Sequence[str]], of: Grid
) -> tuple[Answered, ...]:
    """What a reader, which gives the warnings of a sound file, says of cells that are to be those of a file."""
    place = f'{path.name}, sheet "{of.sheet}",' if of.sheet else f"{path.name},"
    try:
        with _tried(path, rows, of) as tried:
            return tuple(_answered(problem, place, stops=False) for problem in warnings(tried))
    except ProblemsFound as found:
        return tuple(_answered(problem, place, stops=True) for problem in found.problems)


def _answered(problem: Problem, begins: str, *, stops: bool) -> Answered:
    """A finding of a file or its sheet, whose places begin so, at its cell; one of another at none."""
    place = _CELL.match(problem.where, len(begins)) if problem.where.startswith(begins) else None
    if place is None:
        return Answered(row=-1, column=-1, problem=problem, stops=stops)
    column = -1
    for letter in place[2] or "":
        column = (column + 1) * 26 + ord(letter) - ord("A")
    return Answered(row=int(place[1]) - 1, column=column, problem=problem, stops=stops)


def save_grid(path: Path, rows: Sequence[Sequence[str]], seen: str, sheet: str = "") -> None:
    """Put cells in the place of a list; one at fault is saved too, to be mended later.

    Parameters
    ----------
    seen
        The ``sha256`` of the file whose cells were changed.
    sheet
        Of a workbook, all of which stays as it is but for the cells that are others now.

    Raises
    ------
    ProblemsFound
        When the file was changed by somebody else meanwhile, or cannot be written.
    """
    from cutplan.writing.inplace import alone_in, behind_links, replace

    real = behind_links(path)
    with alone_in(real.parent):
        there = grid_of(path, sheet) if path.exists() else None
        if there is None or there.sha256 != seen:
            found = "a file that was changed meanwhile" if path.exists() else "no such file any more"
            raise ProblemsFound([Problem.statement(path.name, found, "the file opened anew", code="bench.there")])
        replace(real, _content(path, rows, there), path.read_bytes())


def new_list(name: str, content: str | bytes) -> Path:
    """A list of a name in the folder that is worked in: cells pasted or typed, or a file as it was given.

    Raises
    ------
    ProblemsFound
        When the name is none, or is taken; and when a file is no spreadsheet, one that is broken or unpacks to too
        much, or one whose own workshop names a file outside the folder.
    """
    path = Path(name if Path(name).suffix.lower() in _OURS else f"{name}.csv")
    if (
        not _NAME.fullmatch(path.name)
        or path.stem.strip(". ") == ""
        or path.name != name.strip() + ("" if Path(name).suffix.lower() in _OURS else ".csv")
    ):
        accepted = "letters, digits, spaces, hyphens and full stops, a letter or digit first"
        raise ProblemsFound([Problem(code="bench.name", where="name", found=name, accepted=accepted)])
    there = next((each for each in map(path.with_suffix, _OURS) if each.exists()), None)
    if there is not None:  # of either kind: both would be planned into one folder
        raise taken(there)
    if isinstance(content, bytes):
        from cutplan.reading.sheets.raw_cells import RawFile, read_sheets

        raw = RawFile(name=name.strip(), data=content)
        read_sheets(raw, lambda _: 0, [])
        if path.suffix.lower() == ".xlsx":
            _check_files(raw)
    put(path, content if isinstance(content, bytes) else _pasted(content).encode())
    return path


def _check_files(raw: RawFile) -> None:
    """Refuse a workbook whose own workshop names a file outside the folder; what else is wrong there its page says."""
    from cutplan.reading.jobbook import open_book, read_settings
    from cutplan.reading.sheets.findings import Findings

    try:
        own = read_settings(open_book(raw), Findings())
    except ProblemsFound:
        return
    if own:
        _, document, places = own
        said = {f"files.{word}": str(value) for word, value in document.get("files", {}).items()}
        check_inside(said, lambda name: places.get(name, raw.name))


def taken(there: Path) -> ProblemsFound:
    """The refusal of a name that a file has already."""
    found = f"{there.name}, which is there already"
    return ProblemsFound([Problem.statement("name", found, "another name", code="bench.there")])


def _pasted(text: str) -> str:
    """Cells as a spreadsheet puts them on the clipboard, parted by tabs; or as they were typed. With headings."""
    lines = text.replace("\r\n", "\n").strip("\n")
    delimiter = "\t" if "\t" in lines else ";" if lines.split("\n", 1)[0].count(";") > lines.count(",") else ","
    rows = [row for row in csv.reader(io.StringIO(lines), delimiter=delimiter) if any(cell.strip() for cell in row)]
    return _text(rows or [COLUMNS], ",")


def _text(rows: Sequence[Sequence[str]], delimiter: str, line_end: str = "\n") -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator=line_end).writerows(rows)
    return out.getvalue()


def put(path: Path, content: bytes) -> None:
    """Write a file whole or not at all."""
    with TemporaryDirectory(dir=path.parent or None, prefix=".") as aside:
        new = Path(aside) / path.name
        new.write_bytes(content)
        os.replace(new, path)
