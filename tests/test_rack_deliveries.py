"""Lengths that came for a plan: on the rack, held, once."""

from __future__ import annotations

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack import deliveries, handling
from cutplan.rack.deliveries import Lot
from cutplan.rack.entry import entry
from cutplan.rack.once import RECEIVED, RECORDED, DoneBefore, do_once, done_before
from cutplan.rack.pieces import Doing, Standing
from cutplan.rack.replay import contradictions
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from tests import racks

DOING = racks.doing("receive", job="gate", plan="abc")


def receive(ledger: Ledger, doing: Doing, lots: list[Lot], until: str) -> tuple[Standing, ...]:
    """An action that does nothing else."""
    with entry(ledger, doing) as writing:
        return deliveries.receive(writing, lots, until)


def test_what_came_is_held_for_its_job(ledger: Ledger) -> None:
    lots = [
        Lot(offer="P2", material=racks.TUBE, state=racks.full(6010, heat_number="H1", wall=2_900_000), quantity=3),
        Lot(offer="P3", material=racks.TUBE, state=racks.full(3000), quantity=0),
    ]
    assert [piece.mark for piece in receive(ledger, DOING, lots, "2031-06-01")] == ["A1"]
    (piece,) = standing(ledger)
    assert (piece.quantity, piece.state.heat_number) == (3, "H1")
    assert [(hold.job, hold.quantity) for hold in piece.holds] == [("gate", 3)]
    assert contradictions(ledger) == ()
    with pytest.raises(DoneBefore) as before:
        receive(ledger, DOING, lots, "2031-06-01")
    assert before.value.doing == DOING
    assert standing(ledger) == (piece,)
    handling.undo(ledger, racks.doing("undo"))
    assert done_before(ledger.db, "abc", RECEIVED) is None
    assert len(receive(ledger, DOING, lots, "2031-06-01")) == 1


def test_nothing_came(ledger: Ledger) -> None:
    lots = [Lot(offer="P2", material=racks.TUBE, state=racks.full(), quantity=0)]
    with pytest.raises(ProblemsFound, match="nothing that was given"):
        receive(ledger, DOING, lots, "2031-06-01")


def test_what_was_recorded_is_not_received_any_more(ledger: Ledger) -> None:
    lots = [Lot(offer="P2", material=racks.TUBE, state=racks.full(), quantity=1)]
    with entry(ledger, racks.doing("record", job="gate", plan="abc")) as writing:
        do_once(writing, RECORDED)
    with pytest.raises(ProblemsFound, match="a plan that was recorded on 2031-05-04"):
        receive(ledger, DOING, lots, "2031-06-01")
    assert standing(ledger) == ()
