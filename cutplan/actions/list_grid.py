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

from cutplan.actions.lists import read_job
from cutplan.problems import Problem, ProblemsFound

COLUMNS = ("Mark", "Quantity", "Section", "Length", "Cut A", "Cut B", "Note")
"""Those of a parts list that is begun on a page; every other is one button away."""
MOST_ROWS = 2_000
"""Rows that a page shows; a longer list is kept in a spreadsheet."""

_CELL = re.compile(r"\brow (\d+)(?:, column ([A-Z]{1,2})\b)?")
_NAME = re.compile(r"[^\W_][\w .+-]{0,79}")
_OURS = (".csv", ".xlsx")


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """The cells of a list, row by row; ``sha256`` is of the file that they were read from."""

    rows: tuple[tuple[str, ...], ...]
    delimiter: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """What the reader says of a list: each finding with its row and column, counted from 0, -1 where it has none."""

    row: int
    column: int
    problem: Problem


def grid_of(path: Path) -> Grid | None:
    """The grid of a csv file; None of a workbook, of a longer one, and where its letters cannot be told."""
    if path.suffix.lower() != ".csv":
        return None
    data = path.read_bytes()
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return None
    delimiter = max(",;\t", key=text.split("\n", 1)[0].count)
    try:
        rows = tuple(tuple(row) for row in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))
    except csv.Error:
        return None
    if len(rows) > MOST_ROWS or "\0" in text:
        return None
    return Grid(rows=rows, delimiter=delimiter, sha256=hashlib.sha256(data).hexdigest())


def answered(path: Path, rows: Sequence[Sequence[str]], delimiter: str = ",") -> tuple[Answered, ...]:
    """What the reader says of cells that are to be those of a list; nothing where the list would be sound."""
    return answered_by(lambda tried: read_job(tried, holes=_holes_of(path)).warnings, path, rows, delimiter)


def pictures(path: Path, rows: Sequence[Sequence[str]], delimiter: str = ",") -> dict[int, str]:
    """What the parts of some cells will look like, by their row counted from 0: SVG of those with mitres or holes."""
    from cutplan import reading
    from cutplan.reports.part_picture import part_picture

    with _tried(path, rows, delimiter) as tried:
        try:
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
def _tried(path: Path, rows: Sequence[Sequence[str]], delimiter: str) -> Iterator[Path]:
    """A file of some cells that has the name of another, for as long as it is read."""
    with TemporaryDirectory(dir=path.parent, prefix=".") as aside:
        tried = Path(aside) / path.name
        tried.write_text(_text(rows, delimiter), encoding="utf-8")
        yield tried


def answered_by(
    warnings: Callable[[Path], Sequence[Problem]], path: Path, rows: Sequence[Sequence[str]], delimiter: str
) -> tuple[Answered, ...]:
    """What a reader, which gives the warnings of a sound file, says of cells that are to be those of a file."""
    with _tried(path, rows, delimiter) as tried:
        try:
            return tuple(_answered(problem, path.name) for problem in warnings(tried))
        except ProblemsFound as found:
            return tuple(_answered(problem, path.name) for problem in found.problems)


def _answered(problem: Problem, name: str) -> Answered:
    """A finding of the file ``name`` at its cell, one of another file at none."""
    place = _CELL.search(problem.where) if problem.where.startswith(f"{name},") else None
    if place is None:
        return Answered(row=-1, column=-1, problem=problem)
    column = -1
    for letter in place[2] or "":
        column = (column + 1) * 26 + ord(letter) - ord("A")
    return Answered(row=int(place[1]) - 1, column=column, problem=problem)


def save_grid(path: Path, rows: Sequence[Sequence[str]], seen: str) -> None:
    """Put cells in the place of a list; one at fault is saved too, to be mended later.

    Parameters
    ----------
    seen
        The ``sha256`` of the file whose cells were changed.

    Raises
    ------
    ProblemsFound
        When the file was changed by somebody else meanwhile, or cannot be written.
    """
    there = grid_of(path)
    if there is None or there.sha256 != seen:
        found = "a file that was changed meanwhile" if path.exists() else "no such file any more"
        raise ProblemsFound([Problem.statement(path.name, found, "the file opened anew", code="bench.there")])
    _put(path, _text(rows, there.delimiter).encode())


def new_list(name: str, content: str | bytes) -> Path:
    """A list of a name in the folder that is worked in: cells pasted or typed, or a file as it was given.

    Raises
    ------
    ProblemsFound
        When the name is none, or is taken; and when a file is no spreadsheet, or one that is broken or unpacks to too
        much.
    """
    path = Path(name if Path(name).suffix.lower() in _OURS else f"{name}.csv")
    if (
        not _NAME.fullmatch(path.name)
        or path.stem.strip(". ") == ""
        or path.name != name.strip() + ("" if Path(name).suffix.lower() in _OURS else ".csv")
    ):
        accepted = "letters, digits, spaces, hyphens and full stops, a letter or digit first"
        raise ProblemsFound([Problem(code="bench.name", where="name", found=name, accepted=accepted)])
    if path.exists():
        raise ProblemsFound(
            [Problem.statement("name", f"{path.name}, which is there already", "another name", code="bench.there")]
        )
    if isinstance(content, bytes):
        from cutplan.reading.sheets.raw_cells import RawFile, read_sheets

        read_sheets(RawFile(name=path.name, data=content), lambda _: 0, [])
    _put(path, content if isinstance(content, bytes) else _pasted(content).encode())
    return path


def _pasted(text: str) -> str:
    """Cells as a spreadsheet puts them on the clipboard, parted by tabs; or as they were typed. With headings."""
    lines = text.replace("\r\n", "\n").strip("\n")
    delimiter = "\t" if "\t" in lines else ";" if lines.split("\n", 1)[0].count(";") > lines.count(",") else ","
    rows = [row for row in csv.reader(io.StringIO(lines), delimiter=delimiter) if any(cell.strip() for cell in row)]
    return _text(rows or [COLUMNS], ",")


def _text(rows: Sequence[Sequence[str]], delimiter: str) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator="\n").writerows(rows)
    return out.getvalue()


def _put(path: Path, content: bytes) -> None:
    with TemporaryDirectory(dir=path.parent or None, prefix=".") as aside:
        new = Path(aside) / path.name
        new.write_bytes(content)
        os.replace(new, path)
