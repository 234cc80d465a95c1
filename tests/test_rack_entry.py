"""Writing one action: marks, movements, what is on hand, all or nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack import handling
from cutplan.rack.entry import entry, known_mark, on_hand
from cutplan.rack.pieces import Kind, Split
from cutplan.rack.replay import contradictions
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from tests import racks
from tests.builders import mm


def test_what_fails_leaves_nothing(ledger: Ledger) -> None:
    def fails() -> None:
        with entry(ledger, racks.doing()) as writing:
            writing.new_piece(Kind.PUT, racks.TUBE, racks.state())
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fails()
    assert standing(ledger) == ()
    assert racks.put(ledger, 100) == ("A1",)


def test_there_are_never_fewer_than_none(ledger: Ledger) -> None:
    (mark,) = racks.put(ledger, 500)
    with (
        pytest.raises(ValueError, match="2 taken of a piece of which 1 are on hand"),
        entry(ledger, racks.doing()) as writing,
    ):
        writing.move(mark, Kind.USED, -2)
    assert [piece.quantity for piece in standing(ledger)] == [1]


def test_lengths_of_movements_add_up(ledger: Ledger) -> None:
    with entry(ledger, racks.doing("receive")) as writing:
        lot = writing.new_piece(Kind.BOUGHT, racks.TUBE, racks.full(), 4)
    with entry(ledger, racks.doing("record")) as writing:
        split = Split(parts=mm(5000), kerf_and_trim=mm(20), scrap=mm(80))
        writing.move(lot, Kind.USED, -1, split=split, bar=1)
        writing.new_piece(Kind.CUT_FROM, racks.TUBE, racks.state(900), parent=lot, bar=1)
    with entry(ledger, racks.doing("correct")) as writing:
        writing.move(lot, Kind.CORRECTED, state=racks.full(6010))
    changes = [row[0] for row in ledger.db.execute("SELECT length_change FROM movement ORDER BY id")]
    assert changes == [mm(24000), mm(-6000), mm(900), mm(30)]
    assert contradictions(ledger) == ()


def test_a_piece_is_found_by_what_was_painted(ledger: Ledger) -> None:
    racks.put(ledger, 500)
    assert on_hand(ledger.db, "a1", "mark").state.length == mm(500)
    assert known_mark(ledger.db, "AI", "mark") == "A1"
    with pytest.raises(ProblemsFound, match='mark: found "K9"'):
        on_hand(ledger.db, "K9", "mark")
    with pytest.raises(ProblemsFound, match="such as K7"):
        on_hand(ledger.db, "'; DROP TABLE piece; --", "mark")


def test_a_mark_is_that_piece_again_only_where_it_is_of_the_same_material(ledger: Ledger) -> None:
    flat = replace(racks.TUBE, designation="FL 40x5")
    racks.put(ledger, 500)
    handling.undo(ledger, racks.doing("undo"))
    with entry(ledger, racks.doing()) as writing:
        assert writing.new_piece(Kind.PUT, flat, racks.state(700), mark="A1") == "C1"
        assert writing.new_piece(Kind.PUT, racks.TUBE, racks.state(600), mark="A1") == "A1"
    assert {piece.mark: piece.material for piece in standing(ledger)} == {"A1": racks.TUBE, "C1": flat}
