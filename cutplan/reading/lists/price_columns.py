"""The columns of the price list, each declared once.

What several cells say together, such as a price with what it is for, is read in :mod:`cutplan.reading.lists.prices`.
"""

from __future__ import annotations

from cutplan.problems import Refused
from cutplan.reading.sheets.headings import (
    BASIS_WORDS,
    CHECK_COLUMN,
    STANDARD,
    Heading,
    Kind,
    finish_heading,
    grade_heading,
    section_heading,
    words_of,
)
from cutplan.reading.sheets.own_columns import Column
from cutplan.units import parse_quantity

MERCHANT_FORMS = "the name of the merchant"
NOT_SOLD = frozenset(("no", "none", "not sold", "n/a"))
"""What may stand under Price where a merchant does not sell it, and under what it charges where it does not do it."""
MAX_PRICE = 10_000_000
AVAILABLE_FORMS = "a whole number from 0 to 100000; blank is no limit"


def parse_available(text: str) -> int:
    """How many can be had; raises Refused."""
    if text == "0":
        return 0
    try:
        return parse_quantity(text)
    except Refused as refused:
        raise Refused(text, AVAILABLE_FORMS, refused.hint, code="price.available") from None


PRICES: tuple[Heading, ...] = (
    Column(
        name="Merchant",
        kind=Kind.TEXT,
        needed=True,
        variants=(
            "supplier",
            "vendor",
            "stockholder",
            "seller",
            "yard",
            "service center",
            "service centre",
            "suppliers name",
            "sold by",
            "dealer",
        ),
        about="who sells it, spelled as in the workshop file",
        shown=1,
        width=18,
        field="merchant",
        cell=lambda row: row.needed("Merchant", str, MERCHANT_FORMS),
    ),
    section_heading(2),
    STANDARD,
    grade_heading(7),
    finish_heading(8),
    Heading(
        "Length",
        Kind.LENGTH,
        needed=True,
        variants=("stock length", "bar length", "length of bar", "len", "length sold", "standard length", "l"),
        about="the nominal length sold",
        shown=3,
        width=13,
    ),
    Heading(
        "Price",
        Kind.MONEY,
        variants=("unit price", "cost", "rate", "net price", "list price"),
        about="blank: not known, its group is planned for the least mass to buy; no: not sold",
        shown=4,
    ),
    Heading(
        "Per",
        Kind.TEXT,
        variants=("basis", "price basis", "price per", "price unit", "unit", "uom"),
        about="what the price is for: each, per m, ft, kg, lb, cwt, tonne, short ton or long ton",
        shown=5,
        choices=words_of(BASIS_WORDS),
        strict=True,
    ),
    Column(
        name="Available",
        kind=Kind.COUNT,
        variants=("in stock", "stock", "on hand", "quantity", "qty", "quantity available", "qty available"),
        about="how many can be had; blank is no limit",
        shown=6,
        field="available",
        cell=lambda row: row.parse("Available", parse_available, None, AVAILABLE_FORMS),
    ),
    Heading("Wanted", Kind.TEXT, about="what the job needs, on a form of `cutplan prices`; not read", read=False),
    Heading(
        "Quoted", Kind.TEXT, about="when it was quoted, on a form of `cutplan prices --last`; not read", read=False
    ),
    CHECK_COLUMN,
)
"""In the order in which messages and the manual name them."""

OWN_COLUMNS: tuple[Column, ...] = tuple(heading for heading in PRICES if isinstance(heading, Column))
"""Those that give a field of a stock length by themselves."""
