"""No file ends in a trace, an abort, ten seconds or a gigabyte; ``python -m tests.fuzz.run`` tries more of them."""

from __future__ import annotations

import csv
import os
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cutplan import actions
from cutplan.actions import CheckFailed
from cutplan.problems import NoPlan, Problem, ProblemsFound
from cutplan.reading import read_job
from tests.effort import THOROUGH, examples
from tests.first_fit import first_fit_plan
from tests.fuzz import run
from tests.fuzz.kinds import KINDS, Kind, sound_folder
from tests.fuzz.mutations import TOKENS
from tests.input_files import write_xlsx

pytestmark = pytest.mark.skipif(os.name != "posix", reason="cases run in forked processes")


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return sound_folder(tmp_path_factory.mktemp("fuzz") / "sound", first_fit_plan)


@pytest.mark.parametrize("kind", KINDS)
def test_the_file_to_begin_with_is_sound(kind: str, sound: Path) -> None:
    """Else every case would be refused for the same reason."""
    KINDS[kind].read(sound)


def test_a_few_cases_of_every_kind(sound: Path) -> None:
    cases = (4 if THOROUGH else 1) * len(KINDS)
    ended = list(run.batch(range(cases), 20311, sound, ""))
    assert len(ended) == cases
    assert [case for case in ended if case[2] in run.BAD] == []
    assert {name for _, name, _, _ in ended} == set(KINDS)


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


CELLS = st.one_of(
    st.text(max_size=20),
    st.sampled_from([token.decode("utf-8", "replace")[:300] for token in TOKENS]),
    st.sampled_from(["SHS 40x40x3", "1200", "2", "45", "long point", "Yard", "each"]),
    st.from_regex(r"[0-9]{1,4}('|\"|mm| m| 1/4\")?( ?[x@+-] ?[0-9]{1,3}(\.[0-9])?)?", fullmatch=True),
)
HEADINGS = ("Mark", "Quantity", "Section", "Length", "Cut A", "Holes", "Depth", "Spares", "Weld shrinkage", "Note")


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
@given(rows=st.lists(st.lists(CELLS, min_size=len(HEADINGS), max_size=len(HEADINGS)), min_size=1, max_size=4))
@settings(max_examples=examples(25), suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
def test_any_texts_in_a_list(suffix: str, tmp_path: Path, rows: list[list[str]]) -> None:
    path = tmp_path / f"list{suffix}"
    if suffix == ".csv":
        with path.open("w", newline="", encoding="utf-8", errors="replace") as file:
            csv.writer(file).writerows([HEADINGS, *rows])
    else:
        from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

        held = [[ILLEGAL_CHARACTERS_RE.sub("?", cell).lstrip("=") for cell in row] for row in rows]
        write_xlsx(path, Parts=(HEADINGS, *held))
    refused: tuple[Problem, ...] = ()
    try:
        read_job(path, stock=["6 m"])
    except ProblemsFound as found:
        refused = found.problems
    assert all(problem.where and problem.accepted for problem in refused)
