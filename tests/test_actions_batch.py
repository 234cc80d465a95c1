"""Many lists: each as ``plan`` plans it, faults stay with their list, done work is known again, lost work is redone."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from cutplan import actions
from cutplan.actions import batch, planning
from cutplan.actions.batch import lists_of, plan_many, run_batch, wanted_twice, write_batch
from cutplan.actions.rack_found import Rack
from cutplan.model import Job, Plan
from cutplan.problems import NoPlan, ProblemsFound
from cutplan.words.batch_words import Row
from tests import builders
from tests.effort import some

pytestmark = pytest.mark.usefixtures("no_paper")

PARTS = "Mark,Quantity,Section,Length\nA,{count},SHS 40x40x3,{length}\n"
PRICES = "Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,6000,30,each\n"


@pytest.fixture
def jobs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    folder = tmp_path / "jobs"
    (folder / "gate").mkdir(parents=True)
    (folder / "workshop.toml").write_text('[files]\nprices = "prices.csv"\nrack = "rack.csv"\n')
    (folder / "prices.csv").write_text(PRICES)
    (folder / "rack.csv").write_text("Mark,Section,Length\nR1,SHS 40x40x3,2100\n")
    (folder / "bench.csv").write_text(PARTS.format(count=2, length=1000))
    (folder / "gate/frame.csv").write_text(PARTS.format(count=2, length=900))
    (folder / "slip.csv").write_text(PARTS.format(count=3, length="12O0"))
    (folder / "long.csv").write_text(PARTS.format(count=1, length=7000))
    return folder


def outcomes(rows: tuple[Row, ...]) -> dict[str, str]:
    return {row.parts.stem: row.outcome for row in rows}


def test_each_list_as_plan_does(jobs: Path) -> None:
    tasks, others = lists_of([jobs], "out")
    assert [path.name for path in others] == ["prices.csv", "rack.csv"]
    rows, stopped = run_batch(tasks, processes=0)
    assert not stopped
    assert outcomes(rows) == {"bench": "planned", "frame": "planned", "long": "at fault", "slip": "at fault"}
    for row in rows:
        if row.has_plan:
            alone, _ = actions.plan_into(actions.read_job(row.parts), Path("alone") / row.parts.stem)
            assert (Path("alone") / row.parts.stem / "plan.json").read_bytes() == (
                row.folder / "plan.json"
            ).read_bytes()
            assert (row.proof, row.pieces) == (alone.status.value, 2)
            assert row.money == 0  # the piece on the rack gives both parts
    assert Path("out/gate/frame/plan.pdf").exists()
    assert wanted_twice(rows) == [("R1", (jobs / "bench.csv", jobs / "gate/frame.csv"))]
    (slip,) = [row for row in rows if row.parts.stem == "slip"]
    assert 'column D "Length": found "12O0"' in slip.faults[0]


def test_it_goes_on_where_it_stopped(jobs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tasks, _ = lists_of([jobs / "bench.csv", jobs / "gate/frame.csv"], "out")
    real = planning.plan_into
    calls: list[Path] = []

    def one_only(job: object, folder: Path, **how: object) -> object:
        if calls:
            raise KeyboardInterrupt
        calls.append(folder)
        return real(job, folder, **how)  # type: ignore[arg-type]

    monkeypatch.setattr(batch, "plan_into", one_only)
    rows, stopped = run_batch(tasks, processes=0)
    assert (outcomes(rows), stopped) == ({"bench": "planned", "frame": "not done"}, True)
    assert "frame.csv: not done\nPlans for 1 of 2 lists" in actions.batch_text(rows, of=2, stopped=True)
    monkeypatch.setattr(batch, "plan_into", real)
    rows, stopped = run_batch(tasks, processes=0)
    assert (outcomes(rows), stopped) == ({"bench": "as before", "frame": "planned"}, False)


def test_a_search_that_is_stopped_with_a_plan_is_the_last(jobs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C in a search ends that with the best plan so far, and raises nothing."""
    real = planning.plan_into

    def stopped(job: Job, folder: Path, **how: Any) -> tuple[Plan, tuple[Path, ...]]:
        answer, files = real(job, folder, **how)
        return replace(answer, stopped_by="user"), files

    monkeypatch.setattr(batch, "plan_into", stopped)
    rows, ended = run_batch(lists_of([jobs / "bench.csv", jobs / "gate/frame.csv"], "out")[0], processes=0)
    assert (outcomes(rows), ended) == ({"bench": "planned", "frame": "not done"}, True)


def test_lists_that_differ_in_their_ending_have_a_folder_each(jobs: Path) -> None:
    (jobs / "bench.xlsx").write_bytes(b"no workbook")
    (jobs / "gate/bench.csv").write_text(PARTS.format(count=2, length=700))
    tasks, _ = lists_of([jobs], "out")
    folders = {task.parts.relative_to(jobs).as_posix(): task.folder.as_posix() for task in tasks}
    assert folders["bench.csv"] == "out/bench.csv"
    assert folders["bench.xlsx"] == "out/bench.xlsx"
    assert folders["gate/bench.csv"] == "out/gate/bench"
    rows, _ = run_batch(tasks, processes=0)
    assert {row.folder.as_posix() for row in rows if row.has_plan} == {
        "out/bench.csv",
        "out/gate/bench",
        "out/gate/frame",
    }


@pytest.mark.parametrize(
    ("file", "text"),
    [
        ("bench.csv", PARTS.format(count=4, length=1000)),
        ("prices.csv", PRICES.replace("30,each", "31,each")),
        ("workshop.toml", '[files]\nprices = "prices.csv"\n[saw]\nkerf = 4\n'),
    ],
)
def test_what_changed_is_planned_again(jobs: Path, file: str, text: str) -> None:
    tasks, _ = lists_of([jobs / "bench.csv"], "out")
    run_batch(tasks, processes=0)
    (jobs / file).write_text(text)
    rows, _ = run_batch(tasks, processes=0)
    assert outcomes(rows) == {"bench": "planned"}


@pytest.mark.parametrize("harm", some(["broken", "changed by hand", "stopped early"], "changed by hand"))
def test_a_plan_that_cannot_be_kept_is_made_anew(jobs: Path, harm: str) -> None:
    tasks, _ = lists_of([jobs / "bench.csv"], "out")
    run_batch(tasks, processes=0)
    plan_file = Path("out/bench/plan.json")
    text = plan_file.read_text()
    plan_file.write_text({"broken": text[:90], "changed by hand": text.replace('"A"', '"B"')}.get(harm, text))
    if harm == "stopped early":
        from cutplan import planfile

        job, answer = actions.checked.read_plan(plan_file)
        planfile.write(job, replace(answer, stopped_by="user"), plan_file)
    rows, _ = run_batch(tasks, processes=0)
    assert outcomes(rows) == {"bench": "planned"}


@pytest.mark.parametrize("file", ["plan.json", "plan.pdf", "plan.xlsx", "plan.html", "labels.pdf"])
def test_a_plan_of_which_a_file_is_gone_is_made_anew(jobs: Path, file: str) -> None:
    tasks, _ = lists_of([jobs / "bench.csv"], "out")
    run_batch(tasks, processes=0)
    assert outcomes(run_batch(tasks, processes=0)[0]) == {"bench": "as before"}
    Path("out/bench", file).unlink()
    assert outcomes(run_batch(tasks, processes=0)[0]) == {"bench": "planned"}
    assert Path("out/bench", file).exists()


def with_ledger(jobs: Path) -> Rack:
    """The rack of these lists in a ledger, with the piece of their rack file."""
    (jobs / "workshop.toml").write_text('[files]\nprices = "prices.csv"\nledger = "rack.db"\n')
    rack = actions.find_rack(near=jobs / "bench.csv")
    actions.rack_add(rack, "SHS 40x40x3", "2100 mm")
    return rack


def test_a_plan_that_is_being_worked_by_is_left_as_it_is(jobs: Path) -> None:
    """Recorded, it has changed the rack itself, and the same list on the rack as it is now is another job."""
    rack = with_ledger(jobs)
    tasks, _ = lists_of([jobs / "bench.csv", jobs / "gate/frame.csv"], "out")
    run_batch(tasks, processes=0)
    actions.record(Path("out/bench/plan.json"), rack)
    before = Path("out/bench/plan.json").read_bytes()
    rows, _ = run_batch(tasks, processes=0)
    assert outcomes(rows) == {"bench": "recorded", "frame": "planned"}
    assert Path("out/bench/plan.json").read_bytes() == before
    assert (rows[0].has_plan, rows[0].faults, rows[0].pieces) == (True, (), 2)
    (jobs / "bench.csv").write_text(PARTS.format(count=4, length=1000))
    (row,), _ = run_batch(tasks[:1], processes=0)
    assert (row.outcome, row.pieces) == ("recorded", 2)
    assert "the list is not as it was planned" in actions.batch_text([row], of=1, stopped=False)
    actions.undo(rack)
    assert outcomes(run_batch(tasks[:1], processes=0)[0]) == {"bench": "planned"}


def test_an_order_keeps_its_plan(jobs: Path) -> None:
    rack = with_ledger(jobs)
    (jobs / "gate/frame.csv").write_text(PARTS.format(count=3, length=2900))
    tasks, _ = lists_of([jobs / "gate/frame.csv"], "out")
    run_batch(tasks, processes=0)
    actions.job_ordered(Path("out/frame/plan.json"), rack)
    (jobs / "prices.csv").write_text(PRICES.replace("30,each", "31,each"))
    (row,), _ = run_batch(tasks, processes=0)
    assert (row.outcome, row.money) == ("ordered", 60_000_000)


@pytest.mark.thorough
def test_two_processes_write_what_one_writes(jobs: Path) -> None:
    tasks, _ = lists_of([jobs], "two")
    rows, stopped = run_batch(tasks, processes=2)
    assert not stopped
    alone, _ = run_batch(lists_of([jobs], "one")[0], processes=0)
    assert outcomes(rows) == outcomes(alone)
    for name in ("bench", "gate/frame"):
        files = sorted(path.name for path in (Path("one") / name).iterdir())
        assert files == sorted(path.name for path in (Path("two") / name).iterdir())
        for file in files:
            assert (Path("one") / name / file).read_bytes() == (Path("two") / name / file).read_bytes(), file


class Dies(batch.ListTask):
    """A list whose process is killed the first time, as a system short of memory does."""

    def run(self, clock: object, say: object) -> Row:
        trace = self.folder.with_suffix(".begun")
        if not trace.exists():
            trace.parent.mkdir(parents=True, exist_ok=True)
            trace.touch()
            os.kill(os.getpid(), 9)
        return super().run(clock, say)  # type: ignore[arg-type]


class AlwaysDies(batch.ListTask):
    """A list whose process is killed whenever it is begun."""

    def run(self, clock: object, say: object) -> Row:
        os.kill(os.getpid(), 9)
        raise AssertionError


@pytest.mark.thorough
def test_a_killed_process_changes_nothing(jobs: Path) -> None:
    (sound,) = lists_of([jobs / "bench.csv"], "out")[0]
    once = Dies(parts=jobs / "gate/frame.csv", folder=Path("out/frame"), time_limit=60)
    always = AlwaysDies(parts=jobs / "long.csv", folder=Path("out/long"), time_limit=60)
    rows, _ = run_batch([sound, once, always], processes=1)
    assert outcomes(rows)["long"] == "lost"
    rows, _ = run_batch([sound, once], processes=1)
    assert set(outcomes(rows).values()) <= {"planned", "as before"}
    actions.plan_into(actions.read_job(jobs / "gate/frame.csv"), Path("alone"))
    assert Path("alone/plan.json").read_bytes() == Path("out/frame/plan.json").read_bytes()


@pytest.mark.parametrize(
    ("places", "found"),
    [
        (["empty"], "a folder with no parts list in it"),
        (["jobs/bench.csv", "jobs/bench.csv"], "^out/bench: found the place of 2 plans"),
    ],
)
def test_what_is_refused_before_anything_is_planned(jobs: Path, places: list[str], found: str) -> None:
    Path("empty").mkdir()
    with pytest.raises(ProblemsFound, match=found):
        lists_of(places, "out")


def test_a_file_that_is_not_there_is_a_fault_of_its_own(jobs: Path) -> None:
    rows, _ = run_batch(lists_of([jobs / "none.csv", jobs / "bench.csv"], "out")[0], processes=0)
    assert outcomes(rows) == {"none": "at fault", "bench": "planned"}


@pytest.mark.parametrize("name", ["table.txt", "folder/."])
def test_a_table_that_cannot_be_written(tmp_path: Path, name: str) -> None:
    with pytest.raises(ProblemsFound):
        write_batch([], tmp_path / name)


@pytest.mark.thorough
def test_many_jobs_from_a_program() -> None:
    offers = [builders.offer("P1", 6000, 30)]
    jobs = [builders.job([builders.part("A", count, 1900)], offers) for count in (3, 4, 7)]
    jobs.append(builders.job([builders.part("A", 1, 6100)], offers))
    here = plan_many(jobs, processes=0)
    for job, answer in zip(jobs[:3], here, strict=False):
        assert answer == actions.plan(job)
    assert isinstance(here[3], NoPlan)
    there = plan_many(jobs, processes=2)
    assert there[:3] == here[:3]
    assert str(there[3]) == str(here[3])


@pytest.mark.parametrize("fault", [actions.CheckFailed(["bar 1 is too long"]), RuntimeError("odd")])
def test_a_fault_of_the_program_is_told_as_one(fault: Exception, jobs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The list is sound and a plan may well be possible: neither the list nor its parts are to blame."""

    def fails(*_: object, **__: object) -> None:
        raise fault

    monkeypatch.setattr(batch, "plan_into", fails)
    (row,), _ = run_batch(lists_of([jobs / "bench.csv"], "out")[0], processes=0)
    assert row.outcome == "failed"
    assert "fault in cutplan, not in the " in row.faults[0]
    assert str(fault) in row.faults[0]
    assert "bench.csv: failed: " in actions.batch_text([row], of=1, stopped=False)
