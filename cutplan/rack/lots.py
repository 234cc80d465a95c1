"""Lengths bought for a plan: those that were received, or, where nothing was, those that the plan orders."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import astuple

from cutplan.model import CutBar, EndState, Job, StockLength
from cutplan.model.carrying import ends_of
from cutplan.model.totals import net_and_tax, shared_out
from cutplan.rack.entry import Entry
from cutplan.rack.fitting import assigned
from cutplan.rack.lying import came_for
from cutplan.rack.pieces import Kind, Material, Standing, State
from cutplan.units import rounded_to_cents

_NOT_UNDONE = "action.id NOT IN (SELECT undoes FROM action WHERE undoes IS NOT NULL)"
_UNDONE = "action.id IN (SELECT undoes FROM action WHERE undoes IS NOT NULL)"


class Lots:
    """Hands out the bought lengths of a plan bar by bar while it is recorded.

    Where lengths were received, each bar has one that its cuts fit, whatever it was ordered as; see
    :func:`cutplan.rack.fitting.assigned`.

    Parameters
    ----------
    bars
        Bought bars of a plan of the job.
    cut
        Numbers of those that are cut, or else need a length.
    """

    def __init__(self, writing: Entry, job: Job, bars: Sequence[CutBar], cut: Collection[int]) -> None:
        self.writing, self.db, self.workshop = writing, writing.db, job.workshop
        self._given: dict[int, Standing] = {}
        (count,) = self.db.execute(
            f"SELECT count(*) FROM action WHERE plan = ? AND what = 'receive' AND {_NOT_UNDONE}",
            (writing.doing.plan,),
        ).fetchone()
        self.received = bool(count)
        if not self.received:
            return
        came = came_for(self.db, writing.doing.plan)
        self._given = assigned(job, bars, came)
        if any(bar.number not in self._given for bar in bars):  # some have none: not those that are cut, if that can be
            self._given = assigned(job, [bar for bar in bars if bar.number in cut], came)

    def one(self, offer: StockLength, bar: CutBar) -> str | None:
        """The mark of the length that a bar is cut from; None where none of those received is left that serves."""
        if not self.received:
            return self._bought(offer, bar)
        piece = self._given.get(bar.number)
        return None if piece is None else piece.mark

    def _bought(self, offer: StockLength, bar: CutBar) -> str:
        """One length comes onto the rack as it is recorded, or one piece; all of one offer and length share a mark."""
        counted, piece = bar.length, bar.piece_of
        material = Material(designation=offer.section.designation, standard=offer.section.standard, finish=offer.finish)
        ends = EndState.MILL, EndState.MILL
        if piece is not None:
            ends = ends_of(piece, self.workshop.merchant(offer.merchant))
        state = State(length=counted, end_a=ends[0], end_b=ends[1], grade=offer.grade)
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
                "AND NOT EXISTS (SELECT 1 FROM on_hand WHERE on_hand.piece = piece.id) "
                "AND designation = ? AND standard = ? AND finish = ? LIMIT 1",
                (self.writing.doing.plan, Kind.BOUGHT.value, offer.id, *astuple(material)),
            ).fetchone()
        if row is not None:
            mark = str(row[0])
            self.writing.move(mark, Kind.BOUGHT, 1, state=state, note=offer.id)
        else:
            mark = self.writing.new_piece(Kind.BOUGHT, material, state, note=offer.id)
        if offer.bar_price is not None:
            price = rounded_to_cents(offer.bar_price)
            if piece is not None:
                price = shared_out(price, piece.ordered)[piece.number - 1]
            self.writing.priced(sum(net_and_tax(self.workshop, price)))
        return mark

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
