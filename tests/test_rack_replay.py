"""The check of a ledger finds what does not follow from its movements, and mends what can be."""

from __future__ import annotations

import sqlite3

import pytest

from cutplan.rack.entry import entry
from cutplan.rack.pieces import Kind, Split
from cutplan.rack.replay import balance, contradictions, rebuild
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from tests import racks
from tests.builders import mm


@pytest.mark.parametrize(
    ("slip", "told"),
    [
        ("UPDATE on_hand SET quantity = 3", "A1: 3 said to be on hand, the movements add up to 1"),
        ("DELETE FROM on_hand", "A1: 0 said to be on hand, the movements add up to 1"),
        ("UPDATE on_hand SET state = 2 WHERE piece = 1", "A1: on hand as it was at another time"),
    ],
)
def test_what_is_on_hand_is_held_to_the_movements(ledger: Ledger, slip: str, told: str) -> None:
    racks.put(ledger, 500, 700)
    before = standing(ledger)
    assert contradictions(ledger) == ()
    ledger.db.execute(slip)
    assert contradictions(ledger)[0].startswith(told)
    assert rebuild(ledger) > 0
    assert (contradictions(ledger), standing(ledger)) == ((), before)
    assert rebuild(ledger) == 0


@pytest.mark.parametrize("table", ["mark", "action", "piece", "state", "movement"])
def test_a_movement_cannot_be_changed_or_taken_out(ledger: Ledger, table: str) -> None:
    racks.put(ledger, 500)
    column = {"mark": "number", "action": "who", "piece": "finish", "state": "grade", "movement": "note"}[table]
    for statement in (f"UPDATE {table} SET {column} = 7", f"DELETE FROM {table}"):
        with pytest.raises(sqlite3.IntegrityError, match="is never changed"):
            ledger.db.execute(statement)


def test_a_movement_that_does_not_follow_is_told(ledger: Ledger) -> None:
    racks.put(ledger, 500)
    columns = "action, piece, kind, quantity, state, length_change, parts, kerf_and_trim, scrap, note"
    ledger.db.execute(f"INSERT INTO movement ({columns}) VALUES (1, 1, 'used', -2, 1, 5, 0, 0, 0, '')")
    found = contradictions(ledger)
    assert "A1: movement 2 leaves -1 of it" in found
    assert "A1: movement 2 says 0.000005 mm, -1000 mm follow" in found


def test_a_bar_that_does_not_add_up_is_told(ledger: Ledger) -> None:
    racks.put(ledger, 500)
    with entry(ledger, racks.doing("record")) as writing:
        writing.move("A1", Kind.USED, -1, split=Split(parts=mm(450), scrap=mm(60)))
    assert contradictions(ledger) == ("action 2, SHS 40x40x3, black: 10 mm more came out of A1 than was in it",)


def test_where_all_length_went(ledger: Ledger) -> None:
    racks.put(ledger, 500, 300)
    with entry(ledger, racks.doing("record")) as writing:
        writing.move("A1", Kind.USED, -1, split=Split(parts=mm(400), kerf_and_trim=mm(5), scrap=mm(95)))
    sums = balance(ledger)
    assert (sums.came_in, sums.on_hand, sums.parts) == (mm(800), mm(300), mm(400))
    assert sums.came_in == sums.on_hand + sums.parts + sums.kerf_and_trim + sums.scrap


def test_steel_that_came_from_nowhere_is_told(ledger: Ledger) -> None:
    """One more of a lot of 5650 mm comes as 6000 mm and lengthens the one that lay there."""
    racks.put(ledger, 5650)
    ledger.db.execute(
        "INSERT INTO state (length, end_a, end_b, angle_a, angle_b, grade, heat_number, certificate, place, photo) "
        "SELECT ?, end_a, end_b, angle_a, angle_b, grade, heat_number, certificate, place, photo FROM state",
        (mm(6000),),
    )
    columns = "action, piece, kind, quantity, state, length_change, parts, kerf_and_trim, scrap, note"
    values = (1, 1, "bought", 1, 2, mm(2 * 6000 - 5650), 0, 0, 0, "")
    ledger.db.execute(f"INSERT INTO movement ({columns}) VALUES ({', '.join('?' * len(values))})", values)
    ledger.db.execute("UPDATE on_hand SET quantity = 2, state = 2")
    assert contradictions(ledger)[0] == "A1: with movement 2 6000 mm came, and the rack grew by 6350 mm"
