"""The sheet of costs as a workbook; the sums follow their lines by formula."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from cutplan.costing.cost_figures import HOUR
from cutplan.costing.costs import AssemblyCost, Cost
from cutplan.costing.surfaces import SQUARE_METRE
from cutplan.reports.rows import Rows
from cutplan.reports.workbook.cells import A4, LETTER, Book, Formula, mass_number, money_number
from cutplan.reports.workbook.page import (
    BOLD_CELL,
    COUNT_CELL,
    MASS_CELL,
    MONEY_CELL,
    TEXT_CELL,
    Field,
    Page,
    widths_of,
)
from cutplan.units import FOOT, MM
from cutplan.words.cost_words import assembly_name, cost_rows, made_text, notes_of

COSTS, ASSEMBLIES, SURFACES = "Costs", "By assembly", "Surface and mass"


def cost_book(cost: Cost, rows: Rows) -> bytes:
    """The workbook, for the workshop alone."""
    book = Book()
    paper = A4 if rows.workshop.paper == "A4" else LETTER
    _lines(book, cost, rows, paper)
    _assemblies(book, cost, rows, paper)
    _surfaces(book, cost, rows, paper)
    return book.to_bytes()


def _lines(book: Book, cost: Cost, rows: Rows, paper: int) -> None:
    fields = (
        Field(head="block", width=18, look=BOLD_CELL),
        Field(head="what", width=36),
        Field(head="worked out", width=44),
        Field(head="amount", width=13, look=MONEY_CELL),
    )
    page = Page(book, rows, COSTS, widths_of(fields))
    for note in ("Without tax, but for what is to be paid.", *notes_of(cost)):
        page.line(note)
    page.gap()
    page.heads(fields)
    first, block, above = page.row, "", ""
    for row in cost_rows(cost, rows.workshop):
        amount: Any = money_number(row.amount)
        if not row.block:
            # Each sum is the one before it and the lines since then.
            lines = f"SUM(D{first}:D{page.row - 1})" if page.row > first else ""
            formula = "+".join(filter(None, (above, lines))) or "0"
            amount = Formula(f"ROUND({formula},2)", amount)
        name = row.block if row.block != block else ""
        at = page.cells(fields, [name, row.what, row.how, amount], bold=not row.block)
        block = row.block
        if not row.block:
            first, above = page.row, f"D{at}"
    page.finish(paper, landscape=False)


def _assemblies(book: Book, cost: Cost, rows: Rows, paper: int) -> None:
    heads = ("steel", "things", "coats", "work", "rest", "price")
    fields = (
        Field(head="assembly", width=34, look=BOLD_CELL),
        *(Field(head=head, width=12, look=MONEY_CELL) for head in heads),
        Field(head="hours", width=10, look=MONEY_CELL),
    )
    page = Page(book, rows, ASSEMBLIES, widths_of(fields))
    page.line("Without tax. The rest is charges, offcuts, consumables, transport, overhead and margin.")
    page.gap()
    for what, shares in (("assembly", cost.assemblies), ("job", cost.jobs)):
        if shares:
            _shares(page, cost, [replace(fields[0], head=what), *fields[1:]], shares)
    page.finish(paper, landscape=True)


def _shares(page: Page, cost: Cost, fields: Sequence[Field], shares: Sequence[AssemblyCost]) -> None:
    """What each assembly costs, or each job, with their sums."""
    heads = [each.head for each in fields[1:-1]]
    page.heads(fields)
    first = page.row
    for each in shares:
        amounts = [money_number(amount) for amount in (each.steel, each.things, each.coats, each.work, each.rest)]
        price = Formula(f"ROUND(SUM(B{page.row}:F{page.row}),2)", money_number(each.price))
        name = f"{assembly_name(each)}{made_text(each.made)}"
        page.cells(fields, [name, *amounts, price, each.minutes / HOUR])
    sums: list[Any] = []
    for place, letter in enumerate("BCDEFGH"):
        now = [
            *(sum(getattr(each, head) for each in shares) / 1_000_000 for head in heads),
            cost.minutes / HOUR,
        ][place]
        sums.append(Formula(f"SUM({letter}{first}:{letter}{page.row - 1})", now))
    page.cells(fields, ["total", *sums], bold=True)
    page.gap()


def _surfaces(book: Book, cost: Cost, rows: Rows, paper: int) -> None:
    how = rows.workshop.printing
    unit, square = ("m2", SQUARE_METRE) if how.unit == "mm" else ("ft2", (FOOT / MM) ** 2)
    fields = (
        Field(head="finish", width=18, look=BOLD_CELL),
        Field(head="assembly", width=34, look=TEXT_CELL),
        Field(head="pieces", width=9, look=COUNT_CELL),
        Field(head=f"surface, {unit}", width=13, look=MONEY_CELL),
        Field(head=how.mass_unit, width=11, look=MASS_CELL),
    )
    page = Page(book, rows, SURFACES, widths_of(fields))
    page.line("Outside surface of the finished parts, with the metal of both ends; joints are not taken off.")
    page.gap()
    page.heads(fields)
    for each in cost.surfaces:
        values = [each.finish, assembly_name(each), each.pieces, each.area / square, mass_number(each.mass, how)]
        page.cells(fields, values)
    page.finish(paper, landscape=False)
