"""Lengths bought for a plan: those that were received, or, where nothing was, those that the plan orders."""

from __future__ import annotations

from collections import Counter

from cutplan.model import EndState, StockLength
from cutplan.rack.entry import Entry
from cutplan.rack.pieces import Kind, Material, State
from cutplan.units import Length

_NOT_UNDONE = "action.id NOT IN (SELECT undoes FROM action WHERE undoes IS NOT NULL)"
_UNDONE = "action.id IN (SELECT undoes FROM action WHERE undoes IS NOT NULL)"


class Lots:
    """Hands out the bought lengths of a plan one by one while it is recorded."""

    def __init__(self, writing: Entry) -> None:
        self.writing, self.db = writing, writing.db
        self._left: Counter[str] = Counter()
        (count,) = self.db.execute(
            f"SELECT count(*) FROM action WHERE plan = ? AND what = 'receive' AND {_NOT_UNDONE}",
            (writing.doing.plan,),
        ).fetchone()
        self.received = bool(count)

    def one(self, offer: StockLength, counted: Length) -> str | None:
        """The mark of a lot with one more length for a bar: the shortest that is as long as the plan counts on."""
        if not self.received:
            return self._bought(offer, counted)
        rows = self.db.execute(
            "SELECT piece.mark, on_hand.quantity FROM on_hand JOIN piece ON piece.id = on_hand.piece "
            "JOIN state ON state.id = on_hand.state JOIN movement ON movement.piece = piece.id "
            "JOIN action ON action.id = movement.action WHERE action.plan = ? AND action.what = 'receive' "
            f"AND movement.kind = ? AND movement.note = ? AND state.length >= ? AND {_NOT_UNDONE} "
            "AND piece.designation = ? AND piece.standard = ? AND piece.finish = ? AND state.grade = ? "
            "ORDER BY state.length, piece.id",
            (
                self.writing.doing.plan, Kind.BOUGHT.value, offer.id, counted, offer.section.designation,
                offer.section.standard, offer.finish, offer.grade,
            ),
        ).fetchall()  # fmt: skip
        return next((mark for mark, quantity in rows if quantity > self._left[mark]), None)

    def leave(self, mark: str) -> None:
        """This length was not cut: it is not handed out again, and stays on the rack."""
        self._left[mark] += 1

    def _bought(self, offer: StockLength, counted: Length) -> str:
        """One length comes onto the rack as it is recorded; all of one offer share a mark."""
        material = Material(designation=offer.section.designation, standard=offer.section.standard, finish=offer.finish)
        state = State(length=counted, end_a=EndState.MILL, end_b=EndState.MILL, grade=offer.grade)
        # A length of this offer that was measured otherwise lies under its mark alone.
        row = self.db.execute(
            "SELECT mark FROM piece JOIN movement ON movement.piece = piece.id "
            "LEFT JOIN on_hand ON on_hand.piece = piece.id LEFT JOIN state ON state.id = on_hand.state "
            "WHERE action = ? AND kind = ? AND note = ? AND coalesce(length, ?) = ? LIMIT 1",
            (self.writing.id, Kind.BOUGHT.value, offer.id, counted, counted),
        ).fetchone()
        if row is None:
            row = self.db.execute(
                "SELECT mark FROM piece JOIN movement ON movement.piece = piece.id "
                f"JOIN action ON action.id = movement.action WHERE plan = ? AND kind = ? AND note = ? AND {_UNDONE} "
                "AND NOT EXISTS (SELECT 1 FROM on_hand WHERE on_hand.piece = piece.id) LIMIT 1",
                (self.writing.doing.plan, Kind.BOUGHT.value, offer.id),
            ).fetchone()
        if row is not None:
            self.writing.move(row[0], Kind.BOUGHT, 1, state=state, note=offer.id)
            return str(row[0])
        return self.writing.new_piece(Kind.BOUGHT, material, state, note=offer.id)

    def reserved(self, printed: str) -> str:
        """The mark that was printed for a left over, if no piece bears it, or one whose coming was undone."""
        rows = self.db.execute(
            "SELECT kind FROM movement JOIN piece ON piece.id = movement.piece WHERE mark = ? "
            "AND NOT EXISTS (SELECT 1 FROM on_hand WHERE on_hand.piece = piece.id) ORDER BY movement.id DESC LIMIT 1",
            (printed,),
        ).fetchone()
        known = self.db.execute("SELECT count(*) FROM piece WHERE mark = ?", (printed,)).fetchone()[0]
        given = self.db.execute("SELECT count(*) FROM mark WHERE mark = ?", (printed,)).fetchone()[0]
        if given and (not known or (rows and rows[0] == Kind.UNDONE.value)):
            return printed
        return ""
