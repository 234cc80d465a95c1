"""A quote in words for its customer, and as values for JSON."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from cutplan.costing.cost_figures import MINUTE
from cutplan.costing.quote import Quote, QuotedItem
from cutplan.model import Workshop
from cutplan.units import Money, counted, money_text
from cutplan.units.quantities import plain_text
from cutplan.words.cost_words import percent

DESIGNERS = "Strength is not part of this quote: sizes, welds and holes are the designer's to decide."


def facts_of(quote: Quote) -> list[tuple[str, str]]:
    """What stands at its head, each with its name."""
    facts = [
        ("quote", quote.number),
        ("for", ", ".join(part.strip() for part in quote.customer.split(";"))),
        ("date", quote.day),
        ("valid until", quote.valid_until),
    ]
    return [(name, words) for name, words in facts if words]


def item_text(item: QuotedItem) -> str:
    """One assembly as the customer reads it: ``bench, 6 made, 84 pieces of steel``."""
    made = f", {item.made} made" if item.made > 1 else ""
    what = f"{counted(item.pieces, 'piece')} of steel" if item.pieces else "bought in"
    return f"{item.assembly or 'parts as listed'}{made}, {what}"


def price_lines(quote: Quote) -> list[tuple[str, Money]]:
    """The price, its tax and what is to be paid."""
    if not quote.rate:
        return [("price", quote.price)]
    return [
        ("price without tax", quote.price),
        (f"tax of {percent(quote.rate)}", quote.tax),
        ("price with tax", quote.to_pay),
    ]


def quote_text(quote: Quote, job_name: str, workshop: Workshop) -> str:
    """The quote on screen, with what the workshop expects to be left of it."""
    lines = [f"{job_name}: quote {quote.number}" + (f" for {quote.customer}" if quote.customer else "")]
    lines += [f"  {item_text(item)}: {money_text(item.price)}" for item in quote.items]
    lines += [f"{name}: {money_text(amount)} {workshop.currency}" for name, amount in price_lines(quote)]
    lines += [f"valid until {quote.valid_until}"] if quote.valid_until else []
    lines.append(f"For the workshop: cost {money_text(quote.cost)}, left of the price {_left(quote)}.")
    return "\n".join(lines)


def given_text(
    quote: Quote,
    job_name: str,
    workshop: Workshop,
    *,
    kept: bool,
    before: bool,
    notes: Sequence[str],
    files: Sequence[str],
) -> str:
    """A quote that was given, where it is kept, what may be a slip in the figures, and the files that say it."""
    told = [quote_text(quote, job_name, workshop)]
    if before:
        told.append("It is in the ledger already.")
    if not kept:
        told.append("There is no ledger, so that it is kept nowhere but in these files.")
    return "\n".join([*told, *notes, f"Written: {', '.join(files)}"])


def _left(quote: Quote) -> str:
    return money_text(quote.price - quote.cost)


def quote_values(quote: Quote, job_name: str, workshop: Workshop) -> dict[str, Any]:
    """The same for JSON."""
    return {
        "job": job_name,
        "currency": workshop.currency,
        "number": quote.number,
        "customer": quote.customer,
        "date": quote.day,
        "valid_until": quote.valid_until,
        "included": list(quote.included),
        "items": [
            {
                "assembly": item.assembly,
                "made": item.made,
                "pieces": item.pieces,
                "materials": money_text(item.materials),
                "work": money_text(item.work),
                "minutes": plain_text(Fraction(item.minutes, MINUTE)),
                "cost": money_text(item.cost),
                "price": money_text(item.price),
            }
            for item in quote.items
        ],
        "price": money_text(quote.price),
        "tax": money_text(quote.tax),
        "to_pay": money_text(quote.to_pay),
        "cost": money_text(quote.cost),
        "left": _left(quote),
    }
