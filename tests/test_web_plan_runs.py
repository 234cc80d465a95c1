"""Searches in processes of their own: told of, stopped, limited in number, and ended with the server."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from cutplan.problems import ProblemsFound
from cutplan.web import plan_runs
from cutplan.web.plan_runs import PlanRun, PlanRuns
from tests.benches import JOB, browser, words

SLOW = """
import json, sys, time
try:
    print(json.dumps({"doing": "searching"}), flush=True)
    time.sleep(60)
except KeyboardInterrupt:
    print(json.dumps({"folder": "reports/x", "stopped": "user"}), flush=True)
"""


def ended(run: PlanRun) -> PlanRun:
    with run.changed:
        assert run.changed.wait_for(lambda: run.done is not None, 60)
    return run


def said(run: PlanRun, text: str) -> None:
    with run.changed:
        assert run.changed.wait_for(lambda: run.doing == text, 60)


@pytest.fixture
def slow(monkeypatch: pytest.MonkeyPatch) -> None:
    """A search that goes on until it is stopped."""
    monkeypatch.setattr(plan_runs, "python", lambda code, order: [sys.executable, "-c", SLOW, order])


@pytest.mark.usefixtures("slow")
def test_a_search_is_stopped_with_what_it_has() -> None:
    runs = PlanRuns()
    run = runs.begin("a", {})
    said(run, "searching")
    assert runs.begin("a", {}) is run, "one search for a job"
    run.stop()
    assert ended(run).done == {"folder": "reports/x", "stopped": "user"}


@pytest.mark.usefixtures("slow")
def test_no_more_than_some_run_side_by_side_and_all_end_with_the_server() -> None:
    runs = PlanRuns()
    every = [runs.begin(str(number), {}) for number in range(plan_runs.MOST_AT_ONCE)]
    with pytest.raises(ProblemsFound, match="being made"):
        runs.begin("one more", {})
    for run in every:
        said(run, "searching")
    runs.end()
    assert all(run.process.poll() is not None for run in every)


def test_a_search_that_breaks_off_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(plan_runs, "python", lambda code, order: [sys.executable, "-c", "raise SystemExit('no room')"])
    done = ended(PlanRuns().begin("a", {})).done
    assert done is not None
    assert done["problems"][0]["found"] == "no room"


@pytest.mark.thorough
def test_a_list_is_planned_from_its_page(parts: str) -> None:
    with browser() as at:
        page = at.post(f"{JOB}/plan")
        assert page.url.path == f"{JOB}/planning"
        run = at.app.state.runs.of("frame.csv")  # type: ignore[attr-defined]
        ended(run)
        assert run.done == {"folder": "reports/frame", "stopped": ""}
        assert "See the plan" in words(at.get(f"{JOB}/planning").text)
        events = at.get(f"{JOB}/planning/events").text
        assert json.loads(events.split("data: ")[-1])["done"]
    assert Path("reports/frame/plan.pdf").is_file()
