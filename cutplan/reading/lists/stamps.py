"""What is stamped on the copies of a part: one text on all of them, or a text for each."""

from __future__ import annotations

from collections.abc import Sequence

from cutplan.problems import Refused
from cutplan.reading.sheets.tables import Row

Stamps = tuple[str, ...]
"""None; one text, which every copy gets; or a text for each copy in turn, blank where it gets none."""


def read_stamps(row: Row) -> Stamps:
    """The texts under Stamp, with semicolons between them."""
    texts = tuple(" ".join(text.split()) for text in row.words("Stamp").split(";"))
    return texts if len(texts) > 1 or texts[0] else ()


def check_stamps(row: Row, stamps: Stamps, each: int, opposite: int) -> None:
    """Refuse several texts beside an opposite hand, or another number of them than the quantity of the row."""
    if len(stamps) < 2:
        return
    try:
        _refuse_several(stamps, opposite)
        if len(stamps) != each:
            found = f"{len(stamps)} texts for a quantity of {each}"
            raise Refused(found, f"one text for all, or {each} with semicolons between", code="stamp.count")
    except Refused as refused:
        row.refuse("Stamp", refused.found, refused.accepted, typed=False, code=refused.code)


def stamps_of_all(stamps: Stamps, times: int, in_all: int) -> Stamps:
    """The texts of a row for all copies made of it; several are for the quantity of the row, and spares get none."""
    if len(stamps) < 2:
        return stamps
    made = stamps * times
    return (*made, *[""] * (in_all - len(made)))


def joined_stamps(rows: Sequence[tuple[Stamps, int, int]]) -> Stamps:
    """The texts of several rows of one part, each with its quantity and how many of the opposite hand.

    Where all are the same it is one; several beside an opposite hand are refused.
    """
    if len({stamps for stamps, *_ in rows}) == 1 and len(rows[0][0]) < 2:
        return rows[0][0]  # of a mark in very many rows, all before are one of these rows
    each = [text for stamps, number, _ in rows for text in (stamps if len(stamps) > 1 else (stamps or ("",)) * number)]
    if len(set(each)) == 1:
        return tuple(text for text in each[:1] if text)
    _refuse_several(each, sum(opposite for *_, opposite in rows))
    return tuple(each)


def _refuse_several(stamps: Sequence[str], opposite: int) -> None:
    if opposite:
        found = f"{len(stamps)} texts beside an opposite hand"
        raise Refused(found, "one text, or the opposite hand in a row of its own", code="stamp.count")
