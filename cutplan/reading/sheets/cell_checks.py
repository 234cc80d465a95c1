"""Cells below the headings that hold no value of their own, and sheets with too many rows."""

from __future__ import annotations

from collections.abc import Mapping

from cutplan.problems import Problem
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.raw_cells import MAX_ROWS, Cell, Position, cell_text, column_letter, refuse
from cutplan.reading.sheets.tables import FORMULA_ERROR, Column, Table, is_blank
from cutplan.reading.sheets.texts import TEXT_FORMS, text_fault
from cutplan.reading.sheets.xlsx_scan import MAX_CELLS, NO_VALUE

NEVER_CALCULATED = "open the file in the spreadsheet program, let it calculate, and save it"


def check_size(table: Table) -> None:
    indexes = [column.index for column in table.columns.values()]
    limit = table.heading_row + MAX_ROWS
    for index in range(len(table.sheet.rows) - 1, limit, -1):
        cells = table.sheet.rows[index]
        if any(i < len(cells) and not is_blank(cells[i]) for i in indexes):
            found = f"more than {MAX_ROWS} rows below the headings"
            raise refuse(
                table.sheet.place,
                found,
                f"at most {MAX_ROWS} rows",
                "split the list into several jobs",
                code="list.rows",
            )


def _cell_name(position: Position) -> str:
    return f"{column_letter(position[1])}{position[0] + 1}"


def check_merged(table: Table, findings: Findings) -> None:
    headed = {column.index: column for column in table.columns.values()}
    covered = 0
    for (top, left), (bottom, right) in table.sheet.merged:
        touched = [index for index in headed if left <= index <= right]
        rows = table.sheet.rows
        filled = top < len(rows) and left < len(rows[top]) and not is_blank(rows[top][left])
        if bottom < table.heading_row or not touched or not filled:
            continue
        column = headed[touched[0]]
        bottom_read = min(bottom, len(rows) - 1)
        covered += (bottom_read + 1 - top) * len(touched)
        if covered > MAX_CELLS:  # one over another, for a sheet has no more
            raise refuse(
                table.sheet.place,
                f"merged cells that cover more than {MAX_CELLS} cells",
                "every cell by itself",
                code="cell.merged",
            )
        where = f'{table.sheet.place}, row {top + 1}, column {column_letter(column.index)} "{column.typed}"'
        found = f"merged cells {_cell_name((top, left))}:{_cell_name((bottom, right))}"
        covered_cells = {(row, index) for row in range(top, bottom_read + 1) for index in touched} - {(top, left)}
        if (top, left) in table.told:
            table.told.update(covered_cells)
            continue
        if left == right and top > table.heading_row:
            value = rows[top][left]
            read = 1 + sum(_fill_down(rows[row], left, value, headed) for row in range(top + 1, bottom_read + 1))
            found += f", read as {' '.join(cell_text(value).split())} in {read} rows"
            accepted = "one value for all rows that the cell covers, or every cell by itself"
            findings.warn(top + 1, Problem(where=where, found=found, accepted=accepted, found_is_text=False,
                                           code="cell.merged_down"))  # fmt: skip
            continue
        table.told.update(covered_cells)
        findings.add_statement(
            top + 1, where, found, "every cell by itself", "unmerge them and fill each cell", code="cell.merged"
        )


def check_merged_headings(table: Table, findings: Findings) -> set[int]:
    """Refuse a heading that is merged over columns which hold something and have none of their own; those columns."""
    rows, heading_row = table.sheet.rows, table.heading_row
    headings = rows[heading_row]
    covered: set[int] = set()
    for (top, left), (bottom, right) in table.sheet.merged:
        if not top <= heading_row <= bottom or left >= len(headings) or is_blank(rows[top][left]):
            continue
        last = min(right, max(map(len, rows)) - 1)
        without = {
            index
            for index in range(left + 1, last + 1)
            if any(index < len(cells) and not is_blank(cells[index]) for cells in rows[heading_row + 1 :])
        }
        if without:
            covered |= without
            table.told.add((top, left))
            typed = " ".join(cell_text(rows[top][left]).split())
            where = f'{table.sheet.place}, row {top + 1}, column {column_letter(left)} "{typed}"'
            found = f"merged cells {_cell_name((top, left))}:{_cell_name((bottom, right))}"
            hint = "unmerge them and give each column its heading"
            findings.add_statement(top + 1, where, found, "a heading for every column", hint, code="cell.merged")
    return covered


def _fill_down(cells: list[Cell], index: int, value: Cell, headed: Mapping[int, Column]) -> bool:
    """Put the value of a merged cell into a row it covers, where anything else is in that row."""
    if not any(other < len(cells) and not is_blank(cells[other]) for other in headed):
        return False
    cells.extend([""] * (index + 1 - len(cells)))
    cells[index] = value
    return True


def check_faults(table: Table, findings: Findings) -> None:
    headed = {column.index: column for column in table.columns.values()}
    for (row, index), found in sorted(table.sheet.faults.items()):
        if row <= table.heading_row or index not in headed:
            continue
        column = headed[index]
        table.told.add((row, index))
        findings.add(
            row + 1,
            Problem(
                where=f'{table.sheet.place}, row {row + 1}, column {column_letter(index)} "{column.typed}"',
                found=found,
                accepted="a value",
                hint=NEVER_CALCULATED if found == NO_VALUE else FORMULA_ERROR,
                found_is_text=False,
                code="cell.error",
            ),
        )


def check_texts(table: Table, findings: Findings) -> None:
    """Cells that could not be printed, or put into a workbook, as they stand."""
    headed = [(column.index, column) for column in table.columns.values()]
    for row in range(table.heading_row + 1, len(table.sheet.rows)):
        cells = table.sheet.rows[row]
        for index, column in headed:
            cell = cells[index] if index < len(cells) else ""
            fault = text_fault(cell) if isinstance(cell, str) else ""
            if fault:
                table.told.add((row, index))
                where = f'{table.sheet.place}, row {row + 1}, column {column_letter(index)} "{column.typed}"'
                findings.add_statement(row + 1, where, fault, TEXT_FORMS, code="cell.text")
