"""One workbook that holds a whole job: blank to begin with, or a job that is there, ready to be filled in further."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from cutplan.model import Workshop
from cutplan.reading.jobbook import HOLES_SHEET, MERCHANTS_SHEET, PARTS_SHEET, PRICES_SHEET, RACK_SHEET
from cutplan.reading.lists.ditto import Repeat
from cutplan.reading.lists.part_columns import PARTS
from cutplan.reading.lists.price_columns import PRICES
from cutplan.reading.lists.rack_columns import RACK
from cutplan.reading.sheets.headings import HOLES
from cutplan.reading.sheets.tables import Table
from cutplan.reports.workbook.cells import A4, LETTER, Book, Formula, Look, set_up_page
from cutplan.sections.inch_names import inch_name
from cutplan.sections.usual import usual_sizes
from cutplan.writing.listsheet import NO_LINES, TITLE, Lines, ListSheet, write_list
from cutplan.writing.settingsheets import FIRST_SETTING, setting_cell, write_workshop

START_SHEET, CHOICES_SHEET = "Start", "Choices"

_STEPS = (
    "1  Workshop: look the settings over. A blank value is the default beside it.",
    "2  Parts: one row per part, below the headings. The grey rows above them are examples and are never read.",
    "3  Prices: what can be bought. Leave it empty as long as you have no prices and give stock lengths on Workshop.",
    "4  Rack: the offcuts you have, each with its mark. Leave it empty when there are none.",
    "5  Columns for less usual things are folded away: press the + above the headings.",
    "6  Save the file, and close it before you plan.",
)


def book_bytes(
    name: str,
    workshop: Workshop,
    document: Mapping[str, Any],
    lists: Mapping[str, Lines] | None = None,
) -> bytes:
    """A workbook for a job as a file's content; the same for the same job.

    Parameters
    ----------
    name
        Of the job; its file is called the same.
    workshop
        Settles paper, examples and the sizes to choose from.
    document
        The workshop's keys as typed, table by table; blank cells take the default.
    lists
        Rows of the sheets Parts, Prices and Rack that are there already.
    """
    given = lists or {}
    book = Book(guarded=False)
    paper = A4 if workshop.paper == "A4" else LETTER
    start = book.sheet(START_SHEET)
    sizes = usual_sizes(workshop.standard)
    if workshop.unit == "in":
        sizes = tuple(inches for size in sizes if (inches := inch_name(size)) != size)
    finds = {
        made.name: write_list(book, made, given.get(made.name, NO_LINES), name, paper)
        for made in _sheets(name, workshop, sizes)
    }
    write_workshop(book, document, name, paper)
    _choices(book, sizes)
    _start(book, start, name, finds, paper)
    return book.to_bytes()


def without_examples(table: Table) -> Table:
    """A list without what a new workbook puts above its headings: in another form nothing shows that it is not read."""
    sheets = [made for unit in ("mm", "in") for made in _sheets("", Workshop(unit=unit), ())]
    own = [[made.hint] for made in sheets] + [_filled(example) for made in sheets for example in made.examples]
    rows = table.sheet.rows
    above = [cells for cells in rows[: table.heading_row] if _filled(cells) not in own]
    kept = [*above, *rows[table.heading_row :]]
    return replace(table, sheet=replace(table.sheet, rows=kept), heading_row=len(above))


def _filled(cells: Sequence[Any]) -> list[Any]:
    return [cell for cell in cells if cell != ""]


def _choices(book: Book, sizes: tuple[str, ...]) -> None:
    sheet = book.sheet(CHOICES_SHEET)
    sheet.sheet_state = "hidden"
    for row, size in enumerate(sizes, 1):
        book.put(sheet, row, 1, size, Look())


def _start(book: Book, sheet: Any, name: str, finds: Mapping[str, str], paper: int) -> None:
    sheet.column_dimensions["A"].width = 26
    sheet.column_dimensions["B"].width = 80
    book.put(sheet, 1, 1, name, TITLE)
    row = 3
    for step in _STEPS:
        book.put(sheet, row, 1, step, Look())
        row += 1
    book.put(sheet, row, 1, f"7  cutplan check {name}.xlsx, then cutplan plan {name}.xlsx", Look(bold=True))
    row += 2
    for title, formula in finds.items():
        if not formula:
            continue
        book.put(sheet, row, 1, f"{title}: rows to look at", Look(bold=True))
        book.put(sheet, row, 2, Formula(formula, 0), Look(bold=True, align="left", form="0"))
        row += 1
    set_up_page(sheet, job=name, paper=paper, landscape=True, last_row=row, columns=2, title_rows=1)


def _sheets(name: str, workshop: Workshop, sizes: tuple[str, ...]) -> tuple[ListSheet, ...]:
    inches = workshop.unit == "in"
    repeats = f'{setting_cell("lists.repeat_above")}="{Repeat.BLANK.value}"'
    choose = {
        "Section": f"{CHOICES_SHEET}!$A$1:$A${max(1, len(sizes))}",
        "Merchant": f"{MERCHANTS_SHEET}!$A${FIRST_SETTING}:$A$200",
    }
    unit = "inches such as 47 1/4" if inches else "millimetres such as 1200"
    lengths = f"Lengths are {unit}, or with their unit: 1.2 m, 3' 11 1/4\"."
    tube, long, short, bar = ("HSS 2x2x1/8", "47 1/4", 20, "20 ft") if inches else ("SHS 40x40x3", 1200, 850, "6 m")
    return (
        ListSheet(
            name=PARTS_SHEET,
            title=f"Parts: {name}",
            hint=f"{lengths} Angles are degrees from square, blank is square. Marks may be left blank. "
            "The grey rows are examples and are never read.",
            headings=PARTS,
            examples=(
                ("A1", 4, tube, long, "", "", "", "", "", "frame", "upright"),
                ("A2", 2, tube, short, 45, 45, "long point", "", "galvanised", "frame", "rail, mitred"),
            ),
            choices=choose,
            once="Mark",
            repeats=repeats,
        ),
        ListSheet(
            name=PRICES_SHEET,
            title=f"Prices: {name}",
            hint=f"One row per length on offer. {lengths} A blank price is one not known yet. A blank grade is unknown "
            "and serves only parts that state none. The grey rows are examples and are never read.",
            headings=PRICES,
            examples=(
                ("Quillhaven Yard", tube, bar, 31.5, "each", "", "", ""),
                ("Quillhaven Yard", tube, bar, 1.42, "per kg", 10, "", "galvanised"),
            ),
            choices=choose,
            repeats=repeats,
        ),
        ListSheet(
            name=RACK_SHEET,
            title=f"Rack: {name}",
            hint=f"One row per offcut, as measured. {lengths} A blank end is sawn. "
            "The grey row is an example and is never read.",
            headings=RACK,
            examples=(("R1", tube, short, "", "", "sawn", "mill", "bay 2", "", ""),),
            choices=choose,
            once="Mark",
            repeats=repeats,
        ),
        ListSheet(
            name=HOLES_SHEET,
            title=f"Holes: {name}",
            hint=f"Where parts are drilled, from end A. {lengths} Leave it empty when nothing is drilled. "
            "The grey rows are examples and are never read.",
            headings=HOLES,
            examples=(
                (
                    "A1",
                    "",
                    "2" if inches else "50",
                    "",
                    "",
                    "1/2 in clear" if inches else "M12 clear",
                    "",
                    "for the hinge",
                ),
                ("A1, A2", "", "4, 6 @ 3" if inches else "100, 6 @ 75", 2, "", "3/8" if inches else 9, "one wall", ""),
            ),
            choices={},
            checked=False,
        ),
    )
