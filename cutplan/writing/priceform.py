"""A blank price list for exactly what a job needs, to fill in as merchants quote and to be read then."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from cutplan.model import Part, Saw, StockLength, Workshop
from cutplan.reading.forms.past_prices import PastPrice
from cutplan.reading.grades_serving import serves_here
from cutplan.reading.lists.merchant_charges import CHARGES, CHARGES_SHEET
from cutplan.reports.workbook.cells import (
    A4,
    CELL_MARGINS_MM,
    COLUMN_UNIT_MM,
    LETTER,
    Book,
    Look,
    lines_needed,
    money_number,
    set_up_page,
)
from cutplan.sections.section import Family
from cutplan.units import Length, ceil_div, counted, stock_text
from cutplan.words.naming import shop_name
from cutplan.writing.listsheet import FIELD, HEADING, HINT, TITLE

COLUMNS = (
    *("Merchant", "Section", "Standard", "Grade", "Finish", "Length", "Price", "Per", "Available", "Wanted", "Quoted"),
)
_WIDTHS = (20, 22, 14, 10, 12, 12, 12, 10, 11, 28, 20)
FORM_HINT = (
    "Ask for each row, and write the price and what it is for: each, per m, per ft, per kg, per lb or per tonne. "
    "Write no under Price where it is not sold. A row with no length and no price is not read. "
    "What is charged for delivery and for cuts goes on the sheet Charges."
)
CHARGES_HINT = (
    "What you charge beside the prices, {tax} tax. Write 0 where you charge nothing, and no where you do not deliver, "
    "or do not cut; what is left blank stays open."
)
ASIDE = Look(size=8, indent=1, wrap=True)
"""What stands beside a row for whoever fills it in."""
ANOTHER = "the same in another length, where one is sold"


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One material of a job, with what is cut from it.

    Parameters
    ----------
    section
        As the list names it, where its figures are others than those of its standard name; else blank.
    designation
        Its standard name.
    wanted
        The saw, the length and how many there are of each part; the saw is blank where there is one. [nm]
    """

    section: str
    designation: str
    standard: str
    grade: str
    finish: str
    family: Family
    wanted: tuple[tuple[str, Length, int], ...]

    @property
    def pieces(self) -> int:
        """Parts counted one by one."""
        return sum(count for *_, count in self.wanted)

    @property
    def length(self) -> Length:
        """Of all parts. [nm]"""
        return sum(length * count for _, length, count in self.wanted)


@dataclass(frozen=True, slots=True, kw_only=True)
class FormRow:
    """One line of a form: a stock length of one material, about ``count`` of which are wanted.

    ``length`` is 0 where no stock length is known; ``count`` is 0 where it cannot be said.
    ``last`` is what was quoted for it before, ``serves`` the grade asked where its own stands for that. ``another``
    is true of the second line where no stock length is known. [nm]
    """

    merchant: str
    asked: Asked
    length: Length
    count: int
    last: PastPrice | None = None
    serves: str = ""
    another: bool = False


def asked_of(parts: Sequence[Part]) -> tuple[Asked, ...]:
    """The sections, standards, grades and finishes of a job, in the order of their first part."""
    members: dict[tuple[str, str, str, str], list[Part]] = {}
    for part in parts:
        key = (part.section.designation, part.section.standard, part.grade, part.finish)
        members.setdefault(key, []).append(part)
    return tuple(
        Asked(
            section=next(filter(None, (part.section_as_typed for part in alike)), ""),
            designation=key[0],
            standard=key[1],
            grade=key[2],
            finish=key[3],
            family=alike[0].section.family,
            wanted=tuple((part.saw, part.length, part.quantity) for part in alike),
        )
        for key, alike in members.items()
    )


def about(asked: Asked, length: Length, workshop: Workshop) -> int:
    """About how many of a stock length all parts of a material take that fit into one; 0 where none does.

    One bar is cut on one saw, so that those of each are counted with its own kerf and trims. No plan takes fewer: no
    length holds more of the parts from one length on than of that length alone (bound L1 of Martello and Toth, Knapsack
    Problems, 1990, ch. 8, and a count).
    """
    usual = workshop.counted_on(asked.family, length)
    wanted: dict[str, list[tuple[Length, int]]] = {}
    for name, part, count in asked.wanted:
        wanted.setdefault(name, []).append((part, count))
    return sum(_about(parts, usual, workshop.at_saw(name).saw) for name, parts in wanted.items())


def _about(wanted: Sequence[tuple[Length, int]], counted: Length, saw: Saw) -> int:
    """As :func:`about`, for what is cut on one saw; ``counted`` is what the length is counted on at."""
    usable = counted - 2 * saw.mill_trim + saw.kerf
    fitting = [(part + saw.kerf, count) for part, count in wanted if part + saw.kerf <= usable]
    if not fitting:
        return 0
    least, longer = ceil_div(sum(part * count for part, count in fitting), usable), 0
    for part, count in sorted(fitting, reverse=True):
        longer += count
        least = max(least, ceil_div(longer, usable // part))
    return least


def form_rows(
    asked: Sequence[Asked], merchants: Sequence[str], lengths: Mapping[str, Sequence[Length]], workshop: Workshop
) -> list[FormRow]:
    """Rows of the form: every material, from every merchant, in every stock length that some part fits into.

    Parameters
    ----------
    merchants
        Names to fill in; one blank one stands for somebody not known yet.
    lengths
        Stock lengths by designation, and under a blank one those of all others. [nm]
    """
    rows: list[FormRow] = []
    for each in asked:
        known = lengths.get(each.designation) or lengths.get("", ())
        counts = [(length, about(each, length, workshop)) for length in known]
        for merchant in dict.fromkeys(merchants or ("",)):
            row = FormRow(merchant=merchant, asked=each, length=0, count=0)
            of_interest = [replace(row, length=length, count=count) for length, count in counts if count]
            rows += of_interest or [row, replace(row, another=True)]
    return rows


def sold_rows(asked: Sequence[Asked], offers: Sequence[StockLength], workshop: Workshop) -> list[FormRow]:
    """Rows of the form: what is known to be sold of every material, by whom and in which lengths.

    A material of no grade is asked for in each grade that is sold; one of a grade in those that serve it.
    """
    rows = []
    for each in asked:
        for offer in offers:
            made_of = (offer.section.designation, offer.section.standard, offer.finish)
            if made_of == (each.designation, each.standard, each.finish) and serves_here(
                offer.grade, each.grade, workshop
            ):
                count = about(each, offer.length, workshop)
                of_grade = replace(each, grade=offer.grade)
                rows.append(FormRow(merchant=offer.merchant, asked=of_grade, length=offer.length, count=count,
                                    serves=_served(each, offer.grade)))  # fmt: skip
    return [row for row in rows if row.count]


def _served(asked: Asked, grade: str) -> str:
    """The grade asked where another one is to be quoted for it; blank where that is the same or any will do."""
    return asked.grade if asked.grade != grade else ""


def last_rows(
    asked: Sequence[Asked], past: Sequence[PastPrice], merchants: Sequence[str], workshop: Workshop
) -> list[FormRow]:
    """Rows of the form with what was quoted last, where that was in the currency and on the tax basis of the workshop.

    Parameters
    ----------
    merchants
        Whose prices; without any, those of all.
    """
    names = {name.casefold() for name in merchants}
    basis = (workshop.currency, workshop.prices_include_tax)
    rows = []
    for each in asked:
        for price in past:
            made_of = (price.section, price.standard, price.finish)
            alike = made_of == (each.designation, each.standard, each.finish) and serves_here(
                price.grade, each.grade, workshop
            )
            if (
                alike
                and (price.currency, price.with_tax) == basis
                and (not names or price.merchant.casefold() in names)
            ):
                of_grade = replace(each, grade=price.grade)
                count = about(each, price.length, workshop)
                rows.append(
                    FormRow(
                        merchant=price.merchant,
                        asked=of_grade,
                        length=price.length,
                        count=count,
                        last=price,
                        serves=_served(each, price.grade),
                    )
                )
    return [row for row in rows if row.count]


def row_cells(row: FormRow, workshop: Workshop, today: date | None = None) -> tuple[str, ...]:
    """A line as the texts of its cells, under :data:`COLUMNS`; how old a price is counts from ``today``."""
    asked = row.asked
    wanted = f"{counted(asked.pieces, 'part')}, {stock_text(asked.length, workshop.printing)}"
    material = (row.merchant, section_named(asked, workshop), asked.standard, asked.grade, asked.finish)
    length = _on_sale(row.length, workshop) if row.length else ""
    wanted = f"about {row.count}: {wanted}" if row.count else wanted
    wanted += f"; serves {row.serves}" if row.serves else ""
    wanted = ANOTHER if row.another else wanted
    if row.last is None:
        return (*material, length, "", "each", "", wanted, "")
    price = workshop.figures.typed_money(row.last.price)
    return (*material, length, price, row.last.basis.value, "", wanted, age_text(row.last, today or row.last.day))


def age_text(price: PastPrice, today: date) -> str:
    """When a price was quoted, and how long that is ago: ``2031-06-01, 34 days ago``."""
    days = (today - price.day).days
    ago = f"{counted(days, 'day')} ago" if days > 0 else "still to come"
    return f"{price.day}, {ago if days else 'today'}"


def _on_sale(length: Length, workshop: Workshop) -> str:
    """A stock length as merchants say it, where it then reads back as it is."""
    said = stock_text(length, workshop.printing)
    return said if workshop.unit == "in" and "~" not in said else workshop.figures.typed_length(length)


def section_named(asked: Asked, workshop: Workshop) -> str:
    """How a form names a section, so that it reads back as the same one."""
    return asked.section or shop_name(asked.designation, workshop.printing)


def form_csv(rows: Sequence[FormRow], workshop: Workshop, today: date | None = None) -> bytes:
    """The form as a csv text."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(_cells(rows, workshop, today))
    return text.getvalue().encode("utf-8")


def _cells(rows: Sequence[FormRow], workshop: Workshop, today: date | None) -> list[tuple[str, ...]]:
    """Headings and lines; what was quoted before has a column where something was."""
    end = len(COLUMNS) if any(row.last for row in rows) else len(COLUMNS) - 1
    return [COLUMNS[:end], *(row_cells(row, workshop, today)[:end] for row in rows)]


def form_book(rows: Sequence[FormRow], title: str, job: str, workshop: Workshop, today: date | None = None) -> bytes:
    """The form as a workbook, to print and to fill in."""
    heads, *texts = _cells(rows, workshop, today)
    asked_for, price = COLUMNS.index("Wanted"), COLUMNS.index("Price")
    book = Book(guarded=False)
    sheet = book.sheet("Prices")
    book.put(sheet, 1, 1, f"{title}: {job}, in {workshop.currency}", TITLE)
    sheet.merge_cells(start_row=2, end_row=2, start_column=1, end_column=len(heads))
    book.put(sheet, 2, 1, FORM_HINT, HINT)
    sheet.row_dimensions[2].height = 28
    for column, (head, width) in enumerate(zip(heads, _WIDTHS, strict=False), 1):
        book.put(sheet, 3, column, head, HEADING)
        sheet.column_dimensions[sheet.cell(3, column).column_letter].width = width
    for number, (line, row) in enumerate(zip(texts, rows, strict=True), 4):
        for column, value in enumerate(line, 1):
            book.put(sheet, number, column, value or None, ASIDE if column > asked_for else FIELD)
        if row.last is not None:
            book.put(sheet, number, price + 1, money_number(row.last.price), FIELD)
        aside = zip(line[asked_for:], _WIDTHS[asked_for:], strict=False)
        lines = max(lines_needed(text, width * COLUMN_UNIT_MM - CELL_MARGINS_MM, ASIDE.size) for text, width in aside)
        sheet.row_dimensions[number].height = max(20, 4 + 11 * lines)
    sheet.freeze_panes = "A4"
    paper = A4 if workshop.paper == "A4" else LETTER
    last = 3 + len(rows)
    set_up_page(sheet, job=job, paper=paper, landscape=True, last_row=last, columns=len(heads), title_rows=3)
    _put_charges(book, list(dict.fromkeys(row.merchant for row in rows)), job, workshop, paper)
    return book.to_bytes()


def _put_charges(book: Book, merchants: Sequence[str], job: str, workshop: Workshop, paper: int) -> None:
    """The sheet on which each merchant says what it charges beside the prices."""
    sheet = book.sheet(CHARGES_SHEET)
    book.put(sheet, 1, 1, f"{CHARGES_SHEET}: {job}, in {workshop.currency}", TITLE)
    sheet.merge_cells(start_row=2, end_row=2, start_column=1, end_column=len(CHARGES))
    book.put(sheet, 2, 1, CHARGES_HINT.format(tax="with" if workshop.prices_include_tax else "without"), HINT)
    sheet.row_dimensions[2].height = 28
    sheet.row_dimensions[3].height = 52
    for column, heading in enumerate(CHARGES, 1):
        book.put(sheet, 3, column, heading.about, replace(HINT, indent=1))
        book.put(sheet, 4, column, heading.name, replace(HEADING, indent=1))
        sheet.column_dimensions[sheet.cell(4, column).column_letter].width = max(heading.width, 18)
    for number, merchant in enumerate(merchants, 5):
        for column in range(1, len(CHARGES) + 1):
            book.put(sheet, number, column, (merchant or None) if column == 1 else None, FIELD)
        sheet.row_dimensions[number].height = 20
    sheet.freeze_panes = "A5"
    last = 4 + len(merchants)
    set_up_page(sheet, job=job, paper=paper, landscape=True, last_row=last, columns=len(CHARGES), title_rows=4)
