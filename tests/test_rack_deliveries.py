"""Lengths that came for a plan: on the rack, held, once."""

from __future__ import annotations

import pytest

from cutplan.model import EndState
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
from tests.builders import mm

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


GIVEN: dict[str, tuple[str, str, str]] = {
    # what was done before, what is given (quantity x length of an offer), and what then lies there held for the gate
    "as ordered": ("", "3 x 6000 of P2", "A1 3 x 6000"),
    "of two offers": ("", "3 x 6000 of P2, 1 x 3000 of P3", "A1 3 x 6000, C1 1 x 3000"),
    "one of them did not come": ("", "3 x 6000 of P2, 0 x 3000 of P3", "A1 3 x 6000"),
    "some came shorter": ("", "2 x 6000 of P2, 1 x 5960 of P2", "A1 2 x 6000, C1 1 x 5960"),
    "alike to what lies there": ("put", "1 x 6000 of P2", "C1 1 x 6000"),
    "nothing came": ("", "0 x 6000 of P2", "delivery.nothing"),
    "nothing was written down": ("", "", "delivery.nothing"),
    "received twice": ("receive abc", "1 x 6000 of P2", "done before"),
    "received, undone and received": ("receive abc, undo", "1 x 6000 of P2", "C1 1 x 6000"),  # no mark is given again
    "another plan was received": ("receive xyz", "1 x 6000 of P2", "A1 1 x 6000, C1 1 x 6000"),
    "recorded by then": ("record abc", "1 x 6000 of P2", "delivery.recorded"),
    "recorded and undone": ("record abc, undo", "1 x 6000 of P2", "A1 1 x 6000"),
    "another plan was recorded": ("record xyz", "1 x 6000 of P2", "A1 1 x 6000"),
    "received, and recorded since": ("receive abc, record abc", "1 x 6000 of P2", "done before"),
}


def lots_of(words: str) -> list[Lot]:
    found = []
    for line in filter(None, words.split(", ")):
        quantity, _, length, _, offer = line.split()
        found.append(Lot(offer=offer, material=racks.TUBE, state=racks.full(length), quantity=int(quantity)))
    return found


@pytest.mark.parametrize("case", GIVEN)
def test_what_is_received(case: str, ledger: Ledger) -> None:
    before, given, comes_to = GIVEN[case]
    for word in filter(None, before.split(", ")):
        what, _, plan = word.partition(" ")
        doing = racks.doing(what, job="gate", plan=plan)
        if what == "put":
            racks.put(ledger, 6000, end_a=EndState.MILL, end_b=EndState.MILL)
        elif what == "undo":
            handling.undo(ledger, doing)
        elif what == "receive":
            receive(ledger, doing, lots_of("1 x 6000 of P2"), "2031-06-01")
        else:
            with entry(ledger, doing) as writing:
                do_once(writing, RECORDED)
    lay = standing(ledger)
    try:
        receive(ledger, DOING, lots_of(given), "2031-06-01")
    except ProblemsFound as refused:
        found = ", ".join(problem.code for problem in refused.problems)
    except DoneBefore:
        found = "done before"
    else:
        held = [piece for piece in standing(ledger) if piece.holds]
        found = ", ".join(f"{p.mark} {p.quantity} x {p.state.length // mm(1)}" for p in held)
        assert all([(h.job, h.quantity) for h in p.holds] == [("gate", p.quantity)] for p in held)
        lay = standing(ledger)
    assert found == comes_to
    assert standing(ledger) == lay, "what is refused leaves all as it was"
    assert contradictions(ledger) == ()


def test_what_a_length_came_to_is_kept_with_it(ledger: Ledger) -> None:
    lots = [
        Lot(offer="P2", material=racks.TUBE, state=racks.full(6000), quantity=2, to_pay=35_000_000),
        Lot(offer="P3", material=racks.TUBE, state=racks.full(3000), quantity=1),
    ]
    receive(ledger, DOING, lots, "2031-06-01")
    rows = ledger.db.execute(
        "SELECT mark, to_pay FROM price JOIN movement ON movement.id = price.movement "
        "JOIN piece ON piece.id = movement.piece"
    ).fetchall()
    assert rows == [("A1", 35_000_000)]
