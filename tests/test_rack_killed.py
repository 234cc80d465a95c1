"""A process that is killed in the middle leaves the rack as it was before or as it is after, never between.

This shows what the death of a process leaves, SIGKILL at any point of its work; it does not show what a loss of power
leaves, which is for the disk and the settings of the ledger (a journal that is on disk before the file is touched).
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.model import Job, Plan
from cutplan.rack import cut_bars, handling
from cutplan.rack.migrations import VERSION
from cutplan.rack.pieces import Standing
from cutplan.rack.replay import contradictions
from cutplan.rack.standing import standing
from cutplan.rack.store import open_ledger
from tests import builders, racks
from tests.effort import examples, some
from tests.test_rack_migrations import earlier

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="kills forked processes")

EVERY_RUN, THOROUGH = examples(400, 20), 1000


@pytest.fixture(scope="module")
def cut() -> tuple[Job, Plan]:
    job = builders.job(
        [builders.part("A", 6, 1200), builders.part("B", 4, 850)],
        [builders.offer("P3", 3000, 20)],
        [builders.offcut("A1", 2000), builders.offcut("C1", 1500)],
        kerf="2.5",
        end_trim=10,
        keep=300,
    )
    return job, actions.plan(job)


def started(path: Path) -> Path:
    with racks.new(path) as ledger:
        racks.put(ledger, 2000, 1500)
    return path


def look(path: Path) -> tuple[tuple[Standing, ...], int]:
    """What is on the rack, and how many movements there are; the ledger is sound and follows from them."""
    with open_ledger(path) as ledger:
        assert contradictions(ledger) == ()
        (count,) = ledger.db.execute("SELECT count(*) FROM movement").fetchone()
        return standing(ledger), int(count)


def recording(path: Path, cut: tuple[Job, Plan]) -> None:
    with open_ledger(path) as ledger:
        cut_bars.record(ledger, racks.doing("record", job="tiny", plan="abc"), *cut, {})


def counting(path: Path, cut: tuple[Job, Plan]) -> None:
    with open_ledger(path) as ledger:
        handling.move(ledger, racks.doing("move"), ["A1", "C1"], "B2")


def killed(work: Callable[[], None], after: float) -> bool:
    """Run work in a process of its own and kill it; was it killed before it was done?"""
    child = os.fork()
    if child == 0:
        try:
            work()
        finally:
            os._exit(0)
    time.sleep(after)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    return os.WIFSIGNALED(status)


def interrupted(tmp_path: Path, cut: tuple[Job, Plan], times: int, work: Callable[..., None]) -> None:
    """Kill the work at random points of a run, again and again, and look at what is left."""
    fresh = started(tmp_path / "fresh.ledger")
    after = Path(shutil.copy(fresh, tmp_path / "whole.ledger"))
    before = look(after)
    begun = time.perf_counter()
    child = os.fork()
    if child == 0:
        work(after, cut)
        os._exit(0)
    os.waitpid(child, 0)
    within = 1.3 * (time.perf_counter() - begun)
    done = look(after)
    assert done != before
    chance = random.Random(times)
    seen = {"before": 0, "after": 0}
    for number in range(times):
        path = Path(shutil.copy(fresh, tmp_path / f"{number}.ledger"))
        killed(lambda path=path: work(path, cut), chance.uniform(0, within))  # type: ignore[misc]
        left = look(path)
        assert left in (before, done), f"between, at try {number}"
        seen["before" if left == before else "after"] += 1
        # The first time took longer than others may, or they do: half of the kills are to come in time.
        within *= 1 / 0.7 if left == before else 0.7
        path.unlink()
    assert seen["before"], "no kill came in time: the test shows nothing"


@pytest.mark.parametrize("work", some([recording, counting], recording))
def test_killed_while_it_writes(work: Callable[..., None], tmp_path: Path, cut: tuple[Job, Plan]) -> None:
    interrupted(tmp_path, cut, EVERY_RUN // 2, work)


@pytest.mark.slow
@pytest.mark.parametrize("work", [recording, counting])
def test_killed_a_thousand_times(work: Callable[..., None], tmp_path: Path, cut: tuple[Job, Plan]) -> None:
    interrupted(tmp_path, cut, THOROUGH // 2, work)


@pytest.mark.parametrize("step", some(range(1, VERSION), 1))
def test_killed_while_an_earlier_ledger_is_brought_up_to_date(step: int, tmp_path: Path) -> None:
    chance = random.Random(step)
    for number in range(examples(6)):
        path = earlier(tmp_path / f"{number}.ledger", step)
        killed(lambda path=path: open_ledger(path).__exit__(), chance.uniform(0, 0.02))  # type: ignore[misc]
        pieces, movements = look(path)
        assert ([piece.mark for piece in pieces], movements) == (["A1", "C1"], 2 if step == 1 else 3)


@pytest.mark.thorough
def test_killed_while_a_ledger_is_made(tmp_path: Path) -> None:
    chance = random.Random(7)
    for number in range(10):
        path = tmp_path / f"{number}.ledger"

        def makes(path: Path = path) -> None:
            started(path)

        killed(makes, chance.uniform(0, 0.03))
        with open_ledger(path, create=True) as ledger:
            assert contradictions(ledger) == ()
            assert len(standing(ledger)) in (0, 2)


@pytest.mark.thorough
def test_killed_inside_a_transaction(tmp_path: Path) -> None:
    """At every so many steps of the machine that runs the statements, which no clock would hit so evenly."""
    fresh, before = started(tmp_path / "fresh.ledger"), None
    for steps in range(20, 2000, 220):
        path = Path(shutil.copy(fresh, tmp_path / f"{steps}.ledger"))
        before = before or look(path)

        def dies(path: Path = path, steps: int = steps) -> None:
            with open_ledger(path) as ledger:
                ledger.db.set_progress_handler(lambda: os.kill(os.getpid(), signal.SIGKILL), steps)
                racks.put(ledger, *range(500, 600))

        assert killed(dies, 0) or sys.platform != "linux"
        assert look(path) == before
