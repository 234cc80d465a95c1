"""Lengths bought for a plan come onto the rack as they are recorded, under one mark for each offer.

Where they were received, each bar has one that its cuts fit. Bars 1 to 3 are planned from 6000: two with two parts of
2900, which need 5800, and one with one, which needs 2900.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import CutBar
from cutplan.rack import handling
from cutplan.rack.entry import Entry, entry
from cutplan.rack.lots import Lots
from cutplan.rack.pieces import Kind
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger
from tests import builders, racks
from tests.builders import mm
from tests.hand_plans import hand_plan

LONG, SHORT = builders.offer("P2", 6000, 35), builders.offer("P3", 3000, 20)
JOB = builders.job([builders.part("R", 5, 2900)], [LONG, SHORT])
BARS = list(hand_plan(JOB, ("P2", "RR"), ("P2", "RR"), ("P2", "R")).bars)
ON_SHORT = next(hand_plan(builders.job([builders.part("R", 1, 2900)], [LONG, SHORT]), ("P3", "R")).bars)
ALL = {1, 2, 3}


def marks(lots: Lots, *bars: CutBar) -> list[str | None]:
    return [lots.one(LONG if bar.source == "P2" else SHORT, bar) for bar in bars]


def received(ledger: Ledger, *lots: tuple[float, int]) -> None:
    with entry(ledger, racks.doing("receive", plan="abc")) as writing:
        for length, quantity in lots:
            writing.new_piece(Kind.BOUGHT, racks.TUBE, racks.full(length), quantity, note="P2")


def recording(writing: Entry, cut: set[int] = ALL) -> Lots:
    return Lots(writing, JOB, BARS, cut)


def test_what_was_never_received_is_bought_by_recording(ledger: Ledger) -> None:
    with entry(ledger, racks.doing("record", plan="abc")) as writing:
        lots = recording(writing)
        assert not lots.received
        assert marks(lots, BARS[0], BARS[1], ON_SHORT) == ["A1", "A1", "C1"]
    assert [(piece.mark, piece.quantity, piece.state.length) for piece in standing(ledger)] == [
        ("A1", 2, mm(6000)),
        ("C1", 1, mm(3000)),
    ]


def test_recorded_again_after_an_undo_it_is_the_same_lot(ledger: Ledger) -> None:
    for _ in range(2):
        with entry(ledger, racks.doing("record", plan="abc")) as writing:
            assert marks(recording(writing), BARS[0]) == ["A1"]
        handling.undo(ledger, racks.doing("undo"))
    with entry(ledger, racks.doing("record", plan="other")) as writing:
        assert marks(recording(writing), BARS[0]) == ["C1"]


@pytest.mark.parametrize(
    ("lots", "cut", "expected"),
    [
        # A1, C1, E1 ... in turn: the shortest that serves each bar.
        ([(6020, 2), (5800, 1), (2899, 1)], ALL, ["C1", "A1", "A1"]),
        ([(6020, 2), (2900, 1)], ALL, ["A1", "A1", "C1"]),
        # One too few: those that are cut have a length, the others none.
        ([(6020, 2)], {1, 2}, ["A1", "A1", None]),
        ([(6020, 2)], {2, 3}, [None, "A1", "A1"]),
        ([(6020, 1), (5799, 1)], ALL, ["A1", None, "C1"]),
    ],
)
def test_each_bar_has_a_received_length_that_its_cuts_fit(
    ledger: Ledger, lots: list[tuple[float, int]], cut: set[int], expected: list[str | None]
) -> None:
    received(ledger, *lots)
    with entry(ledger, racks.doing("record", plan="abc")) as writing:
        assert marks(recording(writing, cut), *BARS) == expected


def test_what_was_received_and_is_gone_is_not_handed_out(ledger: Ledger) -> None:
    received(ledger, (6000, 3))
    with entry(ledger, racks.doing("record", plan="another")) as writing:
        writing.move("A1", Kind.USED, -2)
    with entry(ledger, racks.doing("record", plan="abc")) as writing:
        assert marks(recording(writing), *BARS) == ["A1", None, None]


def test_the_mark_on_the_sheet_is_used_while_it_is_free(ledger: Ledger) -> None:
    from cutplan.rack.issuing import reserve

    printed = reserve(ledger.db, "gate", 1)[0]
    with entry(ledger, racks.doing("record")) as writing:
        lots = recording(writing)
        assert (lots.reserved(printed), lots.reserved("Q9")) == (printed, "")
        writing.new_piece(Kind.CUT_FROM, racks.TUBE, racks.state(), mark=printed)
        assert lots.reserved(printed) == "", "a piece bears it"
    handling.undo(ledger, racks.doing("undo"))
    with entry(ledger, racks.doing("record")) as writing:
        assert recording(writing).reserved(printed) == printed, "its coming was undone"


def test_a_substitute_that_was_undone_is_not_what_was_ordered(ledger: Ledger) -> None:
    """Flat bar came in place of tube and was taken back; recorded without it, tube comes, under a mark of its own."""
    flat = replace(racks.TUBE, designation="FL 40x5")
    with entry(ledger, racks.doing("receive", plan="abc")) as writing:
        writing.new_piece(Kind.BOUGHT, flat, racks.full(6500), note="P2")
    handling.undo(ledger, racks.doing("undo"))
    with entry(ledger, racks.doing("record", plan="abc")) as writing:
        assert marks(recording(writing), BARS[0]) == ["C1"]
    assert [(piece.mark, piece.material) for piece in standing(ledger)] == [("C1", racks.TUBE)]
