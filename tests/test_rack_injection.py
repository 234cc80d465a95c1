"""What a user types never becomes SQL, and never a formula."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.rack.once import recorded_before
from cutplan.rack.pieces import Doing
from cutplan.rack.replay import contradictions
from cutplan.rack.store import Ledger
from tests import racks

NASTY = (
    "'; DROP TABLE movement; --",
    '"; DELETE FROM on_hand; --',
    '=HYPERLINK("x")',
    "+1-1",
    "@SUM(A1)",
    "%s %(a)s {0} ? :a $1",
    "日本 — ü 🙂",
    "NULL",
    "x" * 5000,
)


@pytest.mark.parametrize("text", NASTY)
def test_a_text_stays_what_it_is(text: str, tmp_path: Path) -> None:
    rack = actions.find_rack(near=tmp_path / "x", who=text)
    (mark,) = actions.rack_add(
        rack, "SHS 40x40x3", "1240", place=text, heat_number=text, certificate=text, photo=text, reason=text
    )
    actions.rack_move(rack, [mark], text)
    (piece,) = actions.rack_show(rack, place=text)
    words = " ".join(text.split())
    assert (piece.state.place, piece.state.heat_number, piece.state.photo) == (words, words, words)
    life = actions.rack_history(rack, mark)
    assert {move.doing.who for move in life.movements} == {text}
    assert life.movements[0].doing.reason == text
    assert actions.rack_verify(rack) == ((), 0)


@pytest.mark.parametrize("text", NASTY)
def test_names_of_jobs_and_plans_too(text: str, ledger: Ledger) -> None:
    from cutplan.rack import cut_bars, holding
    from cutplan.rack.entry import entry
    from cutplan.rack.issuing import reserve

    racks.put(ledger, 500)
    doing = Doing(at="2031-05-04T09:30:00Z", who="", what="hold", job=text, plan=text)
    with entry(ledger, doing) as writing:
        holding.hold_for(writing, text, {"A1": 1}, "2031-06-01")
    assert reserve(ledger.db, text, 1) == ("C1",)
    assert recorded_before(ledger, text) is None
    assert cut_bars.made_of(ledger, text) == {}
    assert holding.held(ledger.db, "A1", text) == 1
    assert contradictions(ledger) == ()
