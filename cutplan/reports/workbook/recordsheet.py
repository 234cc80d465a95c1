"""The sheet "Cut record": a row per bar, filled in at the saw and read back when the plan is recorded.

Headings stand in the first row, because that is how the reader of lists knows a table.
"""

from __future__ import annotations

from dataclasses import replace

from openpyxl.utils import get_column_letter

from cutplan.reports.rows import Rows
from cutplan.reports.workbook.cells import CELL_MARGINS_MM, COLUMN_UNIT_MM, Book, lines_needed, set_up_page
from cutplan.reports.workbook.page import BOLD_CELL, COUNT_CELL, HEAD_CELL, TEXT_CELL, TICK_CELL, fitting_width

TITLE = "Cut record"
HEADS = ("Bar", "Source", "Section", "Cut", "Left over as measured", "Spoiled parts", "Note", "Plan")
_WIDTHS = (7.0, 22.0, 0.0, 8.0, 16.0, 26.0, 24.0, 10.0)
_ROW_POINTS = 20.0
_LINE_POINTS = 13.5


def write_record_sheet(book: Book, rows: Rows, paper: int, fingerprint: str) -> None:
    """Add the sheet: bar, source and section filled in, the rest for whoever cuts."""
    sheet = book.sheet(TITLE)
    section = fitting_width("Section", TEXT_CELL, [line.what for line in rows.record])
    for column, (head, width) in enumerate(zip(HEADS, _WIDTHS, strict=True), 1):
        sheet.column_dimensions[get_column_letter(column)].width = width or section
        book.put(sheet, 1, column, head, replace(HEAD_CELL, align="left"))
    sheet.row_dimensions[1].height = 28
    for row, line in enumerate(rows.record, 2):
        wrapped = max(
            lines_needed(text, width * COLUMN_UNIT_MM - CELL_MARGINS_MM, TEXT_CELL.size)
            for text, width in ((line.origin, _WIDTHS[1]), (line.what, section))
        )
        sheet.row_dimensions[row].height = max(_ROW_POINTS, 4.5 + _LINE_POINTS * wrapped)
        book.put(sheet, row, 1, line.bar, replace(COUNT_CELL, bold=True))
        book.put(sheet, row, 2, line.origin, TEXT_CELL)
        book.put(sheet, row, 3, line.what, replace(BOLD_CELL, bold=False))
        for column in range(4, len(HEADS)):
            book.put(sheet, row, column, None, TICK_CELL)
        book.put(sheet, row, len(HEADS), fingerprint or None, TEXT_CELL)
    set_up_page(
        sheet,
        job=rows.job_name,
        paper=paper,
        landscape=True,
        last_row=len(rows.record) + 1,
        columns=len(HEADS),
        title_rows=1,
    )
    sheet.freeze_panes = "B2"
