"""Rows as csv that a spreadsheet program opens as they are meant."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence


def csv_bytes(rows: Iterable[Sequence[str | int | float]]) -> bytes:
    """UTF-8 with the mark by which spreadsheet programs know it; a text that would begin a formula is led by a quote
    mark, as they show it.
    """
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([_in_cell(cell) for cell in row] for row in rows)
    return b"\xef\xbb\xbf" + text.getvalue().encode()


def _in_cell(cell: str | int | float) -> str | int | float:
    return f"'{cell}" if isinstance(cell, str) and cell[:1] in tuple("=+-@") else cell
