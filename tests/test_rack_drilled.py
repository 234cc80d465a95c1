"""Parts ticked as drilled: each once, taken back, undone, and after the cuts are recorded too."""

from __future__ import annotations

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack import handling
from cutplan.rack.drilled import drilled_of, note_drilled
from cutplan.rack.entry import entry
from cutplan.rack.job_events import PlanNote, note_step, stage
from cutplan.rack.replay import contradictions
from cutplan.rack.stages import Stage, Step
from cutplan.rack.store import Ledger
from cutplan.rack.ticks import Unchanged
from tests import racks

NOTE = PlanNote(plan="abc", parts=3)


def say(ledger: Ledger, part: str, copy: int, *, done: bool = True, given_id: str = "") -> bool:
    try:
        with entry(ledger, racks.doing("drilled", job="gate", plan="abc")) as writing:
            return note_drilled(writing, NOTE, part, copy, done=done, given_id=given_id)
    except Unchanged:
        return False


def step(ledger: Ledger, what: Step) -> None:
    with entry(ledger, racks.doing(what.value, job="gate", plan="abc")) as writing:
        note_step(writing, NOTE, what)


def test_a_tick_stands_until_it_is_taken_back_or_undone(ledger: Ledger) -> None:
    assert say(ledger, "A", 2)
    assert say(ledger, "A", 1)
    assert not say(ledger, "A", 1), "it is ticked"
    assert drilled_of(ledger.db, "abc") == (("A", 1), ("A", 2))
    assert say(ledger, "A", 1, done=False)
    assert not say(ledger, "A", 1, done=False)
    assert drilled_of(ledger.db, "abc") == (("A", 2),)
    handling.undo(ledger, racks.doing("undo"))
    assert drilled_of(ledger.db, "abc") == (("A", 1), ("A", 2)), "the taking back is taken back"
    assert drilled_of(ledger.db, "other") == ()
    assert stage(ledger.db, "abc") is Stage.PLANNED, "where the plan stands does not hang on it"
    assert contradictions(ledger) == ()


def test_what_comes_twice_under_one_id_is_done_once(ledger: Ledger) -> None:
    assert say(ledger, "A", 1, given_id="x1")
    say(ledger, "A", 1, done=False, given_id="x2")
    assert not say(ledger, "A", 1, given_id="x1"), "it came again, after it was taken back"
    assert drilled_of(ledger.db, "abc") == ()
    with pytest.raises(ProblemsFound, match="something else was ticked: A copy 1 drilled"):
        say(ledger, "A", 2, given_id="x1")


def test_it_goes_on_after_the_record_and_ends_with_the_job(ledger: Ledger) -> None:
    step(ledger, Step.RECORDED)
    assert say(ledger, "A", 1)
    step(ledger, Step.CLOSED)
    with pytest.raises(ProblemsFound, match="a job that is closed"):
        say(ledger, "A", 2)
    assert drilled_of(ledger.db, "abc") == (("A", 1),)
