"""The part of the sheet to buy from that holds what is not cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from openpyxl.utils import get_column_letter

from cutplan.reports.other_rows import NO_PRICE, TITLE, OtherRow
from cutplan.reports.workbook.cells import MONEY, Formula, Look, mass_number, money_number, reference
from cutplan.reports.workbook.page import BUY, Field, Page
from cutplan.units import Money


def write_others(page: Page, rows: Sequence[OtherRow], fields: Sequence[Field]) -> tuple[str, Money]:
    """The lines below one another, with price cells that may be changed.

    Parameters
    ----------
    fields
        As the order lines have them: bought, order, number, total mass, price as listed, price of one, amount.

    Returns
    -------
    tuple
        The cell that holds their sum, as other cells refer to it, and the sum now.
    """
    heads = [*fields]
    heads[2], heads[5] = replace(fields[2], head="number"), replace(fields[5], head="price of one")
    page.gap()
    page.line(f"{TITLE}: they count towards no minimum order", Look(size=12, bold=True), 18)
    page.heads(heads)
    first = page.row
    for row in rows:
        page.cells(heads, _values(page, row, fields))
    money = sum(row.line.money for row in rows)
    column = get_column_letter(len(fields))
    values: list[Any] = [None, "other things", *[None] * (len(fields) - 3)]
    values.append((Formula(f"SUM({column}{first}:{column}{page.row - 1})", money_number(money)), MONEY))
    plain = [replace(each, look=Look(border="b", indent=1)) for each in fields[:-1]]
    return reference(BUY, page.cells([*plain, fields[-1]], values), len(fields)), money


def _values(page: Page, row: OtherRow, fields: Sequence[Field]) -> list[Any]:
    line = row.line
    known = line.price_each is not None
    count, price = (f"{get_column_letter(column)}{page.row}" for column in (3, 6))
    product = Formula(f"ROUND({count}*{price},2)", money_number(line.money))
    listed = f"{money_number(line.price_each or 0):.2f} each" if known else NO_PRICE
    weight = mass_number(line.mass, page.rows.workshop.printing) if line.mass else None
    return [
        None,
        row.text,
        line.quantity,
        weight,
        listed,
        money_number(line.price_each or 0) if known else None,
        product,
    ]
