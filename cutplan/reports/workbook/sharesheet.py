"""The part of the sheet of mass and cost that says what each of several lists comes to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from openpyxl.utils import get_column_letter

from cutplan.reports.workbook.cells import MONEY, Formula, Look, mass_number, money_number
from cutplan.reports.workbook.page import MONEY_CELL, Field, Page, total_head, total_length
from cutplan.words.share_words import RULE


@dataclass(frozen=True, slots=True)
class ShareCells:
    """Columns of a job's money on the sheet of mass and cost, and the row of the first job there."""

    lengths: str
    charges: str
    others: str
    amount: str
    first: int


def share_formula(amount: str, before: str, reached: str, whole: str) -> str:
    """The cents of an amount that go to what lies between two running sums, so that shares add up to it.

    ``before`` is blank for the first share.
    """
    taken = f"-ROUND({amount}*{before}/{whole},2)" if before else ""
    return f"ROUND({amount}*{reached}/{whole},2){taken}"


def write_lists(
    page: Page, fields: Sequence[Field], assembly_cells: Mapping[str, str], list_of: Mapping[str, str], charges: str
) -> ShareCells:
    """One row for each list, its money following the price cells; returns where that is.

    Parameters
    ----------
    fields
        Columns of the sheet; twelve of them.
    assembly_cells
        The cell that holds the money of each assembly.
    list_of
        The list of each assembly.
    charges
        The formula of what is shared in proportion; blank when there are no charges.
    """
    rows = page.rows
    how = rows.workshop.printing
    page.line("By job", Look(size=12, bold=True), 18)
    page.line(RULE)
    texts = {0: "job", 1: "parts", 2: total_head("parts", how), 3: f"parts, {how.mass_unit}"}
    texts |= {
        5: f"other, {how.mass_unit}",
        len(fields) - 4: "lengths",
        len(fields) - 3: "charges",
        len(fields) - 2: "other things",
    }
    heads = [replace(each, head=texts.get(place, "")) for place, each in enumerate(fields)]
    for place in (-4, -3, -2):
        heads[place] = replace(heads[place], look=MONEY_CELL)
    heads[-1] = fields[-1]
    page.heads(heads)
    lengths, shared, others = (get_column_letter(len(fields) - back) for back in (3, 2, 1))
    everything = "+".join(assembly_cells.values())
    by_money = any(total.bars for total in rows.totals.lists)
    first = page.row
    for total in rows.totals.lists:
        number = page.row
        own = "+".join(cell for assembly, cell in assembly_cells.items() if list_of.get(assembly) == total.name)
        share: Any = money_number(total.charges)
        if charges and by_money:
            before = f"SUM({lengths}{first}:{lengths}{number - 1})" if number > first else ""
            text = share_formula(f"({charges})", before, f"SUM({lengths}{first}:{lengths}{number})", f"({everything})")
            share = Formula(text, money_number(total.charges))
        values: list[Any] = [total.name, total.pieces, total_length(total.part_length, how)]
        values += [
            mass_number(total.part_mass, how),
            None,
            mass_number(total.others_mass, how),
            *[None] * (len(fields) - 10),
        ]
        values += [Formula(own, money_number(total.bars)), share, money_number(total.others_money)]
        together = Formula(f"{lengths}{number}+{shared}{number}+{others}{number}", money_number(total.money))
        page.cells(heads, [*values, (together, MONEY)])
    return ShareCells(lengths, shared, others, get_column_letter(len(fields)), first)
