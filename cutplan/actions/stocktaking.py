"""A stock-take of one place: the sheet to fill, and what it says put into the ledger; the rack as a workbook."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.actions.rack_found import now
from cutplan.actions.racking import rack_show

if TYPE_CHECKING:
    from cutplan.actions.rack_found import Rack
    from cutplan.rack.counting import Difference
    from cutplan.rack.pieces import Standing


def count_sheet(rack: Rack, place: str, path: Path | str) -> int:
    """Write the sheet of a stock-take: what should lie in a place, to be filled in there; returns how many rows.

    Raises
    ------
    ProblemsFound
        When it cannot be written.
    """
    from cutplan.reading.forms.stocktake import COUNT
    from cutplan.reports.workbook.blank_forms import write_form, writing_to
    from cutplan.words.naming import shop_name
    from cutplan.words.rack_words import measured_short

    pieces, how = rack_show(rack, place=place), rack.workshop.printing
    rows = [
        [
            piece.mark, shop_name(piece.material.designation, how),
            rack.workshop.figures.typed_length(piece.state.length), None, None, piece.state.grade,
            piece.material.finish, piece.material.standard, piece.state.end_a.value, piece.state.end_b.value,
            place, ", ".join(hold.job for hold in piece.holds),
        ]
        for piece in pieces
    ]  # fmt: skip
    hint = "Found: how many lie there, 0 for none. A piece that bears no mark takes a row of its own with a blank mark."
    hint = " ".join([hint, *measured_short(pieces)])
    title = f"Count of {place}, {rack.path.name} as of {now()[:16].replace('T', ' ')} UTC"
    with writing_to(Path(path)):
        write_form(
            Path(path), "Count", title, hint, [heading.name for heading in COUNT], rows,
            paper=rack.workshop.paper,
        )  # fmt: skip
    return len(rows)


def rack_count(rack: Rack, place: str, path: Path | str, *, reason: str = "") -> tuple[Difference, ...]:
    """Put what a filled sheet says of a place into the ledger; returns every difference."""
    from cutplan.rack.counting import Seen, count
    from cutplan.rack.pieces import Material, State
    from cutplan.reading.forms.stocktake import read_count

    seen = []
    for row in read_count(Path(path), rack.workshop, place, any_length=bool(reason)):
        material = Material(designation=row.designation, standard=row.standard, finish=row.finish)
        state = State(length=row.measured or row.noted or 1, end_a=row.end_a, end_b=row.end_b, grade=row.grade)
        seen.append(
            Seen(where=row.where, mark=row.mark, found=row.found, length=row.measured, material=material, state=state)
        )
    with rack.open() as ledger:
        return count(ledger, rack.doing("count", reason=reason or f"stock-take of {place}"), place, seen)


def rack_write(rack: Rack, path: Path | str) -> tuple[Standing, ...]:
    """Write what lies on the rack as a rack file (xlsx) that can be read back; returns it.

    Raises
    ------
    ProblemsFound
        When it cannot be written.
    """
    from cutplan.reading.lists.rack_columns import RACK
    from cutplan.reports.workbook.blank_forms import write_form, writing_to
    from cutplan.words.naming import shop_name
    from cutplan.words.rack_words import listed_square

    figures, how = rack.workshop.figures, rack.workshop.printing

    def cells(piece: Any) -> list[Any]:
        state, material = piece.state, piece.material
        known = {
            "Mark": piece.mark, "Section": shop_name(material.designation, how), "Standard": material.standard,
            "Grade": state.grade, "Finish": material.finish, "Length": figures.typed_length(state.length),
            "End A": state.end_a.value, "End B": state.end_b.value, "Place": state.place,
            "Heat number": state.heat_number, "Quantity": piece.quantity,
            "Book value": None if state.value is None else figures.typed_money(state.value),
        }  # fmt: skip
        return [known.get(heading.name) for heading in RACK]

    there = rack_show(rack)
    rows = [cells(piece) for piece in there]
    hint = " ".join(["As it is now.", *listed_square(there)])
    heads = [heading.name for heading in RACK]
    with writing_to(Path(path)):
        write_form(Path(path), "Rack", "The rack", hint, heads, rows, paper=rack.workshop.paper)
    return there
