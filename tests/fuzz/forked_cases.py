"""Cases run in forked processes: ``test_fuzz.py`` runs these tests, in a process of their own."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions import CheckFailed
from cutplan.problems import NoPlan
from cutplan.reading import read_job
from tests.effort import THOROUGH
from tests.first_fit import first_fit_plan
from tests.fuzz import run
from tests.fuzz.kinds import KINDS, Kind, sound_folder


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return sound_folder(tmp_path_factory.mktemp("fuzz") / "sound", first_fit_plan)


def test_a_few_cases_of_every_kind(sound: Path) -> None:
    cases = 4 * len(KINDS) if THOROUGH else len(KINDS) // 2
    ended = list(run.batch(range(cases), 20311, sound, ""))
    assert len(ended) == cases
    assert [case for case in ended if case[2] in run.BAD] == []
    assert {name for _, name, _, _ in ended} == set(list(KINDS)[:cases])


def in_any_folder(way: Callable[[], object], folder: Path) -> object:
    return way()


def test_what_goes_wrong_is_seen(sound: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A trace, an abort, an endless sum and too much memory cost the case they are in, and no other."""
    ways: dict[str, Callable[[], object]] = {
        "trace": lambda: dict[str, str]()["x"],
        "abort": os.abort,
        "over 1 GB": lambda: bytes(3 * 10**9),
    }
    ways |= {"over 10 s": lambda: [None for _ in iter(int, 1)], "read": lambda: None}
    kinds = {name: Kind("parts.csv", partial(in_any_folder, way)) for name, way in ways.items()}
    monkeypatch.setattr(run, "KINDS", kinds)
    monkeypatch.setattr(run, "SECONDS", 1)
    ended = list(run.batch(range(5), 1, sound, ""))
    assert [(number, how) for number, _, how, _ in ended] == list(enumerate(ways))
    assert "KeyError" in ended[0][3]


def test_jobs_that_are_read_are_planned_and_printed(sound: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What goes wrong there is seen too, and that no bar holds a part is no fault."""
    job = read_job(sound / "parts.csv", prices=sound / "prices.csv")
    monkeypatch.setattr(run, "PLANNED_SHARE", 1)
    monkeypatch.setattr(run, "KINDS", {"job": Kind("parts.csv", lambda folder: job)})
    assert [how for _, _, how, _ in run.batch(range(1), 1, sound, "")] == ["planned"]
    lengthened = replace(job, parts=tuple(replace(part, quantity=10**9) for part in job.parts))
    monkeypatch.setattr(run, "KINDS", {"job": Kind("parts.csv", lambda folder: lengthened)})
    assert [how for _, _, how, _ in run.batch(range(1), 1, sound, "")] == ["read"]

    def refuse(*_: object, **__: object) -> None:
        raise NoPlan("no bar", code="plan.impossible")

    def fail(*_: object) -> None:
        raise CheckFailed(["too short"])

    monkeypatch.setattr(run, "KINDS", {"job": Kind("parts.csv", lambda folder: job)})
    monkeypatch.setattr(actions, "write_plan", fail)
    assert [how for _, _, how, _ in run.batch(range(1), 1, sound, "")] == ["trace"]
    monkeypatch.setattr(actions, "plan", refuse)
    assert [how for _, _, how, _ in run.batch(range(1), 1, sound, "")] == ["no plan"]
