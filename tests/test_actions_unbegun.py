"""Jobs that are a plan file alone: planned, told from the file, and nothing is written of them."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions.jobs import job_list, job_show
from cutplan.problems import ProblemsFound
from cutplan.rack.stages import Stage
from cutplan.units import parse_money
from tests.commands import document, run

pytestmark = pytest.mark.usefixtures("no_paper")

PLAN = Path("reports/frame/plan.json")


@pytest.fixture
def rack(parts: str) -> actions.Rack:
    rack = actions.find_rack(near=parts, who="Ines")
    actions.plan_into(actions.read_job(parts), "reports/frame", rack=rack)
    return rack


def listed(rack: actions.Rack) -> list[tuple[str, int, Stage]]:
    return [(story.name, story.number, story.stage) for story, _ in job_list(rack)]


def test_a_plan_alone_is_planned_and_begins_no_ledger(rack: actions.Rack) -> None:
    assert listed(rack) == [("frame", 1, Stage.PLANNED)]
    for target in ("", "frame", "frame#1"):
        shown = job_show(rack, target)
        assert (shown.story.stage, shown.plan_file, shown.money.to_pay) == (Stage.PLANNED, PLAN, parse_money("55.20"))
        assert [bar for bar, _ in shown.to_come] == [1, 2]
    assert document(run("job", "list", "--json"))["jobs"] == [
        {"job": "frame", "number": 1, "stage": "planned", "since": "", "plans": 1, "so_far": "0.00"}
    ]
    assert run("job", "list").stdout.startswith("frame  planned")
    assert not rack.path.exists()


def test_told_from_the_folder_of_the_ledger_too(rack: actions.Rack, monkeypatch: pytest.MonkeyPatch) -> None:
    Path("drawings").mkdir()
    near = actions.find_rack(ledger=rack.path.resolve())
    monkeypatch.chdir("drawings")
    assert listed(near) == [("frame", 1, Stage.PLANNED)]
    assert job_show(near, "frame").to_come


def test_what_was_begun_is_told_once(rack: actions.Rack) -> None:
    actions.receive(PLAN, rack)
    assert listed(rack) == [("frame", 1, Stage.RECEIVED)]
    actions.undo(rack)
    assert listed(rack) == [("frame", 1, Stage.PLANNED)]


def test_planned_again_it_is_the_same_job_until_that_is_recorded(rack: actions.Rack) -> None:
    """A plan in the place of one that was ordered takes its place; after the record it is a new job."""
    actions.job_ordered(PLAN, rack)
    first = Path("first")
    shutil.copytree(PLAN.parent, first)
    Path("frame.csv").write_text(Path("frame.csv").read_text() + "D,1,SHS 40x40x3,900\n")
    actions.plan_into(actions.read_job("frame.csv"), "reports/frame", rack=rack)
    assert listed(rack) == [("frame", 1, Stage.ORDERED)]
    actions.record(first / "plan.json", rack)
    assert listed(rack) == [("frame", 1, Stage.RECORDED), ("frame", 2, Stage.PLANNED)]
    assert job_show(rack, "frame").story.number == 2
    assert job_show(rack, "frame#1").story.stage is Stage.RECORDED


def test_one_that_was_begun_is_meant_before_one_that_is_planned(rack: actions.Rack) -> None:
    shutil.copy("frame.csv", "gate.csv")
    actions.plan_into(actions.read_job("gate.csv"), "reports/gate", rack=rack)
    with pytest.raises(ProblemsFound, match=r"found 2 jobs.\n.* frame#1 \(planned\), gate#1 \(planned\)"):
        job_show(rack)
    actions.job_ordered("reports/gate/plan.json", rack)
    assert job_show(rack).story.name == "gate"


def test_plans_of_another_rack_and_what_is_no_plan(rack: actions.Rack) -> None:
    Path("reports/frame/rack.txt").write_text("../../other.ledger\n")
    for name, text in (("broken", "{"), ("old", '{"schema_version": 1}')):
        (Path("reports") / name).mkdir()
        (Path("reports") / name / "plan.json").write_text(text)
        (Path("reports") / name / "rack.txt").write_text("../../rack.ledger\n")
    with pytest.raises(ProblemsFound, match="found no ledger"):
        job_list(rack)
    with pytest.raises(ProblemsFound, match="found no ledger"):
        job_show(rack, "frame")
