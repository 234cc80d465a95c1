"""The price list: stock lengths on offer."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import lru_cache, partial
from typing import Any

from cutplan.model import Basis, StockLength, Workshop, bar_price, price_as_typed
from cutplan.problems import Problem, ProblemsFound, Refused
from cutplan.reading.lists.ditto import Repeat, repeat_above
from cutplan.reading.lists.material import Material, MaterialReader
from cutplan.reading.lists.merchant_charges import Charges, read_charges, unlisted
from cutplan.reading.lists.price_columns import MAX_PRICE, NOT_SOLD, OWN_COLUMNS, PRICES
from cutplan.reading.reason import DEAR_HINT, price_fault
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.headings import BASIS_FORMS, read_basis
from cutplan.reading.sheets.own_columns import values_of
from cutplan.reading.sheets.raw_cells import RawFile
from cutplan.reading.sheets.table_search import read_table, sheets_of
from cutplan.reading.sheets.tables import Row, Table, length_reader
from cutplan.reading.sheets.unit_checks import currency_problem, warn_about_lengths
from cutplan.units import LENGTH_FORMS, MONEY_FORMS, length_text, money_text

ANSWERS = ("Length", "Price", "Available")
"""Headings of which a row that is an offer has something under one at least; a form names the merchant beforehand."""


@dataclass(slots=True)
class PricesRead:
    """Everything the price list gave.

    ``spoiled`` are materials of rows with a problem; with ``unclear`` a row's material itself could not be read.
    What no offer answers can then be the problem's fault, and is not named. ``merchants`` are all that it names, also
    where they have not answered or do not sell what was asked for; ``unanswered`` and ``unsold`` count such rows.
    ``charges`` are what they charge beside, where the file says it. ``warnings`` are those of a list read by itself.
    """

    table: Table | None = None
    offers: list[StockLength] = field(default_factory=list)
    merchants: set[str] = field(default_factory=set)
    spoiled: set[tuple[str, str]] = field(default_factory=set)
    unclear: bool = False
    unanswered: int = 0
    unsold: int = 0
    charges: list[Charges] = field(default_factory=list)
    warnings: tuple[Problem, ...] = ()


def read_prices(file: RawFile, workshop: Workshop, findings: Findings, repeat: Repeat = Repeat.NO) -> PricesRead:
    """Read the price list; sound rows become offers, the rest goes to ``findings``."""
    opened = _opened(file, findings)
    table = read_table(opened, PRICES, findings, workshop.decimal_sign) if opened else None
    if opened is None or table is None:
        return PricesRead(unclear=True)
    repeat_above(table, repeat, findings)
    faults = len(findings.problems)
    charges = read_charges(opened.sheets or (), workshop, findings)
    # Who delivers, or cuts lengths to be carried, may be what could not be read.
    read = PricesRead(table=table, charges=charges, unclear=len(findings.problems) > faults)
    heading_basis = _heading_basis(table, workshop.currency, findings)
    materials = MaterialReader(workshop)
    parse_length = length_reader(table.columns["Length"].unit or workshop.unit)
    read_price = lru_cache(maxsize=None)(partial(price_of, workshop))
    merchants = {merchant.name.casefold(): merchant.name for merchant in workshop.merchants}
    first_rows: dict[tuple[str, tuple[str, str], str, int], int] = {}
    lengths: list[tuple[int, str, int]] = []
    unanswered = []
    for row in table.rows(findings):
        if row.text("Merchant"):
            read.merchants.add(row.text("Merchant"))
        if not any(row.told(name) or row.text(name) for name in ANSWERS):
            unanswered.append(row.number)
            continue
        sold = row.text("Price").casefold() not in NOT_SOLD
        own = values_of(row, OWN_COLUMNS)
        merchant = own["merchant"]
        material = materials.read(row)
        length = row.needed("Length", parse_length, LENGTH_FORMS) if sold or row.text("Length") else None
        if length is not None:
            lengths.append((row.number, row.text("Length"), length))
        price = row.parse("Price", read_price, None, MONEY_FORMS, as_typed=True) if sold else None
        basis = _basis(row, heading_basis, priced=price is not None)
        if material is None:
            read.unclear = True
        elif not row.sound:
            read.spoiled.add(material.key)
        read.unsold += not sold
        if not (sold and row.sound) or merchant is None or material is None or length is None:
            continue
        merchant = own["merchant"] = merchants.setdefault(merchant.casefold(), merchant)
        key = (merchant, material.key, material.grade, length)
        if key in first_rows:
            found = f"the offer of row {first_rows[key]} again: same merchant, section, grade, finish and length"
            row.refuse("", found, "each offer once", typed=False, code="offer.twice")
            continue
        first_rows[key] = row.number
        counted = workshop.counted_on(material.section.family, length)
        if counted <= 0:
            read.spoiled.add(material.key)
            tolerance = length_text(length - counted, workshop.printing)
            row.refuse(
                "Length",
                row.text("Length"),
                f"a length of more than the minus tolerance of {tolerance}",
                code="offer.tolerance",
            )
            continue
        read.offers.append(_offer(row, own, material, length, counted, price, basis))
    warn_about_lengths(table, lengths, workshop.unit, findings)
    _warn_dear(table, read.offers, workshop.currency, findings)
    read.unanswered = len(unanswered)
    if unanswered:
        _warn_unanswered(table, unanswered, findings)
    read.charges = [
        replace(each, merchant=merchants.get(each.merchant.casefold(), each.merchant)) for each in read.charges
    ]
    for problem in unlisted(read.charges, read.merchants):
        findings.warn(0, problem)
    return read


def _opened(file: RawFile, findings: Findings) -> RawFile | None:
    """The file with its sheets, so that they are read once; None with a problem noted."""
    try:
        return replace(file, sheets=tuple(sheets_of(file, PRICES, findings)))
    except ProblemsFound as found:
        findings.add_all(found)
        return None


def _warn_dear(table: Table, offers: Sequence[StockLength], currency: str, findings: Findings) -> None:
    """Prices that no steel has are warned about, once a list."""
    faults = [(o, price_fault(o.bar_price or 0, o.mass, currency)) for o in offers]
    dear = [(offer, accepted) for offer, accepted in faults if accepted]
    if dear:
        offer, accepted = dear[0]
        more = f", and {len(dear) - 1} more such prices" if len(dear) > 1 else ""
        found = f"{offer.typed_price} {offer.basis.value}, {money_text(offer.bar_price or 0)} a length{more}"
        where = table.place(offer.row, "Price")
        findings.warn(
            offer.row,
            Problem(
                where=where, found=found, accepted=accepted, hint=DEAR_HINT, found_is_text=False, code="price.dear"
            ),
        )


def _warn_unanswered(table: Table, rows: Sequence[int], findings: Findings) -> None:
    """Rows of a form that nobody has answered yet are no offers, and are reported."""
    count = "1 row" if len(rows) == 1 else f"{len(rows)} rows"
    findings.warn(
        rows[0],
        Problem(
            where=table.place(rows[0]),
            found=f"{count} with no length and no price, from here on; not read",
            accepted="an answer in each row that was asked for, or no under Price where it is not sold",
            found_is_text=False,
            code="price.unanswered",
        ),
    )


def _offer(
    row: Row,
    own: Mapping[str, Any],
    material: Material,
    length: int,
    counted: int,
    price: Fraction | None,
    basis: Basis,
) -> StockLength:
    return StockLength(
        id=f"#{row.number}",
        section=material.section,
        grade=material.grade,
        finish=material.finish,
        length=length,
        counted=counted,
        typed_price=row.text("Price") if price is not None else "",
        basis=basis,
        bar_price=bar_price(price, basis, length, material.section) if price is not None else None,
        row=row.number,
        **own,
    )


def _heading_basis(table: Table, currency: str, findings: Findings) -> Basis | None:
    """What the prices are per, when the heading of the price says so; a heading in another currency is a problem."""
    column = table.columns.get("Price")
    if column is None:
        return None
    money, _, per = re.sub(r"\bper\b", "/", column.unit).strip().partition("/")
    for text in (per.strip(), money.strip()):
        if text:
            try:
                basis = read_basis(text)
            except Refused:
                continue
            money = money if text == per.strip() else ""
            break
    else:
        basis = None
    problem = currency_problem(table, "Price", money.strip(), currency)
    if problem:
        findings.add(table.heading_row + 1, problem)
    if basis is None and "Per" not in table.columns:
        findings.add(
            table.heading_row + 1,
            Problem(
                where=table.place(table.heading_row + 1),
                found="prices, but no heading for Per",
                accepted=f"a column headed Per with {BASIS_FORMS}, or a heading such as Price per m",
                found_is_text=False,
                code="price.per",
            ),
        )
        return Basis.EACH
    return basis


def _basis(row: Row, heading_basis: Basis | None, *, priced: bool) -> Basis:
    """What the price of a row is per; the row's own word must not contradict the heading's."""
    basis = row.parse("Per", read_basis, None, BASIS_FORMS)
    if basis and heading_basis and basis is not heading_basis:
        row.refuse("Per", row.text("Per"), f"{heading_basis.value}, as the heading of the price says", code="price.per")
    if priced and basis is None and heading_basis is None and row.sound:
        row.refuse("Per", "a price, but a blank cell here", BASIS_FORMS, typed=False, code="price.per")
    return basis or heading_basis or Basis.EACH


def price_of(workshop: Workshop, text: str) -> Fraction:
    """A price as it may stand in a price list; raises Refused."""
    unknown = "leave the cell blank where the price is not known"
    try:
        price = price_as_typed(text, workshop)
    except Refused as refused:
        if refused.hint or any(map(str.isdigit, text)):
            raise
        words = f"{unknown}, or write no where it is not sold"
        raise Refused(text, refused.accepted, words, code=refused.code) from None
    if price == 0:
        raise Refused(text, MONEY_FORMS, unknown, code="price.unreadable")
    if price > MAX_PRICE:
        raise Refused(text, f"an amount up to {MAX_PRICE}", code="money.most")
    return price
