"""An order as a workbook adds up as it is printed."""

from __future__ import annotations

import io

from openpyxl import load_workbook

from cutplan.reports.rows import rows_of
from cutplan.reports.workbook.ordersheet import order_book
from cutplan.words.order_words import orders_of
from tests.workbooks import texts, trailer


def test_cells_are_the_figures_of_the_order() -> None:
    job, plan = trailer()
    _, far = orders_of(job, plan, "0a1b2c3d")
    content = order_book(far, rows_of(job, plan))
    sheet = load_workbook(io.BytesIO(content), data_only=True)["Order"]
    rows = [[cell for cell in row if cell is not None] for row in sheet.iter_rows(values_only=True)]
    kind = "EN 10219-2, grade not stated, black"
    first = rows.index(["no.", "number", "length", "section", "standard, grade, finish", "kg", "price each", "amount"])
    assert rows[first + 1 : first + 8] == [
        [1, 1, "6 m", "-box (SHS 40x40x3)", kind, 18, 27.5, 27.5],
        [2, 1, "3 m", "SHS 50x50x3", kind, 9, 19.99, 19.99],
        ["delivery", 20],
        ["to make up the minimum order", 12.51],
        ["total", 80],
        ["tax of 21 %", 16.8],
        ["to pay, tax included", 96.8],
    ]
    formulas = load_workbook(io.BytesIO(content))["Order"]
    assert [text for text in texts(formulas) if text.startswith("=SUM")], "the sum is one"
    assert "order 0a1b2c3d-2, page &P of &N" in sheet.oddFooter.center.text
