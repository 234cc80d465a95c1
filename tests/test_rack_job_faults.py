"""A ledger in which something was done to a plan that might not be done then is told from its rows alone.

Each is written row by row and sealed, as a slip in this program would write it.
"""

from __future__ import annotations

from typing import Any

import pytest

from cutplan.rack import handling
from cutplan.rack.entry import action
from cutplan.rack.issuing import insert
from cutplan.rack.pieces import Kind, Split
from cutplan.rack.replay import contradictions
from cutplan.rack.store import Ledger
from tests import racks
from tests.builders import mm

NOTHING: dict[str, Any] = {
    "folder": "", "parts": 2, "merchant": "", "number": "", "day": "", "amount": None, "unpriced": 0,
}  # fmt: skip


def write(ledger: Ledger, *rows: tuple[str, ...], made: tuple[int, int] | None = None) -> None:
    """One action with events (step, plan, job) and ticks (step, plan, part, copy), and parts made of a length."""
    with ledger.changing() as db, action(db, racks.doing("x", job="gate", plan=rows[0][1])) as writing:
        for step, plan, *rest in rows:
            if len(rest) == 1:
                insert(db, "event", action=writing.id, job=rest[0], plan=plan, step=step, **NOTHING)
            else:
                part, copy = rest
                insert(db, "tick", action=writing.id, plan=plan, step=step, bar=1, part=part, copy=int(copy))
        if made is not None:
            mark = writing.new_piece(Kind.BOUGHT, racks.TUBE, racks.full(3000))
            split = Split(parts=mm(2000), kerf_and_trim=mm(1000))
            movement = writing.move(mark, Kind.USED, -1, split=split, bar=1)
            insert(db, "made", movement=movement, part="A", good=made[0], spoiled=made[1])


P, CUT1, CUT2 = ("planned", "one", "one"), ("cut", "one", "A", "1"), ("cut", "one", "A", "2")
BAD = ("spoiled", "one", "A", "2")
RECORDED, CLOSED = ("recorded", "one", "one"), ("closed", "one", "one")
RECEIVED = ("received", "one", "one")

SOUND: dict[str, list[tuple[tuple[tuple[str, ...], ...], tuple[int, int] | None]]] = {
    "all of it, part by part": [
        ((P, ("ordered", "one", "one")), None), ((RECEIVED,), None), ((CUT1,), None), ((BAD,), None),
        ((("uncut", "one", "A", "2"),), None), ((CUT2,), None), ((RECORDED,), (2, 0)),
        ((("planned", "two", "one"),), None), ((CLOSED,), None),
    ],
    "more recorded than ticked": [((P, CUT1), None), ((RECORDED,), (2, 0))],
    "all in one": [((P, RECEIVED, RECORDED, ("planned", "two", "one")), (1, 0))],
}  # fmt: skip

AMISS: dict[str, tuple[list[tuple[tuple[tuple[str, ...], ...], tuple[int, int] | None]], str]] = {
    "recorded twice": ([((P, RECORDED), None), ((RECORDED,), None)], "a plan that is recorded, to be recorded"),
    "ticked when it was recorded": ([((P, RECORDED), None), ((CUT1,), None)], "a plan that is recorded, to be ticked"),
    "ticked and never planned": ([((CUT1,), None)], "a plan that is not in the ledger, to be ticked as cut"),
    "closed while it was being cut": ([((P, CUT1), None), ((CLOSED,), None)], "a plan that is being cut, to be closed"),
    "a further plan of a closed job": (
        [((P, CLOSED), None), ((("planned", "two", "one"),), None)], "a plan that is closed, to be planned",
    ),
    "a plan of two jobs": ([((P,), None), ((("ordered", "one", "two"),), None)], "a plan of another job"),
    "fewer recorded than ticked": (
        [((P, CUT1, CUT2), None), ((RECORDED,), (1, 0))], "1 good A recorded, 2 were ticked",
    ),
    "spoiled ones recorded as good": (
        [((P, CUT1, BAD), None), ((RECORDED,), (2, 0))], "0 spoiled A recorded, 1 were ticked",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", SOUND)
def test_what_may_be_done(case: str, ledger: Ledger) -> None:
    for rows, made in SOUND[case]:
        write(ledger, *rows, made=made)
    assert contradictions(ledger) == ()


@pytest.mark.parametrize("case", AMISS)
def test_what_may_not_be_done_is_told(case: str, ledger: Ledger) -> None:
    actions, told = AMISS[case]
    for rows, made in actions:
        write(ledger, *rows, made=made)
    faults = contradictions(ledger)
    assert [told in fault for fault in faults] == [True], faults
    assert faults[0].startswith(f"action {len(actions)}, gate: ")


def test_what_was_undone_is_left_out(ledger: Ledger) -> None:
    write(ledger, P, CUT1)
    write(ledger, RECORDED, made=(1, 0))
    handling.undo(ledger, racks.doing("undo"))
    write(ledger, CUT2)
    assert contradictions(ledger) == ()
