"""What was measured of bars and deliveries, kept so that many of them tell a kerf and how long lengths come.

A movement says how long a piece is, not whether anybody measured it: a left over taken as planned tells nothing.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from cutplan.model import CutBar, EndState
from cutplan.rack.entry import Entry
from cutplan.rack.issuing import insert
from cutplan.rack.job_events import NOT_UNDONE
from cutplan.rack.pieces import Kind, Standing
from cutplan.units import Length

_TYPED = frozenset((Kind.PUT, Kind.FOUND, Kind.RETURNED))
"""Movements by which a piece comes whose length somebody typed who had it before him."""

_LENGTH_CAME = f"""
SELECT kind, action, bar, quantity FROM movement JOIN piece ON piece.id = movement.piece
WHERE mark = ? AND length_change <> 0 AND quantity >= 0 AND kind <> '{Kind.UNDONE.value}' AND {NOT_UNDONE}
ORDER BY movement.id DESC LIMIT 1
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class BarMeasured:
    """A bar of which what is left was measured.

    Parameters
    ----------
    saw
        Its name, blank where there is one.
    strokes, kerf
        How many cuts were made between START and what is left, each counted with this kerf. [nm]
    expected, found
        What should be left of it by the length it was counted with, and what was. [nm]
    """

    saw: str
    strokes: int
    kerf: Length
    expected: Length
    found: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthDelivered:
    """Lengths alike of which a delivery sheet says how long they are, beside what was ordered. [nm]"""

    family: str
    nominal: Length
    counted: Length
    length: Length
    quantity: int


def note_bar(writing: Entry, bar: CutBar, piece: Standing, count: int, found: Length | None, saw: str) -> None:
    """Keep what was measured of a bar, where all cuts up to there are square and alike.

    Parameters
    ----------
    piece
        What it was cut from, with the length it was counted with.
    count
        How many of its parts were cut.
    found
        What is left of it as measured; None, as planned, tells nothing.
    """
    cuts = bar.cuts[:count]
    if not found or not cuts or piece.state.depth or bar.starts_on_slant:
        return
    if any(cut.angle_a or cut.angle_b or cut.shared or cut.kerf != cuts[0].kerf for cut in cuts):
        return
    insert(
        writing.db,
        "measured",
        action=writing.id, bar=bar.number, saw=saw, strokes=len(cuts), kerf=cuts[0].kerf,
        expected=piece.state.length - cuts[-1].end - cuts[-1].kerf, found=found,
        whole=int(not bar.start_trim and _is_measured(writing.db, piece)),
    )  # fmt: skip


def note_delivered(writing: Entry, lengths: list[LengthDelivered]) -> None:
    """Keep how long the lengths of a delivery are, as its sheet says."""
    for each in lengths:
        insert(
            writing.db,
            "delivered",
            action=writing.id, family=each.family, nominal=each.nominal, counted=each.counted, length=each.length,
            quantity=each.quantity,
        )  # fmt: skip


def _is_measured(db: sqlite3.Connection, piece: Standing) -> bool:
    """Was the length that a piece has on the rack measured, and not what a plan or a price list says?"""
    row = db.execute(_LENGTH_CAME, (piece.mark,)).fetchone()
    if row is None:
        return False
    kind, action, bar = Kind(row[0]), row[1], row[2]
    if kind is Kind.CUT_FROM:
        seen = "SELECT 1 FROM measured WHERE action = ? AND bar = ? AND found = ?"
        return db.execute(seen, (action, bar, piece.state.length)).fetchone() is not None
    if kind is Kind.BOUGHT:
        seen = "SELECT 1 FROM delivered WHERE action = ? AND length = ? AND length <> counted"
        return db.execute(seen, (action, piece.state.length)).fetchone() is not None
    if kind is Kind.COUNTED:
        return bool(row[3] == 0)  # else what changed is how many there are
    # A full length is put on the rack by the name it goes by, such as 6 m.
    full = (piece.state.end_a, piece.state.end_b) == (EndState.MILL, EndState.MILL)
    return kind is Kind.CORRECTED or (kind in _TYPED and not full)


def bars_measured(db: sqlite3.Connection) -> tuple[tuple[BarMeasured, ...], int]:
    """Bars whose own length was measured too, and how many more there are of which that cannot be said."""
    rows = db.execute(
        f"SELECT saw, strokes, kerf, expected, found FROM measured WHERE whole AND {NOT_UNDONE} ORDER BY id"
    ).fetchall()
    (others,) = db.execute(f"SELECT count(*) FROM measured WHERE NOT whole AND {NOT_UNDONE}").fetchone()
    found = (
        BarMeasured(saw=saw, strokes=strokes, kerf=kerf, expected=expected, found=left)
        for saw, strokes, kerf, expected, left in rows
    )
    return tuple(found), others


def lengths_delivered(db: sqlite3.Connection) -> tuple[LengthDelivered, ...]:
    """Lengths of all deliveries whose sheet was filled in."""
    rows = db.execute(
        f"SELECT family, nominal, counted, length, quantity FROM delivered WHERE {NOT_UNDONE} ORDER BY id"
    ).fetchall()
    return tuple(
        LengthDelivered(family=family, nominal=nominal, counted=counted, length=length, quantity=quantity)
        for family, nominal, counted, length, quantity in rows
    )
