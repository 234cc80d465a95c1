"""At the drill: ticks as a phone sends them and as forms do, seen by the command, in step and of this plan alone."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from cutplan.web import drill_pages
from tests.benches import JOB, PLAN, VALUES, browser, words
from tests.commands import run

pytestmark = pytest.mark.usefixtures("no_paper")

HOLES = "Mark,Face,Position,Hole\nA,1,60,9\nB,1,40,9\n"


@pytest.fixture
def with_holes(parts: str) -> None:
    """The small list with a hole in each of its four A and two B, planned."""
    Path("frame-holes.csv").write_text(HOLES)
    assert run("plan", parts).exit_code == 0


def send(at: TestClient, part: str, copy: int, step: str = "drilled", **more: str) -> Any:
    plan = more.pop("plan", "") or at.get(f"{JOB}/drilled.json").json()["plan"]
    sent = {"plan": plan, "bar": 1, "part": part, "copy": copy, "step": step, "id": f"{step}{part}{copy}", **more}
    return at.post(f"{JOB}/drilled", json=sent, headers=VALUES)


@pytest.mark.usefixtures("with_holes")
def test_a_tick_is_what_the_command_shows_and_comes_twice_without_harm() -> None:
    with browser() as at:
        for _ in range(2):
            answer = send(at, "A", 3)
            assert answer.status_code == 200, answer.text
            assert answer.json()["drilled"] == ["A/3"]
        assert run("job", "drilled", str(PLAN), "A", "--copy", "1").exit_code == 0
        assert at.get(f"{JOB}/drilled.json").json()["drilled"] == ["A/1", "A/3"]
        assert send(at, "A", 3, "undrilled").json()["drilled"] == ["A/1"]
        assert at.get(f"{JOB}/ticks.json").json()["cut"] == [], "nothing is cut by it"
    assert "Drilled: 1 x A." in run("job", "show", str(PLAN)).stdout


@pytest.mark.usefixtures("with_holes")
def test_every_piece_is_drilled_without_a_script() -> None:
    """The button of the piece that is next, until there is none; the job page leads here."""
    with browser() as at:
        assert f'href="{JOB}/drill"' in at.get(JOB).text
        page = at.get(f"{JOB}/drill").text
        for _ in range(6):
            form = re.search(
                r'<form method="post" action="[^"]*/drilled">(?:(?!</form>).)*value="drilled".*?</form>', page, re.S
            )
            assert form, "a button for the piece that is next"
            fields = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', form[0]))
            at.post(f"{JOB}/drilled", data=fields)
            page = at.get(f"{JOB}/drill").text
        assert 'value="drilled"' not in page
        assert "2 of 2 drilled" in words(page)


@pytest.mark.usefixtures("with_holes")
@pytest.mark.parametrize(
    ("sent", "status", "code"),
    [
        ({"plan": "f" * 64}, 409, "bench.changed"),
        ({"step": "bored"}, 400, "bench.field"),
        ({"copy": "9"}, 400, "job.part"),
        pytest.param({"part": "Z"}, 400, "job.part", marks=pytest.mark.thorough),
        pytest.param({"bar": "x"}, 400, "bench.field", marks=pytest.mark.thorough),
    ],
)
def test_what_cannot_be_is_refused_with_its_code(sent: dict[str, str], status: int, code: str) -> None:
    with browser() as at:
        plan = at.get(f"{JOB}/drilled.json").json()["plan"]
        every = {"plan": plan, "bar": "1", "part": "A", "copy": "1", "step": "drilled", **sent}
        answer = at.post(f"{JOB}/drilled", data=every, headers=VALUES)
        assert (answer.status_code, answer.json()["problems"][0]["code"]) == (status, code)
        assert at.get(f"{JOB}/drilled.json").json()["drilled"] == []


@pytest.mark.usefixtures("with_holes")
def test_many_cards_are_shown_around_the_one_that_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drill_pages, "MOST_BARS", 1)
    with browser() as at:
        page = at.get(f"{JOB}/drill?bar=2").text
    assert 'id="card-2"' in page
    assert 'id="card-1"' not in page
    assert 'data-beyond="1"' in page


@pytest.mark.usefixtures("parts_planned")
def test_a_job_with_no_holes_has_no_drill_cards() -> None:
    with browser() as at:
        assert at.get(f"{JOB}/drill").status_code == 404
        assert f'href="{JOB}/drill"' not in at.get(JOB).text
