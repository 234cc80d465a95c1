"""A batch on a real scheduler with workers of its own, on this machine: what one process makes, whatever is lost."""

from __future__ import annotations

import signal
import socket
import sys
import time
from contextlib import suppress

import pytest

from cutplan.actions.batch import JobTask
from cutplan.model import Plan
from cutplan.planning import cluster
from cutplan.problems import NoPlan, ProblemsFound
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
