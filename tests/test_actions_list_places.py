"""Folders stand for the parts lists in them, wherever several lists are asked for."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan.actions.list_places import lists_in
from cutplan.problems import ProblemsFound

PARTS = "Qty,Section,Length\n2,SHS 40x40x3,700\n"


@pytest.fixture
def jobs(tmp_path: Path) -> Path:
    for name in ("jobs/b.csv", "jobs/gate/a.csv", "alone.csv"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(PARTS)
    (tmp_path / "jobs/phones.csv").write_text("Name,Phone\nA,1\n")
    (tmp_path / "empty").mkdir()
    return tmp_path


def test_a_folder_stands_for_its_parts_lists(jobs: Path) -> None:
    lists, others = lists_in([jobs / "alone.csv", jobs / "jobs"])
    assert [(each.relative_to(jobs).as_posix(), between.as_posix()) for each, between in lists] == [
        ("alone.csv", "."),
        ("jobs/b.csv", "."),
        ("jobs/gate/a.csv", "gate"),
    ]
    assert [each.name for each in others] == ["phones.csv"]


def test_a_list_that_is_not_there_is_left_to_whoever_reads_it(jobs: Path) -> None:
    (lists, _) = lists_in([jobs / "none.csv"])
    assert lists == ((jobs / "none.csv", Path()),)


def test_every_folder_without_a_list_is_named(jobs: Path) -> None:
    (jobs / "also").mkdir()
    with pytest.raises(ProblemsFound) as found:
        lists_in([jobs / "empty", jobs / "jobs", jobs / "also"])
    assert [problem.where for problem in found.value.problems] == [str(jobs / "empty"), str(jobs / "also")]
