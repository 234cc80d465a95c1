"""Labels are printed again from a plan file, and what was printed is opened where there is a program for it."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.model import Job, Plan
from cutplan.problems import ProblemsFound
from cutplan.reports import extent
from cutplan.reports.rows import rows_of


def test_labels_are_printed_again_on_other_sheets(small_job: Job, small_plan: Plan, folder: Path) -> None:
    actions.write_plan(small_job, small_plan, folder)
    first = (folder / actions.LABELS).read_bytes()
    printed = actions.print_labels(folder / actions.PLAN_FILE)
    path = printed.path
    assert path == folder / actions.LABELS
    assert printed.count >= sum(part.quantity for part in small_job.parts)
    assert (printed.first, printed.of, printed.following) == (1, printed.count, 0)
    assert path.read_bytes() == first, "the same labels by default"
    actions.print_labels(folder / actions.PLAN_FILE, size="Roll  62 x 29 mm")
    assert path.read_bytes() != first


@pytest.mark.parametrize(
    ("settings", "message"),
    [
        ({"size": "1 x 1"}, '--size: found "1 x 1".\nAccepted: 70 x 37 mm, 63.5 x 38.1 mm'),
        ({"start": 25}, '--start: found "25".\nAccepted: a place on the sheet, 1 to 24.'),
        ({"start": 0}, '--start: found "0".\nAccepted: a place on the sheet, 1 to 24.'),
        ({"size": "4 x 2 in", "start": 11}, "1 to 10"),
        ({"address": "bench:8321"}, "the address of a server, such as https://bench:8321"),
        ({"address": "https://bench/x"}, '--address: found "https://bench/x"'),
        pytest.param({"address": "http://["}, "the address of a server", marks=pytest.mark.thorough),
        ({"address": "https://"}, "the address of a server"),
        ({"first": 0}, '--from: found "0".\nAccepted: a label of the plan, 1 to '),
        pytest.param(
            {"first": 1_000}, '--from: found "1000".\nAccepted: a label of the plan, 1 to ', marks=pytest.mark.thorough
        ),
    ],
)
def test_what_no_sheet_has_is_refused(
    small_job: Job, small_plan: Plan, folder: Path, settings: dict[str, str | int], message: str
) -> None:
    actions.write_plan(small_job, small_plan, folder)
    before = (folder / actions.LABELS).read_bytes()
    with pytest.raises(ProblemsFound) as caught:
        actions.print_labels(folder / actions.PLAN_FILE, **settings)  # type: ignore[arg-type]
    assert message in str(caught.value)
    assert (folder / actions.LABELS).read_bytes() == before


def test_more_labels_than_a_file_holds_are_printed_in_turn(
    small_job: Job, small_plan: Plan, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    actions.write_plan(small_job, small_plan, folder)
    monkeypatch.setattr(extent, "MOST_LABELS", 2)
    seen, first = 0, 1
    while first:
        printed = actions.print_labels(folder / actions.PLAN_FILE, first=first)
        seen += printed.count
        first = printed.following
    assert seen == printed.of == extent.labels_counted(small_plan) > 2


def test_sheets_to_cut_from_are_printed_in_turn(
    small_job: Job, small_plan: Plan, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    actions.write_plan(small_job, small_plan, folder)
    monkeypatch.setattr(extent, "MOST_WAYS", 1)
    ways = rows_of(small_job, small_plan).ways
    assert ways > 1
    for number in range(1, ways + 1):
        printed = actions.print_sheets(folder / actions.PLAN_FILE, first=number)
        assert printed.path == folder / f"cut-{number}.pdf"
        assert (printed.count, printed.of) == (1, ways)
        assert printed.following == (number + 1 if number < ways else 0)
        assert printed.path.read_bytes().startswith(b"%PDF")
    with pytest.raises(ProblemsFound, match=f"a way to cut a bar, 1 to {ways}"):
        actions.print_sheets(folder / actions.PLAN_FILE, first=ways + 1)
    with pytest.raises(ProblemsFound, match=f"a way to cut a bar, 1 to {ways}"):
        actions.print_sheets(folder / actions.PLAN_FILE, first=0)


def test_a_file_that_cannot_be_written_is_named(small_job: Job, small_plan: Plan, folder: Path) -> None:
    actions.write_plan(small_job, small_plan, folder)
    (folder / actions.LABELS).unlink()
    (folder / actions.LABELS).mkdir()
    with pytest.raises(ProblemsFound, match="a file that cannot be written"):
        actions.print_labels(folder / actions.PLAN_FILE)


def test_the_fingerprint_is_that_of_the_plan_file(small_job: Job, small_plan: Plan, folder: Path) -> None:
    actions.write_plan(small_job, small_plan, folder)
    shown = actions.fingerprint(folder / actions.PLAN_FILE)
    assert len(shown) == 8
    assert shown in (folder / actions.PAGE).read_text(encoding="utf-8")
    tool = shutil.which("sha256sum")
    if tool:
        told = subprocess.run([tool, folder / actions.PLAN_FILE], capture_output=True, text=True, check=True).stdout
        assert told.startswith(shown)


def test_a_file_is_opened_by_the_program_of_the_system(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[list[str]] = []
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(shutil, "which", lambda name: f"/bin/{name}")
    monkeypatch.setattr(subprocess, "Popen", lambda command, **_: started.append(command))
    assert actions.open_file(tmp_path / "plan.pdf")
    assert started == [["/bin/xdg-open", str(tmp_path / "plan.pdf")]]
    monkeypatch.setattr(shutil, "which", lambda name: None)
    assert not actions.open_file(tmp_path / "plan.pdf")


def test_labels_of_one_of_several_jobs_have_a_file_of_their_own(folder: Path, tmp_path: Path) -> None:
    for name, count in (("gate", 3), ("Bench", 2)):
        (tmp_path / f"{name}.csv").write_text(f"Mark,Quantity,Section,Length\nA,{count},SHS 40x40x3,900\n")
    (tmp_path / "prices.csv").write_text("Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,6000,30,each\n")
    job = actions.read_job([tmp_path / "gate.csv", tmp_path / "Bench.csv"], prices=tmp_path / "prices.csv")
    actions.plan_into(job, folder)
    printed = actions.print_labels(folder / actions.PLAN_FILE, job="bench")
    assert (printed.path.name, printed.count, printed.of) == ("labels-Bench.pdf", 2, 2)
    with pytest.raises(ProblemsFound) as refused:
        actions.print_labels(folder / actions.PLAN_FILE, job="door")
    assert str(refused.value) == '--job: found "door".\nAccepted: one of the jobs planned together: gate, Bench.'


def test_a_job_planned_alone_is_not_chosen(small_job: Job, small_plan: Plan, folder: Path) -> None:
    actions.write_plan(small_job, small_plan, folder)
    with pytest.raises(ProblemsFound, match="nothing, as one job is planned"):
        actions.print_labels(folder / actions.PLAN_FILE, job="tiny")
