"""All files of a job together: what each needs of the others, and what only the whole can know."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Unpack

from cutplan.model import InputFile, Job, Offcut, Part, StockLength, Workshop
from cutplan.problems import Problem, ProblemsFound
from cutplan.reading.assumptions import BASICS, assumptions, basics
from cutplan.reading.crosscheck import bars_of, check_sources, check_standards
from cutplan.reading.grades_serving import name_serving
from cutplan.reading.job_files import ROLES, Beside, Files, Shop, holes_file, ledger_of, paths_in, shop_of
from cutplan.reading.jobbook import (
    ASSEMBLIES_SHEET,
    HOLES_SHEET,
    PARTS_SHEET,
    PRICES_SHEET,
    RACK_SHEET,
    open_book,
    warn_of_unread,
)
from cutplan.reading.lists.ditto import Repeat
from cutplan.reading.lists.holes_sheet import HolesRead, read_holes
from cutplan.reading.lists.parts import PartsRead, read_parts
from cutplan.reading.lists.prices import PricesRead, read_prices
from cutplan.reading.lists.rack_list import RackRead, read_rack
from cutplan.reading.lists.stock import Stock, read_stock, stock_offers
from cutplan.reading.merchant_terms import shop_with, warn_of_terms, with_charges
from cutplan.reading.oddities import warn_about_oddities
from cutplan.reading.offcut_values import check_offcut_value
from cutplan.reading.saws import dealt_told, name_saws
from cutplan.reading.sheets.findings import Findings, in_order
from cutplan.reading.sheets.raw_cells import RawFile, Sheet
from cutplan.reading.sheets.tables import Table
from cutplan.reading.workshop.workshop_file import WorkshopFile

NO_STOCK = "a price list, named on the command line or by files.prices in the workshop file, or a stock length"
SAY_STOCK = (
    'say --stock "6 m" with a length that can be bought; '
    "in a workbook of a whole job, fill in Stock lengths on the sheet Workshop, or the sheet Prices"
)

OnHand = tuple[InputFile, tuple[Offcut, ...]]
"""What a ledger offers to a parts list, and what it said, as a file is noted: role ``ledger``."""
LedgerReader = Callable[[Path, Workshop, str, Sequence[Part]], OnHand]
"""Gives what the ledger at a path offers to a job of this name and these parts."""


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


def read_job(parts: Path, *, ledger: LedgerReader | None = None, alone: bool = True, **beside: Unpack[Beside]) -> Job:
    """Read a parts list and all that belongs to it.

    Parameters
    ----------
    parts
        Parts list, csv or xlsx. A workbook may hold the prices, the rack and the workshop too, on sheets named so.
    ledger
        Reads the rack's ledger, which is the rack once it is there; the rack file that the workshop file names is then
        not read. A rack file given and a rack sheet go before it; the one given may be a ledger.
    alone
        False for one of several lists: a stock length named for a section may then be meant for another of them.
    beside
        As :class:`~cutplan.reading.job_files.Beside` tells.

    Returns
    -------
    Job
        Files are named without their folders: the same input gives the same Job wherever it lies.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with the input, placed, in the order workshop, parts, holes, prices, rack.
    """
    return read_files(parts, ledger=ledger, alone=alone, **beside).job


def read_files(
    parts: Path, *, ledger: LedgerReader | None = None, alone: bool = True, **beside: Unpack[Beside]
) -> JobRead:
    """As :func:`read_job`, with what the files said."""
    files = Files()
    raw = files.load("parts", parts, files.parts)
    book = open_book(raw) if raw else {}
    if book:
        warn_of_unread(book, files.parts)
    shop = shop_of(parts, paths_in(beside).workshop, book, files)
    return _read(parts, book, shop, files, beside, ledger=ledger, alone=alone)


def read_typed(
    name: str,
    typed: Sheet,
    *,
    folder: Path,
    settings: Mapping[str, Mapping[str, str]],
    places: Mapping[str, str],
    **beside: Unpack[Beside],
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
    beside
        As for :func:`read_job`.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with the input.
    """
    files = Files()
    raw = RawFile(name=typed.file, data=b"", sheets=(typed,))
    shop = shop_of(folder / name, paths_in(beside).workshop, {}, files, settings, places)
    return _read(folder / name, {PARTS_SHEET: raw}, shop, files, beside, basics_first=True)


@dataclass(slots=True, kw_only=True)
class _Lists:
    """What the lists of a job gave, sound or not.

    ``shop`` is the workshop file with what price lists say that merchants charge, ``ledger`` the file of the one that
    is the rack. ``stock`` are the stock lengths as they were typed, ``lengths`` as they were read. With ``nothing``
    there is no list and no length to cut from.
    """

    shop: WorkshopFile
    parts: PartsRead
    holes: HolesRead
    prices: PricesRead
    rack: RackRead
    stock: tuple[str, ...]
    lengths: Sequence[Stock]
    ledger: Path | None
    nothing: bool


def _read(
    parts: Path,
    book: Mapping[str, RawFile],
    shop: Shop,
    files: Files,
    beside: Beside,
    *,
    ledger: LedgerReader | None = None,
    basics_first: bool = False,
    alone: bool = True,
) -> JobRead:
    lists = _lists(parts, book, shop, files, beside, ledger)
    if shop.sound:
        _check(lists, parts.name, PARTS_SHEET in book, bool(beside.get("stock")) and alone, files)
    problems = [problem for findings in files.all_findings() for problem in in_order(findings.problems)]
    if problems:
        raise ProblemsFound(dict.fromkeys(problems))
    warn_of_terms(shop.file, lists.prices, files.workshop)  # whose merchants are the blocks of the file, in turn
    workshop = lists.shop.workshop
    warn_about_oddities(lists.parts, bars_of(lists.prices, lists.rack, workshop), workshop, files.parts)
    job = _job(parts.stem, lists, files, basics_first=basics_first)
    return _with_what_was_said(job, lists, book, beside)


def _lists(
    parts: Path, book: Mapping[str, RawFile], shop: Shop, files: Files, beside: Beside, ledger: LedgerReader | None
) -> _Lists:
    """Each list in turn, with what it needs of those before it."""
    _, prices, rack, holes = paths_in(beside)
    quotes, said = beside.get("quotes", ()), beside.get("stock", ())
    settled = shop.file
    stock = ((said,) if isinstance(said, str) else tuple(said)) or settled.stock
    prices_raw, prices_missing = (
        (None, True) if quotes else files.list_of("prices", prices, book.get(PRICES_SHEET), settled, files.prices)
    )
    kept = ledger_of(rack, book, settled) if ledger else None
    rack_raw, rack_missing = (
        files.list_of("rack", rack, book.get(RACK_SHEET), settled, files.rack) if kept is None else (None, False)
    )
    if prices_raw:
        on_sale = read_prices(prices_raw, settled.workshop, files.prices, settled.repeat)
    elif quotes:
        on_sale = _quoted(quotes, settled.workshop, files)
    else:
        on_sale = PricesRead(unclear=prices_missing)
    settled = shop_with(settled, on_sale.charges, files.prices)
    workshop = settled.workshop
    on_hand = read_rack(rack_raw, workshop, files.rack, settled.repeat) if rack_raw else RackRead(unclear=rack_missing)
    wanted = PartsRead()
    if parts_raw := book.get(PARTS_SHEET):
        sections = [*(offer.section for offer in on_sale.offers), *(offcut.section for offcut in on_hand.offcuts)]
        names = list(dict.fromkeys(section.designation for section in sections))
        only, times = beside.get("sheet", ""), beside.get("times", 0)
        wanted = read_parts(
            parts_raw, workshop, names, files.parts, book.get(ASSEMBLIES_SHEET), settled.repeat, only, times
        )
    holes_raw = holes_file(parts, holes, book.get(HOLES_SHEET), files)
    drilled = read_holes(holes_raw, workshop, wanted, files.holes, files.parts)
    if ledger and kept and shop.sound and wanted.lines:
        on_hand = _from_ledger(ledger, kept, parts.stem, wanted, workshop, files)
    name_serving(wanted, [*on_sale.offers, *on_hand.offcuts], workshop, files.parts)
    if shop.sound:  # or saws that could not be read are said not to be there
        name_saws(wanted, workshop, files.parts)
    return _Lists(
        shop=settled,
        parts=wanted,
        holes=drilled,
        prices=on_sale,
        rack=on_hand,
        stock=stock,
        lengths=read_stock(stock, workshop, files.stock),
        ledger=kept,
        nothing=not (prices_raw or prices_missing or rack_raw or rack_missing or kept or stock),
    )


def _check(lists: _Lists, name: str, parts_are_there: bool, for_this_job: bool, files: Files) -> None:
    """What only the whole can know; stock lengths that are typed become offers. ``name`` is that of the parts list.

    Typed ``for_this_job`` alone, a stock length is to be of use in it.
    """
    if parts_are_there and lists.nothing:
        files.parts.add_statement(
            0, name, "no price list and no stock length to cut from", NO_STOCK, SAY_STOCK, code="list.no_price"
        )
        return
    workshop, unclear = lists.shop.workshop, bool(files.stock.problems)
    lists.prices.offers.extend(
        stock_offers(lists.lengths, lists.parts.lines, lists.prices, workshop, files.stock, for_this_job=for_this_job)
    )
    check_standards(lists.parts, files.parts)
    if not unclear:
        check_sources(lists.parts, lists.prices, lists.rack, workshop, files.parts)
    check_offcut_value(lists.parts, lists.prices, lists.shop, files.workshop)


def _job(name: str, lists: _Lists, files: Files, *, basics_first: bool) -> Job:
    silenced = files.parts.silence(lists.parts.looked_at)
    shop = replace(lists.shop, given=lists.shop.given | (BASICS if basics_first else set()))
    told = assumptions(shop, lists.parts, lists.prices, lists.rack, lists.holes)
    if basics_first:
        told = (*basics(lists.shop, lists.lengths, lists.prices), *told)
    job = Job(
        name=name,
        parts=tuple(_as_counted(line.part, lists.parts.table) for line in lists.parts.lines),
        offers=tuple(lists.prices.offers),
        offcuts=tuple(lists.rack.offcuts),
        others=lists.parts.others,
        workshop=shop.workshop,
        files=tuple(sorted(files.digests, key=lambda file: ROLES.index(file.role))),
        assumptions=told,
        warnings=tuple(warning for findings in files.all_findings() for warning in findings.told()),
        silenced=silenced,
    )
    return replace(job, assumptions=(*told, *dealt_told(job))) if shop.workshop.saws else job


def _with_what_was_said(job: Job, lists: _Lists, book: Mapping[str, RawFile], beside: Beside) -> JobRead:
    _, prices, rack, _ = paths_in(beside)
    shop = lists.shop
    tables = {
        "parts": lists.parts.table,
        "prices": lists.prices.table,
        "rack": lists.rack.table,
        "holes": lists.holes.table,
    }
    paths = {"prices": prices or shop.prices, "rack": lists.ledger or rack or shop.rack}
    own = {"prices": prices is None and PRICES_SHEET in book, "rack": rack is None and RACK_SHEET in book}
    return JobRead(
        job=job,
        shop=shop,
        tables={role: table for role, table in tables.items() if table},
        paths={role: path for role, path in paths.items() if path and not own[role]},
        stock=lists.stock,
        assemblies=book.get(ASSEMBLIES_SHEET),
    )


def _quoted(quotes: Sequence[Path | str], workshop: Workshop, files: Files) -> PricesRead:
    """What several price lists offer at a price, as one; the id of an offer begins with the place of its list."""
    together, names = PricesRead(), {merchant.name.casefold(): merchant.name for merchant in workshop.merchants}

    def named(merchant: str) -> str:
        return names.setdefault(merchant.casefold(), merchant)

    for place, path in enumerate(quotes, 1):
        raw = files.load("prices", Path(path), files.prices)
        read = read_prices(raw, workshop, files.prices) if raw else PricesRead(unclear=True)
        priced = (offer for offer in read.offers if offer.bar_price is not None)
        together.offers += [replace(offer, id=f"{place}{offer.id}", merchant=named(offer.merchant)) for offer in priced]
        together.spoiled |= read.spoiled
        together.unclear |= read.unclear
        together.charges += [replace(each, merchant=named(each.merchant)) for each in read.charges]
    return together


def _as_counted(part: Part, table: Table | None) -> Part:
    """With its row as its own sheet counts it, where several sheets are one list."""
    return replace(part, row=table.own(part.row)[1]) if table and table.stacked else part


def _from_ledger(
    ledger: LedgerReader, path: Path, job: str, wanted: PartsRead, workshop: Workshop, files: Files
) -> RackRead:
    try:
        noted, offcuts = ledger(path, workshop, job, [line.part for line in wanted.lines])
    except ProblemsFound as found:
        files.rack.add_all(found)
        return RackRead(unclear=True)
    files.digests.append(noted)
    return RackRead(offcuts=list(offcuts), ledger=noted.name)


def read_offers(prices: Path, workshop: Workshop) -> tuple[StockLength, ...]:
    """The offers of a further price list; as :func:`read_answers`, of which they are a part."""
    return tuple(read_answers(prices, workshop).offers)


def read_further(prices: Path, workshop: Workshop) -> tuple[tuple[StockLength, ...], Workshop, tuple[Problem, ...]]:
    """The offers of a further price list, the workshop with the charges that it says, and what the list is warned of;
    as :func:`read_answers`.
    """
    read, findings = read_answers(prices, workshop), Findings()
    changed = with_charges(workshop, read.charges, findings)
    if findings.problems:
        raise ProblemsFound(in_order(findings.problems))
    return tuple(read.offers), changed, (*read.warnings, *findings.told())


def read_answers(prices: Path, workshop: Workshop, repeat: Repeat = Repeat.NO) -> PricesRead:
    """Everything that a further price list gives, as the workshop given would read it.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with the list, placed.
    """
    files = Files()
    raw = files.load("prices", prices, files.prices)
    read = read_prices(raw, workshop, files.prices, repeat) if raw else PricesRead()
    if files.prices.problems:
        raise ProblemsFound(in_order(files.prices.problems))
    return replace(read, warnings=tuple(files.prices.told()))


def warnings_of_prices(prices: Path, shop: WorkshopFile) -> tuple[Problem, ...]:
    """What a price list that is sound is warned of, read as the one of a job.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with the list, placed.
    """
    return read_answers(prices, shop.workshop, shop.repeat).warnings


def read_wanted(parts: Path, workshop: Path | None) -> tuple[WorkshopFile, tuple[Part, ...]]:
    """The parts of a list and its workshop, with nothing asked about what they could be cut from.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with either.
    """
    files = Files()
    raw = files.load("parts", parts, files.parts)
    book = open_book(raw) if raw else {}
    shop = shop_of(parts, workshop, book, files)
    wanted = PartsRead()
    if raw:
        sheets = (book[PARTS_SHEET], book.get(ASSEMBLIES_SHEET))
        wanted = read_parts(sheets[0], shop.file.workshop, (), files.parts, sheets[1], shop.file.repeat, times=1)
    problems = [problem for findings in files.all_findings() for problem in in_order(findings.problems)]
    if problems:
        raise ProblemsFound(problems)
    return shop.file, tuple(line.part for line in wanted.lines)


def read_drawn(parts: Path, holes: Path | None) -> tuple[tuple[Part, ...], Workshop]:
    """The sound parts of a list with their holes, whatever is wrong with its other rows, and its workshop."""
    files = Files()
    raw = files.load("parts", parts, files.parts)
    book = open_book(raw) if raw else {}
    shop = shop_of(parts, None, book, files).file
    wanted = PartsRead()
    if raw:
        sheets = (book[PARTS_SHEET], book.get(ASSEMBLIES_SHEET))
        wanted = read_parts(sheets[0], shop.workshop, (), files.parts, sheets[1], shop.repeat, times=1)
        holes_raw = holes_file(parts, holes, book.get(HOLES_SHEET), files)
        read_holes(holes_raw, shop.workshop, wanted, files.holes, files.parts)
    return tuple(line.part for line in wanted.lines), shop.workshop
