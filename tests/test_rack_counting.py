"""A stock-take: expected, found and the difference, as movements."""

from __future__ import annotations

from typing import Any

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack import handling
from cutplan.rack.counting import Seen, count
from cutplan.rack.entry import entry
from cutplan.rack.history import life
from cutplan.rack.holding import hold_for
from cutplan.rack.pieces import Hold, Kind
from cutplan.rack.replay import balance, contradictions
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from tests import racks
from tests.builders import mm


def seen(mark: str, found: int, length: float | None = None, **other: Any) -> Seen:
    measured = None if length is None else mm(length)
    state = other.pop("state", racks.state(length or 1))
    return Seen(where=f"row {mark}", mark=mark, found=found, length=measured, material=racks.TUBE, state=state)


def test_differences_become_movements(ledger: Ledger) -> None:
    racks.put(ledger, 500, 600, 700, place="B2")
    racks.put(ledger, 800, place="C1")
    doing = racks.doing("count")
    found = count(
        ledger, doing, "b2", [seen("A1", 1), seen("C1", 0), seen("e1", 1, 690), seen("F1", 1), seen("", 2, 300)]
    )
    assert [(each.mark, each.expected, each.found, each.measured) for each in found] == [
        ("C1", 1, 0, mm(600)),
        ("E1", 1, 1, mm(690)),
        ("F1", 0, 1, mm(800)),
        ("H1", 0, 1, mm(300)),
        ("J1", 0, 1, mm(300)),
    ]
    here = {piece.mark: piece.state.length for piece in standing(ledger, place="B2")}
    assert here == {"A1": mm(500), "E1": mm(690), "F1": mm(800), "H1": mm(300), "J1": mm(300)}
    assert life(ledger, "C1").movements[-1].kind is Kind.COUNTED
    assert contradictions(ledger) == ()
    (movements,) = ledger.db.execute("SELECT count(*) FROM movement").fetchone()
    rows = [seen(mark, 1) for mark in here]
    assert count(ledger, doing, "b2", rows) == ()
    assert ledger.db.execute("SELECT count(*) FROM movement").fetchone() == (movements,), "as it is: no movement"


def test_full_lengths_are_counted(ledger: Ledger) -> None:
    lot = handling.NewPiece(material=racks.TUBE, state=racks.full(6000, place="B2"), quantity=4)
    handling.add(ledger, racks.doing(), [lot])
    (less,) = count(ledger, racks.doing("count"), "B2", [seen("A1", 3)])
    assert (less.expected, less.found) == (4, 3)
    (more,) = count(ledger, racks.doing("count"), "B2", [seen("A1", 5)])
    assert (more.expected, more.found) == (3, 5)


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ([seen("A1", 1)], "no row for C1, which should lie here"),
        ([seen("A1", 1), seen("C1", 1), seen("a1", 1)], "A1 again"),
        ([seen("A1", 2), seen("C1", 1)], "2 of A1"),
        ([seen("A1", 1), seen("C1", 1), seen("K9", 1)], 'found "K9"'),
        ([seen("A1", 1), seen("C1", 1), seen("E1", 1)], "E1, which is not on the rack any more"),
    ],
)
def test_a_count_that_cannot_be(rows: list[Seen], told: str, ledger: Ledger) -> None:
    racks.put(ledger, 500, 600, 700, place="B2")
    handling.scrap(ledger, racks.doing("scrap"), ["E1"])
    before = standing(ledger)
    with pytest.raises(ProblemsFound) as refused:
        count(ledger, racks.doing("count"), "B2", rows)
    assert told in str(refused.value)
    assert standing(ledger) == before


@pytest.mark.parametrize("measured", [3000, 2998])
def test_more_of_a_lot_than_were_known_is_no_contradiction(measured: int, ledger: Ledger) -> None:
    pieces = [handling.NewPiece(material=racks.TUBE, state=racks.full(3000, place="B1"), quantity=2)]
    handling.add(ledger, racks.doing(), pieces)
    count(ledger, racks.doing("count"), "B1", [seen("A1", 3, measured)])
    assert [(piece.quantity, piece.state.length) for piece in standing(ledger)] == [(3, mm(measured))]
    assert contradictions(ledger) == ()


def test_some_of_a_lot_found_elsewhere_are_a_lot_of_their_own(ledger: Ledger) -> None:
    lot = handling.NewPiece(material=racks.TUBE, state=racks.full(6000, place="B2"), quantity=5)
    handling.add(ledger, racks.doing(), [lot])
    (found,) = count(ledger, racks.doing("count"), "C1", [seen("A1", 2)])
    assert (found.mark, found.was, found.expected, found.found) == ("C1", "A1", 0, 2)
    assert [(piece.mark, piece.quantity, piece.state.place) for piece in standing(ledger)] == [
        ("A1", 3, "B2"),
        ("C1", 2, "C1"),
    ]
    assert contradictions(ledger) == ()
    assert balance(ledger).came_in == mm(30_000), "nothing came and nothing went"
    assert count(ledger, racks.doing("count"), "C1", [seen("C1", 2)]) == ()


def test_some_of_a_lot_found_elsewhere_and_shorter(ledger: Ledger) -> None:
    lot = handling.NewPiece(material=racks.TUBE, state=racks.full(6000, place="B2"), quantity=5)
    handling.add(ledger, racks.doing(), [lot])
    (found,) = count(ledger, racks.doing("count"), "C1", [seen("A1", 2, 5900)])
    assert (found.was, found.noted, found.measured) == ("A1", mm(6000), mm(5900))
    assert balance(ledger).came_in == mm(29_800)
    assert contradictions(ledger) == ()


def test_a_whole_lot_and_one_more_found_elsewhere(ledger: Ledger) -> None:
    lot = handling.NewPiece(material=racks.TUBE, state=racks.full(6000, place="B2"), quantity=2)
    handling.add(ledger, racks.doing(), [lot])
    (found,) = count(ledger, racks.doing("count"), "C1", [seen("A1", 3)])
    assert (found.mark, found.was, found.expected, found.found, found.elsewhere) == ("A1", "", 0, 3, 2)
    assert [(piece.mark, piece.quantity, piece.state.place) for piece in standing(ledger)] == [("A1", 3, "C1")]


def test_what_a_job_holds_and_is_not_found_is_held_no_more(ledger: Ledger) -> None:
    lot = handling.NewPiece(material=racks.TUBE, state=racks.full(6000, place="B2"), quantity=4)
    handling.add(ledger, racks.doing(), [lot])
    with entry(ledger, racks.doing("hold")) as writing:
        hold_for(writing, "gate", {"A1": 2}, "2031-06-01")
        hold_for(writing, "shelf", {"A1": 2}, "2031-06-02")
    (found,) = count(ledger, racks.doing("count"), "B2", [seen("A1", 1)])
    assert found.released == (
        Hold(quantity=2, job="shelf", until="2031-06-02"),
        Hold(quantity=1, job="gate", until="2031-06-01"),
    )
    (left,) = standing(ledger)
    assert left.holds == (Hold(quantity=1, job="gate", until="2031-06-01"),)
    assert contradictions(ledger) == ()
    handling.undo(ledger, racks.doing("undo"))
    (left,) = standing(ledger)
    assert [(hold.job, hold.quantity) for hold in left.holds] == [("gate", 2), ("shelf", 2)]


def test_a_job_whose_plan_counts_on_another_length_is_told(ledger: Ledger) -> None:
    racks.put(ledger, 500, place="B2")
    with entry(ledger, racks.doing("hold")) as writing:
        hold_for(writing, "gate", {"A1": 1}, "2031-06-01")
    (found,) = count(ledger, racks.doing("count"), "B2", [seen("A1", 1, 480)])
    assert (found.released, found.held) == ((), (Hold(quantity=1, job="gate", until="2031-06-01"),))
