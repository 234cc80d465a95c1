"""The files of a job: which belong to a parts list, what was read of each, and whose problems come first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from os.path import exists, isfile  # a name that is too long is none that is there
from pathlib import Path
from typing import Any, NamedTuple, TypedDict

from cutplan.model import InputFile, Workshop
from cutplan.problems import Problem, ProblemsFound
from cutplan.reading.jobbook import HOLES_SHEET, RACK_SHEET, open_book, read_settings
from cutplan.reading.sheets.findings import Findings, in_order
from cutplan.reading.sheets.raw_cells import RawFile, load_file
from cutplan.reading.workshop.workshop_file import WorkshopFile, find_workshop, load_workshop, read_document, settings

ROLES = ("workshop", "parts", "holes", "prices", "rack", "ledger")
"""Files of a job, in the order in which they and their problems are reported."""


class Beside(TypedDict, total=False):
    """What may be said beside the name of a parts list.

    Parameters
    ----------
    workshop
        Workshop file; without it, the workbook's own; without that, the ``workshop*.toml`` of the nearest folder from
        the list's own upwards that holds one; without any, the defaults.
    prices, rack
        Price list and rack file, csv or xlsx; without them, the workbook's own; without those, the ones the workshop
        file names. A ledger in use goes before the rack file that the workshop names; the file given may be a ledger.
    holes
        File with the sheet of holes, csv or xlsx; without it, the workbook's own, or the file of the list's name with
        ``-holes`` behind it.
    stock
        Stock lengths without a price: ``6 m`` for every section that the price list does not offer, or
        ``SHS 40x40x3: 6 m, 7.5 m`` for one section; without any, those of the workshop.
    quotes
        Price lists that are read together in the place of that one: forms as merchants sent them back. The id of an
        offer begins with the place of its list, from 1, and what has no price is not quoted.
    sheet
        Of a workbook with several sheets of parts, the one to read; blank for all of them, as one list.
    times
        How often the whole list is made; 0 where nobody has said, and a title that says a number is then asked about.
    """

    workshop: Path | str | None
    prices: Path | str | None
    rack: Path | str | None
    holes: Path | str | None
    stock: Sequence[str]
    quotes: Sequence[Path | str]
    sheet: str
    times: int


class Paths(NamedTuple):
    """The files said beside a parts list, as paths."""

    workshop: Path | None
    prices: Path | None
    rack: Path | None
    holes: Path | None


def paths_in(beside: Beside) -> Paths:
    """The files that are said."""
    said = (beside.get("workshop"), beside.get("prices"), beside.get("rack"), beside.get("holes"))
    return Paths(*(Path(each) if each else None for each in said))


_SQLITE = b"SQLite format 3\x00"


@dataclass(slots=True)
class Files:
    """What was read of each file, in the order in which problems are reported."""

    digests: list[InputFile] = field(default_factory=list)
    workshop: Findings = field(default_factory=Findings)
    parts: Findings = field(default_factory=Findings)
    holes: Findings = field(default_factory=Findings)
    prices: Findings = field(default_factory=Findings)
    rack: Findings = field(default_factory=Findings)
    stock: Findings = field(default_factory=Findings)

    def load(self, role: str, path: Path | None, findings: Findings, where: str = "") -> RawFile | None:
        """The bytes of a file, its digest noted; None when there is none or it cannot be read."""
        if path is None:
            return None
        try:
            raw = load_file(path, where=where)
        except ProblemsFound as found:
            findings.add_all(found)
            return None
        self.note(role, raw)
        return raw

    def list_of(
        self, role: str, given: Path | None, own: RawFile | None, shop: WorkshopFile, findings: Findings
    ) -> tuple[RawFile | None, bool]:
        """A list named by the user, else the one in the workbook, else the one the workshop file names.

        With it, whether there should be one that could not be read.
        """
        if given is None and own is not None:
            return own, False
        named = shop.prices if role == "prices" else shop.rack
        path = given or named
        raw = (
            self.load(role, given, findings)
            if given
            else self.load(role, named, self.workshop, shop.key(f"files.{role}"))
        )
        return raw, path is not None and raw is None

    def note(self, role: str, raw: RawFile) -> None:
        """Keep the digest of a file that was read."""
        self.digests.append(InputFile(role=role, name=raw.name, sha256=raw.sha256))

    def all_findings(self) -> tuple[Findings, ...]:
        """In the order in which problems are reported."""
        return (self.workshop, self.parts, self.holes, self.prices, self.rack, self.stock)


def ledger_of(given: Path | None, book: Mapping[str, RawFile], shop: WorkshopFile) -> Path | None:
    """The ledger that is the rack: the file given where it is one, else the workshop's where there is one."""
    try:
        if given is None:
            return shop.ledger if RACK_SHEET not in book and shop.ledger.exists() else None
        with given.open("rb") as file:
            return given if file.read(len(_SQLITE)) == _SQLITE else None
    except (OSError, ValueError):
        return None  # reported when the file is read


WORKBOOKS = (".xlsx", ".xlsm")
"""Names of workbooks end with one of these."""


def workshop_of(near: Path, given: Path | None) -> WorkshopFile:
    """The workshop file given, a workbook's own, or the one found from a file's folder upwards; else the defaults.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with it.
    """
    files = Files()
    book = open_book(load_file(near)) if near.suffix.lower() in WORKBOOKS and near.is_file() else {}
    shop = shop_of(near, given, book, files)
    if files.workshop.problems:
        raise ProblemsFound(in_order(files.workshop.problems))
    return shop.file


def holes_file(parts: Path, given: Path | None, own: RawFile | None, files: Files) -> RawFile | None:
    """The file with the sheet of holes: the one given, the workbook's own, or the one named after the list."""
    if given:
        return files.load("holes", given, files.holes)
    there = isfile(parts)
    named = [parts.with_name(f"{parts.stem}-holes{suffix}") for suffix in (".csv", ".xlsx")] if there else []
    beside = [path for path in named if exists(path)]
    names = [*([f'sheet "{HOLES_SHEET}" of {own.name}'] if own else []), *(path.name for path in beside)]
    if len(names) > 1:
        files.holes.add_statement(
            0, parts.name, f"holes in {' and in '.join(names)}", "holes in one place", code="hole.two_places"
        )
        return None
    return files.load("holes", beside[0], files.holes) if beside else own


@dataclass(frozen=True, slots=True)
class Shop:
    """What the workshop says, and whether it was without problems."""

    file: WorkshopFile
    sound: bool


def shop_of(
    parts: Path,
    given: Path | None,
    book: Mapping[str, RawFile],
    files: Files,
    other: Mapping[str, Mapping[str, str]] | None = None,
    places: Mapping[str, str] | None = None,
) -> Shop:
    """The workshop of a list; the defaults where its file could not be read. ``other`` are keys said otherwise."""
    problems: list[Problem] = []
    name, folder, from_file = "", parts.parent, False
    document: dict[str, Any] = {}
    where: dict[str, str] = {}
    try:
        own = read_settings(book, files.workshop) if given is None else None
        if own:
            name, document, where = own
        elif path := find_workshop(parts, given):
            raw = load_workshop(path)
            files.note("workshop", raw)
            name, document, folder, from_file = raw.name, read_document(raw), path.parent, True
    except ProblemsFound as found:
        files.workshop.add_all(found)
        return Shop(WorkshopFile(workshop=Workshop()), False)
    for table, keys in (other or {}).items():
        document = {**document, table: {**document.get(table, {}), **keys}}
    there = {**where, **(places or {})}
    shop = settings(name, document, problems, folder=folder, places=there, from_file=from_file)
    for problem in problems:
        files.workshop.add(0, problem)
    return Shop(shop, not files.workshop.problems)
