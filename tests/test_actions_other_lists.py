"""A folder that holds the plan of another list: told, and refused once something was done by that plan."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions.jobs import job_show
from cutplan.problems import ProblemsFound
from tests.commands import document, run

pytestmark = pytest.mark.usefixtures("no_paper", "parts_planned")

FOLDER = Path("reports/frame")
PLAN = FOLDER / "plan.json"


@pytest.fixture
def other() -> str:
    """A list of the same name with another ending, which is planned into the same folder, and is another list."""
    actions.convert("frame.csv", "frame.xlsx")
    return "frame.xlsx"


def test_a_plan_of_another_list_is_told_to_be_replaced(other: str) -> None:
    gone = actions.plan_replaced(actions.read_job(other), FOLDER)
    assert gone is not None
    assert (gone.code, gone.where) == ("plan.replaced", "reports/frame")
    assert gone.found == "a plan of frame.csv, whose place this plan of frame.xlsx took"
    assert "--out" in gone.hint
    result = run("plan", other)
    assert result.exit_code == 0, result.output
    assert f"To look at: 1 warning\n  {str(gone).splitlines()[0]}\n" in result.stderr
    assert "whose place" not in run("plan", other).stderr, "it is a plan of this list by now"


def test_json_stays_the_plan_file_where_one_is_replaced(other: str) -> None:
    result = run("plan", other, "--json")
    assert document(result)["job"]["warnings"] == []
    assert "a plan of frame.csv" in result.stderr


def test_where_there_is_no_plan_the_one_of_the_other_list_stays() -> None:
    before = PLAN.read_bytes()
    Path("gate.csv").write_text("Mark,Quantity,Section,Length\nG,1,SHS 40x40x3,5995\n", encoding="utf-8")
    result = run("plan", "gate.csv", "--out", str(FOLDER))
    assert result.exit_code != 0
    assert "whose place" not in result.stderr
    assert PLAN.read_bytes() == before


def test_the_same_list_changed_or_under_another_name_is_no_other() -> None:
    shutil.copy("frame.csv", "copy.csv")
    assert actions.plan_replaced(actions.read_job("copy.csv"), FOLDER) is None
    with Path("frame.csv").open("a", encoding="utf-8") as file:
        file.write("C,1,SHS 40x40x3,700\n")
    assert actions.plan_replaced(actions.read_job("frame.csv"), FOLDER) is None
    assert actions.plan_replaced(actions.read_job("copy.csv"), "reports/nothing") is None


def test_one_of_several_lists_is_another_purchase_than_all() -> None:
    Path("gate.csv").write_text("Mark,Quantity,Section,Length\nG,1,SHS 40x40x3,700\n", encoding="utf-8")
    assert run("plan", "frame.csv", "gate.csv", "--out", "both").exit_code == 0
    assert actions.plan_replaced(actions.read_job(["gate.csv", "frame.csv"]), "both") is None
    gone = actions.plan_replaced(actions.read_job("gate.csv"), "both")
    assert gone is not None
    assert gone.found.startswith("a plan of frame.csv, gate.csv, ")


@pytest.mark.parametrize("text", ["", "{}", '{"job": {"files": 3}}'])
def test_a_file_that_is_no_plan_is_of_no_list(text: str, other: str) -> None:
    PLAN.write_text(text)
    assert actions.plan_replaced(actions.read_job(other), FOLDER) is None


def test_a_plan_that_is_begun_is_not_replaced_by_another_list_s(other: str) -> None:
    rack = actions.rack_of_plan(PLAN, who="Ines")
    actions.receive(PLAN, rack)
    before = {path: path.read_bytes() for path in FOLDER.iterdir()}
    result = run("plan", other)
    assert result.exit_code == 1
    assert result.stderr.startswith(
        "reports/frame: found a plan of frame.csv, which is received; a plan of frame.xlsx would take its place.\n"
    )
    assert "hint: name another folder with --out" in result.stderr
    assert {path: path.read_bytes() for path in FOLDER.iterdir()} == before
    shown = job_show(rack, "frame").plan_file
    assert shown is not None
    assert shown.samefile(PLAN)
    with pytest.raises(ProblemsFound) as refused:
        actions.plan_into(actions.read_job(other), FOLDER, rack=rack)
    assert [problem.code for problem in refused.value.problems] == ["plan.begun"]
    assert run("plan", other, "--out", "reports/frame-2").exit_code == 0


def test_a_begun_plan_s_own_list_is_planned_there_again() -> None:
    actions.receive(PLAN, actions.rack_of_plan(PLAN, who="Ines"))
    assert run("plan", "frame.csv").exit_code == 0
