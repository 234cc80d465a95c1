"""Beginning a job: a new workbook to fill in, and a job turned from one form into another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Unpack

from cutplan.problems import Problem, ProblemsFound, to_be_written

if TYPE_CHECKING:
    from cutplan.reading.job_files import Beside
    from cutplan.reading.workshop.workshop_file import WorkshopFile


def new(
    name: str,
    *,
    unit: str = "",
    paper: str = "",
    currency: str = "",
    kerf: str = "",
    stock: str = "",
    workshop: Path | str | None = None,
    folder: Path | str = ".",
) -> Path:
    """Write a workbook for a job: parts, prices, rack and workshop, with examples, lists to choose from and checks.

    Parameters
    ----------
    name
        Of the job; the file is called ``name.xlsx``.
    unit, paper, currency, kerf, stock
        Settings of the workshop, typed as in its file; blank ones keep their defaults.
    workshop
        A workshop file to take all settings from that are not said here; without it, the one found from the folder
        upwards, if any.

    Raises
    ------
    ProblemsFound
        When a setting cannot be understood, or there is such a file already.
    """
    from cutplan.writing.newbook import book_bytes
    from cutplan.writing.workshop_document import document_for

    said = {
        "workshop.unit": unit,
        "workshop.paper": paper,
        "workshop.currency": currency,
        "saw.kerf": kerf,
        "stock.lengths": stock,
    }
    plain = name.removesuffix(".xlsx")
    path = Path(folder) / f"{plain}.xlsx"
    said = {key: value for key, value in said.items() if value}
    given = Path(workshop) if workshop else None
    shop = _settled(said, path, given)
    if shop.workshop.unit == "in":
        shop = _settled(said | {key: value for key, value in IN_INCHES.items() if key not in shop.given}, path, given)
    files = {role: file for role, file in (("prices", shop.prices), ("rack", shop.rack)) if file}
    document = document_for(shop, path.parent, files)
    write_new(path, book_bytes(Path(plain).name, shop.workshop, document))
    return path


def known_settings(name: str, *, workshop: Path | str | None = None, folder: Path | str = ".") -> frozenset[str]:
    """Which of the settings that :func:`new` takes are given by the workshop file it would find.

    Raises
    ------
    ProblemsFound
        When there is such a file and something is wrong with it.
    """
    shop = _settled({}, Path(folder) / name, Path(workshop) if workshop else None)
    return frozenset(option.removeprefix("--") for key, option in _OPTIONS.items() if key in shop.given)


def convert(source: Path | str, target: Path | str | None = None, **beside: Unpack[Beside]) -> tuple[Path, ...]:
    """Turn a job into one workbook, or into a folder of lists with a workshop file; both say the same.

    Parameters
    ----------
    source
        A parts list with all that belongs to it, or a workbook that holds everything.
    target
        A name ending in ``.xlsx``, or a new folder; without it a workbook becomes a folder of its name and anything
        else a workbook of its name, both in the folder worked in.
    beside
        As for :func:`read_job`.

    Returns
    -------
    tuple of Path
        The files written.

    Raises
    ------
    ProblemsFound
        When the job cannot be read, or the target is there already.
    """
    from cutplan.reading.whole_job import read_files
    from cutplan.writing.assemblies import with_assemblies
    from cutplan.writing.jobfolder import write_folder
    from cutplan.writing.listsheet import lines_of
    from cutplan.writing.newbook import book_bytes, without_examples
    from cutplan.writing.workshop_document import document_for

    start = Path(source)
    is_book = start.suffix.lower() in (".xlsx", ".xlsm")
    end = Path(target) if target else Path(start.stem if is_book else f"{start.stem}.xlsx")
    read = read_files(start, **beside)
    read = replace(read, tables={role: without_examples(table) for role, table in read.tables.items()})
    if read.assemblies:
        parts = with_assemblies(read.tables["parts"], read.assemblies)
        read = replace(read, tables={**read.tables, "parts": parts})
    if end.suffix.lower() != ".xlsx":
        return write_folder(read, end)
    document = document_for(read.shop, end.parent, {}, read.stock)
    lists = {role.capitalize(): lines_of(table) for role, table in read.tables.items()}
    write_new(end, book_bytes(end.stem, read.job.workshop, document, lists))
    return (end,)


IN_INCHES = {
    "workshop.paper": "Letter",
    "workshop.mass_unit": "lb",
    **{f"standards.{family}": "ASTM A500" for family in ("SHS", "RHS", "CHS")},
    **{f"standards.{family}": "ASTM A36" for family in ("EA", "UA", "FL", "SQ", "RD", "HEX")},
    "standards.PIPE": "ASTM A53",
    **{f"standards.{family}": "ASTM A6" for family in ("CHANNEL", "BEAM", "TEE")},
}
"""What a new job in inches begins with where no workshop file says otherwise: the market that works in them."""

_OPTIONS = {
    "workshop.unit": "--unit",
    "workshop.paper": "--paper",
    "workshop.currency": "--currency",
    "saw.kerf": "--kerf",
    "stock.lengths": "--stock",
}


def _settled(said: Mapping[str, str], near: Path, given: Path | None) -> WorkshopFile:
    """The settings of a workshop file, the nearest unless one is given, with those said here in their place."""
    from cutplan.reading.lists.stock import read_stock
    from cutplan.reading.sheets.findings import Findings, in_order
    from cutplan.reading.workshop.workshop_file import find_workshop, load_workshop, read_document, settings

    document: dict[str, Any] = {}
    name, folder = "", near.parent
    path = find_workshop(near, given)
    if path:
        raw = load_workshop(path)
        document, name, folder = read_document(raw), raw.name, path.parent
    for key, value in said.items():
        table, word = key.split(".")
        document[table] = {**document.get(table, {}), word: value}
    problems: list[Problem] = []
    shop = settings(
        name,
        document,
        problems,
        folder=folder,
        places={key: _OPTIONS.get(key, "--unit in") for key in said},
        from_file=path is not None,
    )
    findings = Findings()
    if not problems:
        read_stock(shop.stock, shop.workshop, findings)
    problems += in_order(findings.problems)
    if problems:
        raise ProblemsFound(problems)
    return shop


def write_new(path: Path, content: bytes) -> None:
    """Write a file that is not there yet."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("xb") as file:
            file.write(content)
    except FileExistsError:
        found, accepted = "a file that is there already", "a name that is not taken"
        raise ProblemsFound([_statement(path, found, accepted, code="file.exists")]) from None
    except (OSError, ValueError) as error:
        found = f"a file that cannot be written ({getattr(error, 'strerror', None) or error})"
        accepted = to_be_written(error, "a folder that can be written")
        raise ProblemsFound([_statement(path, found, accepted, code="file.unwritable")]) from None


def _statement(path: Path, found: str, accepted: str, *, code: str) -> Problem:
    return Problem(where=str(path), found=found, accepted=accepted, found_is_text=False, code=code)
