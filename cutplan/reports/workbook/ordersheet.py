"""An order as a workbook: one merchant's, with nothing of another's in it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from openpyxl.utils import get_column_letter

from cutplan.reports.rows import Rows
from cutplan.reports.workbook.cells import A4, LETTER, PAGE_OF_PAGES, Book, Formula, Look, mass_number, money_number
from cutplan.reports.workbook.page import (
    BOLD_CELL,
    COUNT_CELL,
    MASS_CELL,
    MONEY_CELL,
    TEXT_CELL,
    Field,
    Page,
    fitting_width,
    widths_of,
)
from cutplan.units import stock_text
from cutplan.words.buying_words import TO_PAY
from cutplan.words.order_words import Order, condition_lines

ORDER = "Order"
_LEAST_NAME = 30.0
"""So wide that the words of the sums stand on one line."""


def order_book(order: Order, rows: Rows) -> bytes:
    """The workbook of an order; ``rows`` are those of its plan."""
    how = order.workshop.printing
    paper = A4 if order.workshop.paper == "A4" else LETTER
    is_cut, is_quoted = any(item.cut for item in order.items), any(item.quoted for item in order.items)
    names = fitting_width("section", BOLD_CELL, [item.name for item in order.items])
    fields = (
        Field(head="no.", width=5, look=COUNT_CELL),
        Field(head="number", width=8, look=replace(COUNT_CELL, bold=True)),
        Field(head="length", width=12, look=replace(BOLD_CELL, align="right", indent=0)),
        Field(head="section", width=max(_LEAST_NAME, names), look=BOLD_CELL),
        Field(head="standard, grade, finish", width=30),
        *([Field(head="to be cut", width=30)] if is_cut else []),
        Field(head=how.mass_unit, width=9, look=MASS_CELL),
        *([Field(head="quoted", width=15, look=replace(TEXT_CELL, align="right", indent=0))] if is_quoted else []),
        Field(head="price each", width=11, look=MONEY_CELL),
        Field(head="amount", width=12, look=MONEY_CELL),
    )
    book = Book()
    page = Page(book, rows, ORDER, widths_of(fields))
    page.line(f"Order {order.number}" + (f" of {order.day}" if order.day else ""), Look(size=12, bold=True), 18)
    if order.merchant:
        page.line(f"To: {order.merchant}")
    if order.workshop.name or order.workshop.address:
        page.line(f"From: {', '.join(filter(None, (order.workshop.name, order.workshop.address)))}")
    page.gap()
    page.heads(fields)
    first = page.row
    for place, item in enumerate(order.items, 1):
        values: list[Any] = [
            place,
            item.count,
            stock_text(item.length, how) if item.length else None,
            item.name,
            item.kind or None,
            *([item.cut or None] if is_cut else []),
            mass_number(item.mass, how) if item.mass else None,
            *([item.quoted or None] if is_quoted else []),
            item.price_text if item.price_each is None else money_number(item.price_each),
            item.money_text if item.money is None else money_number(item.money),
        ]
        page.cells(fields, values)
    column = get_column_letter(len(fields))
    for name, amount in order.sums:
        value: Any = money_number(amount)
        if name == "total":
            value = Formula(f"SUM({column}{first}:{column}{page.row - 1})", value)
        page.cells(
            [*fields[:3], replace(fields[3], look=TEXT_CELL), *fields[4:]],
            [None, None, None, name, *[None] * (len(fields) - 5), value],
            bold=name.startswith(TO_PAY),
        )
    page.gap()
    for sentence in condition_lines(order):
        page.line(sentence)
    page.finish(paper, landscape=True)
    page.sheet.oddFooter.center.text = f"order {order.number.replace('&', '&&')}, {PAGE_OF_PAGES}"
    return book.to_bytes()
