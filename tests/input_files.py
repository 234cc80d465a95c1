"""Small input files for tests: lists as rows of cells, written as csv or xlsx."""

from __future__ import annotations

import csv
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from cutplan.model import Job
from cutplan.problems import Problem, ProblemsFound
from cutplan.reading import read_job
from cutplan.reading.workshop.workshop_file import WorkshopFile, load_workshop, read_document, settings

Rows = Sequence[Sequence[Any]]

PARTS: Rows = (("Mark", "Quantity", "Section", "Length"), ("A1", 2, "SHS 40x40x3", 1200))
PRICES: Rows = (
    ("Merchant", "Section", "Length", "Price", "Per"),
    ("Yard", "SHS 40x40x3", 6000, "30", "each"),
    ("Yard", "SHS 40x40x3", 7500, "36", "each"),
    ("Yard", "RHS 60x40x3", 6000, "40", "each"),
)


def write_csv(path: Path, rows: Rows, delimiter: str = ",", encoding: str = "utf-8") -> Path:
    """A csv text, cells quoted where they must be."""
    with path.open("w", newline="", encoding=encoding) as file:
        csv.writer(file, delimiter=delimiter).writerows(rows)
    return path


def write_xlsx(path: Path, change: Callable[[Any], None] | None = None, **sheets: Rows) -> Path:
    """A workbook with the sheets given by name; ``change`` may alter it before it is saved."""
    import openpyxl

    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
    if change:
        change(book)
    book.save(path)
    return path


def write_list(path: Path, rows: Rows) -> Path:
    """A csv or xlsx file, as the name says; a sheet is called Parts."""
    return write_csv(path, rows) if path.suffix == ".csv" else write_xlsx(path, Parts=rows)


def job_of(
    folder: Path,
    parts: Rows | Path = PARTS,
    *,
    prices: Rows | None = PRICES,
    workshop: str = "",
    rack: Rows | None = None,
    holes: Rows | None = None,
    suffix: str = ".csv",
    **other: Any,
) -> Job:
    """Read a job of files written for it: parts, prices, rack, holes and the text of a workshop file."""
    shop = folder / "workshop.toml"
    shop.write_text(workshop, encoding="utf-8")
    path = parts if isinstance(parts, Path) else write_list(folder / f"parts{suffix}", parts)
    if prices is not None:
        other["prices"] = write_csv(folder / "prices.csv", prices)
    if rack is not None:
        other["rack"] = write_csv(folder / "rack.csv", rack)
    if holes is not None:
        write_csv(folder / f"{path.stem}-holes.csv", holes)
    return read_job(path, **other)


def refusal(folder: Path, *args: Any, **settings: Any) -> str:
    """Everything that :func:`job_of` refuses, as text; blank when it refuses nothing."""
    try:
        job_of(folder, *args, **settings)
    except ProblemsFound as found:
        return str(found)
    return ""


def read_workshop(path: Path) -> tuple[WorkshopFile, list[Problem]]:
    """What a workshop file says, and what is wrong with its keys."""
    problems: list[Problem] = []
    raw = load_workshop(path)
    return settings(raw.name, read_document(raw), problems, folder=path.parent), problems


def workshop_of(folder: Path, text: str | bytes) -> tuple[WorkshopFile, list[Problem]]:
    """What a workshop file of that text says, and what is wrong with its keys."""
    path = folder / "workshop.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_workshop(path)
