"""Titles above the headings that say how many are made, such as ``Bench, 6 off``: asked about, never passed over."""

from __future__ import annotations

import re
from collections.abc import Iterator

from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.headings import tidy_heading
from cutplan.reading.sheets.raw_cells import cell_text, column_letter
from cutplan.reading.sheets.tables import Table

_WORDS = ("two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_NUMBER = rf"(?P<n>\d{{1,5}}|{'|'.join(_WORDS)})"
_SAID = tuple(
    re.compile(form, re.IGNORECASE)
    for form in (
        rf"\b{_NUMBER}\s*[- ]?\s*(?:off|times|sets|no\.?|nos\.?)(?![\w-])",
        rf"\b(?:make|quantity|qty|no\.? off|number off|how many)\s*[:=]?\s*{_NUMBER}(?![\w.,/-])",
        rf"(?:^|[^\d\s])\s+[x×]\s*{_NUMBER}\s*$",
        rf"\b(?:run|batch|lot|series)\s+of\s+{_NUMBER}(?![\w.,/-])",
        rf"^{_NUMBER}\s*[x×]\s+[A-Za-z]{{3}}",
    )
)
_LABELS = frozenset(("quantity", "qty", "no off", "number off", "off", "how many", "times", "sets"))
ANSWERS = (
    "--times {times} where the list is for one of them, --times 1 where its quantities are for all, "
    "or a title without it"
)


def ask_how_many(table: Table, findings: Findings) -> None:
    """Refuse a list whose title says a number that nobody has said the meaning of, once for each of its sheets."""
    for _, sheet in table.stacked or ((0, table),):
        for row, column, text, times in _titles(sheet):
            where = f"{sheet.sheet.place}, row {row + 1}, column {column_letter(column)}"
            found = f'the title "{text}", as if the list were made {times} times'
            findings.add_statement(0, where, found, ANSWERS.format(times=times), code="list.times")
            break


def _titles(table: Table) -> Iterator[tuple[int, int, str, int]]:
    """Row and column, counted from 0, of each title that says a number above one, its text and the number."""
    for row, cells in enumerate(table.sheet.rows[: table.heading_row]):
        texts = [(column, text) for column, cell in enumerate(cells) if (text := " ".join(cell_text(cell).split()))]
        for place, (column, text) in enumerate(texts):
            beside = texts[place + 1][1] if place + 1 < len(texts) else ""
            if tidy_heading(text).rstrip(":") in _LABELS and beside.isdecimal() and len(texts) <= 4:
                text = f"{text} {beside}"
                times = int(beside)
            else:
                said = next((found for form in _SAID if (found := form.search(text))), None)
                times = _number(said["n"]) if said else 1
            if times > 1:
                yield row, column, text, times


def _number(text: str) -> int:
    return int(text) if text.isdecimal() else _WORDS.index(text.lower()) + 2
