"""What a process that plans for a page makes of its order."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan import actions
from cutplan.web.plan_worker import done
from tests.benches import PLAN, bars_in_plan
from tests.commands import run

pytestmark = pytest.mark.usefixtures("no_paper")


def test_what_is_wrong_with_a_list_is_said_in_values(parts: str) -> None:
    Path(parts).write_text("Mark,Quantity,Section,Length\nA,4,SHS 40x40x3,12OO\n")
    (problem,) = done({"what": "plan", "parts": [parts]})["problems"]
    assert problem["code"] == "length.unreadable"
    assert "column D" in problem["where"]


def test_a_list_that_nothing_answers_is_said(parts: str) -> None:
    Path(parts).write_text("Mark,Quantity,Section,Length\nA,1,SHS 40x40x3,5995\n")
    (problem,) = done({"what": "plan", "parts": [parts]})["problems"]
    assert problem["found"]


def test_that_a_plan_of_another_list_is_replaced_is_said(parts_planned: object) -> None:
    assert "told" not in done({"what": "plan", "parts": ["frame.csv"]})
    actions.convert("frame.csv", "frame.xlsx")
    (told,) = done({"what": "plan", "parts": ["frame.xlsx"]})["told"]
    assert "a plan of frame.csv, whose place this plan of frame.xlsx took" in told


def test_the_rest_is_planned_after_a_spoiled_part(parts_planned: object) -> None:
    (part, copy), *_ = bars_in_plan()[1]
    run("job", "spoiled", str(PLAN), part, "--bar", "1", "--copy", str(copy), "--measured", "0")
    came = done({"what": "replan", "plan": str(PLAN)})
    assert came["folder"] == "reports/frame/rest-1"
    assert Path(came["folder"], "plan.json").is_file()


def test_the_rest_is_planned_without_a_bar_that_is_bent(parts_planned: object) -> None:
    came = done({"what": "replan", "plan": str(PLAN), "bent": "2", "usable": "0"})
    assert came["folder"] == "reports/frame/rest-1"


@pytest.mark.parametrize(
    ("end", "code"),
    [(KeyboardInterrupt(), "bench.stopped"), (actions.CheckFailed(["bar 1 is too full"]), "plan.refused")],
)
def test_a_search_that_is_stopped_or_found_wrong_is_said(
    end: BaseException, code: str, parts: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def ends(*_: object, **__: object) -> None:
        raise end

    monkeypatch.setattr("cutplan.actions.plan_into", ends)
    (problem,) = done({"what": "plan", "parts": [parts]})["problems"]
    assert problem["code"] == code
    assert problem["found"]
