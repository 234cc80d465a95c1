"""Amounts of the workshop's currency, in and out."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from cutplan.problems import Refused
from cutplan.units.notation import parse_decimal, tidy_text, with_point
from cutplan.units.quantities import CURRENCY, Money, fixed_text, plain_text, round_half_up

MONEY_FORMS = "an amount such as 31.50, with no thousands separator"
LONGEST_AMOUNT = 80
CENT: Money = CURRENCY // 100


def parse_money(text: str) -> Money:
    """An amount of the workshop's currency in millionths, rounded half up once; at most 10 million."""
    value = parse_decimal(text, MONEY_FORMS)
    if value > 10_000_000:
        raise Refused(text, "an amount up to 10000000", code="money.most")
    return round_half_up(Fraction(value) * CURRENCY)


def rounded_to_cents(money: Fraction | Money) -> Money:
    """Money as whole cents, half up."""
    return round_half_up(Fraction(money) / CENT) * CENT


def money_text(money: Money, places: int = 2) -> str:
    """Money with a fixed number of decimals: ``31.50``."""
    return fixed_text(Fraction(money, CURRENCY), places)


def exact_money_text(money: Money) -> str:
    """Money as an exact plain decimal, as written into plan.json: ``31.5``."""
    return plain_text(Fraction(money, CURRENCY))


class Tax(Enum):
    """Whether an amount as typed has the tax in it."""

    NOT_SAID = ""
    IN = "with tax"
    OUT = "without tax"


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount as typed: its value in the currency, exactly, and what it says of the tax."""

    value: Fraction
    tax: Tax = Tax.NOT_SAID


SYMBOLS: dict[str, tuple[str, ...]] = {
    "$": ("USD", "AUD", "CAD", "NZD", "SGD", "HKD"),
    "€": ("EUR",),
    "£": ("GBP",),
    "₹": ("INR",),
    "RS": ("INR", "PKR", "LKR"),
    "R": ("ZAR",),
    "KR": ("SEK", "NOK", "DKK"),
    "ZŁ": ("PLN",),
    "KČ": ("CZK",),
    "FR": ("CHF",),
}
"""Signs and short words for currencies of ISO 4217 that merchants write (common practice, no source)."""

_TAX_NAME = r"(?:tax|vat|gst|hst|sales tax|mwst|ust|tva|iva|btw|moms)"
_AMOUNT = re.compile(
    r"(?P<before>[A-Za-zŁłČč]{1,3}\.?|[$€£₹])?\s*(?P<number>-?[\d.,]*\d[\d.,]*)\s*"
    r"(?P<after>(?!(?:inc|ex)[a-z]*\b)[A-Za-zŁłČč]{1,3}\b\.?|[$€£₹])?\s*"
    rf"(?:(?P<within>inc(?:l|luding|lusive)?\.?(?:\s+(?:of\s+)?{_TAX_NAME})?|with\s+{_TAX_NAME})"
    rf"|(?P<without>(?:ex(?:cl|cluding|clusive)?\.?(?:\s+(?:of\s+)?{_TAX_NAME})?|without\s+{_TAX_NAME}|(?:\+|plus)\s*{_TAX_NAME})))?",
    re.IGNORECASE,
)


def parse_amount(text: str, currency: str, decimal_sign: str = "") -> Amount:
    """Read an amount that may name its currency, and whether the tax is in it.

    Parameters
    ----------
    text
        ``31.50``, ``EUR 31.50``, ``31.50 EUR``, ``$31.50``, ``31.50 inc VAT``, ``31.50 ex GST``, ``31.50 + tax``.
    currency
        The workshop's, three letters.
    decimal_sign
        As :func:`with_point`.

    Raises
    ------
    Refused
        When the text is no amount, or one in another currency.
    """
    tidy = tidy_text(text)
    match = _AMOUNT.fullmatch(tidy) if len(tidy) <= LONGEST_AMOUNT else None
    if match is None:
        return Amount(Fraction(parse_decimal(text, MONEY_FORMS)))
    for named in filter(None, (match["before"], match["after"])):
        word = named.rstrip(".").upper()
        if currency not in (word, *SYMBOLS.get(word, ())):
            raise Refused(text, f"an amount in {currency}, the currency of the workshop", code="money.currency")
    try:
        number = match["number"]
        value = parse_decimal(with_point(number, decimal_sign, MONEY_FORMS) if decimal_sign else number, MONEY_FORMS)
    except Refused as refused:
        raise Refused(text, refused.accepted, refused.hint, code=refused.code) from None
    return Amount(Fraction(value), Tax.IN if match["within"] else Tax.OUT if match["without"] else Tax.NOT_SAID)
