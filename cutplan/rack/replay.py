"""The rack replayed from its movements: is what is said to be on hand what they add up to?"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from cutplan.rack.migrations import schema_due, schema_of
from cutplan.rack.pieces import COMING, Kind
from cutplan.rack.seals import broken_seal
from cutplan.rack.store import Ledger
from cutplan.units import Length, mm_text

_REPLAYED = """
SELECT piece, sum(quantity) AS quantity, (SELECT state FROM movement AS last WHERE last.piece = movement.piece
    ORDER BY last.id DESC LIMIT 1) AS state
FROM movement GROUP BY piece HAVING sum(quantity) <> 0
"""

_HELD = """
SELECT piece, held_for, sum(held), (SELECT held_until FROM movement AS last WHERE last.piece = movement.piece
    AND last.held_for = movement.held_for AND last.held <> 0 ORDER BY last.id DESC LIMIT 1)
FROM movement WHERE held <> 0 GROUP BY piece, held_for HAVING sum(held) <> 0
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """Where all length went, over the whole ledger. [nm]

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
        return (*_cache_faults(db), *_movement_faults(db), *_split_faults(db), *_seal_faults(db))


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
    with ledger.reading() as db:
        changed, parts, kerf_and_trim, scrap = db.execute(
            "SELECT coalesce(sum(length_change), 0), coalesce(sum(parts), 0), coalesce(sum(kerf_and_trim), 0), "
            "coalesce(sum(scrap), 0) FROM movement"
        ).fetchone()
        (on_hand,) = db.execute(
            "SELECT coalesce(sum(quantity * length), 0) FROM on_hand JOIN state ON state.id = on_hand.state"
        ).fetchone()
    gone = parts + kerf_and_trim + scrap
    return Balance(came_in=changed + gone, on_hand=on_hand, parts=parts, kerf_and_trim=kerf_and_trim, scrap=scrap)


def _seal_faults(db: sqlite3.Connection) -> list[str]:
    """Rows that are not as they were written: everything an action says, and the order of actions."""
    broken = broken_seal(db)
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


def _movement_faults(db: sqlite3.Connection) -> list[str]:
    """Movements that do not follow from the ones before them: never fewer than none, lengths as they add up."""
    found = []
    had: dict[str, tuple[int, int]] = {}
    rows = db.execute(
        "SELECT movement.id, mark, kind, quantity, length, length_change FROM movement "
        "JOIN piece ON piece.id = movement.piece JOIN state ON state.id = movement.state ORDER BY movement.id"
    )
    coming = {kind.value for kind in COMING}
    for number, mark, kind, quantity, length, change in rows:
        before, before_length = had.get(mark, (0, 0))
        now = before + quantity
        if now < 0:
            found.append(f"{mark}: movement {number} leaves {now} of it")
        follows = now * length - before * before_length
        if follows != change:
            found.append(f"{mark}: movement {number} says {mm_text(change)} mm, {mm_text(follows)} mm follow")
        elif kind in coming and change != quantity * length:
            came, by = mm_text(quantity * length), mm_text(change)
            found.append(f"{mark}: with movement {number} {came} mm came, and the rack grew by {by} mm")
        had[mark] = (now, length)
    return found


def _split_faults(db: sqlite3.Connection) -> list[str]:
    """Actions in which a piece was cut up, and parts, kerf, scrap and what was kept do not add up to it."""
    kinds = (Kind.USED, Kind.CUT_FROM, Kind.SCRAPPED, Kind.RETURNED)
    rows = db.execute(
        "SELECT action, sum(length_change + parts + kerf_and_trim + scrap) AS over FROM movement "
        f"WHERE kind IN ({', '.join('?' * len(kinds))}) GROUP BY action HAVING over <> 0",
        [kind.value for kind in kinds],
    )
    return [f"action {action}: {mm_text(over)} mm more came out of its bars than was in them" for action, over in rows]
