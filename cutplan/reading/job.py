"""All files of a job together: what each needs of the others, and what only the whole can know."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from cutplan.model import InputFile, Job, StockLength, Workshop
from cutplan.problems import Problem, ProblemsFound
from cutplan.reading.assumptions import assumptions
from cutplan.reading.crosscheck import check_offcut_value, check_sources, check_standards
from cutplan.reading.parts import PartsRead, read_parts
from cutplan.reading.prices import PricesRead, read_prices
from cutplan.reading.rack import RackRead, read_rack
from cutplan.reading.sheets import RawFile, load_file
from cutplan.reading.stock import read_stock, stock_offers
from cutplan.reading.tables import Findings, in_order
from cutplan.reading.workshop import LEDGER, WorkshopFile, find_workshop, read_workshop

NO_STOCK = "a price list, named on the command line or by files.prices in the workshop file, or a stock length"


@dataclass(slots=True)
class _Files:
    """What was read of each file, in the order in which problems are told."""

    digests: list[InputFile] = field(default_factory=list)
    workshop: Findings = field(default_factory=Findings)
    parts: Findings = field(default_factory=Findings)
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

    def note(self, role: str, raw: RawFile) -> None:
        """Keep the digest of a file that was read."""
        self.digests.append(InputFile(role=role, name=raw.name, sha256=raw.sha256))

    def all_findings(self) -> tuple[Findings, ...]:
        """In the order in which problems are told."""
        return (self.workshop, self.parts, self.prices, self.rack, self.stock)


def read_job(
    parts: Path,
    *,
    workshop: Path | None = None,
    prices: Path | None = None,
    rack: Path | None = None,
    stock: Sequence[str] = (),
) -> Job:
    """Read a parts list and all that belongs to it.

    Parameters
    ----------
    parts
        Parts list, csv or xlsx.
    workshop
        Workshop file; without it, the ``workshop*.toml`` of the nearest folder from the list's own upwards that
        holds one; without any, the defaults.
    prices, rack
        Price list and rack file, csv or xlsx; without them, those the workshop file names.
    stock
        Stock lengths without a price: ``6 m`` for every section that the price list does not offer, or
        ``SHS 40x40x3: 6 m, 7.5 m`` for one section.

    Returns
    -------
    Job
        Files are named without their folders: the same input gives the same Job wherever it lies.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with the input, placed, in the order workshop, parts, prices, rack.
    """
    files = _Files()
    shop, shop_sound = _workshop(parts, workshop, files)
    parts_raw = files.load("parts", parts, files.parts)
    prices_path, prices_where = (prices, "") if prices else (shop.prices, shop.key("files.prices"))
    rack_path, rack_where = (rack, "") if rack else (shop.rack, shop.key("files.rack"))
    prices_raw = files.load("prices", prices_path, files.workshop if prices_where else files.prices, prices_where)
    rack_raw = files.load("rack", rack_path, files.workshop if rack_where else files.rack, rack_where)

    on_sale = (
        read_prices(prices_raw, shop.workshop, files.prices) if prices_raw else PricesRead(unclear=bool(prices_path))
    )
    on_hand = read_rack(rack_raw, shop.workshop, files.rack) if rack_raw else RackRead(unclear=bool(rack_path))
    offered = [offer.section.designation for offer in on_sale.offers]
    offered += [offcut.section.designation for offcut in on_hand.offcuts]
    wanted = (
        read_parts(parts_raw, shop.workshop, list(dict.fromkeys(offered)), files.parts) if parts_raw else PartsRead()
    )
    lengths = read_stock(stock, shop.workshop, files.stock)
    stock_unclear = bool(files.stock.problems)

    if parts_raw and not (prices_path or rack_path or stock) and shop_sound:
        files.parts.add_statement(0, parts.name, "no price list and no stock length to cut from", NO_STOCK)
    elif shop_sound:
        stock_lengths = stock_offers(lengths, wanted.lines, on_sale, shop.workshop, files.stock)
        on_sale.offers.extend(stock_lengths)
        check_standards(wanted, files.parts)
        if not stock_unclear:
            check_sources(wanted, on_sale, on_hand, shop.workshop, files.parts)
        check_offcut_value(on_sale, on_hand, shop, files.workshop)

    problems = [problem for findings in files.all_findings() for problem in in_order(findings.problems)]
    if problems:
        raise ProblemsFound(problems)
    return Job(
        name=parts.stem,
        parts=tuple(line.part for line in wanted.lines),
        offers=tuple(on_sale.offers),
        offcuts=tuple(on_hand.offcuts),
        workshop=shop.workshop,
        files=tuple(files.digests),
        assumptions=assumptions(shop, wanted, on_sale, on_hand),
        warnings=tuple(warning for findings in files.all_findings() for warning in in_order(findings.warnings)),
    )


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


def workshop_of(near: Path, given: Path | None) -> WorkshopFile:
    """The workshop file given, or the one found from the folder of a file upwards; the defaults where there is none.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with it.
    """
    files = _Files()
    shop, _ = _workshop(near, given, files)
    if files.workshop.problems:
        raise ProblemsFound(in_order(files.workshop.problems))
    return shop


def _workshop(parts: Path, given: Path | None, files: _Files) -> tuple[WorkshopFile, bool]:
    """The workshop, and whether its file was without problems; the defaults where it was not readable."""
    try:
        path = find_workshop(parts, given)
        if path is None:
            return WorkshopFile(ledger=parts.parent / LEDGER), True
        problems: list[Problem] = []
        raw, shop = read_workshop(path, problems)
    except ProblemsFound as found:
        files.workshop.add_all(found)
        return WorkshopFile(workshop=Workshop()), False
    files.note("workshop", raw)
    for problem in problems:
        files.workshop.add(0, problem)
    return shop, not problems
