"""An order on paper."""

from __future__ import annotations

import io
import re
from typing import Any

from pypdf import PdfReader

from cutplan.reports.lettering import text_mm
from cutplan.reports.paper.order_sheet import order_pdf, order_sheet
from cutplan.words.order_words import orders_of
from tests.test_order_words import carried
from tests.workbooks import trailer


def words(rows: list[list[Any]]) -> list[list[str]]:
    return [[cell if isinstance(cell, str) else cell["text"] for cell in row] for row in rows]


def test_the_columns_are_those_that_say_something() -> None:
    (order,) = orders_of(*carried(), "0a1b2c3d")
    sheet = order_sheet(order)
    assert (sheet["title"], sheet["lines"]) == (
        "Order 0a1b2c3d-1",
        ["To: Yard", "From: Forge", "For: tiny. Amounts in EUR, prices without tax."],
    )
    items, sums, terms = sheet["parts"]
    assert items["heads"][4:] == ["standard, grade, finish", "to be cut", "kg", "price each", "amount"]
    cut = "cut at 2905 mm, the rest 3092 mm"
    kind = "EN 10219-2, grade not stated, black"
    assert words(items["rows"]) == [["1", "1", "6 m", "SHS 40x40x3", kind, cut, "18.0", "30.00", "30.00"]]
    assert words(sums["rows"])[-1] == ["To pay, tax included", "39.14"]
    assert terms["before"][-1] == "With certificate: type 3.1."


def test_a_word_longer_than_a_line_goes_on_in_the_next() -> None:
    """A4 has 186 mm between its margins of 12 mm."""
    (order,) = orders_of(*carried(), "0a1b2c3d", certificate="X" * 200)
    assert order.workshop.paper == "A4"
    printed = "".join(page.extract_text() for page in PdfReader(io.BytesIO(order_pdf(order))).pages)
    runs = re.findall("X+", printed.replace("\N{ZERO WIDTH SPACE}", ""))
    assert sum(map(len, runs)) == 200
    assert max(text_mm(run, 9) for run in runs) <= 186


def test_it_is_typeset_with_marks_that_are_hard_to_write() -> None:
    for order in orders_of(*trailer(paper="Letter"), "0a1b2c3d"):
        assert order_pdf(order).startswith(b"%PDF")
