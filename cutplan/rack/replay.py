"""The rack replayed from its movements: is what is said to be on hand what they add up to?"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass, fields

from cutplan.rack.conservation import Conserved
from cutplan.rack.job_faults import JobsFollowed
from cutplan.rack.migrations import schema_due, schema_of
from cutplan.rack.pieces import Material
from cutplan.rack.seals import Written, broken_seal
from cutplan.rack.store import Ledger
from cutplan.units import Length

_REPLAYED = """
SELECT piece, sum(quantity) AS quantity, (SELECT state FROM movement AS last WHERE last.piece = movement.piece
    ORDER BY last.id DESC LIMIT 1) AS state
FROM movement GROUP BY piece HAVING sum(quantity) <> 0
"""

_HELD = """
SELECT piece, held_for, sum(held), (SELECT held_until FROM movement AS last WHERE last.piece = movement.piece
    AND last.held_for = movement.held_for ORDER BY last.id DESC LIMIT 1)
FROM movement WHERE held_for <> '' GROUP BY piece, held_for HAVING sum(held) <> 0
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """Where all length went, of one section or over the whole ledger. [nm]

    ``came_in`` was bought, found or put on the rack, less what a correction or a count took away; it equals
    ``on_hand``, parts, kerf and trim, and scrap together.
    """

    came_in: Length
    on_hand: Length
    parts: Length
    kerf_and_trim: Length
    scrap: Length


def contradictions(ledger: Ledger) -> tuple[str, ...]:
    """What does not agree with the movements, in sentences; empty when all does."""
    with ledger.reading() as db:
        faults = [str(row[0]) for row in db.execute("PRAGMA integrity_check(5)") if row[0] != "ok"]
        faults += [f"a row of {row[0]} points to nothing" for row in db.execute("PRAGMA foreign_key_check")]
        if schema_of(db) != schema_due():
            faults.append("its tables, indexes or triggers are not those of a ledger of this version")
        if faults:
            return tuple(faults)  # rows cannot be compared where pages cannot be trusted
        conserved, followed = Conserved(db), JobsFollowed(db)

        def see(written: Written) -> None:
            conserved.see(written)
            followed.see(written)

        seals = _seal_faults(db, broken_seal(db, see))
        return (*_cache_faults(db), *conserved.faults(), *followed.found, *seals)


def rebuild(ledger: Ledger) -> int:
    """Make the table of what is on hand anew from the movements; returns how many pieces were put right."""
    with ledger.changing() as db:
        wrong = len(_cache_faults(db))
        if wrong:
            db.execute("DELETE FROM on_hand")
            db.execute(f"INSERT INTO on_hand (piece, quantity, state) {_REPLAYED}")
            db.execute("DELETE FROM hold")
            db.execute(f"INSERT INTO hold (piece, job, quantity, until) {_HELD}")
        return wrong


def balance(ledger: Ledger) -> Balance:
    """Where all length went."""
    each = balances(ledger).values()
    came_in, on_hand, parts, kerf_and_trim, scrap = (
        sum(getattr(one, field.name) for one in each) for field in fields(Balance)
    )
    return Balance(came_in=came_in, on_hand=on_hand, parts=parts, kerf_and_trim=kerf_and_trim, scrap=scrap)


def balances(ledger: Ledger) -> dict[Material, Balance]:
    """Where all length went, section by section and finish by finish."""
    with ledger.reading() as db:
        moved = db.execute(
            "SELECT designation, standard, finish, sum(length_change), sum(parts), sum(kerf_and_trim), sum(scrap) "
            "FROM movement JOIN piece ON piece.id = movement.piece GROUP BY 1, 2, 3 ORDER BY 1, 2, 3"
        ).fetchall()
        there = db.execute(
            "SELECT designation, standard, finish, sum(quantity * length) FROM on_hand "
            "JOIN piece ON piece.id = on_hand.piece JOIN state ON state.id = on_hand.state GROUP BY 1, 2, 3"
        ).fetchall()
    on_hand = {row[:3]: row[3] for row in there}
    return {
        Material(designation=row[0], standard=row[1], finish=row[2]): Balance(
            came_in=sum(row[3:]),
            on_hand=on_hand.get(row[:3], 0),
            parts=row[4],
            kerf_and_trim=row[5],
            scrap=row[6],
        )
        for row in moved
    }


def _seal_faults(db: sqlite3.Connection, broken: int | None) -> list[str]:
    """Rows that are not as they were written: everything an action says, and the order of actions."""
    if broken is None:
        return []
    row = db.execute("SELECT at, what FROM action WHERE id = ?", (broken,)).fetchone()
    which = f", {row[1]} of {row[0]}," if row else ""
    return [f"action {broken}{which} is not as it was written"]


def _cache_faults(db: sqlite3.Connection) -> list[str]:
    replayed = {piece: (quantity, state) for piece, quantity, state in db.execute(_REPLAYED)}
    stated = {piece: (quantity, state) for piece, quantity, state in db.execute("SELECT * FROM on_hand")}
    found = []
    for piece in sorted(replayed.keys() | stated.keys()):
        now, then = replayed.get(piece, (0, 0)), stated.get(piece, (0, 0))
        if now == then:
            continue
        (mark,) = db.execute("SELECT mark FROM piece WHERE id = ?", (piece,)).fetchone() or (f"piece {piece}",)
        found.append(
            f"{mark}: {then[0]} said to be on hand, the movements add up to {now[0]}"
            if now[0] != then[0]
            else f"{mark}: on hand as it was at another time than that of its last movement"
        )
    return [*found, *_hold_faults(db)]


def _hold_faults(db: sqlite3.Connection) -> list[str]:
    replayed, stated = set(db.execute(_HELD)), set(db.execute("SELECT piece, job, quantity, until FROM hold"))
    return [
        f"{mark}: what is held for {job} is not what the movements add up to"
        for piece, job in sorted({row[:2] for row in replayed ^ stated})
        for (mark,) in db.execute("SELECT mark FROM piece WHERE id = ?", (piece,))
    ]
