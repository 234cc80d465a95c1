"""The sheets of several jobs planned together: how parts are kept apart, and each job with what it bears."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from cutplan.reports import extent
from cutplan.reports.own_rows import OwnRows
from cutplan.reports.part_rows import PartRow
from cutplan.reports.rows import Rows
from cutplan.reports.workbook.cells import MONEY, WEIGHT, Book, Formula, Look, mass_number, money_number
from cutplan.reports.workbook.moneysheets import Amount
from cutplan.reports.workbook.page import (
    BOLD_CELL,
    COST,
    COUNT_CELL,
    MASS_CELL,
    SORT,
    TEXT_CELL,
    TICK_CELL,
    Field,
    Page,
    fitting_width,
    length_value,
    narrowed,
    widths_of,
)
from cutplan.reports.workbook.sharesheet import ShareCells, share_formula
from cutplan.units import counted, mass_text
from cutplan.words.cutting import end_text
from cutplan.words.naming import numbers_text
from cutplan.words.share_words import KEPT_APART, RULE, SEVERAL, marks_line

_LONGEST_NAME = 31
"""Characters in the name of a sheet, of which these may not be among them: ECMA-376 part 1, 18.2.19; and what Excel
keeps for itself (from memory)."""
_NOT_IN_A_NAME = str.maketrans("[]:*?/\\", "-------")
_TAKEN = ("history",)


def free_name(book: Book, name: str, what: str = "") -> str:
    """The name of a sheet for a job, ``what`` behind it, cut short and told apart where it must be."""
    taken = {*_TAKEN, *(title.casefold() for title in book.workbook.sheetnames)}
    tidy = name.translate(_NOT_IN_A_NAME).strip("' ") or "job"
    number = 1
    while True:
        behind = "".join(f" {word}" for word in (what, str(number) if number > 1 else "") if word)
        found = tidy[: _LONGEST_NAME - len(behind)].rstrip("' ") + behind
        if found.casefold() not in taken:
            return found
        number += 1


def write_sort_sheet(book: Book, rows: Rows, paper: int) -> None:
    """Which bar is for which job, and what of the bars cut for several goes to each."""
    how = rows.workshop.printing
    names = [own.name for own in rows.jobs]
    fields = (
        Field(head="sorted", width=8, look=TICK_CELL),
        Field(head="bar", width=14, look=BOLD_CELL),
        Field(head="job", width=fitting_width("job", TEXT_CELL, names), look=TEXT_CELL),
        Field(head="parts, of each bar", width=60, look=TEXT_CELL),
    )
    page = Page(book, rows, SORT, widths_of(fields))
    page.line(KEPT_APART)
    for own in rows.jobs:
        mass = mass_text(own.total.part_mass, how)
        alone = numbers_text(own.alone) or "none"
        page.line(f"{own.name}: {counted(own.total.pieces, 'part')}, {mass}; bars cut for it alone: {alone}.")
    if rows.shared:
        page.gap()
        page.line(SEVERAL, Look(size=12, bold=True), 18)
        page.heads(fields)
    for each in rows.shared[: extent.MOST_WAYS]:
        for place, (name, words) in enumerate(each.parts):
            page.cells(fields, [None, None if place else numbers_text(each.bars), name, words])
    page.finish(paper, landscape=False)


def write_job_sheet(
    book: Book, rows: Rows, own: OwnRows, shares: ShareCells, to_pay: tuple[str, Amount] | None, paper: int
) -> None:
    """Its parts to tick, then its share of mass and money, which follows the price cells.

    Parameters
    ----------
    shares
        Where its money stands on the sheet of mass and cost.
    to_pay
        What is paid for all jobs: in which words, and where that stands; None where nothing is.
    """
    how = rows.workshop.printing
    kinds = [f"{row.standard}, {row.grade}, {row.finish}" for row in own.parts]
    listed: tuple[tuple[str, Look, list[Any]], ...] = (
        ("there", TICK_CELL, [None for _ in own.parts]),
        ("mark", BOLD_CELL, [row.mark for row in own.parts]),
        ("quantity", COUNT_CELL, [row.quantity for row in own.parts]),
        ("section", BOLD_CELL, [row.section for row in own.parts]),
        (f"length, {how.unit}", COUNT_CELL, [length_value(row.length, how) for row in own.parts]),
        ("ends A | B", TEXT_CELL, [_ends(row) for row in own.parts]),
        ("bar (part from START)", TEXT_CELL, [own.cut_from[row.mark] for row in own.parts]),
        ("assembly", TEXT_CELL, [row.assembly for row in own.parts]),
        (f"{how.mass_unit} each", MASS_CELL, [mass_number(row.mass_each, how) for row in own.parts]),
        (how.mass_unit, MASS_CELL, [mass_number(row.mass, how) for row in own.parts]),
        ("standard, grade, finish", TEXT_CELL, kinds),
        ("note", TEXT_CELL, [row.note for row in own.parts]),
    )
    fields = [Field(head=head, width=fitting_width(head, look, values), look=look) for head, look, values in listed]
    fields = narrowed(fields, paper, landscape=True)
    page = Page(book, rows, free_name(book, own.name), widths_of(fields))
    page.line(marks_line(own.name))
    page.heads(fields)
    for values in zip(*(values for _, _, values in listed), strict=True):
        page.cells(fields, values)
    page.gap()
    page.line("Share of the purchase", Look(size=12, bold=True), 18)
    page.line(RULE)
    for label, value in _shares(rows, own, shares, to_pay):
        _share_line(page, fields, label, value)
    for other in own.others:
        page.line(other.text)
    page.finish(paper, landscape=True, title_rows=4)


def _ends(row: PartRow) -> str:
    return "square" if row.short_point is None else f"{end_text(row.angle_a)} | {end_text(row.angle_b)}"


def _shares(rows: Rows, own: OwnRows, shares: ShareCells, to_pay: tuple[str, Amount] | None) -> list[tuple[str, Any]]:
    how, totals = rows.workshop.printing, rows.totals
    number = shares.first + rows.jobs.index(own)

    def money(column: str, amount: int) -> Any:
        return Formula(f"'{COST}'!${column}${number}", money_number(amount)), MONEY

    def reached(last: int) -> str:
        return f"SUM('{COST}'!${shares.amount}${shares.first}:${shares.amount}${last})"

    paid = []
    if to_pay is not None:
        words, whole = to_pay
        share: Any = money_number(own.to_pay)
        if any(total.money for total in totals.lists):
            before = reached(number - 1) if number > shares.first else ""
            everything = reached(shares.first + len(totals.lists) - 1)
            share = Formula(share_formula(whole.cell, before, reached(number), everything), share)
        paid.append((words, (share, MONEY)))
    mass = [
        (f"parts, {how.mass_unit}", own.total.part_mass),
        (f"share of what is bought, {how.mass_unit}", own.bought_mass),
    ]
    return [
        *((label, (mass_number(amount, how), WEIGHT)) for label, amount in mass),
        ("lengths", money(shares.lengths, own.total.bars)),
        ("charges", money(shares.charges, own.total.charges)),
        ("other things", money(shares.others, own.total.others_money)),
        *paid,
    ]


def _share_line(page: Page, fields: Sequence[Field], label: str, value: Any) -> None:
    """A label under the sections, and what it comes to under the lengths."""
    plain = [replace(each, look=COUNT_CELL if place == 4 else TEXT_CELL) for place, each in enumerate(fields)]
    page.cells(plain, [None, None, None, label, value, *[None] * (len(fields) - 5)])
