"""All files of a job together: what each needs of the others, and what only the whole can know."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from os.path import exists, isfile  # a name that is too long is none that is there
from pathlib import Path
from typing import Any

from cutplan.model import InputFile, Job, Offcut, Part, StockLength, Workshop
from cutplan.problems import Problem, ProblemsFound
from cutplan.reading.assumptions import BASICS, assumptions, basics
from cutplan.reading.crosscheck import bars_of, check_sources, check_standards
from cutplan.reading.jobbook import (
    ASSEMBLIES_SHEET,
    HOLES_SHEET,
    PARTS_SHEET,
    PRICES_SHEET,
    RACK_SHEET,
    open_book,
    read_settings,
    warn_of_unread,
)
from cutplan.reading.lists.holes_sheet import read_holes
from cutplan.reading.lists.parts import PartsRead, read_parts
from cutplan.reading.lists.prices import PricesRead, read_prices
from cutplan.reading.lists.rack_list import RackRead, read_rack
from cutplan.reading.lists.stock import read_stock, stock_offers
from cutplan.reading.oddities import warn_about_oddities
from cutplan.reading.offcut_values import check_offcut_value
from cutplan.reading.sheets.findings import Findings, in_order
from cutplan.reading.sheets.raw_cells import RawFile, Sheet, load_file
from cutplan.reading.sheets.tables import Table
from cutplan.reading.workshop.workshop_file import WorkshopFile, find_workshop, load_workshop, read_document, settings

ROLES = ("workshop", "parts", "holes", "prices", "rack", "ledger")
"""Files of a job, in the order in which they and their problems are told."""
NO_STOCK = "a price list, named on the command line or by files.prices in the workshop file, or a stock length"
SAY_STOCK = (
    'say --stock "6 m" with a length that can be bought; '
    "in a workbook of a whole job, fill in Stock lengths on the sheet Workshop, or the sheet Prices"
)

OnHand = tuple[InputFile, tuple[Offcut, ...]]
"""What a ledger offers to a parts list, and what it said, as a file is noted: role ``ledger``."""
LedgerReader = Callable[[Path, Workshop, str, Sequence[Part]], OnHand]
"""Gives what the ledger at a path offers to a job of this name and these parts."""
_SQLITE = b"SQLite format 3\x00"


@dataclass(slots=True)
class _Files:
    """What was read of each file, in the order in which problems are told."""

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
        """In the order in which problems are told."""
        return (self.workshop, self.parts, self.holes, self.prices, self.rack, self.stock)


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRead:
    """A job, and what its files said, so that it can be written down in another form.

    ``tables`` are the lists it was read from, by role: parts, prices, rack, holes; ``paths`` the files of price list
    and rack where these lie in one of their own. ``stock`` are the stock lengths in use, ``assemblies`` the sheet of
    assemblies, where there is one.
    """

    job: Job
    shop: WorkshopFile
    tables: dict[str, Table]
    paths: dict[str, Path]
    stock: tuple[str, ...]
    assemblies: RawFile | None = None


def read_job(
    parts: Path,
    *,
    workshop: Path | None = None,
    prices: Path | None = None,
    rack: Path | None = None,
    holes: Path | None = None,
    stock: Sequence[str] = (),
    ledger: LedgerReader | None = None,
    alone: bool = True,
    sheet: str = "",
    times: int = 0,
) -> Job:
    """Read a parts list and all that belongs to it.

    Parameters
    ----------
    parts
        Parts list, csv or xlsx. A workbook may hold the prices, the rack and the workshop too, on sheets named so.
    workshop
        Workshop file; without it, the workbook's own; without that, the ``workshop*.toml`` of the nearest folder from
        the list's own upwards that holds one; without any, the defaults.
    prices, rack
        Price list and rack file, csv or xlsx; without them, the workbook's own; without those, the ones the workshop
        file names.
    holes
        File with the sheet of holes, csv or xlsx; without it, the workbook's own, or the file of the list's name with
        ``-holes`` behind it.
    stock
        Stock lengths without a price: ``6 m`` for every section that the price list does not offer, or
        ``SHS 40x40x3: 6 m, 7.5 m`` for one section; without any, those of the workshop.
    ledger
        Reads the rack's ledger, which is the rack once it is there; the rack file that the workshop file names is then
        not read. A rack file given and a rack sheet go before it; the one given may be a ledger.
    alone
        False for one of several lists: a stock length named for a section may then be meant for another of them.
    sheet
        Of a workbook with several sheets of parts, the one to read; blank for all of them, as one list.
    times
        How often the whole list is made; 0 where nobody has said, and a title that says a number is then asked about.

    Returns
    -------
    Job
        Files are named without their folders: the same input gives the same Job wherever it lies.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with the input, placed, in the order workshop, parts, holes, prices, rack.
    """
    return read_files(
        parts,
        workshop=workshop,
        prices=prices,
        rack=rack,
        holes=holes,
        stock=stock,
        ledger=ledger,
        alone=alone,
        sheet=sheet,
        times=times,
    ).job


def read_files(
    parts: Path,
    *,
    workshop: Path | None = None,
    prices: Path | None = None,
    rack: Path | None = None,
    holes: Path | None = None,
    stock: Sequence[str] = (),
    ledger: LedgerReader | None = None,
    alone: bool = True,
    sheet: str = "",
    times: int = 0,
) -> JobRead:
    """As :func:`read_job`, with what the files said."""
    files = _Files()
    raw = files.load("parts", parts, files.parts)
    book = open_book(raw) if raw else {}
    if book:
        warn_of_unread(book, files.parts)
    shop = _workshop(parts, workshop, book, files)
    return _read(
        parts,
        book,
        shop,
        files,
        prices=prices,
        rack=rack,
        holes=holes,
        stock=stock,
        ledger=ledger,
        alone=alone,
        only=sheet,
        times=times,
    )


def read_typed(
    name: str,
    sheet: Sheet,
    *,
    folder: Path,
    settings: Mapping[str, Mapping[str, str]],
    places: Mapping[str, str],
    workshop: Path | None = None,
    prices: Path | None = None,
    stock: Sequence[str] = (),
) -> JobRead:
    """A job whose parts were typed on the spot, and are given as a sheet.

    Parameters
    ----------
    name
        Of the job.
    folder
        Where it was typed: the workshop file is looked for from here upwards.
    settings, places
        Keys of the workshop file said otherwise on the spot, by table, and where they stand.
    workshop, prices, stock
        As for :func:`read_job`.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with the input.
    """
    files = _Files()
    raw = RawFile(name=sheet.file, data=b"", sheets=(sheet,))
    shop = _workshop(folder / name, workshop, {}, files, settings, places)
    return _read(
        folder / name,
        {PARTS_SHEET: raw},
        shop,
        files,
        prices=prices,
        rack=None,
        holes=None,
        stock=stock,
        basics_first=True,
    )


def _read(
    parts: Path,
    book: Mapping[str, RawFile],
    shop: _Shop,
    files: _Files,
    *,
    prices: Path | None,
    rack: Path | None,
    holes: Path | None,
    stock: Sequence[str],
    ledger: LedgerReader | None = None,
    basics_first: bool = False,
    alone: bool = True,
    only: str = "",
    times: int = 0,
) -> JobRead:
    settled = shop.file
    workshop = settled.workshop
    prices_raw, prices_missing = files.list_of("prices", prices, book.get(PRICES_SHEET), settled, files.prices)
    kept = _ledger(rack, book, settled) if ledger else None
    rack_raw, rack_missing = (
        files.list_of("rack", rack, book.get(RACK_SHEET), settled, files.rack) if kept is None else (None, False)
    )
    parts_raw = book.get(PARTS_SHEET)
    lengths_typed = tuple(stock) or settled.stock

    on_sale = (
        read_prices(prices_raw, workshop, files.prices, settled.repeat)
        if prices_raw
        else PricesRead(unclear=prices_missing)
    )
    on_hand = read_rack(rack_raw, workshop, files.rack, settled.repeat) if rack_raw else RackRead(unclear=rack_missing)
    offered = [offer.section.designation for offer in on_sale.offers]
    offered += [offcut.section.designation for offcut in on_hand.offcuts]
    wanted = PartsRead()
    if parts_raw:
        names = list(dict.fromkeys(offered))
        wanted = read_parts(
            parts_raw, workshop, names, files.parts, book.get(ASSEMBLIES_SHEET), settled.repeat, only, times
        )
    holes_raw = _holes(parts, holes, book.get(HOLES_SHEET), files)
    drilled = read_holes(holes_raw, workshop, wanted, files.holes, files.parts)
    if ledger and kept and shop.sound and wanted.lines:
        on_hand = _from_ledger(ledger, kept, parts.stem, wanted, workshop, files)
    lengths = read_stock(lengths_typed, workshop, files.stock)
    stock_unclear = bool(files.stock.problems)

    nothing = not (prices_raw or prices_missing or rack_raw or rack_missing or kept or lengths_typed)
    if parts_raw and nothing and shop.sound:
        files.parts.add_statement(
            0, parts.name, "no price list and no stock length to cut from", NO_STOCK, SAY_STOCK, code="list.no_price"
        )
    elif shop.sound:
        stock_lengths = stock_offers(
            lengths, wanted.lines, on_sale, workshop, files.stock, for_this_job=bool(stock) and alone
        )
        on_sale.offers.extend(stock_lengths)
        check_standards(wanted, files.parts)
        if not stock_unclear:
            check_sources(wanted, on_sale, on_hand, workshop, files.parts)
        check_offcut_value(wanted, on_sale, settled, files.workshop)

    problems = [problem for findings in files.all_findings() for problem in in_order(findings.problems)]
    if problems:
        raise ProblemsFound(dict.fromkeys(problems))
    warn_about_oddities(wanted, bars_of(on_sale, on_hand, workshop), workshop, files.parts)
    silenced = files.parts.silence(wanted.looked_at)
    told = assumptions(
        replace(settled, given=settled.given | (BASICS if basics_first else set())), wanted, on_sale, on_hand, drilled
    )
    if basics_first:
        told = (*basics(settled, lengths, on_sale), *told)
    job = Job(
        name=parts.stem,
        parts=tuple(_as_counted(line.part, wanted.table) for line in wanted.lines),
        offers=tuple(on_sale.offers),
        offcuts=tuple(on_hand.offcuts),
        others=wanted.others,
        workshop=workshop,
        files=tuple(sorted(files.digests, key=lambda file: ROLES.index(file.role))),
        assumptions=told,
        warnings=tuple(warning for findings in files.all_findings() for warning in findings.told()),
        silenced=silenced,
    )
    tables = {"parts": wanted.table, "prices": on_sale.table, "rack": on_hand.table, "holes": drilled.table}
    paths = {"prices": prices or settled.prices, "rack": kept or rack or settled.rack}
    own = {"prices": prices is None and PRICES_SHEET in book, "rack": rack is None and RACK_SHEET in book}
    return JobRead(
        job=job,
        shop=settled,
        tables={role: table for role, table in tables.items() if table},
        paths={role: path for role, path in paths.items() if path and not own[role]},
        stock=lengths_typed,
        assemblies=book.get(ASSEMBLIES_SHEET),
    )


def _as_counted(part: Part, table: Table | None) -> Part:
    """With its row as its own sheet counts it, where several sheets are one list."""
    return replace(part, row=table.own(part.row)[1]) if table and table.stacked else part


def _ledger(given: Path | None, book: Mapping[str, RawFile], shop: WorkshopFile) -> Path | None:
    """The ledger that is the rack: the file given where it is one, else the workshop's where there is one."""
    try:
        if given is None:
            return shop.ledger if RACK_SHEET not in book and shop.ledger.exists() else None
        with given.open("rb") as file:
            return given if file.read(len(_SQLITE)) == _SQLITE else None
    except (OSError, ValueError):
        return None  # told when the file is read


def _from_ledger(
    ledger: LedgerReader, path: Path, job: str, wanted: PartsRead, workshop: Workshop, files: _Files
) -> RackRead:
    try:
        noted, offcuts = ledger(path, workshop, job, [line.part for line in wanted.lines])
    except ProblemsFound as found:
        files.rack.add_all(found)
        return RackRead(unclear=True)
    files.digests.append(noted)
    return RackRead(offcuts=list(offcuts), ledger=noted.name)


def read_offers(prices: Path, workshop: Workshop) -> tuple[StockLength, ...]:
    """The offers of a further price list, as the workshop given would read them.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with the list, placed.
    """
    files = _Files()
    raw = files.load("prices", prices, files.prices)
    read = read_prices(raw, workshop, files.prices) if raw else PricesRead()
    if files.prices.problems:
        raise ProblemsFound(in_order(files.prices.problems))
    return tuple(read.offers)


def read_wanted(parts: Path, workshop: Path | None) -> tuple[WorkshopFile, tuple[Part, ...]]:
    """The parts of a list and its workshop, with nothing asked about what they could be cut from.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with either.
    """
    files = _Files()
    raw = files.load("parts", parts, files.parts)
    book = open_book(raw) if raw else {}
    shop = _workshop(parts, workshop, book, files)
    wanted = PartsRead()
    if raw:
        sheets = (book[PARTS_SHEET], book.get(ASSEMBLIES_SHEET))
        wanted = read_parts(sheets[0], shop.file.workshop, (), files.parts, sheets[1], shop.file.repeat, times=1)
    problems = [problem for findings in files.all_findings() for problem in in_order(findings.problems)]
    if problems:
        raise ProblemsFound(problems)
    return shop.file, tuple(line.part for line in wanted.lines)


WORKBOOKS = (".xlsx", ".xlsm")
"""Names of workbooks end with one of these."""


def workshop_of(near: Path, given: Path | None) -> WorkshopFile:
    """The workshop file given, a workbook's own, or the one found from a file's folder upwards; else the defaults.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with it.
    """
    files = _Files()
    book = open_book(load_file(near)) if near.suffix.lower() in WORKBOOKS and near.is_file() else {}
    shop = _workshop(near, given, book, files)
    if files.workshop.problems:
        raise ProblemsFound(in_order(files.workshop.problems))
    return shop.file


def _holes(parts: Path, given: Path | None, own: RawFile | None, files: _Files) -> RawFile | None:
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
class _Shop:
    """What the workshop says, and whether it was without problems."""

    file: WorkshopFile
    sound: bool


def _workshop(
    parts: Path,
    given: Path | None,
    book: Mapping[str, RawFile],
    files: _Files,
    other: Mapping[str, Mapping[str, str]] | None = None,
    places: Mapping[str, str] | None = None,
) -> _Shop:
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
        return _Shop(WorkshopFile(workshop=Workshop()), False)
    for table, keys in (other or {}).items():
        document = {**document, table: {**document.get(table, {}), **keys}}
    there = {**where, **(places or {})}
    shop = settings(name, document, problems, folder=folder, places=there, from_file=from_file)
    for problem in problems:
        files.workshop.add(0, problem)
    return _Shop(shop, not files.workshop.problems)
