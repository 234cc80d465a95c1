"""The rack file: offcuts on hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from cutplan.model import Offcut, Workshop
from cutplan.problems import Problem, ProblemsFound
from cutplan.reading.lists.ditto import Repeat, repeat_above
from cutplan.reading.lists.material import MaterialReader
from cutplan.reading.lists.rack_columns import OWN_COLUMNS, RACK
from cutplan.reading.reason import DEAR_HINT, price_fault
from cutplan.reading.sheets.findings import Findings, in_order
from cutplan.reading.sheets.own_columns import values_of
from cutplan.reading.sheets.raw_cells import RawFile, load_file
from cutplan.reading.sheets.table_search import read_table
from cutplan.reading.sheets.tables import Table, length_reader
from cutplan.reading.sheets.unit_checks import currency_problem, warn_about_lengths
from cutplan.units import (
    LENGTH_FORMS,
    money_text,
)


@dataclass(slots=True)
class RackRead:
    """Everything the rack file gave; ``spoiled`` and ``unclear`` as for the price list.

    ``open_ends`` counts offcuts with an end that was not stated, ``open_values`` those without a book value.
    ``ledger`` is the name of the ledger they are from, where they are from no file.
    """

    table: Table | None = None
    offcuts: list[Offcut] = field(default_factory=list)
    spoiled: set[tuple[str, str]] = field(default_factory=set)
    unclear: bool = False
    open_ends: int = 0
    open_values: int = 0
    ledger: str = ""


def read_rack(file: RawFile, workshop: Workshop, findings: Findings, repeat: Repeat = Repeat.NO) -> RackRead:
    """Read the rack file; sound rows become offcuts, the rest goes to ``findings``.

    A blank book value is the offcut's length at the workshop's offcut value, rounded up to a millionth, so that
    using an offcut up never pays.
    """
    table = read_table(file, RACK, findings, workshop.decimal_sign)
    if table is None:
        return RackRead(unclear=True)
    repeat_above(table, repeat, findings)
    read = RackRead(table=table)
    column = table.columns.get("Book value")
    problem = currency_problem(table, "Book value", column.unit, workshop.currency) if column else None
    if problem:
        findings.add(table.heading_row + 1, problem)
    materials = MaterialReader(workshop)
    parse_length = length_reader(table.columns["Length"].unit or workshop.unit)
    first_rows: dict[str, int] = {}
    lengths: list[tuple[int, str, int]] = []
    valued: set[int] = set()
    for row in table.rows(findings):
        own = values_of(row, OWN_COLUMNS)
        mark, book_value = own["mark"], own["book_value"]
        material = materials.read(row)
        length = row.needed("Length", parse_length, LENGTH_FORMS)
        if length is not None:
            lengths.append((row.number, row.text("Length"), length))
        if mark and mark in first_rows:
            found = f'"{mark}" again, as in row {first_rows[mark]}'
            row.refuse("Mark", found, "a mark of its own for every offcut", typed=False, code="mark.twice")
        first_rows.setdefault(mark, row.number)
        if material is None:
            read.unclear = True
        elif not row.sound:
            read.spoiled.add(material.key)
        if not row.sound or material is None or length is None:
            continue
        read.open_ends += None in (own["end_a"], own["end_b"])
        read.open_values += book_value is None
        if book_value is None:
            own["book_value"] = workshop.book_value(material.section.family, length)
        else:
            valued.add(row.number)
        read.offcuts.append(
            Offcut(
                section=material.section,
                grade=material.grade,
                finish=material.finish,
                length=length,
                row=row.number,
                **{field: value for field, value in own.items() if value is not None},
            )
        )
    warn_about_lengths(table, lengths, workshop.unit, findings)
    _warn_dear(table, [piece for piece in read.offcuts if piece.row in valued], workshop.currency, findings)
    return read


def _warn_dear(table: Table, pieces: Sequence[Offcut], currency: str, findings: Findings) -> None:
    """Book values that no steel has are warned about, once a list."""
    faults = [(piece, price_fault(piece.book_value, piece.section.mass_of(piece.length), currency)) for piece in pieces]
    dear = [(piece, accepted) for piece, accepted in faults if accepted]
    if dear:
        piece, accepted = dear[0]
        more = f", and {len(dear) - 1} more such values" if len(dear) > 1 else ""
        where, found = table.place(piece.row, "Book value"), f"{money_text(piece.book_value)}{more}"
        findings.warn(
            piece.row,
            Problem(
                where=where, found=found, accepted=accepted, hint=DEAR_HINT, found_is_text=False, code="price.dear"
            ),
        )


def read_rack_file(path: Path, workshop: Workshop) -> tuple[Offcut, ...]:
    """The pieces of a rack file alone.

    Raises
    ------
    ProblemsFound
        Everything that is wrong with it.
    """
    findings = Findings()
    read = read_rack(load_file(path), workshop, findings)
    if findings.problems:
        raise ProblemsFound(in_order(findings.problems))
    return tuple(read.offcuts)
