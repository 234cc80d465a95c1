"""A batch on a real scheduler with workers of its own, on this machine: what one process makes, whatever is lost."""

from __future__ import annotations

import os
import signal
import socket
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from math import inf
from pathlib import Path
from typing import Any

import pytest

from cutplan.actions.batch import JobTask
from cutplan.model import Job, Plan, groups_of
from cutplan.planning import cluster, plan_job
from cutplan.planning.workers import GroupTask
from cutplan.problems import NoPlan, ProblemsFound
from cutplan.solving import Clock, Parameters
from tests import builders
from tests.dask_processes import HERE, Running, running

__all__ = ["running"]


def jobs(number: int) -> list[JobTask]:
    offers = [builders.offer("P1", 6000, 30), builders.offer("P2", 7500, 36)]
    made = [
        builders.job([builders.part("A", 2 + n, 1900), builders.part("B", 3, 700 + n)], offers) for n in range(number)
    ]
    return [JobTask(job=job, time_limit=60) for job in made]


@pytest.mark.thorough
def test_killed_workers_change_nothing(running: Running) -> None:
    tasks = [
        *jobs(6),
        JobTask(job=builders.job([builders.part("A", 1, 6100)], [builders.offer("P1", 6000, 30)]), time_limit=9),
    ]
    answers: dict[int, object] = {}
    first = running.hire()
    running.hire()

    def answered(place: int, answer: Plan | NoPlan | Exception) -> None:
        answers[place] = answer
        first.kill()

    assert cluster.on_cluster(tasks, running.address, lambda text: None, answered) == ""
    alone = [task.planned() for task in tasks]
    assert [answers[place] for place in range(6)] == alone[:6]
    assert isinstance(answers[6], NoPlan)
    assert str(answers[6]) == str(alone[6])


def large_job(groups: int) -> Job:
    """Groups with so many different parts that each is worth a process."""
    sides = [builders.square_tube(30 + 10 * n) for n in range(groups)]
    parts = [
        builders.part(f"M{n}-{i}", 2, 300 + 41 * i + n, section=side) for n, side in enumerate(sides) for i in range(20)
    ]
    return builders.job(
        parts, [builders.offer(f"P{n}", 6000, 60, section=side) for n, side in enumerate(sides)], kerf=3
    )


@pytest.mark.thorough
def test_groups_of_one_job_are_spread_over_workers(running: Running) -> None:
    """The plan of one process, though a worker is killed as soon as the first group is done."""
    job = large_job(4)
    first = running.hire()
    running.hire()
    tasks = [
        GroupTask(group=group, workshop=job.workshop, offers=group.offers, parameters=Parameters())
        for group in groups_of(job)
    ]
    killed: list[int] = []
    real = cluster.on_cluster

    def killing(given: Any, address: str, say: Any, answered: Callable[[int, Any], None], deadline: float) -> str:
        def heard(place: int, answer: object) -> None:
            first.kill()
            killed.append(place)
            answered(place, answer)

        return real(given, address, say, heard, deadline)

    with pytest.MonkeyPatch.context() as here:
        here.setattr(cluster, "on_cluster", killing)
        found, stopped_by = cluster.spread(tasks, running.address, time.monotonic() + 120, lambda text: None)
    assert (len(killed), stopped_by) == (4, "")
    alone = [task.run(Clock(deadline=inf), lambda text: None) for task in tasks]
    assert [one.proof for one in found if one] == [one.proof for one in alone]
    told: list[str] = []
    assert plan_job(job, cluster=running.address, progress=told.append) == plan_job(job, processes=0)
    assert f"4 groups on {running.address}" in told


def in_time(task: Any, deadline: float) -> Any:
    """What a worker makes of a task, where the scheduler's clock is that of this process."""
    timed: Any = cluster._Timed(task=task, ends=deadline, further=0)
    with pytest.MonkeyPatch.context() as here:
        here.setattr(cluster, "_time_there", time.monotonic)
        return timed.run(Clock(deadline=inf), lambda text: None)


def test_a_group_that_is_lost_on_the_cluster_is_planned_here(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []

    def there(tasks: Any, address: str, say: object, answered: Callable[[int, Any], None], deadline: float) -> str:
        asked.append(address)
        answered(0, cluster.Lost("gone"))
        answered(1, in_time(tasks[1], deadline))
        return ""

    monkeypatch.setattr(cluster, "on_cluster", there)
    job = large_job(2)
    assert plan_job(job, cluster="nowhere") == plan_job(job, processes=0)
    assert asked == ["nowhere"]


class Struck:
    """Work that asks whether its time is up, and what it is told then."""

    size = 1

    def run(self, clock: Clock, say: object) -> bool:
        return clock.struck()


@pytest.mark.parametrize(("left", "struck"), [(-5, True), (600, False)])
def test_each_group_has_the_time_that_is_left(left: float, struck: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    def there(tasks: Any, address: str, say: object, answered: Callable[[int, Any], None], deadline: float) -> str:
        for place, task in enumerate(tasks):
            answered(place, in_time(task, deadline))
        return ""

    monkeypatch.setattr(cluster, "on_cluster", there)
    found = cluster.spread([Struck(), Struck()], "nowhere", time.monotonic() + left, lambda text: None)
    assert found == ([struck, struck], "time limit" if struck else "")


def test_a_scheduler_that_does_not_say_what_time_it_is_loses_the_group(monkeypatch: pytest.MonkeyPatch) -> None:
    def gone() -> float:
        raise OSError("closed")

    monkeypatch.setattr(cluster, "_time_there", gone)
    with pytest.raises(cluster.Lost, match="closed"):
        cluster._Timed(task=Struck(), ends=inf, further=0).run(Clock(deadline=inf), lambda text: None)


class Patient:
    """Work that takes all the time it has, and how much that was when it began."""

    size = 1

    def run(self, clock: Clock, say: object) -> float:
        had = clock.seconds_left
        while not clock.struck():
            time.sleep(0.02)
        return had


@pytest.mark.thorough
def test_groups_that_wait_for_a_worker_have_what_is_left_when_it_is_free(running: Running) -> None:
    running.hire()
    found, stopped_by = cluster.spread([Patient()] * 3, running.address, time.monotonic() + 20, lambda text: None)
    assert stopped_by == "time limit"
    first, *others = found
    assert first is not None
    assert first > 0
    assert others == [0.0, 0.0]


@dataclass(frozen=True)
class Mortal:
    """Work that ends its worker after three seconds; done again it says how much less time it has than at first."""

    had: Path
    size: int = 1

    def run(self, clock: Clock, say: object) -> float:
        if not self.had.exists():
            self.had.write_text(str(clock.seconds_left))
            time.sleep(3)
            os._exit(1)
        return float(self.had.read_text()) - clock.seconds_left


@pytest.mark.thorough
def test_a_group_lost_with_its_worker_has_what_is_left_when_it_is_done_again(running: Running, tmp_path: Path) -> None:
    running.hire()
    running.hire()
    tasks = [Mortal(tmp_path / "had")]
    ((less,), _) = cluster.spread(tasks, running.address, time.monotonic() + 120, lambda text: None)
    assert less is not None
    assert 3 <= less < 120


class Asked:
    """Work that says how many are likely to follow it."""

    size = 1

    def run(self, clock: Clock, say: object) -> int:
        return clock.waiting


@pytest.mark.thorough
def test_a_group_knows_how_many_its_worker_is_to_plan_after_it(running: Running) -> None:
    running.hire()
    found, _ = cluster.spread([Asked()] * 3, running.address, time.monotonic() + 60, lambda text: None)
    assert found == [2, 1, 0]


class Deaf:
    """Work that ends at no deadline."""

    size = 1

    def run(self, clock: Clock, say: object) -> str:
        time.sleep(600)
        return "late"


@pytest.mark.thorough
def test_what_does_not_end_in_time_is_not_waited_for(running: Running) -> None:
    running.hire()
    found = cluster.spread([Deaf(), Deaf()], running.address, time.monotonic() + 1, lambda text: None)
    assert found == ([None, None], "")


class Checked:
    """Work that is followed by a long check, and how long it may search then."""

    size = 1

    def run(self, clock: Clock, say: object) -> float:
        clock.kept_back = 100_000.0
        return clock.seconds_left


def test_a_check_leaves_a_search_on_a_worker_a_tenth_of_the_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """It could take all of it, as it cannot in a process of this machine."""

    def there(tasks: Any, address: str, say: object, answered: Callable[[int, Any], None], deadline: float) -> str:
        answered(0, in_time(tasks[0], deadline))
        return ""

    monkeypatch.setattr(cluster, "on_cluster", there)
    ((seconds,), _) = cluster.spread([Checked()], "nowhere", time.monotonic() + 600, lambda text: None)
    assert seconds == pytest.approx(60, abs=5)


def test_a_fault_on_a_worker_ends_the_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    def there(tasks: object, address: str, say: object, answered: Callable[[int, Any], None], deadline: float) -> str:
        answered(0, TypeError("odd"))
        return ""

    monkeypatch.setattr(cluster, "on_cluster", there)
    with pytest.raises(TypeError, match="odd"):
        plan_job(large_job(2), cluster="nowhere")


@pytest.mark.thorough
def test_a_lost_scheduler_loses_what_was_not_answered(running: Running) -> None:
    answers: list[object] = []
    running.hire()

    def answered(place: int, answer: Plan | NoPlan | Exception) -> None:
        answers.append(answer)
        running.scheduler.send_signal(signal.SIGKILL)

    assert cluster.on_cluster(jobs(8), running.address, lambda text: None, answered) == ""
    assert len(answers) == 8
    assert isinstance(answers[0], Plan)
    assert isinstance(answers[-1], cluster.Lost)


@pytest.mark.thorough
def test_a_fault_on_a_worker_comes_back_as_itself(running: Running) -> None:
    running.hire()
    answers: list[object] = []
    (task,) = jobs(1)
    odd = JobTask(job=task.job, time_limit="soon")  # type: ignore[arg-type]
    cluster.on_cluster([odd], running.address, lambda text: None, lambda place, answer: answers.append(answer))
    assert isinstance(answers[0], TypeError)


@pytest.mark.thorough
def test_workers_of_another_release_are_refused(running: Running, monkeypatch: pytest.MonkeyPatch) -> None:
    running.hire()
    monkeypatch.setattr(cluster, "DECIDE", (*cluster.DECIDE, "pytest"))
    with pytest.raises(ProblemsFound) as refused:
        cluster.on_cluster(jobs(1), running.address, lambda text: None, lambda place, answer: None)
    (problem,) = refused.value.problems
    assert problem.code == "cluster.releases"
    assert "pytest None (here " in problem.found


def test_a_worker_of_another_release_that_joins_later_does_nothing() -> None:
    with pytest.raises(cluster.OtherRelease, match=r"cutplan .* \(here 0\.0\)"):
        cluster._done(jobs(1)[0], {"cutplan": "0.0"})


@pytest.mark.thorough
def test_a_scheduler_with_no_worker(running: Running, monkeypatch: pytest.MonkeyPatch) -> None:
    host, port = running.address.removeprefix("tcp://").split(":")
    for _ in range(600):
        with suppress(OSError), socket.create_connection((host, int(port)), timeout=1):
            break
        time.sleep(0.1)
    monkeypatch.setattr(cluster, "PATIENCE", 5)
    with pytest.raises(ProblemsFound) as refused:
        cluster.on_cluster(jobs(1), running.address, lambda text: None, lambda place, answer: None)
    assert refused.value.problems[0].code == "cluster.worker"


def test_what_differs_is_named() -> None:
    here = {"cutplan": "0.2.0", "numpy": "2.4"}
    assert cluster.difference(here, here) == ""
    assert cluster.difference({"cutplan": "0.1.0"}, here) == "cutplan 0.1.0 (here 0.2.0), numpy None (here 2.4)"


@pytest.mark.thorough
def test_no_scheduler(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cluster, "PATIENCE", 0.2)
    with pytest.raises(ProblemsFound) as refused:
        cluster.on_cluster(jobs(1), f"tcp://{HERE}:9", lambda text: None, lambda place, answer: None)
    assert refused.value.problems[0].code == "cluster.address"


def test_without_the_library(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(ProblemsFound) as refused:
        cluster.on_cluster(jobs(1), f"tcp://{HERE}:9", lambda text: None, lambda place, answer: None)
    assert refused.value.problems[0].code == "cluster.library"
