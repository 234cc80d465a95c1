"""What merchants charge beside their prices, as they say it on the sheet Charges of a form.

A blank cell says nothing, so that the workshop file's own figure stands; ``no`` says that it is not done, or not asked.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeAlias

from cutplan.model import Workshop, price_as_typed
from cutplan.problems import Problem, ProblemsFound, Refused, nearest
from cutplan.reading.lists.price_columns import MAX_PRICE, MERCHANT_FORMS, NOT_SOLD
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.headings import Heading, Kind
from cutplan.reading.sheets.raw_cells import Sheet
from cutplan.reading.sheets.table_search import has_headings, table_on
from cutplan.reading.sheets.tables import Row, is_blank, length_reader
from cutplan.units import CENT, LENGTH_FORMS, MONEY_FORMS, Length, Money, length_text, money_text, round_half_up
from cutplan.units.quantities import CURRENCY

CHARGES_SHEET = "Charges"
CHARGE_FORMS = "an amount such as 25.00, 0 where nothing is charged, or no where it is not done; blank is not known"
MOST_FREE = 1000
FREE_FORMS = f"a whole number from 0 to {MOST_FREE}; blank is not known"

CHARGES: tuple[Heading, ...] = (
    Heading("Merchant", Kind.TEXT, needed=True, about="spelled as on the sheet of prices", width=24),
    Heading("Delivery", Kind.MONEY, needed=True, about="for one delivery; no where you do not deliver"),
    Heading("Free delivery from", Kind.MONEY, about="the sum of an order from which on delivery is free"),
    Heading("Longest delivered", Kind.LENGTH, about="the longest length that you deliver"),
    Heading("Minimum order", Kind.MONEY, needed=True, about="what a smaller order is charged as"),
    Heading("Charge per cut", Kind.MONEY, about="for a cut so that a length can be carried; no where you do not cut"),
    Heading("Cuts free", Kind.COUNT, about="how many such cuts an order has free"),
)
"""In the order in which a form has them."""


Said: TypeAlias = bool | Money | Length | int
"""A value of a merchant's terms."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Charges:
    """What one merchant says: fields of its terms, and where that stands."""

    merchant: str
    where: str
    said: tuple[tuple[str, Said], ...]


def read_charges(sheets: Sequence[Sheet], workshop: Workshop, findings: Findings) -> list[Charges]:
    """The charges on the sheet of that name; rows that say nothing are passed over, faults go to ``findings``."""
    alike = [sheet for sheet in sheets if _named(sheet).startswith(CHARGES_SHEET.casefold())]
    shown = [sheet for sheet in alike if not sheet.hidden and _named(sheet) == CHARGES_SHEET.casefold()]
    for other in alike:
        if other not in shown[:1] and has_headings(other, CHARGES):
            found = f"{'a hidden' if other.hidden else 'another'} sheet with the headings of charges; it was not read"
            accepted = f"one such sheet, {CHARGES_SHEET}, and not hidden"
            findings.warn(
                0, Problem(where=other.place, found=found, accepted=accepted, found_is_text=False, code="sheet.unread")
            )
    if not shown:
        return []
    sheet = shown[0]
    if not has_headings(sheet, CHARGES):
        if any(not is_blank(cell) for cells in sheet.rows for cell in cells):
            needed = ", ".join(heading.name for heading in CHARGES if heading.needed)
            found = "a sheet of this name without its headings; it was not read"
            accepted = f"a row with the headings {needed}, or another name"
            findings.warn(
                0, Problem(where=sheet.place, found=found, accepted=accepted, found_is_text=False, code="sheet.unread")
            )
        return []
    try:
        table = table_on(sheet, CHARGES, findings, workshop.decimal_sign)
    except ProblemsFound as found:
        findings.add_all(found)
        return []
    read = []
    for row in table.rows(findings):
        said = _said(row, workshop)
        if not (said or not row.sound):
            continue
        merchant = row.needed("Merchant", str, MERCHANT_FORMS)
        if merchant and row.sound:
            read.append(Charges(merchant=merchant, where=table.place(row.number), said=tuple(said.items())))
    return read


def _named(sheet: Sheet) -> str:
    return sheet.name.strip().casefold()


def unlisted(charges: Sequence[Charges], merchants: Collection[str]) -> list[Problem]:
    """Charges of merchants that the list of prices does not name: they would apply to nothing on it."""
    named = {name.casefold() for name in merchants}
    accepted = "a merchant of the sheet of prices, spelled as there: these charges apply to nothing on it"
    return [
        Problem(
            where=f'{each.where}, "Merchant"',
            found=each.merchant,
            accepted=accepted,
            hint=nearest(each.merchant, sorted(merchants)),
            code="merchant.unlisted",
        )
        for each in charges
        if each.merchant.casefold() not in named
    ]


def _said(row: Row, workshop: Workshop) -> dict[str, Said]:
    """The fields of a merchant's terms that a row says something of."""
    said: dict[str, Said] = {}
    amount = partial(_amount, workshop)
    delivery = row.parse("Delivery", amount, None, CHARGE_FORMS, as_typed=True)
    if delivery is not None:
        said |= {"delivers": not _refused(row, "Delivery"), "delivery": delivery}
    cut = row.parse("Charge per cut", amount, None, CHARGE_FORMS, as_typed=True)
    if cut is not None:
        said |= {"cuts_to_carry": not _refused(row, "Charge per cut"), "carry_cut_charge": cut}
    others: tuple[tuple[str, str, Callable[[str], int], str, bool], ...] = (
        ("free_delivery_from", "Free delivery from", amount, CHARGE_FORMS, True),
        ("minimum_order", "Minimum order", amount, CHARGE_FORMS, True),
        ("longest_delivered", "Longest delivered", _longest(row, workshop), LENGTH_FORMS, False),
        ("carry_cuts_free", "Cuts free", _free, FREE_FORMS, False),
    )
    for word, heading, read, accepted, as_typed in others:
        value = row.parse(heading, read, None, accepted, as_typed=as_typed)
        if value is not None:
            said[word] = value
    return said


def _refused(row: Row, heading: str) -> bool:
    return row.text(heading).casefold() in NOT_SOLD


def _amount(workshop: Workshop, text: str) -> Money:
    """A charge on the tax basis of the workshop's prices; 0 where it is not done. Raises Refused."""
    if text.casefold() in NOT_SOLD:
        return 0
    try:
        amount = price_as_typed(text, workshop)
    except Refused as refused:
        accepted = CHARGE_FORMS if refused.accepted == MONEY_FORMS else refused.accepted
        raise Refused(text, accepted, refused.hint, code=refused.code) from None
    if amount > MAX_PRICE:
        raise Refused(text, f"an amount up to {MAX_PRICE}", code="money.most")
    return round_half_up(amount * CURRENCY)


def _longest(row: Row, workshop: Workshop) -> Callable[[str], Length]:
    """A length; 0, which is no limit, where a merchant says none."""
    column = row.table.columns.get("Longest delivered")
    read = length_reader((column.unit if column else "") or workshop.unit)
    return lambda text: 0 if text.casefold() in NOT_SOLD else read(text)


def _free(text: str) -> int:
    """How many cuts are free. Raises Refused."""
    if text.casefold() in NOT_SOLD:
        return 0
    if not (text.isdecimal() and len(text) <= len(str(MOST_FREE)) and int(text) <= MOST_FREE):
        raise Refused(text, FREE_FORMS, code="merchant.cuts_free")
    return int(text)


_TRUTHS = {
    "delivers": ("does not deliver", "delivers"),
    "cuts_to_carry": ("does not cut to be carried", "cuts to be carried"),
}


def charge_text(word: str, value: Said, workshop: Workshop) -> str:
    """One of the fields of :class:`Charges` in words: ``delivery 25.00``."""
    named = word.replace("_", " ")
    if word in _TRUTHS:
        return _TRUTHS[word][bool(value)]
    if word == "longest_delivered":
        return f"{named} {length_text(value, workshop.printing)}" if value else "no longest delivered"
    return f"{named} {value}" if word == "carry_cuts_free" else f"{named} {money_text(value)}"


def charges_typed(charges: Charges, workshop: Workshop) -> dict[str, bool | int | str]:
    """What one merchant says, as keys of its block in the workshop file."""
    typed: dict[str, bool | int | str] = {}
    for word, value in charges.said:
        if word == "longest_delivered":
            typed[word] = workshop.figures.typed_length(value)
        elif word in _TRUTHS or word == "carry_cuts_free":
            typed[word] = value
        else:
            exact = value % CENT
            typed[word] = workshop.figures.typed_money(value) if exact else workshop.figures.signed(money_text(value))
    return typed
