"""Two forms filled in at the rack and at the gate: what a place holds, and what a merchant really gave."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from cutplan.model import EndState, StockLength, Workshop
from cutplan.problems import ProblemsFound, Refused
from cutplan.reading.lists.material import MaterialReader
from cutplan.reading.lists.rack_columns import END_FORMS, read_end
from cutplan.reading.reason import check_correction, delivered_fault, wall_fault
from cutplan.reading.sheets.findings import Findings, in_order
from cutplan.reading.sheets.headings import Heading, Kind
from cutplan.reading.sheets.raw_cells import load_file
from cutplan.reading.sheets.table_search import read_table
from cutplan.reading.sheets.tables import length_reader
from cutplan.units import LENGTH_FORMS, MONEY_FORMS, Length, Money, parse_decimal, parse_money

_LENGTH = Heading("Length", Kind.LENGTH, about="as it is noted")

COUNT: tuple[Heading, ...] = (
    Heading("Mark", Kind.TEXT, about="painted on the piece; blank for one that bears none"),
    Heading("Section", Kind.TEXT, needed=True, about="such as SHS 40x40x3"),
    _LENGTH,
    Heading("Found", Kind.COUNT, needed=True, about="how many lie there; 0 for none"),
    Heading("Length as measured", Kind.LENGTH, variants=("measured",), about="blank is as noted"),
    Heading("Grade", Kind.TEXT, about="of a piece that bears no mark; blank is unknown"),
    Heading("Finish", Kind.TEXT, about="of a piece that bears no mark; blank is the workshop's"),
    Heading("Standard", Kind.TEXT, about="of a piece that bears no mark; blank is the workshop's for its family"),
    Heading("End A", Kind.TEXT, about="of a piece that bears no mark: sawn or mill; blank is sawn"),
    Heading("End B", Kind.TEXT, about="as End A"),
    Heading("Place", Kind.TEXT, about="as printed: the place that is counted"),
    Heading("Held for", Kind.TEXT, about="as printed: the job that a piece is kept for"),
)
"""The sheet of a stock-take."""

DELIVERY: tuple[Heading, ...] = (
    Heading("Line", Kind.TEXT, needed=True, variants=("offer",), about="the line ordered, as printed"),
    Heading("Merchant", Kind.TEXT, about="as printed"),
    Heading("Section", Kind.TEXT, needed=True, about="what was given; another one than ordered is a substitute"),
    Heading("Standard", Kind.TEXT, about="blank is the workshop's for its family"),
    Heading("Grade", Kind.TEXT, about="blank: unknown"),
    Heading("Finish", Kind.TEXT, about="blank is the workshop's"),
    Heading("Quantity", Kind.COUNT, needed=True, variants=("qty", "given"), about="how many were given; 0 for none"),
    Heading("Length", Kind.LENGTH, needed=True, variants=("length as measured",), about="as measured, of each"),
    Heading("Wall", Kind.LENGTH, variants=("wall as measured",), about="as measured"),
    Heading("Price", Kind.MONEY, variants=("price each",), about="of one length"),
    Heading("Heat number", Kind.TEXT, variants=("heat",), about="the mill's melt number"),
    Heading("Certificate", Kind.TEXT, about="the mill certificate: its number or file"),
)
"""The sheet of a delivery: a row per line ordered, or several where heats or lengths differ."""

COUNT_FORMS = "a whole number from 0 to 100000"


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """A row of a stock-take. A blank ``mark`` is a piece that bears none. ``where`` says where the row stands. [nm]"""

    where: str
    mark: str
    designation: str
    standard: str
    grade: str
    finish: str
    found: int
    noted: Length | None
    measured: Length | None
    end_a: EndState
    end_b: EndState


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """A row of a delivery: so many lengths alike. [nm], [millionths of the currency]"""

    offer: str
    designation: str
    standard: str
    grade: str
    finish: str
    quantity: int
    length: Length
    wall: Length | None = None
    price: Money | None = None
    heat_number: str = ""
    certificate: str = ""


def _check_not_merged(findings: Findings, heading: str) -> None:
    """Refuse a number of pieces that is one cell of several rows: it could be that of each or of all of them."""
    for row, warning in findings.warnings:
        if warning.code == "cell.merged_down" and warning.where.endswith(f'"{heading}"'):
            findings.add_statement(
                row, warning.where, warning.found, "every cell by itself", "unmerge them and fill each cell",
                code="cell.merged",
            )  # fmt: skip


def _count(text: str) -> int:
    value = parse_decimal(text, COUNT_FORMS)
    if value != value.to_integral_value() or value > 100_000:
        raise Refused(text, COUNT_FORMS, code="count.unreadable")
    return int(value)


def read_count(path: Path, workshop: Workshop, place: str = "", *, any_length: bool = False) -> tuple[Counted, ...]:
    """The rows of a stock-take that say how many were found.

    Parameters
    ----------
    place
        What is counted: a row of another place is of another sheet.
    any_length
        Whether a length as measured may make another piece of the one noted.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with it.
    """
    findings = Findings()
    table = read_table(load_file(path), COUNT, findings, workshop.decimal_sign)
    if table is None:
        raise ProblemsFound(in_order(findings.problems))
    materials, rows = MaterialReader(workshop), []
    units = {name: column.unit or workshop.unit for name, column in table.columns.items()}
    for row in table.rows(findings):
        material = materials.read(row)
        there = row.words("Place")
        if there and place and there.casefold() != place.casefold():
            row.refuse("Place", there, f"{place}, the place that is counted", code="count.place")
        found = row.needed("Found", _count, COUNT_FORMS)
        noted = row.parse("Length", length_reader(units.get("Length", workshop.unit)), None, LENGTH_FORMS)
        name = "Length as measured"
        measured = row.parse(name, length_reader(units.get(name, workshop.unit)), None, LENGTH_FORMS)
        end_a, end_b = (row.parse(end, read_end, EndState.SAWN, END_FORMS) for end in ("End A", "End B"))
        mark = row.words("Mark")
        if mark and found and noted and measured and not any_length:
            try:
                check_correction(measured, noted, workshop.printing)
            except Refused as refused:
                row.refuse(name, row.text(name), refused.accepted, refused.hint, code=refused.code)
        if not mark and found and measured is None and noted is None:
            row.refuse(name, "a blank cell", "the length of a piece that bears no mark", typed=False, code="cell.blank")
        if row.sound and material is not None and found is not None:
            rows.append(
                Counted(
                    where=table.place(row.number), mark=mark, designation=material.section.designation,
                    standard=material.section.standard, grade=material.grade, finish=material.finish, found=found,
                    noted=noted, measured=measured, end_a=end_a, end_b=end_b,
                )
            )  # fmt: skip
    _check_not_merged(findings, "Found")
    if findings.problems:
        raise ProblemsFound(in_order(findings.problems))
    return tuple(rows)


def read_delivery(path: Path, workshop: Workshop, offers: Sequence[StockLength]) -> tuple[Given, ...]:
    """What a merchant really gave, row by row.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with it, a line that was not ordered among it.
    """
    findings = Findings()
    table = read_table(load_file(path), DELIVERY, findings, workshop.decimal_sign)
    if table is None:
        raise ProblemsFound(in_order(findings.problems))
    ordered = {offer.id: offer.length for offer in offers}
    lines = {str(number): offer.id for number, offer in enumerate(offers, 1)} | {name: name for name in ordered}
    materials, rows = MaterialReader(workshop), []
    units = {name: column.unit or workshop.unit for name, column in table.columns.items()}
    for row in table.rows(findings):
        typed = row.needed("Line", str, "a line that was ordered")
        line = lines.get(typed) if typed is not None else None
        if typed is not None and line is None:
            row.refuse("Line", typed, f"a line that was ordered, 1 to {len(offers)}", code="delivery.line")
        material = materials.read(row)
        quantity = row.needed("Quantity", _count, COUNT_FORMS)
        length = row.needed("Length", length_reader(units["Length"]), LENGTH_FORMS)
        wall = row.parse("Wall", length_reader(units.get("Wall", workshop.unit)), None, LENGTH_FORMS)
        fault = wall_fault(wall, material.section.thickness) if wall is not None and material is not None else ""
        if fault:
            row.refuse("Wall", row.text("Wall"), fault, code="delivery.wall")
        fault = delivered_fault(length, ordered[line], workshop.printing) if length and line in ordered else ""
        if fault:
            row.refuse("Length", row.text("Length"), fault, code="delivery.length")
        price = row.parse("Price", parse_money, None, MONEY_FORMS)
        heat_number, certificate = row.words("Heat number"), row.words("Certificate")
        if row.sound and line and material is not None and quantity is not None and length is not None:
            rows.append(
                Given(
                    offer=line, designation=material.section.designation, standard=material.section.standard,
                    grade=material.grade, finish=material.finish, quantity=quantity, length=length, wall=wall,
                    price=price, heat_number=heat_number, certificate=certificate,
                )
            )  # fmt: skip
    _check_not_merged(findings, "Quantity")
    if findings.problems:
        raise ProblemsFound(in_order(findings.problems))
    return tuple(rows)
