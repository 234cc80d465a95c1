"""Units that a list mixes or mistakes: lengths out of scale, and amounts in another currency."""

from __future__ import annotations

import re
from collections.abc import Sequence

from cutplan.problems import Problem
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.raw_cells import column_letter
from cutplan.reading.sheets.tables import Table
from cutplan.units import ASKED_ABOVE, names_unit, stock_text, tidy_text, unit_length

NEIGHBOURS = 5
"""Bare lengths on either side that a bare length is compared with."""
OUT_OF_SCALE = 20
"""A bare length is warned about when it is more than this many times, or less than that part of, every neighbour
but one: the smallest slip of unit, inches for millimetres, is 25 times, and two slips may stand together."""


def _units_in(text: str) -> set[int | None]:
    """Lengths of the units named in a length as typed."""
    return {unit_length(word) for word in re.findall(r"[A-Za-z]+|\"|'{1,2}", tidy_text(text))}


def warn_about_lengths(table: Table, lengths: Sequence[tuple[int, str, int]], default: str, findings: Findings) -> None:
    """Warn where bare numbers are mixed with other units, or are far out of scale, and of what is above 30 m.

    A length above 30 m is refused with a question unless it is typed in metres or feet; typed so it is meant, but still
    reported, since nothing on sale may be so long.

    Parameters
    ----------
    table
        The list, which has a column Length.
    lengths
        Row, cell as typed and length [nm] of each length that could be read, in the list's order.
    default
        The workshop's unit.
    findings
        Gains the warnings.
    """
    bare_unit = table.columns["Length"].unit or default
    bare = [(row, text, length) for row, text, length in lengths if not names_unit(text)]
    size = unit_length(bare_unit)
    other = [(row, text) for row, text, _ in lengths if names_unit(text) and size not in _units_in(text)]
    if bare and other:
        row, text = other[0]
        findings.warn(
            row,
            Problem(
                where=table.place(row, "Length"),
                found=text,
                accepted=(
                    f"one unit in a list; {_read_bare(len(bare), table.row_words(bare[0][0]))} read as {bare_unit}"
                ),
                code="length.mixed",
            ),
        )
    for at, (row, text, length) in enumerate(bare):
        around = sorted(near for _, _, near in bare[max(0, at - NEIGHBOURS) : at] + bare[at + 1 : at + 1 + NEIGHBOURS])
        if len(around) < 3:
            continue
        if length * OUT_OF_SCALE < around[1] or length > OUT_OF_SCALE * around[-2]:
            findings.warn(
                row,
                Problem(
                    where=table.place(row, "Length"),
                    found=text,
                    accepted=f"a length in the scale of its neighbours; it was read as {text} {bare_unit}",
                    hint="is another unit meant?",
                    code="length.scale",
                ),
            )
    for row, text, length in lengths:
        if length > ASKED_ABOVE:
            findings.warn(
                row,
                Problem(
                    where=table.place(row, "Length"),
                    found=text,
                    accepted=f"a length up to {stock_text(ASKED_ABOVE)}, or one that is sold and carried in one piece",
                    hint="is another unit meant?",
                    code="length.long",
                ),
            )


def currency_problem(table: Table, heading: str, named: str, currency: str) -> Problem | None:
    """A problem when the heading of amounts names another currency than the workshop's."""
    column = table.columns[heading]
    if not named or named.upper() == currency:
        return None
    return Problem(
        where=f"{table.sheet.place}, row {table.heading_row + 1}, column {column_letter(column.index)}",
        found=column.typed,
        accepted=f"amounts in {currency}, the currency of the workshop",
        code="money.currency",
    )


def _read_bare(count: int, first: str) -> str:
    return f"the {count} bare numbers, first in {first}, were" if count > 1 else f"the bare number in {first} was"
