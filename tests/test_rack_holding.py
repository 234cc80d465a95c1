"""Holds: one piece is promised once, and given back or past its day it is free."""

from __future__ import annotations

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack import handling, holding
from cutplan.rack.entry import entry
from cutplan.rack.replay import contradictions, rebuild
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from tests import racks


def hold(ledger: Ledger, job: str, until: str = "2031-05-18", **wanted: int) -> None:
    with entry(ledger, racks.doing("hold", job=job)) as writing:
        holding.hold_for(writing, job, wanted, until)


def test_a_held_piece_is_free_for_its_job_alone(ledger: Ledger) -> None:
    racks.put(ledger, 500, 600)
    hold(ledger, "gate", A1=1)
    assert holding.free(ledger.db, "A1", "gate", "2031-05-04") == 1
    assert holding.free(ledger.db, "A1", "shelf", "2031-05-18") == 0
    assert holding.free(ledger.db, "A1", "shelf", "2031-05-19") == 1, "its day is over"
    with pytest.raises(ProblemsFound) as refused:
        hold(ledger, "shelf", A1=1, C1=2)
    assert [str(problem).splitlines()[0] for problem in refused.value.problems] == [
        "A1: found 1 wanted, 0 free.",
        "C1: found 2 wanted, 1 free.",
    ]
    assert holding.held(ledger.db, "C1", "shelf") == 0


def test_holding_again_replaces_the_hold(ledger: Ledger) -> None:
    handling.add(ledger, racks.doing(), [handling.NewPiece(material=racks.TUBE, state=racks.full(), quantity=5)])
    hold(ledger, "gate", A1=3)
    hold(ledger, "shelf", A1=2)
    hold(ledger, "gate", "2031-06-01", A1=2)
    assert [(h.job, h.quantity, h.until) for h in standing(ledger)[0].holds] == [
        ("gate", 2, "2031-06-01"),
        ("shelf", 2, "2031-05-18"),
    ]
    assert holding.free(ledger.db, "A1", "other", "2031-05-04") == 1
    assert contradictions(ledger) == ()


def test_given_back_by_job_or_by_mark(ledger: Ledger) -> None:
    racks.put(ledger, 500, 600)
    hold(ledger, "gate", A1=1, C1=1)
    assert [piece.mark for piece in holding.release(ledger, racks.doing("release"), marks=["c1"])] == ["C1"]
    assert [piece.mark for piece in holding.release(ledger, racks.doing("release"), job="gate")] == ["A1"]
    with pytest.raises(ProblemsFound, match="nothing held for gate"):
        holding.release(ledger, racks.doing("release"), job="gate")
    assert contradictions(ledger) == ()


def test_a_hold_is_undone(ledger: Ledger) -> None:
    racks.put(ledger, 500)
    hold(ledger, "gate", A1=1)
    hold(ledger, "gate", "2031-07-01", A1=1)
    handling.undo(ledger, racks.doing("undo"))
    handling.undo(ledger, racks.doing("undo"))
    assert standing(ledger)[0].holds == ()
    assert contradictions(ledger) == ()


def test_the_table_of_holds_is_held_to_the_movements(ledger: Ledger) -> None:
    racks.put(ledger, 500)
    hold(ledger, "gate", A1=1)
    ledger.db.execute("UPDATE hold SET quantity = 4")
    assert contradictions(ledger) == ("A1: what is held for gate is not what the movements add up to",)
    assert rebuild(ledger) == 1
    assert contradictions(ledger) == ()


def test_no_more_is_released_than_is_held(ledger: Ledger) -> None:
    from cutplan.rack.pieces import Hold, Kind

    racks.put(ledger, 500)
    with entry(ledger, racks.doing()) as writing, pytest.raises(ValueError, match="1 released of a piece of which 0"):
        writing.move("A1", Kind.RELEASED, hold=Hold(quantity=-1, job="gate", until=""))


def test_a_hold_held_longer_follows_from_its_movements(ledger: Ledger) -> None:
    """Held again, as many for the same job, it lasts to the later day; undone, to the day before that."""
    racks.put(ledger, 500)
    for until in ("2031-05-18", "2031-05-25"):
        hold(ledger, "gate", until, A1=1)
        assert contradictions(ledger) == ()
        assert rebuild(ledger) == 0
        assert [each.until for each in standing(ledger)[0].holds] == [until]
    handling.undo(ledger, racks.doing("undo"))
    assert contradictions(ledger) == ()
    assert [each.until for each in standing(ledger)[0].holds] == ["2031-05-18"]
    handling.undo(ledger, racks.doing("undo"))
    assert standing(ledger)[0].holds == ()


GATE, SHELF = ("gate", 3, "2031-05-18"), ("shelf", 2, "2031-05-25")
FREE: dict[str, tuple[list[tuple[str, int, str]], str, str, int]] = {
    # holds on five lengths of one mark, in their order: the job that asks, its day, how many are free for it
    "nothing is held": ([], "gate", "2031-05-04", 5),
    "held for another": ([GATE], "shelf", "2031-05-04", 2),
    "held for itself": ([GATE], "gate", "2031-05-04", 5),
    "on its last day": ([GATE], "shelf", "2031-05-18", 2),
    "past its day": ([GATE], "shelf", "2031-05-19", 5),
    "held for two others": ([GATE, SHELF], "stair", "2031-05-04", 0),
    "one of two is past its day": ([GATE, SHELF], "stair", "2031-05-20", 3),
    "both are past": ([GATE, SHELF], "stair", "2031-05-26", 5),
    "for itself and for another": ([GATE, SHELF], "gate", "2031-05-04", 3),
    "held again for fewer": ([GATE, ("gate", 1, "2031-05-18")], "shelf", "2031-05-04", 4),
    "held again for longer": ([GATE, ("gate", 3, "2031-06-18")], "shelf", "2031-05-19", 2),
}


@pytest.mark.parametrize("case", FREE)
def test_what_is_free(case: str, ledger: Ledger) -> None:
    """As many can be held as are free, and not one more."""
    holds, job, day, free = FREE[case]
    handling.add(ledger, racks.doing(), [handling.NewPiece(material=racks.TUBE, state=racks.full(), quantity=5)])
    for owner, quantity, until in holds:
        hold(ledger, owner, until, A1=quantity)
    assert holding.free(ledger.db, "A1", job, day) == free
    assert contradictions(ledger) == ()
