"""Prices of the past: what merchants quoted, each with its day, in a list beside the ledger that is only added to.

A line is whole as it stands: the section by its standard name, the length exact, the price with its currency and with
what it says of the tax, so that it can be read whatever the workshop has become since.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from pathlib import Path

from cutplan.model import Basis, StockLength, Workshop, price_as_typed
from cutplan.problems import Problem, ProblemsFound, Refused
from cutplan.units import (
    Length,
    Money,
    exact_money_text,
    mm_text,
    parse_length,
    parse_money,
    round_half_up,
)
from cutplan.units.quantities import CURRENCY

COLUMNS = (
    *("Day", "Merchant", "Section", "Standard", "Grade", "Finish", "Length, mm", "Price", "Per", "Currency", "Tax"),
)
WITH_TAX, WITHOUT_TAX = "with tax", "without tax"
_BASES = {basis.value: basis for basis in Basis}


@dataclass(frozen=True, slots=True, kw_only=True)
class PastPrice:
    """What a merchant quoted on a day. ``price`` is per ``basis``, in millionths of the currency; ``length`` in nm."""

    day: date
    merchant: str
    section: str
    standard: str
    grade: str
    finish: str
    length: Length
    price: Money
    basis: Basis
    currency: str
    with_tax: bool

    @property
    def offer(self) -> tuple[object, ...]:
        """What was offered: equal for quotes that follow one another."""
        return self.merchant.casefold(), self.section, self.standard, self.grade, self.finish, self.length

    @property
    def cells(self) -> tuple[str, ...]:
        """The line, under :data:`COLUMNS`."""
        made_of = (self.merchant, self.section, self.standard, self.grade, self.finish)
        price = exact_money_text(self.price), self.basis.value, self.currency
        tax = WITH_TAX if self.with_tax else WITHOUT_TAX
        return (self.day.isoformat(), *made_of, mm_text(self.length), *price, tax)


def quoted_on(day: date, offers: Iterable[StockLength], workshop: Workshop) -> list[PastPrice]:
    """The offers of a price list as prices of a day; those without a price are no quote."""
    return [
        PastPrice(
            day=day,
            merchant=offer.merchant,
            section=offer.section.designation,
            standard=offer.section.standard,
            grade=offer.grade,
            finish=offer.finish,
            length=offer.length,
            price=round_half_up(price_as_typed(offer.typed_price, workshop) * CURRENCY),
            basis=offer.basis,
            currency=workshop.currency,
            with_tax=workshop.prices_include_tax,
        )
        for offer in offers
        if offer.bar_price is not None
    ]


def latest(prices: Iterable[PastPrice]) -> list[PastPrice]:
    """The last price of every offer; of one day that which was noted last."""
    last: dict[tuple[object, ...], PastPrice] = {}
    for price in prices:
        known = last.get(price.offer)
        if known is None or price.day >= known.day:
            last[price.offer] = price
    return list(last.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class Drift:
    """How prices of a merchant moved: over how many offers quoted on several days, and how many days lie between.

    ``change`` is the mean over these offers of the last price over the first, less 1, as a fraction.
    """

    merchant: str
    offers: int
    days: int
    change: Fraction


def drifts(prices: Iterable[PastPrice]) -> list[Drift]:
    """By merchant, in the order of first quotes, how the prices moved of what was quoted on more than one day.

    Prices are set beside those of the same basis, currency and tax; of one day the one noted last counts. What was
    last quoted in another basis is left out.
    """
    by_offer: dict[tuple[object, ...], dict[date, PastPrice]] = {}
    newest: dict[tuple[object, ...], date] = {}
    for price in prices:
        told = (*price.offer, price.currency, price.with_tax)
        by_offer.setdefault((*told, price.basis), {})[price.day] = price
        newest[told] = max(price.day, newest.get(told, price.day))
    moved: dict[str, list[tuple[PastPrice, PastPrice]]] = {}
    for alike, quotes in by_offer.items():
        first, last = quotes[min(quotes)], quotes[max(quotes)]
        if first.day < last.day == newest[alike[:-1]] and first.price:
            moved.setdefault(first.merchant.casefold(), []).append((first, last))
    return [
        Drift(
            merchant=pairs[-1][1].merchant,
            offers=len(pairs),
            days=(max(last.day for _, last in pairs) - min(first.day for first, _ in pairs)).days,
            change=sum((Fraction(last.price, first.price) - 1 for first, last in pairs), Fraction()) / len(pairs),
        )
        for pairs in moved.values()
    ]


def read_past_prices(path: Path) -> list[PastPrice]:
    """Every price of the list, in the order in which they were noted; none where there is no such file.

    Raises
    ------
    ProblemsFound
        When the file cannot be read, or a line of it is none that was noted.
    """
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        return []
    except OSError as error:
        found = f"a file that cannot be read ({error.strerror or error})"
        accepted = "the list of past prices that cutplan quoted keeps"
        raise ProblemsFound(
            [Problem(where=str(path), found=found, accepted=accepted, found_is_text=False, code="file.unreadable")]
        ) from error
    text = content.decode("utf-8", errors="replace").replace("\0", "\N{REPLACEMENT CHARACTER}")
    prices: list[PastPrice] = []
    problems = []
    for number, cells in enumerate(csv.reader(io.StringIO(text, newline="")), 1):
        if not cells or tuple(cells) == COLUMNS:
            continue
        try:
            prices.append(_price(cells))
        except (ValueError, KeyError, Refused):
            problems.append(
                Problem(
                    where=f"{path.name}, row {number}",
                    found=", ".join(cells)[:200],
                    accepted=f"a line with {', '.join(COLUMNS)}, as it was noted",
                    hint="put the file back as it was, or move it away: a new one is begun",
                    code="price.past",
                )
            )
    if problems:
        raise ProblemsFound(problems)
    return prices


def _price(cells: Sequence[str]) -> PastPrice:
    day, merchant, section, standard, grade, finish, length, price, basis, currency, tax = cells
    if tax not in (WITH_TAX, WITHOUT_TAX) or not section:
        raise ValueError(tax)
    return PastPrice(
        day=date.fromisoformat(day),
        merchant=merchant,
        section=section,
        standard=standard,
        grade=grade,
        finish=finish,
        length=parse_length(length, "mm"),
        price=parse_money(price),
        basis=_BASES[basis],
        currency=currency,
        with_tax=tax == WITH_TAX,
    )


def added_text(prices: Iterable[PastPrice], *, begin: bool) -> bytes:
    """Lines to add to the list, its headings first where it is begun."""
    text = io.StringIO()
    rows = [price.cells for price in prices]
    csv.writer(text, lineterminator="\n").writerows([COLUMNS, *rows] if begin else rows)
    return text.getvalue().encode("utf-8")
