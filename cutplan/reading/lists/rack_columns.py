"""The columns of the rack file, each declared once; its length is read in :mod:`cutplan.reading.lists.rack_list`."""

from __future__ import annotations

from cutplan.model import EndState
from cutplan.problems import Refused
from cutplan.reading.sheets.headings import (
    CHECK_COLUMN,
    STANDARD,
    Heading,
    Kind,
    finish_heading,
    grade_heading,
    section_heading,
    words_of,
)
from cutplan.reading.sheets.own_columns import Column
from cutplan.reading.sheets.tables import Row
from cutplan.units import MONEY_FORMS, QUANTITY_FORMS, parse_money, parse_quantity

END_WORDS: dict[str, EndState] = {
    **dict.fromkeys(("sawn", "saw", "cut", "saw cut"), EndState.SAWN),
    **dict.fromkeys(("mill", "mill end"), EndState.MILL),
}
END_FORMS = "sawn or mill; blank is sawn"


def read_end(text: str) -> EndState:
    """How an end is, as typed; raises Refused with the accepted words."""
    plain = " ".join(text.lower().split())
    if plain not in END_WORDS:
        raise Refused(text, END_FORMS, code="rack.end")
    return END_WORDS[plain]


def _mark(row: Row) -> str:
    return row.words("Mark") if row.needed("Mark", str, "the mark painted on the offcut") else ""


def _end(name: str, field: str, shown: int, variants: tuple[str, ...]) -> Column:
    return Column(
        name=name,
        kind=Kind.TEXT,
        variants=variants,
        about=END_FORMS,
        shown=shown,
        choices=words_of(END_WORDS),
        strict=True,
        field=field,
        cell=lambda row: row.parse(name, read_end, None, END_FORMS),
    )


RACK: tuple[Heading, ...] = (
    Column(
        name="Mark",
        kind=Kind.TEXT,
        needed=True,
        variants=("offcut", "offcut mark", "offcut no", "label", "item", "item no", "no"),
        about="painted on the offcut; each its own",
        shown=1,
        field="mark",
        cell=_mark,
    ),
    section_heading(2),
    STANDARD,
    grade_heading(4),
    finish_heading(5),
    Heading(
        "Length",
        Kind.LENGTH,
        needed=True,
        variants=("offcut length", "len"),
        about="as measured",
        shown=3,
        width=13,
    ),
    _end("End A", "end_a", 6, ("end 1", "state a")),
    _end("End B", "end_b", 7, ("end 2", "state b")),
    Column(
        name="Place",
        kind=Kind.TEXT,
        variants=("location", "where", "bin", "shelf"),
        about="where it lies",
        shown=8,
        width=14,
        field="place",
        cell=lambda row: row.words("Place"),
    ),
    Column(
        name="Heat number",
        kind=Kind.TEXT,
        variants=("heat", "heat no", "cast", "cast no", "lot"),
        about="the mill's number, goes on to what is left",
        shown=9,
        field="heat_number",
        cell=lambda row: row.words("Heat number"),
    ),
    Column(
        name="Book value",
        kind=Kind.MONEY,
        variants=("value", "book", "worth"),
        about="what using it up costs; blank is its length at the workshop's offcut value",
        shown=10,
        field="book_value",
        cell=lambda row: row.parse("Book value", parse_money, None, MONEY_FORMS),
    ),
    Column(
        name="Quantity",
        kind=Kind.COUNT,
        variants=("qty", "pieces", "count", "on hand"),
        about="how many alike under one mark, such as full lengths; blank is 1",
        field="quantity",
        cell=lambda row: row.parse("Quantity", parse_quantity, 1, QUANTITY_FORMS),
    ),
    CHECK_COLUMN,
)
"""In the order in which messages and the manual name them."""

OWN_COLUMNS: tuple[Column, ...] = tuple(heading for heading in RACK if isinstance(heading, Column))
"""Those that give a field of an offcut by themselves, None where a blank cell leaves it open."""
