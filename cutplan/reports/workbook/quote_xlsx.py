"""A quote as a workbook, for the customer; what is to be paid follows by formula."""

from __future__ import annotations

from typing import Any

from cutplan.costing.quote import Quote
from cutplan.reports.rows import Rows
from cutplan.reports.workbook.cells import A4, LETTER, Book, Formula, Look, money_number
from cutplan.reports.workbook.page import BOLD_CELL, MONEY_CELL, Field, Page, widths_of
from cutplan.words.quote_words import DESIGNERS, facts_of, item_text, price_lines

QUOTE = "Quote"


def quote_book(quote: Quote, rows: Rows, *, by_assembly: bool) -> bytes:
    """The workbook; ``by_assembly`` says what each assembly is offered at too."""
    book = Book()
    fields = (Field(head="what is offered", width=64, look=BOLD_CELL), Field(head="amount", width=18, look=MONEY_CELL))
    page = Page(book, rows, QUOTE, widths_of(fields))
    for line in (rows.workshop.address, *(f"{name}: {words}" for name, words in facts_of(quote))):
        if line:
            page.line(line)
    page.gap()
    page.heads(fields)
    first = page.row
    for item in quote.items:
        page.cells(fields, [item_text(item), money_number(item.price) if by_assembly else None])
    price: Any = money_number(quote.price)
    above = ""
    for name, amount in price_lines(quote):
        value: Any = money_number(amount)
        if not above:
            value = Formula(f"ROUND(SUM(B{first}:B{page.row - 1}),2)", price) if by_assembly else price
        elif name.startswith("tax"):
            value = Formula(f"ROUND({above}*{quote.rate / 1_000_000!r},2)", value)
        else:
            value = Formula(f"{above}+B{page.row - 1}", value)
        at = page.cells(fields, [name, value], bold=True)
        above = above or f"B{at}"
    if quote.included:
        page.gap()
        page.line("Included", Look(size=12, bold=True), 18)
        for text in quote.included:
            page.line(f"\N{BULLET} {text}")
    page.gap()
    page.line(DESIGNERS)
    page.finish(A4 if rows.workshop.paper == "A4" else LETTER, landscape=False)
    return book.to_bytes()
