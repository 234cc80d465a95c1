"""Lists planned on a cluster: the same files, outcomes and faults as in one process."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from cutplan import actions
from cutplan.actions import batch_elsewhere
from cutplan.model import Job
from cutplan.planning import cluster
from tests.dask_processes import Running, running

__all__ = ["running"]

PRICES = "Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,6000,30,each\n"


@pytest.mark.usefixtures("no_paper")
def test_a_list_takes_as_long_wherever_it_stands(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """By a clock that goes on by a second whenever it is looked at, and workers that do one task after another."""

    def here(
        tasks: Sequence[Any], address: str, say: object, answered: Callable[[int, tuple[Any, float]], None]
    ) -> str:
        for place, task in enumerate(tasks):
            answered(place, task.run(None, say))
        return ""

    monkeypatch.chdir(tmp_path)
    Path("prices.csv").write_text(PRICES)
    Path("workshop.toml").write_text('[files]\nprices = "prices.csv"\n')
    for name in "abcd":
        Path(f"{name}.csv").write_text("Mark,Quantity,Section,Length\nA,3,SHS 40x40x3,900\n")
    monkeypatch.setattr(cluster, "on_cluster", here)
    monkeypatch.setattr(batch_elsewhere, "time", SimpleNamespace(monotonic=itertools.count().__next__))
    tasks, _ = actions.lists_of([f"{name}.csv" for name in "abcd"], "out")
    rows, _ = actions.run_on_cluster(tasks, address="nowhere")
    assert [row.outcome for row in rows] == ["planned"] * 4
    # Reading, planning and writing: a second each.
    assert [row.seconds for row in rows] == [3, 3, 3, 3]


@pytest.mark.usefixtures("no_paper")
def test_a_stop_while_lists_are_read_keeps_what_was_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("slip.csv").write_text("Mark,Quantity,Section,Length\nA,3,SHS 40x40x3,9O0\n")
    real = actions.read_job

    def read(parts: Path) -> Job:
        if parts.stem == "gate":
            raise KeyboardInterrupt
        return real(parts)

    monkeypatch.setattr(batch_elsewhere, "read_job", read)
    tasks, _ = actions.lists_of(["slip.csv", "gate.csv", "bench.csv"], "out")
    rows, stopped = actions.run_on_cluster(tasks, address="nowhere")
    assert ([(row.parts.stem, row.outcome) for row in rows], stopped) == (
        [("slip", "at fault"), ("gate", "not done"), ("bench", "not done")],
        True,
    )


@pytest.mark.thorough
def test_files_are_those_of_one_process(running: Running, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("workshop.toml").write_text('[files]\nprices = "prices.csv"\n')
    Path("prices.csv").write_text(PRICES)
    lists = Path("lists")
    lists.mkdir()
    for name, length in {"gate": "900", "bench": "1000", "slip": "12O0", "long": "7000"}.items():
        (lists / f"{name}.csv").write_text(f"Mark,Quantity,Section,Length\nA,3,SHS 40x40x3,{length}\n")
    running.hire()
    there, stopped = actions.run_on_cluster(actions.lists_of([lists], "there")[0], address=running.address)
    here, _ = actions.run_batch(actions.lists_of([lists], "here")[0], processes=0)
    assert not stopped
    assert {row.parts: (row.outcome, row.faults, row.money) for row in there} == {
        row.parts: (row.outcome, row.faults, row.money) for row in here
    }
    written = sorted(path.relative_to("here") for path in Path("here").rglob("*") if path.is_file())
    assert len(written) >= 2 * 4
    for each in written:
        assert (Path("there") / each).read_bytes() == (Path("here") / each).read_bytes(), each
    again, _ = actions.run_on_cluster(actions.lists_of([lists / "gate.csv"], "there")[0], address=running.address)
    assert [row.outcome for row in again] == ["as before"]
