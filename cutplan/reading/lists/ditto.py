"""Cells that repeat the one above them: ditto marks, and empty cells where the workshop has said so."""

from __future__ import annotations

from enum import Enum

from cutplan.reading.lists.uncut import ASSEMBLY, OTHER
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.raw_cells import cell_text
from cutplan.reading.sheets.tables import Row, Table


class Repeat(Enum):
    """Which cells under Section, Standard, Grade and Finish repeat the cell above them."""

    NO = "no"
    MARKS = "marks"
    BLANK = "marks and blanks"


DITTO = frozenset(('"', "''", "“", "”", "„", "″", "〃", '-"-', "-''-", "ditto", "do", "do."))
"""How people write that a cell is as the one above."""
REPEATED = ("Section", "Standard", "Grade", "Finish")
MARKED_ONLY = ("Merchant", "Assembly")
"""Headings under which a ditto mark repeats, and an empty cell never does."""

DITTO_FORMS = (
    "the cell above written out, or in the workshop file the key lists.repeat_above with "
    f'"{Repeat.MARKS.value}" or "{Repeat.BLANK.value}"'
)


def repeat_above(table: Table, repeat: Repeat, findings: Findings) -> None:
    """Fill cells that repeat the one above, in place; where the workshop has not said so, refuse ditto marks.

    An empty standard is repeated with its section alone. Lines that are no part, such as assemblies, end a stretch of
    one section. Rows without a length are left as they are: they are notes, not parts.
    """
    above: dict[str, str] = {}
    names = [name for name in (*REPEATED, *MARKED_ONLY) if name in table.columns]
    sheet = table
    for row in table.rows(findings):
        if sheet is not table.own(row.number)[0]:
            sheet = table.own(row.number)[0]
            above.clear()
        section = _text(row, "Section").casefold()
        if section in (ASSEMBLY, OTHER):
            above.clear()
            continue
        section_repeated = False
        for name in names:
            text = _text(row, name)
            if text.casefold() in DITTO:
                _repeat(row, name, text, above, repeat)
                section_repeated |= name == "Section"
            elif not text and _empty_repeats(row, name, repeat, section_repeated) and above.get(name):
                _fill(row, name, above[name])
                section_repeated |= name == "Section"
            above[name] = _text(row, name)


def _text(row: Row, name: str) -> str:
    return "" if row.told(name) else " ".join(cell_text(row.raw(name)).split())


def _empty_repeats(row: Row, name: str, repeat: Repeat, section_repeated: bool) -> bool:
    if repeat is not Repeat.BLANK or name in MARKED_ONLY or row.told(name) or not _text(row, "Length"):
        return False
    return name != "Standard" or section_repeated


def _repeat(row: Row, name: str, text: str, above: dict[str, str], repeat: Repeat) -> None:
    """Put the cell above in place of a ditto mark, or note why that cannot be."""
    if repeat is Repeat.NO:
        row.refuse(name, text, DITTO_FORMS, code="cell.ditto")
    elif not above.get(name):
        row.refuse(name, text, f"a {name.lower()} in the cell above, which is empty", code="cell.ditto")
    else:
        _fill(row, name, above[name])
        return
    # It has been reported; so that it is not reported again, the cell counts as one without a value of its own.
    row.table.told.add((row.number - 1, row.table.columns[name].index))


def _fill(row: Row, name: str, text: str) -> None:
    row.put(name, text)
    row.table.repeated.add((row.number - 1, row.table.columns[name].index))
