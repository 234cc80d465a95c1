"""One action being written: its movements, and what is on hand, in one transaction."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import astuple, fields, replace
from typing import Any

from cutplan.model import EndState
from cutplan.problems import Problem, ProblemsFound, Refused
from cutplan.rack.issuing import insert, new_mark
from cutplan.rack.marks import look_of
from cutplan.rack.pieces import COMING, Doing, Hold, Kind, Material, Split, Standing, State
from cutplan.rack.seals import seal
from cutplan.rack.store import Ledger
from cutplan.units import Money

_STATE_COLUMNS = ", ".join(field.name for field in fields(State))
STATE_COLUMNS = ", ".join(f"state.{field.name}" for field in fields(State))
STATE_WIDTH = len(fields(State))
_ENDS = {end.value: end for end in EndState}


def state_of(row: tuple[Any, ...]) -> State:
    """A state from its columns, in the order of :data:`STATE_COLUMNS`."""
    length, end_a, end_b, angle_a, angle_b, grade, heat_number, certificate, place, photo, wall, value, *slant = row
    depth, side = slant
    return State(
        length=length, end_a=_ENDS[end_a], end_b=_ENDS[end_b], angle_a=angle_a, angle_b=angle_b, grade=grade,
        heat_number=heat_number, certificate=certificate, place=place, photo=photo, wall=wall, value=value,
        depth=depth, side=side,
    )  # fmt: skip


class Entry:
    """The movements of one action; :func:`entry` and :func:`action` make it."""

    def __init__(self, db: sqlite3.Connection, doing: Doing, undoes: int | None = None) -> None:
        self.db, self.doing = db, doing
        self.released: dict[str, list[Hold]] = {}
        """Holds that ended because fewer pieces are left than were held, by mark."""
        self.id = insert(
            db,
            "action",
            at=doing.at, who=doing.who, what=doing.what, job=doing.job, plan=doing.plan, reason=doing.reason,
            undoes=undoes,
        )  # fmt: skip

    def new_piece(
        self,
        kind: Kind,
        material: Material,
        state: State,
        quantity: int = 1,
        *,
        mark: str = "",
        parent: str = "",
        split: Split | None = None,
        bar: int | None = None,
        note: str = "",
    ) -> str:
        """Bring a piece onto the rack and return its mark: ``mark`` (already given), or a new one.

        A mark whose piece is gone because its coming was undone is that piece again, if it is of the same material;
        else the piece is given a new one.
        """
        had = self.db.execute("SELECT designation, standard, finish FROM piece WHERE mark = ?", (mark,)).fetchone()
        if had == astuple(material):
            self.move(mark, kind, quantity, state=state, bar=bar, note=note)
            return mark
        if had is not None or not mark:
            mark = new_mark(self.db)
        piece = insert(
            self.db,
            "piece",
            mark=mark, designation=material.designation, standard=material.standard, finish=material.finish,
            parent=self._piece(parent) if parent else None,
        )  # fmt: skip
        self._write(piece, kind, quantity, self._state(state), split or Split(), None, bar, note)
        return mark

    def move(
        self,
        mark: str,
        kind: Kind,
        quantity: int = 0,
        *,
        state: State | None = None,
        split: Split | None = None,
        hold: Hold | None = None,
        bar: int | None = None,
        note: str = "",
    ) -> int:
        """Add a movement of a piece: so many more or fewer of it, and how it is from now on where that changes.

        Returns the number of the movement.
        """
        piece = self._piece(mark)
        after = self._state(state) if state is not None else self._last_state(piece)
        return self._write(piece, kind, quantity, after, split or Split(), hold, bar, note)

    def priced(self, to_pay: Money) -> None:
        """Keep what one of the lengths that came with the last movement costs to pay, tax and all."""
        (last,) = self.db.execute("SELECT max(id) FROM movement").fetchone()
        insert(self.db, "price", movement=last, to_pay=to_pay)

    def _write(
        self,
        piece: int,
        kind: Kind,
        quantity: int,
        state: int,
        split: Split,
        hold: Hold | None,
        bar: int | None,
        note: str,
    ) -> int:
        found = self.db.execute(
            "SELECT quantity, length FROM on_hand JOIN state ON state.id = on_hand.state WHERE piece = ?", (piece,)
        ).fetchone()
        had, had_length = found or (0, 0)
        has = had + quantity
        if has < 0:
            raise ValueError(f"{-quantity} taken of a piece of which {had} are on hand")
        (length,) = self.db.execute("SELECT length FROM state WHERE id = ?", (state,)).fetchone()
        if kind in COMING and had and length != had_length:
            raise ValueError("pieces that come are not put under the mark of pieces of another length")
        row = insert(
            self.db,
            "movement",
            action=self.id, piece=piece, kind=kind.value, quantity=quantity, state=state,
            length_change=has * length - had * had_length, bar=bar,
            parts=split.parts, kerf_and_trim=split.kerf_and_trim, scrap=split.scrap, note=note,
            held=hold.quantity if hold else 0,
            held_for=hold.job if hold else "",
            held_until=hold.until if hold else "",
        )  # fmt: skip
        if hold:
            self._hold(piece, hold)
        if has:
            self.db.execute(
                "INSERT INTO on_hand (piece, quantity, state) VALUES (?, ?, ?) "
                "ON CONFLICT (piece) DO UPDATE SET quantity = excluded.quantity, state = excluded.state",
                (piece, has, state),
            )
        else:
            self.db.execute("DELETE FROM on_hand WHERE piece = ?", (piece,))
        if quantity < 0 and kind is not Kind.UNDONE:
            self._release_beyond(piece, has, state)
        return row

    def _release_beyond(self, piece: int, has: int, state: int) -> None:
        """End holds on more pieces than are left, those first that would have lasted longest: they are the newest."""
        holds = self.db.execute(
            "SELECT job, quantity, until, mark FROM hold JOIN piece ON piece.id = hold.piece WHERE piece = ? "
            "ORDER BY until DESC, job DESC",
            (piece,),
        ).fetchall()
        over = sum(quantity for _, quantity, _, _ in holds) - has
        for job, quantity, until, mark in holds:
            if over <= 0:
                return
            ended = min(quantity, over)
            over -= ended
            self._write(
                piece, Kind.RELEASED, 0, state, Split(), Hold(quantity=-ended, job=job, until=until), None, "not there"
            )
            self.released.setdefault(mark, []).append(Hold(quantity=ended, job=job, until=until))

    def _hold(self, piece: int, hold: Hold) -> None:
        had = self.db.execute("SELECT quantity FROM hold WHERE piece = ? AND job = ?", (piece, hold.job)).fetchone()
        has = (had[0] if had else 0) + hold.quantity
        if has < 0:
            raise ValueError(f"{-hold.quantity} released of a piece of which {has - hold.quantity} are held")
        if has:
            self.db.execute(
                "INSERT INTO hold (piece, job, quantity, until) VALUES (?, ?, ?, ?) "
                "ON CONFLICT (piece, job) DO UPDATE SET quantity = excluded.quantity, until = excluded.until",
                (piece, hold.job, has, hold.until),
            )
        else:
            self.db.execute("DELETE FROM hold WHERE piece = ? AND job = ?", (piece, hold.job))

    def reverse(self, movement: int) -> None:
        """Add the counter-movement of a movement: the quantity back, and the piece as it was before."""
        piece, quantity, parts, kerf_and_trim, scrap, state, held, job = self.db.execute(
            "SELECT piece, quantity, parts, kerf_and_trim, scrap, state, held, held_for FROM movement WHERE id = ?",
            (movement,),
        ).fetchone()
        before = self.db.execute(
            "SELECT state FROM movement WHERE piece = ? AND id < ? ORDER BY id DESC LIMIT 1", (piece, movement)
        ).fetchone()
        split = Split(parts=-parts, kerf_and_trim=-kerf_and_trim, scrap=-scrap)
        hold = None
        if job:  # none more may be held, and for longer
            until = self.db.execute(
                "SELECT held_until FROM movement WHERE piece = ? AND held_for = ? AND id < ? ORDER BY id DESC LIMIT 1",
                (piece, job, movement),
            ).fetchone()
            hold = Hold(quantity=-held, job=job, until=until[0] if until else "")
        self._write(piece, Kind.UNDONE, -quantity, before[0] if before else state, split, hold, None, "")

    def _state(self, state: State) -> int:
        values = astuple(replace(state))
        plain = [value.value if isinstance(value, EndState) else value for value in values]
        marks = ", ".join("?" * len(plain))
        row = self.db.execute(f"INSERT INTO state ({_STATE_COLUMNS}) VALUES ({marks})", plain).lastrowid
        assert row is not None
        return row

    def _piece(self, mark: str) -> int:
        (found,) = self.db.execute("SELECT id FROM piece WHERE mark = ?", (mark,)).fetchone()
        return int(found)

    def _last_state(self, piece: int) -> int:
        (found,) = self.db.execute(
            "SELECT state FROM movement WHERE piece = ? ORDER BY id DESC LIMIT 1", (piece,)
        ).fetchone()
        return int(found)


@contextmanager
def entry(ledger: Ledger, doing: Doing) -> Iterator[Entry]:
    """Write one action in one transaction: all of it is on disk when the block ends, or nothing of it."""
    with ledger.changing() as db, action(db, doing) as writing:
        yield writing


@contextmanager
def action(db: sqlite3.Connection, doing: Doing, undoes: int | None = None) -> Iterator[Entry]:
    """One action inside a transaction; sealed when the block ends."""
    writing = Entry(db, doing, undoes)
    yield writing
    seal(db, writing.id)


def on_hand(db: sqlite3.Connection, typed: str, where: str) -> Standing:
    """What lies on the rack under a mark as typed: ``k7`` is K7, and KO is K0 where no KO was ever given.

    Raises
    ------
    ProblemsFound
        When there is no such piece, or it has left the rack.
    """
    mark = known_mark(db, typed, where)
    row = db.execute(
        f"SELECT designation, standard, finish, on_hand.quantity, {STATE_COLUMNS} FROM piece "
        "LEFT JOIN on_hand ON on_hand.piece = piece.id LEFT JOIN state ON state.id = on_hand.state "
        "WHERE piece.mark = ?",
        (mark,),
    ).fetchone()
    if row[3] is None:
        raise ProblemsFound(
            [
                Problem(
                    where=where,
                    found=f"{mark}, which is not on the rack any more",
                    accepted="the mark of a piece on the rack",
                    hint=f"cutplan rack history {mark} says where it went",
                    found_is_text=False,
                    code="rack.gone",
                )
            ]
        )
    return Standing(
        mark=mark,
        material=Material(designation=row[0], standard=row[1], finish=row[2]),
        quantity=row[3],
        state=state_of(row[4:]),
    )


def known_mark(db: sqlite3.Connection, typed: str, where: str) -> str:
    """The mark of a piece that is or was on the rack, as it was given; raises ProblemsFound."""
    try:
        look = look_of(typed)
    except Refused as refused:
        raise ProblemsFound([Problem.at(where, refused)]) from None
    row = db.execute(
        "SELECT piece.mark FROM mark JOIN piece ON piece.mark = mark.mark WHERE look = ?", (look,)
    ).fetchone()
    if row is None:
        raise ProblemsFound(
            [
                Problem(
                    where=where,
                    found=typed,
                    accepted="the mark of a piece of this rack",
                    hint="cutplan rack show lists them; cutplan rack read brings in a list",
                    code="rack.mark_unknown",
                )
            ]
        )
    return str(row[0])
