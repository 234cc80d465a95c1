"""Lines of the parts list that are no part: assemblies to be made several times, and things that are not cut.

Such a line says so in its column Section: ``assembly`` or ``other``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction
from functools import partial

from cutplan.model import OtherLine
from cutplan.problems import Refused
from cutplan.reading.lists.spares import SPARES_FORMS, Spares, parse_spares
from cutplan.reading.sheets.findings import Findings
from cutplan.reading.sheets.headings import ASSEMBLIES
from cutplan.reading.sheets.raw_cells import RawFile
from cutplan.reading.sheets.table_search import read_table
from cutplan.reading.sheets.tables import Row
from cutplan.units import (
    KG,
    MAX_QUANTITY,
    MONEY_FORMS,
    POUND_IN_KG,
    QUANTITY_FORMS,
    TONNE,
    Mass,
    parse_decimal,
    parse_money,
    parse_quantity,
    round_half_up,
)

ASSEMBLY, OTHER = "assembly", "other"
"""What stands in the column Section of such a line."""

WEIGHT_FORMS = "a weight such as 1.2, which is in kg or the heading's unit, 1.2 kg, 350 g or 2.5 lb"
_UNITS = {
    "kg": Fraction(KG),
    "g": Fraction(KG, 1000),
    "lb": POUND_IN_KG * KG,
    "lbs": POUND_IN_KG * KG,
    "oz": POUND_IN_KG * KG / 16,
}
_OF_ALL = ("Mark", "Quantity", "Section", "Assembly", "Spares", "Looked at", "Note", "Check")
_OF_OTHERS = ("Weight each", "Price each", "Merchant")
_NOT_READ = ("Standard", "Grade", "Finish")
"""What a line that is not cut may say beside what is read of it: a bolt has a grade."""


@dataclass(frozen=True, slots=True)
class Made:
    """An assembly that is made ``count`` times, as ``row`` says, with spare parts for so many more."""

    name: str
    count: int
    row: Row
    spares: Spares


@dataclass(slots=True)
class UncutRead:
    """Assemblies by their name without case, other lines with the rows they stand in, and cells that are not read.

    ``whole`` is how often the whole list is made.
    """

    whole: int = 1
    made: dict[str, Made] = field(default_factory=dict)
    others: list[tuple[Row, OtherLine]] = field(default_factory=list)
    not_read: list[tuple[int, str]] = field(default_factory=list)

    def times(self, assembly: str) -> int:
        """How often an assembly is made in all lists: once in each when no line says more."""
        made = self.made.get(assembly.casefold())
        return self.whole * (made.count if made else 1)


def refuse_of_others(row: Row) -> None:
    """Refuse cells of a part that mean something for other lines alone; what they say could not be kept."""
    for heading in _OF_OTHERS:
        if row.text(heading):
            row.refuse(
                heading,
                row.text(heading),
                "a blank cell: it is for lines marked other, which are not cut",
                code="other.column",
            )


def is_uncut(row: Row) -> bool:
    """Is this a line of an assembly, or of a thing that is not cut?"""
    return row.text("Section").lower() in (ASSEMBLY, OTHER)


def read_uncut(row: Row, into: UncutRead) -> None:
    """Read such a line; what is wrong with it is noted."""
    kind = row.text("Section").lower()
    quantity = row.needed("Quantity", parse_quantity, QUANTITY_FORMS)
    used = (*_OF_ALL, *(_OF_OTHERS if kind == OTHER else ()))
    for heading in row.table.columns:
        if heading not in (*used, *_NOT_READ) and row.text(heading):
            row.refuse(
                heading, row.text(heading), f"a blank cell: a line marked {kind} is not cut", code="other.column"
            )
    into.not_read += [(row.number, heading) for heading in _NOT_READ if row.text(heading)]
    (_read_assembly if kind == ASSEMBLY else _read_other)(row, quantity, into)


def read_made(file: RawFile, into: UncutRead, findings: Findings) -> None:
    """Read a sheet of its own that says how often assemblies are made."""
    table = read_table(file, ASSEMBLIES, findings)
    for row in table.rows(findings) if table else ():
        _read_assembly(row, row.needed("Quantity", parse_quantity, QUANTITY_FORMS), into)


def _read_assembly(row: Row, quantity: int | None, into: UncutRead) -> None:
    name = row.words("Assembly") or row.words("Mark")
    spares = row.parse("Spares", parse_spares, Spares(), SPARES_FORMS)
    if not name:
        row.refuse(
            "Assembly", "a blank cell", "the name of the assembly, as its parts have it", typed=False, code="cell.blank"
        )
    if not row.sound or quantity is None:
        return
    first = into.made.setdefault(name.casefold(), Made(name, quantity, row, spares))
    if first.row is not row:
        found = f'assembly "{name}" again, as in {first.row.table.place(first.row.number)}'
        row.refuse("Assembly", found, "one line for each assembly", typed=False, code="assembly.twice")


def _read_other(row: Row, quantity: int | None, into: UncutRead) -> None:
    mark, note = row.words("Mark"), row.words("Note")
    if row.text("Spares"):
        row.refuse(
            "Spares",
            row.text("Spares"),
            f"a blank cell: a line marked {OTHER} has its number in Quantity",
            code="other.spares",
        )
    if not mark and not note:
        row.refuse(
            "Mark",
            "a blank cell",
            "what it is, such as hinge 100 mm, under Mark or Note",
            typed=False,
            code="cell.blank",
        )
    column = row.table.columns.get("Weight each")
    parse = partial(parse_weight, default_unit=(column.unit if column else "") or "kg")
    mass = row.parse("Weight each", parse, 0, WEIGHT_FORMS)
    price = row.parse("Price each", parse_money, None, MONEY_FORMS)
    if not row.sound or quantity is None:
        return
    line = OtherLine(
        name=mark or note,
        quantity=quantity,
        mass_each=mass,
        price_each=price,
        merchant=row.words("Merchant"),
        assembly=row.text("Assembly"),
        note=note if mark else "",
        row=row.number,
    )
    into.others.append((row, line))


def parse_weight(text: str, default_unit: str = "kg") -> Mass:
    """A weight in milligrams, rounded half up once; raises Refused."""
    match = re.fullmatch(r"(?P<number>[\d.,\s]+?)\s*(?P<unit>[A-Za-z]*)\.?", text)
    unit = (match["unit"] or default_unit).lower() if match else ""
    if match is None or unit not in _UNITS:
        raise Refused(text, WEIGHT_FORMS, code="weight.unreadable")
    try:
        number: Decimal = parse_decimal(match["number"], WEIGHT_FORMS)
    except Refused as refused:
        raise Refused(text, WEIGHT_FORMS, refused.hint, code=refused.code) from None
    mass = round_half_up(Fraction(number) * _UNITS[unit])
    if mass > TONNE:
        raise Refused(text, "at most 1000 kg each", code="weight.most")
    return mass


def multiplied(row: Row, count: int, times: int, more: int = 0) -> int:
    """A quantity for every assembly made, and ``more`` beside; refused where it is too many."""
    total = count * times + more
    if total > MAX_QUANTITY:
        found = f"{count} in each of {times} assemblies" + (f" and {more} spare" if more else "")
        row.refuse(
            "Quantity", found, f"a total of at most {MAX_QUANTITY} of one mark", typed=False, code="quantity.most"
        )
    return total


def times_made(uncut: UncutRead) -> Iterator[OtherLine]:
    """The other lines, each as often as its assembly is made; too many of one are refused."""
    for row, line in uncut.others:
        quantity = multiplied(row, line.quantity, uncut.times(line.assembly))
        if row.sound:
            yield replace(line, quantity=quantity)


def check_assemblies(uncut: UncutRead, named: Sequence[str], findings: Findings) -> None:
    """Refuse an assembly that no part names: its number would multiply nothing."""
    known = {name.casefold() for name in named}
    for key, made in uncut.made.items():
        if key not in known and not findings.problems:
            where = made.row.table.place(made.row.number)
            found = f'assembly "{made.name}", which no part names'
            findings.add_statement(
                made.row.number, where, found, "the name of an assembly of a part in this list", code="assembly.unknown"
            )
