"""Where a piece came from and where it went."""

from __future__ import annotations

from collections.abc import Collection

from cutplan.rack.entry import STATE_COLUMNS, STATE_WIDTH, known_mark, state_of
from cutplan.rack.pieces import Doing, Hold, Kind, Life, Material, Movement, Split
from cutplan.rack.store import Ledger


def life(ledger: Ledger, typed: str) -> Life:
    """All that is known of a piece, whether it lies on the rack or not.

    Raises
    ------
    ProblemsFound
        When no piece ever had this mark.
    """
    with ledger.reading() as db:
        mark = known_mark(db, typed, "mark")
        piece, designation, standard, finish, parent, quantity = db.execute(
            "SELECT piece.id, piece.designation, piece.standard, piece.finish, coalesce(parent.mark, ''), "
            "coalesce(on_hand.quantity, 0) FROM piece LEFT JOIN piece AS parent ON parent.id = piece.parent "
            "LEFT JOIN on_hand ON on_hand.piece = piece.id WHERE piece.mark = ?",
            (mark,),
        ).fetchone()
        rows = db.execute(
            "SELECT action.at, action.who, action.what, action.job, action.plan, action.reason, "
            "EXISTS (SELECT 1 FROM action AS later WHERE later.undoes = action.id), "
            "movement.kind, movement.quantity, movement.bar, movement.parts, movement.kerf_and_trim, movement.scrap, "
            f"movement.note, movement.held, movement.held_for, movement.held_until, "
            f"{STATE_COLUMNS} FROM movement JOIN action ON action.id = movement.action "
            "JOIN state ON state.id = movement.state WHERE movement.piece = ? ORDER BY movement.id",
            (piece,),
        ).fetchall()
        children = db.execute("SELECT mark FROM piece WHERE parent = ? ORDER BY id", (piece,)).fetchall()
    return Life(
        mark=mark,
        material=Material(designation=designation, standard=standard, finish=finish),
        parent=parent,
        children=tuple(child for (child,) in children),
        on_hand=quantity,
        movements=tuple(
            Movement(
                doing=Doing(at=row[0], who=row[1], what=row[2], job=row[3], plan=row[4], reason=row[5]),
                undone=bool(row[6]),
                kind=Kind(row[7]),
                quantity=row[8],
                bar=row[9],
                split=Split(parts=row[10], kerf_and_trim=row[11], scrap=row[12]),
                note=row[13],
                hold=Hold(quantity=row[14], job=row[15], until=row[16]) if row[14] else None,
                state=state_of(row[-STATE_WIDTH:]),
            )
            for row in rows
        ),
    )


def left_by(ledger: Ledger, marks: Collection[str]) -> dict[str, str]:
    """For each mark, the job that left the piece; blank where it came onto the rack in another way."""
    found = {}
    with ledger.reading() as db:
        for mark in marks:
            (job,) = db.execute(
                "SELECT action.job FROM piece JOIN movement ON movement.piece = piece.id "
                "JOIN action ON action.id = movement.action WHERE mark = ? AND kind = ? "
                "UNION ALL SELECT '' ORDER BY 1 DESC LIMIT 1",
                (mark, Kind.CUT_FROM.value),
            ).fetchone()
            found[mark] = str(job)
    return found
