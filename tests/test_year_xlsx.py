"""Jobs as a workbook: what is not known is blank, sums by formula."""

from __future__ import annotations

import io
from dataclasses import replace

from openpyxl import load_workbook

from cutplan.model import Workshop
from cutplan.reports.workbook.year_xlsx import year_book
from tests.test_year_table import ROW


def test_rows_and_sums() -> None:
    content = year_book([ROW, replace(ROW, job="=bench", price=None)], Workshop(paper="Letter"))
    sheet = load_workbook(io.BytesIO(content), data_only=True)["Jobs"]
    first, second, together = list(sheet.iter_rows(min_row=4, values_only=True))
    assert first[:6] == ("gate", "recorded", "2031-05-04", "Fernhollow, Quarry Lane", "Q1", 200)
    assert (second[0], second[5]) == ("=bench", None)
    assert together[5:9] == (200, 300, 140, 200)
    formulas = load_workbook(io.BytesIO(content))["Jobs"]
    assert formulas["F6"].value == "=SUM(F4:F5)"
