"""Titles and sheets' names that say how many are made, such as ``Bench, 6 off``: asked about, never passed over."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from cutplan.problems import Problem
from cutplan.reading.lists.uncut import ASSEMBLY
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.headings import tidy_heading
from cutplan.reading.sheets.raw_cells import Cell, cell_text, column_letter
from cutplan.reading.sheets.tables import Table

_WORDS = ("two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_NUMBER = rf"(?P<n>\d{{1,5}}|{'|'.join(_WORDS)})"
_NOT_MADE = (
    r"(?:m|mm|met(?:er|re)s|inches|feet|degrees|hours|days|weeks|months|pages|sheets|drawings|revisions"
    r"|lines|rows|items|marks|parts|holes|bars|lengths|sections|coats|bolts|nuts|screws|washers"
    r"|angles|channels|flats|pipes|plates|rods|tees|tubes|shs|rhs|chs)"
)
"""What a number in a title may be of that is no number of things made, from memory."""
_UNIT = r"(?:mm|cm|m|in|inch|ft|foot|kg|deg)"
# Where every word has a capital a title may be an address, such as 3 Mill Cottages.
_THINGS = rf"(?!{_UNIT}\b)(?:(?:[A-Za-z-]+\s+){{1,2}}(?=(?-i:[a-z]))|)(?!{_NOT_MADE}\b)[A-Za-z]{{2,}}(?<!s)s"
_SAID = tuple(
    re.compile(form, re.IGNORECASE)
    for form in (
        rf"\b{_NUMBER}\s*[- ]?\s*(?:off|times|sets|units|no\.?|nos\.?)(?![\w-])",
        rf"(?:^|[,;:(-]\s*){_NUMBER}\s+(?:required|reqd)\b",
        rf"\b(?:make|quantity|qty|units|no\.? off|number off|how many)\s*[:=]?\s*{_NUMBER}(?![\w.,/-])",
        rf"(?:^|[^\d\s]\s+|[^\d\s]\s*\()[x×*]\s*{_NUMBER}\s*\)?\s*$",
        rf"\b(?:run|batch|lot|series)\s+of\s+{_NUMBER}(?![\w.,/-])",
        rf"^{_NUMBER}\s*[x×]\s+[A-Za-z]{{3}}",
        rf"^[x×]\s*{_NUMBER}\s+[A-Za-z]{{3}}",
        rf"^(?!.*\btotal\b).*?(?<![\w.,/-]){_NUMBER}\s*(?:pcs|pieces|pairs?|dozen)\b",
        r"(?:^|[,;:(-]\s*|\bfor\s+)(?:(?:a|one|1)\s+)?(?P<half>half\s+(?:a\s+)?)?(?P<lot>pair|dozen)\b(?:\s+of\b|\W*$)",
        rf"(?:^|\bfor\s+)(?!\d{{4}}){_NUMBER}\s+{_THINGS}\s*$",
    )
)
_LOTS = {"pair": 2, "dozen": 12}
_LABELS = frozenset(("quantity", "qty", "no off", "number off", "off", "how many", "times", "sets", "units"))
_OF_A_LIST = "--times {times} where the list is for one of them, --times 1 where its quantities are for all, "
_OF_A_SHEET = (
    "a row with assembly under Section and {times} under Quantity where this sheet alone is for one of them, "
    "--times {times} where every sheet is, --times 1 where all quantities are for all, "
)


def ask_how_many(table: Table, findings: Findings, made: int) -> None:
    """Refuse a list whose title says a number that nobody has said the meaning of, once for each of its sheets.

    Where it is said that the whole is made so often (``made``; 0 where nobody has), a sheet that says otherwise is
    warned about. Of several sheets, a row that makes the sheet's own assembly as often answers it.
    """
    several = len(table.stacked) > 1
    for _, sheet in table.stacked or ((0, table),):
        where, kind, text, times = next(_said(sheet), ("", "", "", 1))
        if times == 1 or made in (1, times) or (several and _makes_its_own(sheet, times)):
            continue
        found = f'the {kind} "{text}", as if the {"sheet" if several else "list"} were made {times} times'
        accepted = (_OF_A_SHEET if several else _OF_A_LIST).format(times=times) + f"or a {kind} without it"
        if made:
            found += f", while all is made {made} times"
            findings.warn(0, Problem.statement(where, found, accepted, code="list.times_otherwise"))
        else:
            findings.add_statement(0, where, found, accepted, code="list.times")


def _said(table: Table) -> Iterator[tuple[str, str, str, int]]:
    """Titles above the headings, and the sheet's name, that say a number above one.

    Of each its place, whether it is a title or a name, its text and the number.
    """
    for row, column, text, times in _titles(table):
        yield f"{table.sheet.place}, row {row + 1}, column {column_letter(column)}", "title", text, times
    times = _times(table.sheet.name)
    if times > 1:
        yield table.sheet.place, "name", table.sheet.name, times


def _titles(table: Table) -> Iterator[tuple[int, int, str, int]]:
    """Row and column, counted from 0, of each title that says a number above one, its text and the number."""
    for row, cells in enumerate(table.sheet.rows[: table.heading_row]):
        texts = [(column, text) for column, cell in enumerate(cells) if (text := " ".join(cell_text(cell).split()))]
        for place, (column, text) in enumerate(texts):
            beside = texts[place + 1][1] if place + 1 < len(texts) else ""
            times = _times(text)
            number = re.fullmatch(_NUMBER, beside, re.IGNORECASE)
            if tidy_heading(text).rstrip(":") in _LABELS and number and len(texts) <= 4:
                text = f"{text} {beside}"
                times = _figure(beside)
            if times > 1:
                yield row, column, text, times


def _times(text: str) -> int:
    """How often a text says that something is made; 1 where it says nothing."""
    said = next((found for form in _SAID if (found := form.search(text))), None)
    if said is None:
        return 1
    read = said.groupdict()
    if "lot" in read:
        return _LOTS[read["lot"].lower()] // (2 if read["half"] else 1)
    each = next((lot for word, lot in _LOTS.items() if re.search(rf"{word}s?$", said[0], re.IGNORECASE)), 1)
    return _figure(read["n"]) * each


def _figure(number: str) -> int:
    return int(number) if number.isdecimal() else _WORDS.index(number.lower()) + 2


def _makes_its_own(table: Table, times: int) -> bool:
    """Does a row of the sheet make the assembly of its name so often?"""

    def text(cells: Sequence[Cell], heading: str) -> str:
        index = table.columns[heading].index if heading in table.columns else len(cells)
        return cell_text(cells[index]).strip() if index < len(cells) else ""

    return any(
        text(cells, "Section").lower() == ASSEMBLY
        and text(cells, "Quantity") == str(times)
        and text(cells, "Assembly").casefold() in ("", table.sheet.name.strip().casefold())
        for cells in table.sheet.rows[table.heading_row + 1 :]
    )
