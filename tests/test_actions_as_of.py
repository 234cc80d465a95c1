"""What the desk keeps of a folder: read once, and anew as soon as something that it hangs on changed."""

from __future__ import annotations

from pathlib import Path
from unittest import mock

import pytest

from cutplan import actions
from cutplan.actions import as_of, lists
from cutplan.words.bench_words import Where
from tests.commands import run

PLAN = Path("reports/frame/plan.json")
pytestmark = pytest.mark.usefixtures("no_paper", "parts_planned")


def reads() -> int:
    """How many lists are read for a look at all jobs."""
    with mock.patch.object(lists, "read_job", wraps=lists.read_job) as read:
        actions.jobs_of()
        return read.call_count


def stands() -> tuple[Where, int]:
    (job,) = actions.jobs_of()
    return job.where, job.ticked


def test_a_tick_is_seen_and_no_list_is_read_again_for_it() -> None:
    run("rack", "add", "SHS 40x40x3", "900")
    assert reads() == 1
    assert reads() == 0
    for number, bar in enumerate(("1", "2"), start=1):
        assert run("job", "cut", str(PLAN), "--bar", bar).exit_code == 0
        assert (reads(), stands()[0]) == (0, Where.BEING_CUT), f"tick {number}"
    assert stands()[1] == 6
    run("undo")
    assert stands()[1] < 6


def test_a_movement_and_a_list_written_again_are_read() -> None:
    run("rack", "add", "SHS 40x40x3", "900")
    actions.jobs_of()
    run("rack", "add", "SHS 40x40x3", "700")
    assert reads() == 1, "what lies on the rack is read with the list"
    list_file = Path("frame.csv")
    list_file.write_text(list_file.read_text() + "C,1,SHS 40x40x3,long\n")
    assert stands()[0] is Where.FAULTS
    assert stands()[0] is Where.FAULTS, "what is wrong is kept too"
    list_file.unlink()
    assert [job.parts_list for job in actions.jobs_of()] == [None]


def test_outside_a_look_nothing_is_kept() -> None:
    first = as_of.read_job(Path("frame.csv"))
    assert as_of.read_job(Path("frame.csv")) is not first
