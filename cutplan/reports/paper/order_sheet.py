"""An order on paper: one merchant's, with nothing of another's on it."""

from __future__ import annotations

from typing import Any

from cutplan.reports.lettering import printable
from cutplan.reports.paper.listing import Cell, Column, Part, sheet, strong
from cutplan.reports.paper.plan_pdf import TYPESET
from cutplan.reports.paper.press import pdf
from cutplan.units import mass_figure, mass_text, money_text, stock_text
from cutplan.words.buying_words import TO_PAY
from cutplan.words.order_words import Order, condition_lines, money_basis


def order_pdf(order: Order) -> bytes:
    """The printed order."""
    paper, _ = TYPESET[order.workshop.paper]
    data = {
        "title": f"Order {printable(order.number)}",
        "job": printable(order.workshop.name or order.job),
        "paper": paper,
        "fingerprint": order.plan,
        "piece": "",
        "sheets": [order_sheet(order)],
    }
    return pdf("plan", data)


def order_sheet(order: Order) -> dict[str, Any]:
    """An order as the data of its sheet."""
    shop = order.workshop
    lines = [f"To: {order.merchant}"] if order.merchant else []
    lines += [f"From: {', '.join(filter(None, (shop.name, shop.address)))}"] if shop.name or shop.address else []
    lines += [f"Date: {order.day}"] if order.day else []
    lines += [f"For: {order.job}. {money_basis(shop)}"]
    parts = [_items(order), _sums(order), Part(title="Terms", before=condition_lines(order))]
    return sheet(f"Order {order.number}", lines, parts)


def _items(order: Order) -> Part:
    how = order.workshop.printing
    is_cut, is_quoted = any(item.cut for item in order.items), any(item.quoted for item in order.items)
    columns = (
        Column("no.", 10, "right", snug=True),
        Column("number", 16, "right", snug=True),
        Column("length", 28, "right", snug=True),
        Column("section"),
        Column("standard, grade, finish"),
        *([Column("to be cut")] if is_cut else []),
        Column(how.mass_unit, 18, "right", snug=True),
        *([Column("quoted", 30, "right", snug=True)] if is_quoted else []),
        Column("price each", 22, "right", snug=True),
        Column("amount", 26, "right", snug=True),
    )
    table: list[list[Cell]] = [
        [
            str(place),
            strong(str(item.count)),
            strong(stock_text(item.length, how)) if item.length else "",
            strong(item.name),
            item.kind,
            *([item.cut] if is_cut else []),
            mass_figure(item.mass, how) if item.mass else "",
            *([item.quoted] if is_quoted else []),
            item.price_text,
            item.money_text,
        ]
        for place, item in enumerate(order.items, 1)
    ]
    return Part(columns=columns, rows=table)


def _sums(order: Order) -> Part:
    """What stands below the items, its amounts below theirs."""
    table: list[list[Cell]] = []
    for name, amount in order.sums:
        money, words = money_text(amount), name.capitalize()
        table.append([strong(words), strong(money)] if name.startswith(TO_PAY) else [words, money])
    total = f"In total {mass_text(order.mass, order.workshop.printing)}, computed from nominal sizes."
    return Part(
        columns=(Column("", 0, "right"), Column("", 30, "right")),
        rows=table,
        after=[total],
        heads=False,
        looked_up=True,
    )
