"""A quote on paper, for the customer: what is offered and at what price, nothing of what it costs the workshop."""

from __future__ import annotations

from cutplan.costing.quote import Quote
from cutplan.model import Workshop
from cutplan.reports.paper.cost_pdf import pages
from cutplan.reports.paper.listing import Cell, Column, Part, sheet, strong
from cutplan.units import money_text
from cutplan.words.quote_words import DESIGNERS, facts_of, item_text, price_lines


def quote_pdf(quote: Quote, job: str, workshop: Workshop, *, by_assembly: bool) -> bytes:
    """The quote; ``by_assembly`` says what each assembly is offered at too."""
    who = [line for line in (workshop.name, workshop.address) if line]
    facts = Part(
        columns=(Column("", 34), Column("")),
        rows=[[name, strong(words)] for name, words in facts_of(quote)],
        heads=False,
    )
    columns = (Column("what"), *([Column(workshop.currency, 40, "right")] if by_assembly else []))
    table: list[list[Cell]] = [
        [item_text(item), *([money_text(item.price)] if by_assembly else [])] for item in quote.items
    ]
    sums: list[list[Cell]] = [
        [strong(name, 12), strong(money_text(amount), 12)]
        if name in (price_lines(quote)[-1][0],)
        else [name, money_text(amount)]
        for name, amount in price_lines(quote)
    ]
    parts = [
        facts,
        Part(title="What is offered", columns=columns, rows=table),
        Part(title="Price", columns=(Column("price"), Column(workshop.currency, 40, "right")), rows=sums),
    ]
    if quote.included:
        parts.append(Part(title="Included", before=[f"\N{EN DASH} {text}" for text in quote.included]))
    parts.append(Part(after=[DESIGNERS]))
    return pages(f"Quote {quote.number}: {job}", job, workshop, quote.number, [sheet("Quote", who, parts)], "quote")
