"""A job as a folder of its own: lists as csv, the workshop as TOML."""

from __future__ import annotations

import csv
import io
from contextlib import suppress
from pathlib import Path

from cutplan.problems import to_be_written
from cutplan.reading.sheets.raw_cells import Cell, cell_text, refuse
from cutplan.reading.sheets.tables import Table
from cutplan.reading.whole_job import JobRead
from cutplan.writing.toml import toml_text
from cutplan.writing.workshop_document import document_for

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
    contents = {f"{folder.name}.csv": _csv(read.tables["parts"])}
    files: dict[str, Path | str] = {**read.paths}
    for role in ("prices", "rack"):
        if role in read.tables and role not in files:
            files[role] = f"{role}.csv"
            contents[f"{role}.csv"] = _csv(read.tables[role])
    if "holes" in read.tables:
        contents[f"{folder.name}-holes.csv"] = _csv(read.tables["holes"])
    contents[WORKSHOP] = toml_text(document_for(read.shop, folder, files, read.stock))
    return _written(folder, contents)


def _csv(table: Table) -> str:
    """The rows of a list, as they are shown, as a csv text; numbers with the decimal sign by which they are read."""
    signed = {column.index for name, column in table.columns.items() if name in table.figures}
    comma = table.decimal_sign == ","

    def shown(index: int, cell: Cell) -> str:
        text = cell_text(cell)
        return text.replace(".", ",") if comma and isinstance(cell, float) and index in signed else text

    text = io.StringIO()
    rows = ([shown(index, cell) for index, cell in enumerate(cells)] for cells in table.sheet.rows)
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue()


def _written(folder: Path, contents: dict[str, str]) -> tuple[Path, ...]:
    made: list[Path] = []
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise refuse(str(folder), "a name that is taken", "a new or an empty folder", code="file.exists")
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
        raise refuse(
            str(folder),
            f"a folder that cannot be written ({reason})",
            to_be_written(error, "a folder that can be made"),
            code="file.unwritable",
        ) from None
    return tuple(made)
