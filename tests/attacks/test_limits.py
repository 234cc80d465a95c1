"""The manual's table of limits says what the program holds to."""

from __future__ import annotations

import pytest

from cutplan.reading import material, sheets, tables, texts, xlsx_scan
from tests.manual_pages import PAGES

ROWS = {
    "a file": f"{sheets.MAX_FILE_BYTES // 10**6} MB",
    "rows of a list": f"{sheets.MAX_ROWS}",
    "columns": f"{xlsx_scan.MAX_COLUMNS}, to {sheets.column_letter(xlsx_scan.MAX_COLUMNS - 1)}",
    "cells of a sheet, from A1 to its last row and column": f"{xlsx_scan.MAX_CELLS}",
    "characters of a cell": f"{texts.LONGEST_TEXT}",
    "different sections in a list": f"{material.MOST_NAMES}",
    "problems told of a file": f"{tables.MOST_TOLD}",
    "XML of a workbook, unpacked": (
        f"{xlsx_scan.MAX_UNPACKED_BYTES // 10**6} MB, and {xlsx_scan.MAX_RATIO} times its packed size where it is more "
        f"than {xlsx_scan.RATIO_FROM_BYTES // 10**6} MB"
    ),
    "elements of XML in a sheet": f"{xlsx_scan.MAX_ELEMENTS}",
    "files in the archive of a workbook": f"{xlsx_scan.MAX_PARTS}",
}


@pytest.mark.parametrize("what", ROWS)
def test_the_table_says_the_limit(what: str) -> None:
    assert f"| {what} | {ROWS[what]} |" in PAGES["limits"]
