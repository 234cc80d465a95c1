"""Amounts of the workshop's currency, in and out."""

from __future__ import annotations

from fractions import Fraction

from cutplan.problems import Refused
from cutplan.units.notation import parse_decimal
from cutplan.units.quantities import CURRENCY, Money, fixed_text, plain_text, round_half_up

MONEY_FORMS = "an amount such as 31.50, with no thousands separator"


def parse_money(text: str) -> Money:
    """An amount of the workshop's currency in millionths, rounded half up once; at most 10 million."""
    value = parse_decimal(text, MONEY_FORMS)
    if value > 10_000_000:
        raise Refused(text, "an amount up to 10000000")
    return round_half_up(Fraction(value) * CURRENCY)


def money_text(money: Money, places: int = 2) -> str:
    """Money with a fixed number of decimals: ``31.50``."""
    return fixed_text(Fraction(money, CURRENCY), places)


def exact_money_text(money: Money) -> str:
    """Money as an exact plain decimal, as written into plan.json: ``31.5``."""
    return plain_text(Fraction(money, CURRENCY))
