"""Rows as csv."""

from __future__ import annotations

from cutplan.reports.csv_text import csv_bytes


def test_a_text_that_would_begin_a_formula_is_led_by_a_quote_mark() -> None:
    """Spreadsheet programs take what begins with =, +, - or @ for a formula; common practice, no source."""
    rows = csv_bytes([["=1+1", "+a", "-b", "@c", "a=b", -2, 0.5]])
    assert rows.decode("utf-8-sig") == "'=1+1,'+a,'-b,'@c,a=b,-2,0.5\n"
