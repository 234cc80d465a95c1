"""Which sheet holds a list, which row its headings, and what each column then means.

What goes wrong is collected, never raised, so that one run shows everything.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from cutplan.problems import Problem, ProblemsFound
from cutplan.reading.sheets.cell_checks import (
    check_faults,
    check_merged,
    check_merged_headings,
    check_size,
    check_texts,
)
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.headings import MATERIAL, Heading, Kind, Recognised, heading_hint, heading_names, recognise
from cutplan.reading.sheets.raw_cells import (
    TITLE_ROWS,
    Cell,
    RawFile,
    Sheet,
    cell_text,
    column_letter,
    read_sheets,
    refuse,
)
from cutplan.reading.sheets.tables import Column, Table, is_blank

MOST_NAMES = 10
"""Other spellings of a missing heading that a message names."""

_COMMA = (
    "a comma splits cells in this file: write 1200, not 1,200, and 32.50, not 32,50; where the workshop file gives "
    "workshop.decimal_sign, part the cells by semicolons"
)


def read_table(file: RawFile, headings: Sequence[Heading], findings: Findings, decimal_sign: str = "") -> Table | None:
    """Find the table in a file.

    Parameters
    ----------
    file
        A csv text or a workbook.
    headings
        The columns the list may have.
    findings
        Gains what is wrong with the file, its headings, and cells that hold no value.
    decimal_sign
        What the workshop says it is; blank when it does not.

    Returns
    -------
    Table or None
        None when no rows can be read; then a problem has been noted.
    """
    try:
        sheet = _choose(file.name, sheets_of(file, headings, findings), headings, findings)
        findings.last_row = len(sheet.rows)
        return table_on(sheet, headings, findings, decimal_sign)
    except ProblemsFound as found:
        findings.add_all(found)
        return None


def sheets_of(file: RawFile, headings: Sequence[Heading], findings: Findings) -> list[Sheet]:
    """The sheets of a file; what is odd about how it was read is noted.

    Raises
    ------
    ProblemsFound
        When it cannot be read.
    """
    warnings: list[Problem] = []
    sheets = read_sheets(file, lambda rows: _best_row(rows, headings)[1], warnings)
    for warning in warnings:
        findings.warn(0, warning)
    return sheets


def has_headings(sheet: Sheet, headings: Sequence[Heading]) -> bool:
    """Does a sheet have all the headings that a list needs?"""
    return _best_row(sheet.rows, headings)[1] > len(headings) * len(_needed(headings))


def rows_below(sheet: Sheet, headings: Sequence[Heading]) -> bool | None:
    """Has a sheet anything below the headings that a list needs? None when it does not have them all."""
    if not has_headings(sheet, headings):
        return None
    row = _best_row(sheet.rows, headings)[0]
    known_as = meanings(sheet.rows[row], headings)
    return any(_filled(sheet, row, index) for index, known in known_as.items() if known.read)


def _needed(headings: Sequence[Heading]) -> list[str]:
    return [heading.name for heading in headings if heading.needed]


def meanings(cells: Sequence[Cell], headings: Sequence[Heading]) -> dict[int, Recognised]:
    """What each cell of a heading row means; ``material`` resolved."""
    found = {
        index: known
        for index, cell in enumerate(cells)
        if isinstance(cell, str) and cell.strip() and (known := recognise(cell, headings))
    }
    has_section = any(known.name == "Section" for known in found.values())
    return {
        index: Recognised("Grade" if has_section else "Section") if known.name == MATERIAL else known
        for index, known in found.items()
    }


def _best_row(rows: Sequence[Sequence[Cell]], headings: Sequence[Heading]) -> tuple[int, int]:
    """Row with the most different headings among the first, and how many; needed ones count first."""
    needed = set(_needed(headings))
    best = (0, 0)
    for index, cells in enumerate(rows[:TITLE_ROWS]):
        names = {known.name for known in meanings(cells, headings).values()}
        score = len(names) + len(headings) * len(names & needed)
        if score > best[1]:
            best = (index, score)
    return best


def headings_found(rows: Sequence[Sequence[Cell]], headings: Sequence[Heading]) -> int:
    """How many different headings of a list the best of the first rows holds."""
    row, score = _best_row(rows, headings)
    return len({known.name for known in meanings(rows[row], headings).values()}) if score else 0


def columns_named(rows: Sequence[Sequence[Cell]], headings: Sequence[Heading]) -> tuple[int, dict[int, str]]:
    """The row that holds the headings, counted from 0, and by its column the name of each that is known."""
    row, _ = _best_row(rows, headings)
    known = meanings(rows[row], headings) if rows else {}
    return row, {index: each.name for index, each in known.items()}


def warn_of_hidden(sheets: Sequence[Sheet], headings: Sequence[Heading], findings: Findings) -> None:
    """Tell of hidden sheets that could be lists too."""
    for sheet in sheets:
        if sheet.hidden and has_headings(sheet, headings):
            found, accepted = "a hidden sheet with the headings; it was not read", "lists on visible sheets"
            findings.warn(
                0, Problem(where=sheet.place, found=found, accepted=accepted, found_is_text=False, code="sheet.hidden")
            )


def _choose(name: str, sheets: list[Sheet], headings: Sequence[Heading], findings: Findings) -> Sheet:
    """The one sheet with the headings."""
    full = len(headings) * len(_needed(headings))
    scores = [(_best_row(sheet.rows, headings)[1], sheet) for sheet in sheets]
    shown = [(score, sheet) for score, sheet in scores if not sheet.hidden]
    complete = [sheet for score, sheet in shown if score > full]
    if complete:
        warn_of_hidden(sheets, headings, findings)
    if len(complete) > 1:
        names = " and ".join(f'"{sheet.name}"' for sheet in complete)
        raise refuse(
            name,
            f"{len(complete)} sheets with the headings, {names}",
            "one such sheet",
            "keep one in the file",
            code="sheet.several",
        )
    if complete:
        return complete[0]
    best = max(shown, key=lambda pair: pair[0], default=None)
    if best is None or best[0] == 0:
        needed = ", ".join(_needed(headings))
        found = f"no headings in the first {TITLE_ROWS} rows"
        hidden = [sheet.name for score, sheet in scores if sheet.hidden and score > full]
        hint = f'sheet "{hidden[0]}" has them, but is hidden' if hidden else ""
        raise refuse(name, found, f"a row with the headings {needed}, in any order", hint, code="heading.none")
    return best[1]


def table_on(sheet: Sheet, headings: Sequence[Heading], findings: Findings, decimal_sign: str) -> Table:
    """The table of a sheet, headings and cells checked.

    Raises
    ------
    ProblemsFound
        When nothing can be read of it.
    """
    row = _best_row(sheet.rows, headings)[0]
    known_as = meanings(sheet.rows[row], headings)
    columns: dict[str, Column] = {}
    for index, known in known_as.items():
        if not known.read:
            continue
        typed = " ".join(cell_text(sheet.rows[row][index]).split())
        if known.name in columns:
            first = columns[known.name]
            if not _filled(sheet, row, index):
                continue
            if _filled(sheet, row, first.index):
                where = f"{sheet.place}, row {row + 1}, column {column_letter(index)}"
                also = f'"{first.typed}" in column {column_letter(first.index)}'
                findings.add(
                    row + 1,
                    Problem(
                        where=where,
                        found=typed,
                        accepted=f"one heading for {known.name}; {also} is one too",
                        code="heading.twice",
                    ),
                )
                continue
        columns[known.name] = Column(index, typed, known.unit)
    table = Table(
        sheet=sheet,
        heading_row=row,
        columns=columns,
        figures=frozenset(heading.name for heading in headings if heading.kind is not Kind.TEXT),
        decimal_sign=decimal_sign,
    )
    covered = check_merged_headings(table, findings)
    _check_strangers(table, known_as, covered, headings, findings)
    missing = [heading for heading in headings if heading.needed and heading.name not in columns]
    for heading in missing:
        findings.add(
            row + 1,
            Problem(
                where=f"{sheet.place}, row {row + 1}",
                found=f"no heading for {heading.name}",
                accepted=f"a column headed {', '.join((heading.name, *heading.variants[:MOST_NAMES]))}",
                found_is_text=False,
                code="heading.missing",
            ),
        )
    if missing:
        raise ProblemsFound([])
    check_size(table)
    check_faults(table, findings)
    check_merged(table, findings)
    check_texts(table, findings)
    return table


def _filled(sheet: Sheet, heading_row: int, column: int) -> bool:
    return _first_filled(sheet, heading_row, column) is not None


def _first_filled(sheet: Sheet, heading_row: int, column: int) -> int | None:
    for index in range(heading_row + 1, len(sheet.rows)):
        cells = sheet.rows[index]
        if column < len(cells) and not is_blank(cells[column]):
            return index
    return None


def _check_strangers(
    table: Table,
    known_as: dict[int, Recognised],
    covered: Collection[int],
    headings: Sequence[Heading],
    findings: Findings,
) -> None:
    """Columns with something in them whose heading is not known, or missing; but for those reported of already."""
    sheet, row = table.sheet, table.heading_row
    first_of: dict[int, int] = {}
    for number in range(row + 1, len(sheet.rows)):
        for index in range(len(sheet.rows[number])):
            if index not in first_of and index not in known_as and not is_blank(sheet.rows[number][index]):
                first_of[index] = number
    for index, first in sorted(first_of.items()):
        if index in covered:
            continue
        cells = sheet.rows[row]
        typed = " ".join(cell_text(cells[index]).split()) if index < len(cells) else ""
        if typed:
            findings.add(
                row + 1,
                Problem(
                    where=f"{sheet.place}, row {row + 1}, column {column_letter(index)}",
                    found=typed,
                    accepted=f"the headings {heading_names(headings)}",
                    hint=heading_hint(typed, headings),
                    code="heading.unknown",
                ),
            )
        else:
            comma = _COMMA if sheet.delimiter == "," else ""
            findings.add(
                first + 1,
                Problem(
                    where=f"{sheet.place}, row {first + 1}, column {column_letter(index)}",
                    found=" ".join(cell_text(sheet.rows[first][index]).split()),
                    accepted=f"nothing in a column without a heading (headings are in row {row + 1})",
                    hint=comma,
                    code="heading.blank",
                ),
            )
