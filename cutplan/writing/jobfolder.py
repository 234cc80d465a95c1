"""A job as a folder of its own: lists as csv, the workshop as TOML."""

from __future__ import annotations

import csv
import io
import os
from contextlib import suppress
from pathlib import Path
from typing import Any

from cutplan.reading.job import JobRead
from cutplan.reading.sheets import Sheet, cell_text, refuse
from cutplan.writing.toml import toml_text

WORKSHOP = "workshop.toml"


def write_folder(read: JobRead, folder: Path) -> tuple[Path, ...]:
    """Write a job into a new folder: what it was read from, in other clothes.

    The list is named like the folder. Price list and rack that lay in the job's own workbook are written beside it;
    those that lay in files of their own stay there and are named in the workshop file.

    Returns
    -------
    tuple of Path
        The files written, the parts list first.

    Raises
    ------
    ProblemsFound
        When the folder is there already and not empty, or cannot be written; nothing is left behind then.
    """
    contents = {f"{folder.name}.csv": _csv(read.tables["parts"].sheet)}
    files: dict[str, str] = {}
    for role in ("prices", "rack"):
        path, table = read.paths.get(role), read.tables.get(role)
        if path:
            files[role] = _relative(path, folder)
        elif table:
            files[role] = f"{role}.csv"
            contents[files[role]] = _csv(table.sheet)
    if any(file.role == "workshop" for file in read.job.files):  # the rack of a workshop is one, wherever a job lies
        files["ledger"] = _relative(read.shop.ledger, folder)
    contents[WORKSHOP] = toml_text(_document(read, files))
    return _written(folder, contents)


def _relative(path: Path, folder: Path) -> str:
    return Path(os.path.relpath(path.resolve(), folder.resolve())).as_posix()


def _document(read: JobRead, files: dict[str, str]) -> dict[str, Any]:
    """The workshop's keys as typed, with the files and stock lengths that the job really used."""
    document = {name: keys for name, keys in read.shop.document.items() if name not in ("files", "stock", "merchant")}
    if read.stock:
        document["stock"] = {"lengths": "; ".join(read.stock)}
    if files:
        document["files"] = files
    if "merchant" in read.shop.document:
        document["merchant"] = read.shop.document["merchant"]
    return document


def _csv(sheet: Sheet) -> str:
    """The rows of a sheet, as they are shown, as a csv text."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([cell_text(cell) for cell in row] for row in sheet.rows)
    return text.getvalue()


def _written(folder: Path, contents: dict[str, str]) -> tuple[Path, ...]:
    made: list[Path] = []
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise refuse(str(folder), "a name that is taken", "a new or an empty folder")
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in contents.items():
            path = folder / name
            made.append(path)
            path.write_text(text, encoding="utf-8", newline="")
    except (OSError, ValueError) as error:
        for path in made:
            with suppress(OSError):
                path.unlink()
        reason = getattr(error, "strerror", None) or error
        raise refuse(str(folder), f"a folder that cannot be written ({reason})", "a folder that can be made") from None
    return tuple(made)
