"""A blank price list for exactly what a job needs, to fill in as merchants quote and to be read then."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from cutplan.model import Part, Workshop
from cutplan.reports.workbook.cells import A4, LETTER, Book, Look, set_up_page
from cutplan.units import Length, counted, stock_text
from cutplan.words.naming import shop_name
from cutplan.writing.listsheet import FIELD, HEADING, HINT, TITLE

COLUMNS = (*("Merchant", "Section", "Standard", "Grade", "Finish", "Length", "Price", "Per", "Available", "Wanted"),)
_WIDTHS = (20, 22, 14, 10, 12, 12, 12, 10, 11, 26)
FORM_HINT = (
    "Ask for each row, and write the price and what it is for: each, per m, per ft, per kg, per lb or per tonne. "
    "Write no under Price where it is not sold. A row with no length and no price is not read."
)
BLANK_ROWS = 2
"""Rows for each section and merchant where no stock lengths are known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One material of a job, with what the parts cut from it come to. ``length`` in nm."""

    section: str
    standard: str
    grade: str
    finish: str
    pieces: int
    length: Length


def asked_of(parts: Sequence[Part]) -> tuple[Asked, ...]:
    """The sections, standards, grades and finishes of a job, in the order of their first part."""
    totals: dict[tuple[str, str, str, str], tuple[int, int]] = {}
    for part in parts:
        key = (part.section.designation, part.section.standard, part.grade, part.finish)
        pieces, length = totals.get(key, (0, 0))
        totals[key] = (pieces + part.quantity, length + part.quantity * part.length)
    return tuple(
        Asked(section=key[0], standard=key[1], grade=key[2], finish=key[3], pieces=pieces, length=length)
        for key, (pieces, length) in totals.items()
    )


def form_rows(
    asked: Sequence[Asked], merchants: Sequence[str], lengths: Mapping[str, Sequence[Length]], workshop: Workshop
) -> list[tuple[str, ...]]:
    """Rows of the form: every material, from every merchant, in every stock length.

    Parameters
    ----------
    merchants
        Names to fill in; one blank one stands for somebody not known yet.
    lengths
        Stock lengths by designation, and under a blank one those of all others. [nm]
    """
    rows: list[tuple[str, ...]] = []
    for each in asked:
        known = [_on_sale(length, workshop) for length in lengths.get(each.section) or lengths.get("", ())]
        wanted = f"{counted(each.pieces, 'part')}, {stock_text(each.length, workshop.printing)}"
        for merchant in merchants or ("",):
            for length in known or [""] * BLANK_ROWS:
                price = ("", "each", "")
                rows.append(
                    (
                        merchant,
                        shop_name(each.section, workshop.printing),
                        each.standard,
                        each.grade,
                        each.finish,
                        length,
                        *price,
                        wanted,
                    )
                )
    return rows


def _on_sale(length: Length, workshop: Workshop) -> str:
    """A stock length as merchants say it, where it then reads back as it is."""
    said = stock_text(length, workshop.printing)
    return said if workshop.unit == "in" and "~" not in said else workshop.figures.typed_length(length)


def form_csv(rows: Sequence[Sequence[str]]) -> bytes:
    """The form as a csv text."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([COLUMNS, *rows])
    return text.getvalue().encode("utf-8")


def form_book(rows: Sequence[Sequence[str]], job: str, workshop: Workshop) -> bytes:
    """The form as a workbook, to print and to fill in."""
    book = Book()
    sheet = book.sheet("Prices")
    book.put(sheet, 1, 1, f"Prices to ask for: {job}, in {workshop.currency}", TITLE)
    sheet.merge_cells(start_row=2, end_row=2, start_column=1, end_column=len(COLUMNS))
    book.put(sheet, 2, 1, FORM_HINT, HINT)
    sheet.row_dimensions[2].height = 28
    for column, (head, width) in enumerate(zip(COLUMNS, _WIDTHS, strict=True), 1):
        book.put(sheet, 3, column, head, HEADING)
        sheet.column_dimensions[sheet.cell(3, column).column_letter].width = width
    for number, row in enumerate(rows, 4):
        for column, value in enumerate(row, 1):
            book.put(sheet, number, column, value or None, Look(size=8, indent=1) if column == len(COLUMNS) else FIELD)
        sheet.row_dimensions[number].height = 20
    sheet.freeze_panes = "A4"
    paper = A4 if workshop.paper == "A4" else LETTER
    last = 3 + len(rows)
    set_up_page(sheet, job=job, paper=paper, landscape=True, last_row=last, columns=len(COLUMNS), title_rows=3)
    return book.to_bytes()
