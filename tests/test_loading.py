"""The load list of a plan file."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.model import Plan
from cutplan.problems import ProblemsFound
from tests import builders
from tests.commands import document, run

pytestmark = pytest.mark.usefixtures("no_paper")


def test_it_is_printed_beside_the_plan(parts_planned: Plan) -> None:
    shown = run("load", "reports/frame/plan.json")
    assert shown.exit_code == 0, shown.output
    assert shown.stdout.startswith("To fetch from Yard\n")
    assert Path("reports/frame/load.pdf").read_bytes().startswith(b"%PDF")
    assert document(run("load", "reports/frame/plan.json", "--json"))["loads"][0]["payload_kg"] is None
    with pytest.raises(ProblemsFound):
        actions.load_list("none.json")


def test_nothing_is_written_where_nothing_is_fetched(tmp_path: Path) -> None:
    job = builders.job([builders.part("A", 1, 900)], [], [builders.offcut("R1", 1000)])
    actions.write_plan(job, actions.plan(job), tmp_path)
    assert actions.load_list(tmp_path / "plan.json").path is None
    assert not (tmp_path / "load.pdf").exists()
