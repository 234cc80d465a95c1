"""Searches in processes of their own: told of, stopped, limited in number, and ended with the server."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from cutplan.problems import ProblemsFound
from cutplan.web import plan_runs
from cutplan.web.plan_runs import PlanRun, PlanRuns
from cutplan.words.bench_words import stopped_text
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


@pytest.mark.usefixtures("slow")
def test_a_search_that_goes_on_for_too_long_is_stopped_and_keeps_what_it_has(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(plan_runs, "MOST_SECONDS", 2.0)
    run = ended(PlanRuns().begin("a", {}))
    assert run.done == {"folder": "reports/x", "stopped": "user"}
    assert run.out_of_time
    monkeypatch.setattr(plan_runs, "MOST_SECONDS", 600.0)
    assert (
        stopped_text("this is the best plan", run.minutes) == "Stopped after 10 minutes: this is the best plan by then."
    )


def test_one_that_does_not_end_when_its_time_is_up_is_killed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(plan_runs, "MOST_SECONDS", 1.0)
    monkeypatch.setattr(plan_runs, "_PATIENCE", 0.5)
    deaf = "import signal, time; signal.signal(signal.SIGINT, signal.SIG_IGN); time.sleep(60)"
    monkeypatch.setattr(plan_runs, "python", lambda code, order: [sys.executable, "-c", deaf])
    done = ended(PlanRuns().begin("a", {})).done
    assert done is not None
    assert done["problems"][0]["found"] == "the search ended without a plan"


@pytest.mark.usefixtures("parts")
def test_a_comparison_whose_time_is_up_shows_the_rows_by_then(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = [
        {
            "change": f"row {number}",
            "notes": [],
            **dict.fromkeys(["amount", "difference", "bought", "scrap", "kept"], ""),
        }
        for number in (0, 1)
    ]
    slow = SLOW.replace('{"folder": "reports/x", "stopped": "user"}', json.dumps({"compared": rows, "stopped": "user"}))
    monkeypatch.setattr(plan_runs, "python", lambda code, order: [sys.executable, "-c", slow, order])
    with browser() as at:
        at.post(f"{JOB}/compare", data={"kerf": "1 mm"})
        run = at.app.state.runs.of("frame.csv/\0compare")  # type: ignore[attr-defined]
        said(run, "searching")
        run.time_is_up()
        ended(run)
        told = words(at.get(f"{JOB}/compare").text)
    assert "Stopped after 10 minutes: the rows by then." in told
    assert "row 1" in told


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
