"""Parts typed on the spot, such as ``SHS 40x40x3: 4 @ 1200, 2 @ 850; FL 50x6: 300 x 8``, as the sheet of a list."""

from __future__ import annotations

import re

from cutplan.problems import Problem, ProblemsFound
from cutplan.reading.sheets.raw_cells import Cell, Sheet
from cutplan.reading.sheets.texts import seen_text

TEXT_NAME = "typed text"
QUICK_FORMS = 'a section, a colon and its parts, such as "SHS 40x40x3: 4 @ 1200, 2 @ 850"'
PART_FORMS = (
    "a quantity @ a length and the angles of its ends, or the two with off or x between, such as 4 @ 1200 45/0, "
    "4 off 1200 or 1200 x 4"
)
HEADINGS: tuple[str, ...] = ("Quantity", "Section", "Length")
END_HEADINGS = ("Cut A", "Cut B")
PLAINLY_A_LENGTH = 10
"""Of two whole numbers, the second is a length where it is so many times the first; else it is asked which is."""

_AT = re.compile(r"(?P<quantity>[^@]+?)\s*(?:@|(?<![a-z])off\b\s*@?)(?P<length>[^@]+)", re.IGNORECASE)
_TIMES = re.compile(r"(?P<length>.+?)\s*[xX×]\s*(?P<quantity>[^xX×]+)")
_WHOLE = re.compile(r"\d+")
_ENDS = re.compile(r"(?P<length>.*\S)\s+(?P<a>\d+(?:\.\d+)?)\s*/\s*(?P<b>\d+(?:\.\d+)?)")
_INCH_PARTS = ("2", "4", "8", "16", "32", "64", "128")


def typed_sheet(text: str) -> Sheet:
    """The parts in a text as a sheet with the headings of a parts list; what the values mean is for its reader.

    Parameters
    ----------
    text
        Lines, or stretches between semicolons, of a section, a colon and parts with commas between them.

    Raises
    ------
    ProblemsFound
        Everything that is not of that form.
    """
    rows: list[list[Cell]] = [list(HEADINGS)]
    mitred = False
    names: dict[int, str] = {}
    problems: list[Problem] = []
    for line in re.split(r"[;\n]", seen_text(text)):
        if not line.strip():
            continue
        section, colon, parts = line.rpartition(":")
        if not colon or not section.strip() or not parts.strip():
            problems.append(Problem(where=TEXT_NAME, found=line.strip(), accepted=QUICK_FORMS, code="list.typed"))
            continue
        for part in re.split(r",(?!\d)", parts):
            if not part.strip():
                continue
            try:
                quantity, length = _part(part.strip())
                length, *ends = _ends(length)
            except _NoPart as wrong:
                where = f'{TEXT_NAME}, "{section.strip()}"'
                problems.append(
                    Problem(where=where, found=part.strip(), accepted=PART_FORMS, hint=str(wrong), code="list.typed")
                )
                continue
            mitred |= bool(ends)
            rows.append([quantity, section.strip(), length, *ends])
            names[len(rows)] = f'part {len(rows) - 1}, "{part.strip()}"'
    if len(rows) == 1 and not problems:
        problems.append(
            Problem(where=TEXT_NAME, found="no parts", accepted=QUICK_FORMS, found_is_text=False, code="list.empty")
        )
    if problems:
        raise ProblemsFound(problems)
    if mitred:
        rows[0] += END_HEADINGS
    return Sheet(file=TEXT_NAME, rows=rows, names=names)


class _NoPart(Exception):
    """A stretch that is no part; the text is a hint."""


def _part(text: str) -> tuple[str, str]:
    """Quantity and length of one part, each as typed, with the ends behind either."""
    if re.search(r"\d,\d", text):
        raise _NoPart("a comma between parts has a space behind it; write 1200, not 1,200")
    at = _AT.fullmatch(text)
    if at:
        return at["quantity"].strip(), at["length"].strip()
    times = _TIMES.fullmatch(text)
    if times is None:
        raise _NoPart("")
    first, second = times["length"].strip(), times["quantity"].strip()
    if not _WHOLE.fullmatch(first):
        return second, first
    if not _WHOLE.fullmatch(second) or int(second) >= PLAINLY_A_LENGTH * int(first):
        return first, second
    if int(first) < int(second):
        raise _NoPart(f"which is the length? write {first} @ {second}, or {second} @ {first}")
    return second, first


def _ends(length: str) -> tuple[str, ...]:
    """The length without the angles behind it, and these; ``1/4`` is a part of an inch."""
    found = _ENDS.fullmatch(length)
    if found is None or (found["b"] in _INCH_PARTS and 0 < float(found["a"]) < float(found["b"])):
        return (length,)
    return found["length"], found["a"], found["b"]
