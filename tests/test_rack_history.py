"""Where a piece came from and where it went."""

from __future__ import annotations

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack import handling
from cutplan.rack.entry import entry
from cutplan.rack.history import left_by, life
from cutplan.rack.pieces import Kind, Split
from cutplan.rack.store import Ledger
from tests import racks
from tests.builders import mm


def test_a_life_from_bar_to_scrap(ledger: Ledger) -> None:
    racks.put(ledger, 2000, heat_number="H7731")
    with entry(ledger, racks.doing("record", job="trailer", plan="abc")) as writing:
        writing.move("A1", Kind.USED, -1, split=Split(parts=mm(1100)), bar=3)
        child = writing.new_piece(
            Kind.CUT_FROM, racks.TUBE, racks.state(900, heat_number="H7731"), parent="A1", bar=3, note="first"
        )
    handling.scrap(ledger, racks.doing("scrap", reason="bent"), [child])
    handling.undo(ledger, racks.doing("undo"))
    parent, offspring = life(ledger, "a1"), life(ledger, child)
    assert (parent.parent, parent.children, parent.on_hand) == ("", (child,), 0)
    assert (offspring.parent, offspring.children, offspring.on_hand) == ("A1", (), 1)
    assert [move.kind for move in offspring.movements] == [Kind.CUT_FROM, Kind.SCRAPPED, Kind.UNDONE]
    assert [move.undone for move in offspring.movements] == [False, True, False]
    first = offspring.movements[0]
    assert (first.doing.job, first.doing.plan, first.bar, first.note) == ("trailer", "abc", 3, "first")
    assert {move.state.heat_number for move in (*parent.movements, *offspring.movements)} == {"H7731"}
    assert offspring.movements[1].doing.reason == "bent"
    assert parent.movements[1].split.parts == mm(1100)


def test_a_mark_that_never_was(ledger: Ledger) -> None:
    with pytest.raises(ProblemsFound, match='found "X9"'):
        life(ledger, "X9")


def test_which_job_left_a_piece(ledger: Ledger) -> None:
    racks.put(ledger, 2000, 700)
    with entry(ledger, racks.doing("record", job="trailer")) as writing:
        writing.move("A1", Kind.USED, -1, split=Split(parts=mm(1100)))
        child = writing.new_piece(Kind.CUT_FROM, racks.TUBE, racks.state(900), parent="A1")
    assert left_by(ledger, [child, "C1"]) == {child: "trailer", "C1": ""}
