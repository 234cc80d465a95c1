"""The jobs of a folder: lists, plans, and what the ledger knows of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.words.bench_words import Where
from tests.benches import PLAN
from tests.commands import run

pytestmark = pytest.mark.usefixtures("no_paper", "parts_planned")


def test_a_plan_whose_list_is_gone_is_a_job_by_its_folder() -> None:
    Path("frame.csv").unlink()
    (job,) = actions.jobs_of()
    assert (job.key, job.name, job.where, job.parts_list) == ("reports/frame", "frame", Where.PLANNED, None)


def test_a_plan_of_a_rest_is_a_job_beside_its_list() -> None:
    assert run("replan", str(PLAN), "--bent", "2", "--usable", "0").exit_code == 0
    whole, rest = actions.jobs_of()
    assert (whole.where, whole.key) == (Where.RECORDED, "frame.csv")
    assert (rest.where, rest.key) == (Where.PLANNED, "reports/frame/rest-1")
    assert (whole.name, rest.name) == ("frame", "frame, rest 1")


def test_a_plan_file_that_cannot_be_read_leaves_its_list_to_be_planned() -> None:
    PLAN.write_text("{")
    (job,) = actions.jobs_of()
    assert job.where is Where.READY
    assert job.problems


def test_what_a_list_asks_for_is_what_check_says() -> None:
    assert actions.list_found(Path("frame.csv")).startswith("frame: 2 lines, 6 parts, 1 group")
