"""Lengths that came for a plan: on the rack, held, once."""

from __future__ import annotations

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack import handling
from cutplan.rack.receiving import Lot, receive, received_before
from cutplan.rack.replay import contradictions
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from tests import racks

DOING = racks.doing("receive", job="gate", plan="abc")


def test_what_came_is_held_for_its_job(ledger: Ledger) -> None:
    lots = [
        Lot(offer="P2", material=racks.TUBE, state=racks.full(6010, heat_number="H1", wall=2_900_000), quantity=3),
        Lot(offer="P3", material=racks.TUBE, state=racks.full(3000), quantity=0),
    ]
    assert received_before(ledger, "abc") is None
    assert [piece.mark for piece in receive(ledger, DOING, lots, "2031-06-01")] == ["A1"]
    (piece,) = standing(ledger)
    assert (piece.quantity, piece.state.heat_number) == (3, "H1")
    assert [(hold.job, hold.quantity) for hold in piece.holds] == [("gate", 3)]
    before = received_before(ledger, "abc")
    assert before is not None
    assert contradictions(ledger) == ()
    handling.undo(ledger, racks.doing("undo"))
    assert received_before(ledger, "abc") is None


def test_nothing_came(ledger: Ledger) -> None:
    lots = [Lot(offer="P2", material=racks.TUBE, state=racks.full(), quantity=0)]
    with pytest.raises(ProblemsFound, match="nothing that was given"):
        receive(ledger, DOING, lots, "2031-06-01")
