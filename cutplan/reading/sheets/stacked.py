"""Several sheets of one workbook as one list: each has the headings, in any order, and its rows follow one another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from cutplan.problems import Problem, ProblemsFound
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.headings import Heading
from cutplan.reading.sheets.raw_cells import MAX_ROWS, Cell, Position, RawFile, Sheet, refuse
from cutplan.reading.sheets.table_search import has_headings, read_table, sheets_of, table_on, warn_of_hidden
from cutplan.reading.sheets.tables import Column, Table


def read_stack(
    file: RawFile,
    headings: Sequence[Heading],
    findings: Findings,
    decimal_sign: str,
    *,
    named_by: str,
    bare: Mapping[str, str],
    only: str = "",
) -> Table | None:
    """Read the sheets with the headings as one table; what was put together is reported.

    Parameters
    ----------
    file, headings, findings, decimal_sign
        As for :func:`read_table`.
    named_by
        The heading of what a sheet's own name may stand for: of several sheets, the whole has it always.
    bare
        The unit of a column whose heading names none, by heading.
    only
        The one sheet to read, whatever its case; blank for all that are shown.

    Returns
    -------
    Table or None
        The sheet's own table where one has the headings; None when no rows can be read.
    """
    try:
        sheets = sheets_of(file, headings, findings)
        if only:
            return read_table(replace(file, sheets=(_named(file, sheets, only),)), headings, findings, decimal_sign)
        lists = [sheet for sheet in sheets if not sheet.hidden and has_headings(sheet, headings)]
        if len(lists) < 2:
            return read_table(replace(file, sheets=tuple(sheets)), headings, findings, decimal_sign)
        warn_of_hidden(sheets, headings, findings)
        return _stacked(file.name, lists, headings, findings, decimal_sign, named_by, bare)
    except ProblemsFound as found:
        findings.add_all(found)
        return None


def _named(file: RawFile, sheets: Sequence[Sheet], only: str) -> Sheet:
    for sheet in sheets:
        if sheet.name and sheet.name.strip().casefold() == only.strip().casefold():
            return replace(sheet, hidden=False)
    names = ", ".join(f'"{sheet.name}"' for sheet in sheets if sheet.name)
    accepted = f"a sheet of parts: {names}" if names else "a workbook with sheets; a text has none"
    raise refuse(file.name, f'no sheet "{only}"', accepted, code="sheet.missing")


def _stacked(
    name: str,
    sheets: Sequence[Sheet],
    headings: Sequence[Heading],
    findings: Findings,
    decimal_sign: str,
    named_by: str,
    bare: Mapping[str, str],
) -> Table:
    rows: list[list[Cell]] = [[]]
    placed: list[tuple[int, Table]] = []
    for sheet in sheets:
        own = Findings()
        table = table_on(sheet, headings, own, decimal_sign)
        above = len(rows) - table.heading_row - 1
        placed.append((above, table))
        for into, noted in ((findings.problems, own.problems), (findings.warnings, own.warnings)):
            into.extend((above + row, problem) for row, problem in noted)
        rows.extend(sheet.rows[table.heading_row + 1 :])
    if len(rows) - 1 > MAX_ROWS:
        raise refuse(
            name,
            f"more than {MAX_ROWS} rows below the headings of its sheets",
            f"at most {MAX_ROWS} rows",
            "split the list into several jobs",
            code="list.rows",
        )
    tables = [table for _, table in placed]
    used = [each.name for each in headings if each.name == named_by or any(each.name in t.columns for t in tables)]
    columns = {heading: _column(place, heading, tables, bare.get(heading, "")) for place, heading in enumerate(used)}
    rows[0] = [column.typed for column in columns.values()]
    told: set[Position] = set()
    hidden: set[int] = set()
    for above, table in placed:
        to = {table.columns[heading].index: columns[heading].index for heading in table.columns}
        for row in range(table.heading_row + 1, len(table.sheet.rows)):
            cells: list[Cell] = [""] * len(columns)
            for index, cell in enumerate(rows[above + row]):
                if index in to:
                    cells[to[index]] = cell
            rows[above + row] = cells
        told |= {(above + row, to[index]) for row, index in table.told}
        hidden |= {above + row for row in table.sheet.hidden_rows}
    _tell(name, tables, findings)
    return Table(
        sheet=Sheet(file=name, rows=rows, hidden_rows=frozenset(hidden)),
        heading_row=0,
        columns=columns,
        told=told,
        figures=tables[0].figures,
        decimal_sign=decimal_sign,
        stacked=tuple(placed),
    )


def _column(place: int, heading: str, tables: Sequence[Table], bare: str) -> Column:
    """A column of the whole, headed as on its first sheet; ``bare`` is the unit where a heading names none."""
    having = [table for table in tables if heading in table.columns]
    if not having:
        return Column(place, heading, "")
    first = having[0].columns[heading]
    for table in having:
        column = table.columns[heading]
        if (column.unit or bare) != (first.unit or bare):
            where = table.place(table.heading_row + 1, heading)
            found = f'"{column.typed}", while sheet "{having[0].sheet.name}" has "{first.typed}"'
            raise refuse(where, found, "one unit for a column on all sheets", code="sheet.units")
    return Column(place, first.typed, first.unit)


def _tell(name: str, tables: Sequence[Table], findings: Findings) -> None:
    """Say which sheets were put together, and which of them hold the same rows."""
    names = [f'"{table.sheet.name}"' for table in tables]
    found = f"the headings on sheets {', '.join(names[:-1])} and {names[-1]}, read as one list"
    accepted = "one list on several sheets; --sheet reads one of them alone"
    findings.warn(0, Problem(where=name, found=found, accepted=accepted, found_is_text=False, code="sheet.together"))
    seen: dict[str, Table] = {}
    for table in tables:
        rows = repr([cells for cells in table.sheet.rows[table.heading_row :] if any(cell != "" for cell in cells)])
        first = seen.setdefault(rows, table)
        if first is not table:
            found = f'the same rows as on sheet "{first.sheet.name}"; both were read'
            accepted = "a sheet for each list; a copy is hidden or deleted"
            findings.warn(
                0,
                Problem(
                    where=table.sheet.place, found=found, accepted=accepted, found_is_text=False, code="sheet.copy"
                ),
            )
