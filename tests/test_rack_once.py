"""What is done to a plan one time only: by two at once too, and again once it is undone."""

from __future__ import annotations

import os
import threading
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.model import Job, Plan
from cutplan.rack import cut_bars, handling
from cutplan.rack.entry import entry
from cutplan.rack.once import RECEIVED, RECORDED, DoneBefore, do_once, done_before, recorded_before
from cutplan.rack.replay import contradictions
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger, open_ledger
from tests import builders, racks

pytestmark = pytest.mark.usefixtures("no_paper")

DOING = racks.doing("record", job="gate", plan="abc")


def test_each_deed_once_until_it_is_undone(ledger: Ledger) -> None:
    for deed in (RECEIVED, RECORDED):
        with entry(ledger, DOING) as writing:
            do_once(writing, deed)
    with pytest.raises(DoneBefore) as before, entry(ledger, racks.doing("replan", plan="abc")) as writing:
        do_once(writing, RECORDED)
    assert before.value.doing == DOING
    assert recorded_before(ledger, "abc") == DOING
    (actions_written,) = ledger.db.execute("SELECT count(*) FROM action").fetchone()
    assert actions_written == 2, "what is refused leaves no trace"
    handling.undo(ledger, racks.doing("undo"))
    assert (done_before(ledger.db, "abc", RECORDED), done_before(ledger.db, "abc", RECEIVED)) == (None, DOING)
    with entry(ledger, racks.doing("replan", plan="abc")) as writing:
        do_once(writing, RECORDED)
    assert contradictions(ledger) == ()


@pytest.fixture(scope="module")
def cut() -> tuple[Job, Plan]:
    job = builders.job(
        [builders.part("A", 2, 1200)], [builders.offer("P3", 3000, 20)], kerf="2.5", end_trim=10, keep=300
    )
    return job, actions.plan(job)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="two processes of this program")
def test_recorded_by_two_at_once_it_is_recorded_once(cut: tuple[Job, Plan], tmp_path: Path) -> None:
    path = tmp_path / "rack.ledger"
    racks.new(path).__exit__()
    first, second = (os.fork() or _record(path, cut) for _ in range(2))
    codes = sorted(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in (first, second))
    assert codes == [0, 7], "one records it, the other is refused"
    with open_ledger(path) as ledger:
        assert len(standing(ledger)) == 1
        assert contradictions(ledger) == ()


def _record(path: Path, cut: tuple[Job, Plan]) -> int:
    """Record in a child process, which ends here: 0 recorded, 7 refused, 1 a fault."""
    code = 1
    try:
        with open_ledger(path) as ledger:
            cut_bars.record(ledger, DOING, *cut, {})
        code = 0
    except DoneBefore:
        code = 7
    finally:
        os._exit(code)


def test_recorded_between_a_look_and_the_writing(cut: tuple[Job, Plan], tmp_path: Path) -> None:
    """Two commands look, both see nothing, and then write one after the other."""
    path = tmp_path / "rack.ledger"
    racks.new(path).__exit__()
    looked, refused = threading.Barrier(2), []

    def command() -> None:
        with open_ledger(path) as ledger:
            assert recorded_before(ledger, "abc") is None
            looked.wait(timeout=30)
            try:
                cut_bars.record(ledger, DOING, *cut, {})
            except DoneBefore as before:
                refused.append(before.doing)

    threads = [threading.Thread(target=command) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert refused == [DOING]


DEEDS: dict[str, tuple[str, str, bool]] = {
    # what was done to plans, "undo" being the last of it: a deed, and whether it may be done
    "nothing was done": ("", "recorded abc", True),
    "received, then recorded": ("received abc", "recorded abc", True),
    "recorded twice": ("recorded abc", "recorded abc", False),
    "received twice": ("received abc", "received abc", False),
    "recorded, then received": ("recorded abc", "received abc", True),
    "of another plan": ("recorded abc", "recorded xyz", True),
    "undone and done again": ("recorded abc, undo", "recorded abc", True),
    "done, undone, done again and once more": ("recorded abc, undo, recorded abc", "recorded abc", False),
    "the one undone was the other": ("received abc, recorded abc, undo", "received abc", False),
}


@pytest.mark.parametrize("case", DEEDS)
def test_what_is_done_one_time_only(case: str, ledger: Ledger) -> None:
    """Whether a delivery may follow the record is for the table of steps; here it is whether the deed was done."""
    before, deed, may = DEEDS[case]

    def do(word: str) -> None:
        if word == "undo":
            handling.undo(ledger, racks.doing("undo"))
            return
        what, plan = word.split()
        with entry(ledger, racks.doing(what, plan=plan)) as writing:
            do_once(writing, {"received": RECEIVED, "recorded": RECORDED}[what])

    for word in filter(None, before.split(", ")):
        do(word)
    if may:
        do(deed)
    else:
        with pytest.raises(DoneBefore):
            do(deed)
    assert contradictions(ledger) == ()
