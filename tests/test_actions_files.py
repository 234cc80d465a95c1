"""The output folder: locks, files replaced together, a failure that leaves it alone."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.model import Job, Plan
from cutplan.problems import ProblemsFound


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
    from cutplan.reports import workbook

    actions.write_plan(small_job, small_plan, folder)
    before = {path.name: path.read_bytes() for path in folder.iterdir()}

    def disk_full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(workbook, "write_workbook", disk_full)
    with pytest.raises(ProblemsFound, match="No space left on device"):
        actions.write_plan(small_job, small_plan, folder)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_a_file_that_cannot_be_replaced_is_one_problem_that_names_the_folder(
    small_job: Job, small_plan: Plan, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from cutplan.reports import workbook

    actions.write_plan(small_job, small_plan, folder)
    before = {path.name: path.read_bytes() for path in folder.iterdir()}

    def refuse(job: Job, plan: Plan, path: Path, mark: str) -> None:
        path.write_bytes(b"half")
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(workbook, "write_workbook", refuse)
    with pytest.raises(ProblemsFound) as caught:
        actions.write_plan(small_job, small_plan, folder)
    (problem,) = caught.value.problems
    assert problem.where == str(folder), "not the temporary file"
    assert problem.found == "a folder that cannot be written (Permission denied)"
    assert "close the workbook" in problem.hint
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before, "nothing half written is left"


@pytest.mark.parametrize("stop", [KeyboardInterrupt, ValueError])
def test_a_stop_half_way_leaves_nothing_of_a_new_folder(
    stop: type[BaseException],
    small_job: Job,
    small_plan: Plan,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from cutplan.reports import workbook

    def stopped(*_: object) -> None:
        raise stop

    monkeypatch.setattr(workbook, "write_workbook", stopped)
    with pytest.raises(stop):
        actions.write_plan(small_job, small_plan, folder)
    assert not folder.parent.exists()


def test_one_run_at_a_time_in_one_folder(small_job: Job, small_plan: Plan, folder: Path) -> None:
    folder.mkdir(parents=True)
    lock = folder / actions.LOCK_FILE
    lock.write_text("process 4711\n")
    with pytest.raises(ProblemsFound) as found:
        actions.write_plan(small_job, small_plan, folder)
    (problem,) = found.value.problems
    assert problem.where == str(folder)
    assert problem.found == "another run writing here (process 4711)"
    assert f"delete {lock}" in problem.hint
    assert lock.read_text() == "process 4711\n", "the lock of another run stays"
    lock.unlink()
    actions.write_plan(small_job, small_plan, folder)
    assert not lock.exists()


def test_the_folder_is_kept_from_before_the_search(
    small_job: Job, small_plan: Plan, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from cutplan import buying

    held: list[str] = []

    def plan_job(job: Job, **_: object) -> Plan:
        held.append((folder / actions.LOCK_FILE).read_text())
        with pytest.raises(ProblemsFound, match="another run writing here"):
            actions.write_plan(small_job, small_plan, folder)
        return small_plan

    monkeypatch.setattr(buying, "plan_job", plan_job)
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
