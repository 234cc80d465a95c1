"""What lies on the rack now."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection

from cutplan.rack.entry import STATE_COLUMNS, state_of
from cutplan.rack.pieces import Hold, Material, Standing
from cutplan.rack.store import Ledger
from cutplan.units import Length

_MOST_NAMES = 500
"""Designations in one query; SQLite binds up to 32766 values."""


def standing(
    ledger: Ledger,
    *,
    designations: Collection[str] | None = None,
    at_least: Length = 0,
    place: str | None = None,
    since_before: str | None = None,
) -> tuple[Standing, ...]:
    """Pieces on the rack: by section, longest first, and of equal lengths the oldest first.

    Parameters
    ----------
    designations
        Only these sections; None is all.
    at_least
        Only this length and longer. [nm]
    place
        Only pieces lying here; capitals and small letters are alike.
    since_before
        Only pieces that came onto the rack before this time, written as ``Doing.at``.
    """
    if designations is not None and len(designations) > _MOST_NAMES:
        wanted = set(designations)
        found = standing(ledger, at_least=at_least, place=place, since_before=since_before)
        return tuple(each for each in found if each.material.designation in wanted)
    conditions, values = ["state.length >= ?"], [at_least]
    bound: list[object] = list(values)
    if designations is not None:
        conditions.append(f"piece.designation IN ({', '.join('?' * len(designations))})")
        bound += designations
    if since_before is not None:
        conditions.append("action.at < ?")
        bound.append(since_before)
    with ledger.reading() as db:
        rows = db.execute(
            "SELECT piece.mark, piece.designation, piece.standard, piece.finish, on_hand.quantity, action.at, "
            "piece.id, "
            f"{STATE_COLUMNS} FROM on_hand JOIN piece ON piece.id = on_hand.piece "
            "JOIN state ON state.id = on_hand.state "
            "JOIN movement ON movement.id = (SELECT min(id) FROM movement WHERE movement.piece = on_hand.piece) "
            f"JOIN action ON action.id = movement.action WHERE {' AND '.join(conditions)} "
            "ORDER BY piece.designation, piece.standard, piece.finish, state.length DESC, piece.id",
            bound,
        ).fetchall()
        holds = defaultdict(list)
        for piece, *hold in db.execute("SELECT piece, quantity, job, until FROM hold ORDER BY piece, job"):
            holds[piece].append(Hold(quantity=hold[0], job=hold[1], until=hold[2]))
    materials: dict[tuple[str, str, str], Material] = {}  # a rack has few, and many pieces of each
    for row in rows:
        if row[1:4] not in materials:
            materials[row[1:4]] = Material(designation=row[1], standard=row[2], finish=row[3])
    found = tuple(
        Standing(
            mark=row[0],
            material=materials[row[1:4]],
            quantity=row[4],
            since=row[5],
            order=row[6],
            state=state_of(row[7:]),
            holds=tuple(holds.get(row[6], ())),
        )
        for row in rows
    )
    if place is None:
        return found
    wanted_place = place.casefold()
    return tuple(each for each in found if each.state.place.casefold() == wanted_place)
