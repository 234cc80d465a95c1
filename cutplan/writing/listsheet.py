"""One list of a new workbook: greyed examples above its headings, lists to choose from, the spreadsheet's own checks.

The examples stand above the headings, where nothing is read, so that one left standing can never be planned.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation

from cutplan.reading.lists.uncut import ASSEMBLY, OTHER
from cutplan.reading.sheets.headings import CHECK, Heading, Kind
from cutplan.reading.sheets.raw_cells import Cell
from cutplan.reading.sheets.tables import Table
from cutplan.reports.workbook.cells import Book, Formula, Look, set_up_page
from cutplan.units import ANGLE_FORMS, MONEY_FORMS, QUANTITY_FORMS

LINES = 100
"""Rows ruled and checked under the headings; more are read all the same."""
CHOOSE_TO = 2000
"""Last row with lists to choose from."""

TITLE = Look(size=16, bold=True)
HINT = Look(size=9, wrap=True, valign="top")
EXAMPLE = Look(italic=True, grey=True)
HEADING = Look(size=9, bold=True, shade=True, border="tb", wrap=True)
FIELD = Look(border="lrb")
FOUND = Look(bold=True, indent=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lines:
    """Rows of a list that is there already: headings as typed with what they mean, cells by that meaning.

    ``above`` are rows that stood above the headings and are the list's own.
    """

    headings: Mapping[str, str]
    rows: Sequence[Mapping[str, Any]]
    above: Sequence[Sequence[Any]] = ()


def lines_of(table: Table) -> Lines:
    """The rows of a list that was read, cell by cell as they stand there."""
    columns = table.columns
    rows = table.sheet.rows
    body = [
        {name: _cell(cells[column.index]) for name, column in columns.items() if column.index < len(cells)}
        for cells in rows[table.heading_row + 1 :]
    ]
    filled = [row for row in body if any(value is not None for value in row.values())]
    return Lines(
        headings={name: column.typed if column.unit else name for name, column in columns.items()},
        rows=filled,
        above=[cells for cells in rows[: table.heading_row] if any(_cell(cell) is not None for cell in cells)],
    )


def _cell(cell: Cell) -> Cell | None:
    return None if isinstance(cell, str) and not cell.strip() else cell


NO_LINES = Lines(headings={}, rows=())


@dataclass(frozen=True, slots=True, kw_only=True)
class ListSheet:
    """What a list of the workbook is made of.

    ``hint`` says how to fill it in; ``choices`` are ranges of another sheet to choose from, by heading. ``once`` is a
    heading under which no two rows may be alike; ``checked`` is false where every cell may be blank; ``repeats`` is a
    formula that holds when an empty section repeats the one above.
    """

    name: str
    title: str
    hint: str
    headings: Sequence[Heading]
    examples: Sequence[Sequence[Any]]
    choices: Mapping[str, str]
    once: str = ""
    checked: bool = True
    repeats: str = ""

    @property
    def usual(self) -> tuple[str, ...]:
        """The headings in sight, in order; the others are folded away beside them."""
        return tuple(each.name for each in sorted(self.headings, key=lambda each: each.shown) if each.shown)


def write_list(book: Book, made: ListSheet, lines: Lines, job: str, paper: int) -> str:
    """Write one list; returns a formula for the number of rows its checks find something in, blank with no checks."""
    sheet = book.sheet(made.name)
    seen = [*made.usual, *([CHECK] if made.checked else [])]
    names = [*seen, *(each.name for each in made.headings if each.read and each.name not in made.usual)]
    kinds = {heading.name: heading for heading in made.headings}
    book.put(sheet, 1, 1, made.title, TITLE)
    sheet.merge_cells(start_row=2, end_row=2, start_column=1, end_column=len(made.usual) + 1)
    book.put(sheet, 2, 1, made.hint, HINT)
    sheet.row_dimensions[2].height = 40
    row = 3
    for above in lines.above:
        for column, value in enumerate(above, 1):
            book.put(sheet, row, column, value, Look())
        row += 1
    for example in made.examples:
        for column, value in enumerate(example, 1):
            book.put(sheet, row, column, value, EXAMPLE)
        row += 1
    letters = {name: get_column_letter(column) for column, name in enumerate(names, 1)}
    for column, name in enumerate(names, 1):
        book.put(sheet, row, column, lines.headings.get(name, name), HEADING)
        sheet.column_dimensions[letters[name]].width = kinds[name].width
    sheet.row_dimensions[row].height = 28
    first, last = row + 1, row + max(LINES, len(lines.rows) + 50)
    for number in range(first, last + 1):
        values = lines.rows[number - first] if number - first < len(lines.rows) else {}
        for column, name in enumerate(names, 1):
            if name == CHECK:
                book.put(sheet, number, column, Formula(_check(made, kinds, letters, number, first, last), ""), FOUND)
            else:
                book.put(sheet, number, column, values.get(name), FIELD)
    for name in names:
        if name != CHECK:
            _validate(sheet, kinds[name], made, f"{letters[name]}{first}:{letters[name]}{CHOOSE_TO}")
    folded = [letters[name] for name in names[len(seen) :]]
    if folded:
        sheet.column_dimensions.group(
            folded[0], folded[-1], outline_level=1, hidden=not _used(lines, names[len(seen) :])
        )
    sheet.freeze_panes = f"B{first}"
    set_up_page(
        sheet,
        job=job,
        paper=paper,
        landscape=True,
        last_row=max(first + len(lines.rows), first + 30),
        columns=len(made.usual),
        title_rows=row,
    )
    if not made.checked:
        return ""
    return f"COUNTIF('{made.name}'!{letters[CHECK]}{first}:{letters[CHECK]}{last},\"?*\")"


def _used(lines: Lines, names: Sequence[str]) -> bool:
    """Does a row hold anything in one of these columns?"""
    return any(row.get(name) not in ("", None) for row in lines.rows for name in names)


def _check(
    made: ListSheet, kinds: Mapping[str, Heading], letters: Mapping[str, str], row: int, first: int, last: int
) -> str:
    """A formula that names the first thing missing in a row, or a name that is there twice; blank when all is well."""
    needed = [name for name, heading in kinds.items() if heading.needed]
    filled = [f'{letters[name]}{row}<>""' for name in made.usual if name != made.once]
    text = '""'
    if made.once:
        column = letters[made.once]
        alike = f"COUNTIF({column}${first}:{column}${last},{column}{row})>1"
        text = f'IF({column}{row}="","",IF({alike},"{made.once} is there twice",""))'
    for name in reversed(needed):
        cell = f"{letters[name]}{row}"
        missing = f'{cell}=""'
        if name == "Length" and "Weight each" in kinds:
            # A line of the parts list that is not cut says so where its section would stand, and has no length.
            section = f"{letters['Section']}{row}"
            missing = f'AND({missing},{section}<>"{OTHER}",{section}<>"{ASSEMBLY}")'
        if name == "Section" and made.repeats:
            missing = f"AND({missing},NOT({made.repeats}))"
        if kinds[name].kind is Kind.COUNT:
            text = f'IF(ISTEXT({cell}),"{name}: a number is expected",{text})'
        text = f'IF({missing},"{name} is missing",{text})'
    return f'IF(OR({",".join(filled)}),{text},"")'


def _validate(sheet: Any, heading: Heading, made: ListSheet, cells: str) -> None:
    """What may be typed under a heading, as far as a spreadsheet can tell."""
    name = heading.name
    first = cells.split(":")[0]
    choices = made.choices.get(name) or (f'"{",".join(heading.choices)}"' if heading.choices else "")
    if choices:
        rule = DataValidation(type="list", formula1=choices, showErrorMessage=heading.strict)
        rule.error = f"{name}: choose from the list"
    elif heading.kind is Kind.COUNT:
        rule = DataValidation(type="whole", operator="between", formula1="0", formula2="100000", showErrorMessage=True)
        rule.error = QUANTITY_FORMS
    elif heading.kind is Kind.ANGLE:
        rule = DataValidation(type="decimal", operator="between", formula1="0", formula2="75", showErrorMessage=True)
        rule.error = ANGLE_FORMS
    elif heading.kind is Kind.MONEY:
        rule = DataValidation(type="decimal", operator="greaterThanOrEqual", formula1="0", showErrorMessage=True)
        rule.error = MONEY_FORMS
    elif heading.kind is Kind.LENGTH:
        rule = DataValidation(type="custom", formula1=f"OR(ISTEXT({first}),{first}>=0)", showErrorMessage=True)
        rule.error = "a number, or a length such as 6.5 m or 47 1/4 in"
    else:
        return
    rule.errorTitle = name
    rule.allow_blank = True
    rule.add(cells)
    sheet.add_data_validation(rule)
