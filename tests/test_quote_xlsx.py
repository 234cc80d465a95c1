"""A quote as a workbook: the prices of the words, nothing of the cost."""

from __future__ import annotations

import io

import pytest
from openpyxl import load_workbook

from cutplan.reports.rows import rows_of
from cutplan.reports.workbook.quote_xlsx import quote_book
from tests.costed import bench_planned
from tests.test_quote_words import offered


@pytest.mark.parametrize("by_assembly", [False, True])
def test_amounts(by_assembly: bool) -> None:
    quote = offered(rate=210_000)
    content = quote_book(quote, rows_of(*bench_planned()), by_assembly=by_assembly)
    sheet = load_workbook(io.BytesIO(content), data_only=True)["Quote"]
    amounts = {row[0].value: row[1].value for row in sheet.iter_rows() if isinstance(row[1].value, int | float)}
    assert amounts["price with tax"] == pytest.approx((quote.price + quote.tax) / 1_000_000)
    assert ("frame, 2 pieces of steel" in amounts) is by_assembly
    if by_assembly:
        assert sum(item.price for item in quote.items) == quote.price
    assert quote.cost / 1_000_000 not in amounts.values()
