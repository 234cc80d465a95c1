"""The output folder: locks, files replaced together, a failure that leaves it alone."""

from __future__ import annotations

import contextlib
import os
import random
import shutil
import signal
import subprocess
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions.locking import acquire, release
from cutplan.actions.publishing import EARLIER, NEXT, READY
from cutplan.model import Job, Plan
from cutplan.problems import ProblemsFound

pytestmark = pytest.mark.usefixtures("no_paper")


def test_written_plan_holds_what_was_planned(small_job: Job, small_plan: Plan, folder: Path) -> None:
    files = actions.write_plan(small_job, small_plan, folder)
    assert [file.name for file in files] == ["plan.json", "plan.xlsx", "plan.pdf", "plan.html", "labels.pdf"]
    assert sorted(path.name for path in folder.iterdir()) == [
        "labels.pdf",
        "plan.html",
        "plan.json",
        "plan.pdf",
        "plan.xlsx",
    ]
    assert actions.verify(folder / "plan.json") == ()
    assert actions.verify(str(folder / "plan.json")) == ()


def test_the_same_plan_is_written_twice(small_job: Job, small_plan: Plan, tmp_path: Path) -> None:
    first = actions.write_plan(small_job, small_plan, tmp_path / "one")
    again = actions.plan(small_job)
    second = actions.write_plan(small_job, again, tmp_path / "two")
    for one, other in zip(first, second, strict=True):
        assert one.read_bytes() == other.read_bytes(), one.name


def test_a_failure_half_way_leaves_the_earlier_plan(
    small_job: Job, small_plan: Plan, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from cutplan.reports.workbook import plan_xlsx

    actions.write_plan(small_job, small_plan, folder)
    before = {path.name: path.read_bytes() for path in folder.iterdir()}

    def disk_full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(plan_xlsx, "write_workbook", disk_full)
    with pytest.raises(ProblemsFound, match="No space left on device") as caught:
        actions.write_plan(small_job, small_plan, folder)
    (problem,) = caught.value.problems
    assert problem.accepted == "a disk with room for it"
    assert problem.hint == "make room on that disk, or name a folder on another with --out"
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_a_file_that_cannot_be_replaced_is_one_problem_that_names_the_folder(
    small_job: Job, small_plan: Plan, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from cutplan.reports.workbook import plan_xlsx

    actions.write_plan(small_job, small_plan, folder)
    before = {path.name: path.read_bytes() for path in folder.iterdir()}

    def refuse(job: Job, plan: Plan, path: Path, mark: str) -> None:
        path.write_bytes(b"half")
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(plan_xlsx, "write_workbook", refuse)
    with pytest.raises(ProblemsFound) as caught:
        actions.write_plan(small_job, small_plan, folder)
    (problem,) = caught.value.problems
    assert problem.where == str(folder), "not the temporary file"
    assert problem.found == "a folder that cannot be written (Permission denied)"
    assert "close the workbook" in problem.hint
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before, "nothing half written is left"


def test_a_folder_whose_name_a_file_has_is_hinted_at_neither_room_nor_workbooks(
    small_job: Job, small_plan: Plan, folder: Path
) -> None:
    folder.parent.mkdir()
    folder.write_text("mine")
    with pytest.raises(ProblemsFound) as caught:
        actions.write_plan(small_job, small_plan, folder)
    assert [problem.hint for problem in caught.value.problems] == ["name another folder with --out"]


@pytest.mark.parametrize("stop", [KeyboardInterrupt, ValueError])
def test_a_stop_half_way_leaves_nothing_of_a_new_folder(
    stop: type[BaseException],
    small_job: Job,
    small_plan: Plan,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from cutplan.reports.workbook import plan_xlsx

    def stopped(*_: object) -> None:
        raise stop

    monkeypatch.setattr(plan_xlsx, "write_workbook", stopped)
    with pytest.raises(stop):
        actions.write_plan(small_job, small_plan, folder)
    assert not folder.parent.exists()


def test_one_run_at_a_time_in_one_folder(small_job: Job, small_plan: Plan, folder: Path) -> None:
    folder.mkdir(parents=True)
    lock = folder / actions.LOCK_FILE
    handle = acquire(lock)
    with pytest.raises(ProblemsFound) as found:
        actions.write_plan(small_job, small_plan, folder)
    (problem,) = found.value.problems
    assert problem.where == str(folder)
    assert problem.found == f"another run writing here (process {os.getpid()})"
    assert lock.read_text() == f"process {os.getpid()}\n", "the lock of another run stays"
    release(lock, handle)
    actions.write_plan(small_job, small_plan, folder)
    assert not lock.exists()


def test_what_a_run_left_that_was_killed_is_in_nobodys_way(small_job: Job, small_plan: Plan, folder: Path) -> None:
    (folder / NEXT).mkdir(parents=True)
    (folder / NEXT / "plan.json").write_text("half")
    (folder / actions.LOCK_FILE).write_text("process 4711\n")
    files = actions.write_plan(small_job, small_plan, folder)
    assert sorted(path.name for path in folder.iterdir()) == sorted(path.name for path in files)


@pytest.mark.usefixtures("paper")
def test_a_plan_killed_on_its_way_is_put_in_place_by_who_reads_it(
    small_job: Job, small_plan: Plan, folder: Path, tmp_path: Path
) -> None:
    """The new plan and its sheets, all but two of them still under way, beside the old ones."""
    actions.write_plan(small_job, small_plan, folder)
    old = {path.name: path.read_bytes() for path in folder.iterdir()}
    renamed = replace(small_job, name="renamed")
    files = actions.write_plan(renamed, replace(small_plan, job_name="renamed"), tmp_path / "new")
    new = {path.name: path.read_bytes() for path in files}
    (folder / READY / EARLIER).mkdir(parents=True)
    for name, content in new.items():
        (folder / name if name in ("labels.pdf", "plan.html") else folder / READY / name).write_bytes(content)
    assert (folder / "plan.json").read_bytes() == old["plan.json"]
    assert actions.verify(folder / "plan.json") == ()
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == new
    mark = actions.fingerprint(folder / "plan.json")
    assert mark in (folder / "plan.html").read_text(encoding="utf-8")


def test_a_plan_on_its_way_is_not_read(small_job: Job, small_plan: Plan, folder: Path) -> None:
    actions.write_plan(small_job, small_plan, folder)
    (folder / READY).mkdir()
    handle = acquire(folder / actions.LOCK_FILE)
    with pytest.raises(ProblemsFound, match="another run writing here"):
        actions.verify(folder / "plan.json")
    release(folder / actions.LOCK_FILE, handle)
    assert actions.verify(folder / "plan.json") == ()


@pytest.mark.parametrize("name", [NEXT, READY])
def test_a_file_in_the_place_of_what_is_under_way(name: str, small_job: Job, small_plan: Plan, folder: Path) -> None:
    folder.mkdir(parents=True)
    (folder / name).write_text("mine")
    with pytest.raises(ProblemsFound, match="a folder that cannot be written"):
        actions.write_plan(small_job, small_plan, folder)
    assert {path.name: path.read_text() for path in folder.iterdir()} == {name: "mine"}


def test_the_folder_is_kept_from_before_the_search(
    small_job: Job, small_plan: Plan, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from cutplan import planning

    held: list[str] = []

    def plan_job(job: Job, **_: object) -> Plan:
        held.append((folder / actions.LOCK_FILE).read_text())
        with pytest.raises(ProblemsFound, match="another run writing here"):
            actions.write_plan(small_job, small_plan, folder)
        return small_plan

    monkeypatch.setattr(planning, "plan_job", plan_job)
    answer, files = actions.plan_into(small_job, folder)
    assert answer == small_plan
    assert held == [f"process {os.getpid()}\n"]
    assert sorted(file.name for file in files) == sorted(path.name for path in folder.iterdir())


@pytest.mark.parametrize("owner", [".~lock.plan.xlsx#", "~$plan.xlsx"])
def test_a_workbook_that_is_open_is_not_replaced(owner: str, small_job: Job, small_plan: Plan, folder: Path) -> None:
    actions.write_plan(small_job, small_plan, folder)
    (folder / owner).write_text("someone")
    before = (folder / "plan.xlsx").read_bytes()
    with pytest.raises(ProblemsFound, match="a workbook that is open in a spreadsheet program"):
        actions.write_plan(small_job, small_plan, folder)
    assert (folder / "plan.xlsx").read_bytes() == before
    assert not (folder / actions.LOCK_FILE).exists()


@pytest.mark.parametrize("file", ["out", "out/job"])
def test_a_file_where_the_folder_should_be(file: str, small_job: Job, small_plan: Plan, folder: Path) -> None:
    in_the_way = folder.parent.parent / file
    in_the_way.parent.mkdir(exist_ok=True)
    in_the_way.write_text("not a folder")
    with pytest.raises(ProblemsFound, match="cannot be written"):
        actions.write_plan(small_job, small_plan, folder)
    assert in_the_way.read_text() == "not a folder"


@pytest.mark.parametrize("stop", [PermissionError(13, "Permission denied"), KeyboardInterrupt()])
@pytest.mark.parametrize("earlier", [True, False])
def test_both_files_are_replaced_or_none(
    earlier: bool,
    stop: BaseException,
    small_job: Job,
    small_plan: Plan,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The second of the two cannot take its place: the first goes back to what it was."""
    folder.mkdir(parents=True)
    if earlier:
        for name in (actions.PLAN_FILE, actions.WORKBOOK):
            (folder / name).write_text("earlier")
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    real = os.replace
    placed: list[str] = []

    def second_fails(source: Path, target: Path) -> None:
        if Path(target).parent == folder and Path(target).name in (actions.PLAN_FILE, actions.WORKBOOK):
            placed.append(Path(target).name)
            if len(placed) == 2:
                raise stop
        real(source, target)

    monkeypatch.setattr(os, "replace", second_fails)
    with pytest.raises((ProblemsFound, KeyboardInterrupt)):
        actions.write_plan(small_job, small_plan, folder)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_a_folder_in_the_place_of_the_workbook(small_job: Job, small_plan: Plan, folder: Path) -> None:
    (folder / actions.WORKBOOK).mkdir(parents=True)
    (folder / actions.PLAN_FILE).write_text("earlier")
    with pytest.raises(ProblemsFound, match="Is a directory"):
        actions.write_plan(small_job, small_plan, folder)
    assert (folder / actions.PLAN_FILE).read_text() == "earlier"
    assert sorted(path.name for path in folder.iterdir()) == [actions.PLAN_FILE, actions.WORKBOOK]


def test_a_file_in_the_place_of_the_folder(small_job: Job, small_plan: Plan, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("earlier")
    with pytest.raises(ProblemsFound, match=r"cannot be written \(a file has that name\)"):
        actions.write_plan(small_job, small_plan, tmp_path / "list.csv")
    assert (tmp_path / "list.csv").read_text() == "earlier"


def test_a_folder_with_too_long_a_name(small_job: Job, small_plan: Plan, folder: Path) -> None:
    with pytest.raises(ProblemsFound, match="a folder that cannot be written"):
        actions.write_plan(small_job, small_plan, folder / ("x" * 300))
    assert not folder.exists()


def test_a_folder_with_a_name_no_system_has(small_job: Job, small_plan: Plan) -> None:
    with pytest.raises(ProblemsFound, match="a folder that cannot be written"):
        actions.write_plan(small_job, small_plan, "a\0b")


def killed_at_random(times: int, job: Job, plan: Plan, folder: Path) -> set[str]:
    """One plan after the other is written over the one before; the writer is killed. Which of the two was left?"""
    plans = {name: (replace(job, name=name), replace(plan, job_name=name)) for name in ("first", "other")}
    whole = {}
    for name, each in plans.items():
        begun = time.perf_counter()
        actions.write_plan(*each, folder)
        lasts = time.perf_counter() - begun
        whole[name] = {path.name: path.read_bytes() for path in folder.iterdir()}
    chance, there, seen = random.Random(times), "other", set()
    for _ in range(times):
        coming = "first" if there == "other" else "other"
        child = os.fork()
        if child == 0:
            try:
                actions.write_plan(*plans[coming], folder)
            finally:
                os._exit(0)
        time.sleep(chance.uniform(0, 2 * lasts))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        assert actions.verify(folder / "plan.json") == ()
        actions.print_labels(folder / "plan.json")
        left = {path.name: path.read_bytes() for path in folder.iterdir()}
        assert left in (whole[there], whole[coming])
        seen.add("before" if left == whole[there] else "after")
        there = there if left == whole[there] else coming
    return seen


@pytest.mark.thorough
@pytest.mark.skipif(not hasattr(os, "fork"), reason="kills forked processes")
def test_killed_while_it_writes(small_job: Job, small_plan: Plan, folder: Path) -> None:
    assert "before" in killed_at_random(6, small_job, small_plan, folder)


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "fork"), reason="kills forked processes")
def test_killed_two_hundred_times(small_job: Job, small_plan: Plan, folder: Path) -> None:
    assert "before" in killed_at_random(200, small_job, small_plan, folder)  # how many come after it, the load decides


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of 64 KB; skipped where none can be mounted."""
    place = tmp_path / "disk"
    place.mkdir()
    words = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(place)]
    if shutil.which("mount") is None or subprocess.run(words, check=False, capture_output=True).returncode:
        pytest.skip("no file system can be mounted here")
    yield place
    subprocess.run(["umount", str(place)], check=True)


@pytest.mark.usefixtures("paper")
@pytest.mark.parametrize("free", [0, 1, 4096, 40_000])
def test_a_disk_that_is_full(free: int, small_job: Job, small_plan: Plan, small_disk: Path) -> None:
    """The plan needs more than there is: one problem that says so, and the folder is as it was."""
    (small_disk / "mine").write_bytes(bytes(65_536 - free))
    with pytest.raises(ProblemsFound, match="No space left on device"):
        actions.write_plan(small_job, small_plan, small_disk / "out")
    assert [path.name for path in small_disk.iterdir()] == ["mine"]


@pytest.mark.usefixtures("paper")
def test_a_disk_with_no_byte_left_keeps_the_plan_that_is_there(
    small_job: Job, small_plan: Plan, small_disk: Path, tmp_path: Path
) -> None:
    (made, *_) = actions.write_plan(small_job, small_plan, tmp_path / "made")
    (small_disk / "plan.json").write_bytes(made.read_bytes())
    with contextlib.suppress(OSError), (small_disk / "mine").open("wb", buffering=0) as file:
        while True:
            file.write(bytes(512))
    assert actions.verify(small_disk / "plan.json") == ()
    with pytest.raises(ProblemsFound, match="No space left on device"):
        actions.print_labels(small_disk / "plan.json")
    with pytest.raises(ProblemsFound, match="No space left on device"):
        actions.write_plan(small_job, small_plan, small_disk)
    assert (small_disk / "plan.json").read_bytes() == made.read_bytes()
    assert sorted(path.name for path in small_disk.iterdir()) == ["mine", "plan.json"]
