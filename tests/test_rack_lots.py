"""Lengths bought for a plan come onto the rack as they are recorded, under one mark for each offer."""

from __future__ import annotations

from cutplan.rack import handling
from cutplan.rack.entry import entry
from cutplan.rack.lots import Lots
from cutplan.rack.pieces import Kind
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from tests import builders, racks
from tests.builders import mm

LONG, SHORT = builders.offer("P2", 6000, 35), builders.offer("P3", 3000, 20)


def test_what_was_never_received_is_bought_by_recording(ledger: Ledger) -> None:
    with entry(ledger, racks.doing("record", plan="abc")) as writing:
        lots = Lots(writing)
        assert not lots.received
        assert [lots.one(offer, offer.counted) for offer in (LONG, LONG, SHORT)] == ["A1", "A1", "C1"]
    assert [(piece.mark, piece.quantity, piece.state.length) for piece in standing(ledger)] == [
        ("A1", 2, mm(6000)),
        ("C1", 1, mm(3000)),
    ]


def test_recorded_again_after_an_undo_it_is_the_same_lot(ledger: Ledger) -> None:
    for _ in range(2):
        with entry(ledger, racks.doing("record", plan="abc")) as writing:
            assert Lots(writing).one(LONG, LONG.counted) == "A1"
        handling.undo(ledger, racks.doing("undo"))
    with entry(ledger, racks.doing("record", plan="other")) as writing:
        assert Lots(writing).one(LONG, LONG.counted) == "C1"


def test_received_lengths_are_taken_shortest_first_and_no_others(ledger: Ledger) -> None:
    with entry(ledger, racks.doing("receive", plan="abc")) as writing:
        writing.new_piece(Kind.BOUGHT, racks.TUBE, racks.full(6020), 2, note="P2")
        writing.new_piece(Kind.BOUGHT, racks.TUBE, racks.full(6001), 1, note="P2")
        writing.new_piece(Kind.BOUGHT, racks.TUBE, racks.full(5990), 1, note="P2")
        writing.new_piece(Kind.BOUGHT, racks.TUBE, racks.full(6000), 9, note="P3")
    taken = []
    with entry(ledger, racks.doing("record", plan="abc")) as writing:
        lots = Lots(writing)
        for _ in range(4):
            taken.append(lots.one(LONG, LONG.counted))
            if taken[-1]:
                writing.move(taken[-1], Kind.USED, -1)
    assert taken == ["C1", "A1", "A1", None], "5990 mm is less than the plan counts on"


def test_a_length_left_uncut_is_not_handed_out_again(ledger: Ledger) -> None:
    with entry(ledger, racks.doing("receive", plan="abc")) as writing:
        writing.new_piece(Kind.BOUGHT, racks.TUBE, racks.full(6000), 1, note="P2")
    with entry(ledger, racks.doing("record", plan="abc")) as writing:
        lots = Lots(writing)
        mark = lots.one(LONG, LONG.counted)
        assert mark == "A1"
        lots.leave(mark)
        assert lots.one(LONG, LONG.counted) is None


def test_the_mark_on_the_sheet_is_used_while_it_is_free(ledger: Ledger) -> None:
    from cutplan.rack.issuing import reserve

    printed = reserve(ledger.db, "gate", 1)[0]
    with entry(ledger, racks.doing("record")) as writing:
        lots = Lots(writing)
        assert (lots.reserved(printed), lots.reserved("Q9")) == (printed, "")
        writing.new_piece(Kind.CUT_FROM, racks.TUBE, racks.state(), mark=printed)
        assert lots.reserved(printed) == "", "a piece bears it"
    handling.undo(ledger, racks.doing("undo"))
    with entry(ledger, racks.doing("record")) as writing:
        assert Lots(writing).reserved(printed) == printed, "its coming was undone"
