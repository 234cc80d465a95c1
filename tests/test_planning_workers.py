"""Groups side by side: when it is worth it, the same answers, a helper that is lost, a stop by the user."""

from __future__ import annotations

import io
import os
import pickle
import signal
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from types import SimpleNamespace

import pytest

from cutplan.model import Status, groups_of
from cutplan.planning import plan_job, workers
from cutplan.planning.workers import GroupTask, processes_for, side_by_side
from cutplan.solving import Clock, Parameters
from tests import builders

ROOT = Path(__file__).parent.parent


def tasks(*different: int) -> list[GroupTask]:
    """Groups of so many different parts each."""
    found = []
    for place, count in enumerate(different):
        side = builders.square_tube(30 + 10 * place)
        parts = [builders.part(f"M{place}-{i}", 2, 300 + 41 * i, section=side) for i in range(count)]
        job = builders.job(parts, [builders.offer(f"P{place}", 6000, 60, section=side)], kerf=3)
        (group,) = groups_of(job)
        found.append(GroupTask(group=group, workshop=job.workshop, offers=group.offers, parameters=Parameters(nodes=5)))
    return found


@pytest.fixture
def two_processors(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workers, "processors", lambda: 2)


@pytest.mark.usefixtures("two_processors")
@pytest.mark.parametrize(("different", "processes"), [((20, 3), 0), ((20, 20), 2), ((19, 19, 19), 0), ((30,) * 5, 2)])
def test_only_large_groups_are_worth_a_process(different: tuple[int, ...], processes: int) -> None:
    assert processes_for(tasks(*different)) == processes


def test_one_processor_is_not_shared(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workers, "processors", lambda: 1)
    assert processes_for(tasks(20, 20)) == 0


def test_what_helpers_find_and_say() -> None:
    told: list[str] = []
    wanted = tasks(3, 20, 4)
    answers, stopped_by = side_by_side(wanted, 2, time.monotonic() + 60, told.append)
    assert stopped_by == ""
    for task, answer in zip(wanted, answers, strict=True):
        assert answer is not None
        assert answer.group == task.group
        assert answer.proof.status is not Status.NOT_PROVEN
    assert all(text.startswith("SHS ") for text in told)


TELLS = """
import pickle, sys
while True:
    try:
        turn = pickle.load(sys.stdin.buffer)
    except EOFError:
        break
    pickle.dump((turn.further, ""), sys.stdout.buffer)
    sys.stdout.buffer.flush()
"""


@pytest.mark.parametrize(("number", "processes", "told"), [(3, 1, [2, 1, 0]), (1, 1, [0]), (4, 2, [0, 1, 1, 2])])
def test_helpers_are_told_how_many_tasks_are_to_follow(
    number: int, processes: int, told: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    """So that the first of many groups leaves time for a plan of each: the share of one helper, rounded up."""
    monkeypatch.setattr(workers, "python", lambda _: [sys.executable, "-c", TELLS])
    answers, _ = side_by_side(tasks(*[3] * number), processes, time.monotonic() + 60, lambda text: None)
    assert sorted(map(str, answers)) == sorted(map(str, told))


@dataclass(frozen=True)
class Waited:
    """What a search is told of those that wait for their turn, and of what follows; its proof adds to that."""

    size: int = 1

    def run(self, clock: Clock, say: object) -> tuple[int, float, float]:
        clock.kept_back += 2.0
        return clock.waiting, clock.kept_back, clock.at_most


def test_a_helper_leaves_time_for_the_tasks_to_follow_and_for_the_check(monkeypatch: pytest.MonkeyPatch) -> None:
    turns = [workers._Turn(Waited(), 60.0, further, (5.0, 45.0)) for further in (2, 1, 0)]
    given = b"".join(map(pickle.dumps, turns))
    out = io.BytesIO()
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=io.BytesIO(given)))
    monkeypatch.setattr(sys, "stdout", SimpleNamespace(buffer=out))
    workers.help_out()
    out.seek(0)
    found = [pickle.load(out) for _ in range(3)]
    assert found == [((2, 7.0, 45.0), ""), ((1, 9.0, 45.0), ""), ((0, 11.0, 45.0), "")]


@pytest.mark.usefixtures("two_processors")
def test_what_a_lost_helper_leaves_is_planned_here(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    away = tmp_path / "away"
    away.write_text("#!/bin/sh\nprintf 'no numpy \\033[31m\\n' >&2\nexit 1\n")
    away.chmod(0o755)
    monkeypatch.setattr(sys, "executable", str(away))
    answers, _ = side_by_side(tasks(20, 20), 2, time.monotonic() + 60, lambda text: None)
    assert answers == [None, None]
    assert set(caplog.messages) == {"a helper process ended with 1: no numpy \\x1b[31m"}
    sides = [builders.square_tube(30), builders.square_tube(40)]
    parts = [builders.part(f"M{i}", 1, 300 + 41 * i, section=sides[i % 2]) for i in range(40)]
    job = builders.job(parts, [builders.offer(f"P{k}", 6000, 60, section=side) for k, side in enumerate(sides)])
    assert len(plan_job(job).groups) == 2


SLOW = """
import sys
from cutplan.planning import plan_job, workers
from tests.benchmarks.instances import shop_job
from tests import builders
from dataclasses import replace
workers.processors = lambda: 2
parts, offers = [], []
for side in (40, 50):
    job = shop_job(60, seed=3, number=side, offcut_value=True).job
    tube = builders.square_tube(side)
    parts += [replace(part, mark=f"{side}-{part.mark}", section=tube) for part in job.parts]
    offers += [replace(offer, id=f"{side}-{offer.id}", section=tube) for offer in job.offers]
job = builders.job(parts, offers, at=job.workshop)
plan = plan_job(job, progress=lambda text: print(text, flush=True))
print("stopped by:", plan.stopped_by, len(list(plan.bars)))
"""


@pytest.mark.thorough
@pytest.mark.skipif(os.name != "posix", reason="elsewhere groups are planned one after another")
def test_ctrl_c_returns_the_best_plan_of_every_group() -> None:
    """The interrupt reaches this process alone, once both groups have told of a case."""
    done = subprocess.Popen(
        [sys.executable, "-c", SLOW],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert done.stdout is not None
    begun: set[str] = set()
    for line in done.stdout:
        begun.add(line[:6])
        if {"SHS 40", "SHS 50"} <= begun:
            break
    done.send_signal(signal.SIGINT)
    rest, errors = done.communicate()
    assert errors == ""
    last = rest.splitlines()[-1]
    assert last.startswith("stopped by: user ")
    assert int(last.split()[-1]) > 20
