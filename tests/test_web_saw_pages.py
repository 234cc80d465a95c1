"""At the saw: ticks as a phone sends them, left overs, and the record at the end, all of it in the ledger."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.rack import store
from cutplan.web import saw_pages
from tests.benches import JOB, PLAN, VALUES, bars_in_plan, browser, tick, words
from tests.commands import run
from tests.small_folder import lay_out
from tests.test_rack_waiting import held

pytestmark = pytest.mark.usefixtures("no_paper", "parts_planned")


def test_a_tick_is_what_the_command_shows_and_comes_twice_without_harm() -> None:
    (part, copy), *_ = bars_in_plan()[1]
    with browser() as at:
        for _ in range(2):
            answer = tick(at, 1, part, copy, id="phone-1")
            assert answer.status_code == 200, answer.text
            assert answer.json()["cut"] == [f"{part}/{copy}"]
    shown = run("job", "show", str(PLAN)).stdout
    assert "1 of 6 parts ticked" in shown


def test_what_the_command_ticks_the_page_shows() -> None:
    (part, copy), *_ = bars_in_plan()[1]
    assert run("job", "cut", str(PLAN), part, "--bar", "1", "--copy", str(copy)).exit_code == 0
    with browser() as at:
        assert at.get(f"{JOB}/ticks.json").json()["cut"] == [f"{part}/{copy}"]
        assert "being cut, 1 of 6 parts" in words(at.get("/").text)


def test_an_id_of_something_else_is_refused() -> None:
    (part, copy), *_ = bars_in_plan()[1]
    with browser() as at:
        tick(at, 1, part, copy, id="same")
        answer = tick(at, 1, part, copy, "uncut", id="same")
    assert answer.status_code == 400
    assert answer.json()["problems"][0]["code"] == "job.id"


def test_a_ledger_that_another_program_holds_is_told_and_the_tick_may_come_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    (part, copy), *_ = bars_in_plan()[1]
    assert run("rack", "add", "SHS 40x40x3", "900").exit_code == 0
    monkeypatch.setattr(store, "PATIENCE_MS", store.PATIENCE_MS)  # put back afterwards
    store.wait_at_most(50)
    with browser() as at:
        plan = at.get(f"{JOB}/ticks.json").json()["plan"]
        with held(Path("rack.ledger"), "BEGIN IMMEDIATE"):
            answer = tick(at, 1, part, copy, plan=plan)
            assert (answer.status_code, answer.json()["problems"][0]["code"]) == (503, "ledger.busy")
        assert tick(at, 1, part, copy, plan=plan).json()["cut"] == [f"{part}/{copy}"]


def test_a_tick_of_another_plan_is_told_and_changes_nothing() -> None:
    (part, copy), *_ = bars_in_plan()[1]
    with browser() as at:
        answer = tick(at, 1, part, copy, plan="f" * 64)
        assert answer.status_code == 409
        assert at.get(f"{JOB}/ticks.json").json()["cut"] == []


@pytest.mark.parametrize(
    ("sent", "code"),
    [
        ({"step": "sawn"}, "bench.field"),
        ({"bar": "9"}, "job.part"),
        ({"bar": "x"}, "bench.field"),
        ({"id": "x" * 101}, "bench.field"),
        ({"copy": "77"}, "job.part"),
        ({"step": "spoiled", "measured": "long"}, "length.unreadable"),
        ({"step": "spoiled", "measured": ""}, "replan.measured"),
    ],
)
def test_what_cannot_be_is_refused_with_its_code(sent: dict[str, str], code: str) -> None:
    (part, copy), *_ = bars_in_plan()[1]
    with browser() as at:
        plan = at.get(f"{JOB}/ticks.json").json()["plan"]
        every = {"plan": plan, "bar": "1", "part": part, "copy": str(copy), "step": "cut", **sent}
        answer = at.post(f"{JOB}/tick", data=every, headers=VALUES)
    assert (answer.status_code, answer.json()["problems"][0]["code"]) == (400, code)


def test_a_whole_job_is_cut_and_recorded_without_a_script() -> None:
    """Buttons alone, as they stand on the pages: each part in its turn, a spoiled one taken back, then the record."""
    with browser() as at:
        for _ in range(6):
            page = at.get(f"{JOB}/saw").text
            form = re.search(
                r'<form method="post" action="[^"]*/tick">(?:(?!</form>).)*value="cut".*?</form>', page, re.S
            )
            assert form, "a button for the part that is next"
            fields = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', form[0]))
            assert at.post(f"{JOB}/tick", data=fields).status_code == 200
        page = words(at.get(f"{JOB}/ending").text)
        assert "6 of 6 parts ticked" in page
        told = words(at.post(f"{JOB}/record").text)
        assert "frame: recorded." in told
        assert "Parts made: 6." in told
        assert at.get(f"{JOB}/ticks.json").json()["recorded"]
    assert "recorded" in run("job", "show", str(PLAN)).stdout


def test_what_is_left_is_put_away_as_measured_and_the_command_reads_it() -> None:
    """The bar of 6 m leaves 1180 by the plan; measured it is 1171, which the rack then has."""
    with browser() as at:
        for bar, parts in bars_in_plan().items():
            for part, copy in parts:
                tick(at, bar, part, copy)
        kept = re.findall(r'name="bar" value="(\d+)">\s*<label>measured', at.get(f"{JOB}/saw").text)
        plan = at.get(f"{JOB}/ticks.json").json()["plan"]
        assert kept, "a left over to keep"
        answer = at.post(
            f"{JOB}/away",
            data={"plan": plan, "bar": kept[0], "measured": "1171", "place": "left shelf"},
            headers=VALUES,
        )
        assert answer.status_code == 200, answer.text
        assert answer.json()["away"] == [int(kept[0])]
        assert "1171, left shelf" in words(at.get(f"{JOB}/ending").text)
        at.post(f"{JOB}/record")
        late = at.post(f"{JOB}/away", data={"plan": plan, "bar": kept[0], "place": "yard"}, headers=VALUES)
        assert (late.status_code, late.json()["problems"][0]["code"]) == (400, "plan.recorded")
        assert "It is put away" not in at.get(f"{JOB}/saw").text
    rack = run("rack", "show").stdout
    assert "1171 mm" in rack
    assert "left shelf" in rack


@pytest.mark.parametrize("measured", ["5000", "much"])
def test_a_left_over_that_cannot_be_is_refused_and_nothing_is_kept_of_it(measured: str) -> None:
    with browser() as at:
        plan = at.get(f"{JOB}/ticks.json").json()["plan"]
        sent = {"plan": plan, "bar": "2", "measured": measured, "place": "left shelf"}
        answer = at.post(f"{JOB}/away", data=sent, headers=VALUES)
        assert answer.status_code == 400
        assert at.get(f"{JOB}/ticks.json").json()["away"] == []
        page = at.post(f"{JOB}/away", data=sent)
        assert page.status_code == 400
    assert 'data-bar="2"' in page.text, "the bar that it was typed at"
    assert f'name="measured" value="{measured}"' in page.text
    assert 'name="place" value="left shelf"' in page.text
    assert measured in words(page.text.split("<section")[0])
    assert not Path("reports/frame/cut-record.csv").exists()


def test_a_left_over_of_a_plan_that_is_another_by_now_is_not_put_away() -> None:
    with browser() as at:
        answer = at.post(f"{JOB}/away", data={"plan": "f" * 64, "bar": "1", "place": "shelf"}, headers=VALUES)
        assert (answer.status_code, answer.json()["problems"][0]["code"]) == (409, "bench.changed")
    assert not Path("reports/frame/cut-record.csv").exists()


def test_what_a_spoiled_part_cannot_have_come_to_is_told_at_its_bar_and_stays_typed() -> None:
    (part, copy), *_ = bars_in_plan()[2]
    with browser() as at:
        plan = at.get(f"{JOB}/ticks.json").json()["plan"]
        sent = {"plan": plan, "bar": "2", "part": part, "copy": str(copy), "step": "spoiled", "measured": "9 m"}
        page = at.post(f"{JOB}/tick", data=sent | {"id": "one"})
        assert page.status_code == 400
        assert at.get(f"{JOB}/ticks.json").json()["spoiled"] == []
    assert 'data-bar="2"' in page.text
    assert 'name="measured" value="9 m"' in page.text
    assert "found 9000 mm" in words(page.text.split("<section")[0])


def test_parts_that_are_not_ticked_are_asked_about_before_the_record() -> None:
    (part, copy), *_ = bars_in_plan()[1]
    with browser() as at:
        tick(at, 1, part, copy)
        assert at.post(f"{JOB}/record").status_code == 400
        assert "Record what is ticked" in at.get(f"{JOB}/ending").text
        assert "Parts made: 6." in at.post(f"{JOB}/record", data={"others": "all"}).text


def test_a_spoiled_part_is_told_at_the_end_and_the_rest_is_planned_after_the_record() -> None:
    with browser() as at:
        plain = words(at.get(f"{JOB}/ending").text)
        found, *_ = re.findall(r"(\d+) mm, of bar (\d+)", plain)
        planned, kept = int(found[0]), [int(found[1])]
        assert "spoiled part" not in plain
        for part, copy in (there := bars_in_plan()[kept[0]])[:-1]:
            tick(at, kept[0], part, copy)
        tick(at, kept[0], *there[-1], "spoiled", measured="300")
        # By hand: the part came to 300, so the rest of its length is on the bar still.
        left = planned + {"A": 1200, "B": 850}[there[-1][0]] - 300
        told = f"{left} mm, of bar {kept[0]} , by what its spoiled part came to"
        assert told in words(at.get(f"{JOB}/ending").text)
        assert at.get(f"{JOB}/ticks.json").json()["left"] == {str(kept[0]): f"{left} mm"}
        page = at.get(f"{JOB}/saw?bar={kept[0]}").text
        assert f"{left} mm</p>" in page
        shown = page.split(f'id="bar-{kept[0]}"')[1].split("</section>")[0]
        assert "data-as-planned hidden" in shown, "another length than that above it"
        assert "data-otherwise >By what its spoiled part came to" in shown
        done = at.post(f"{JOB}/record", data={"others": "all"}).text
        assert "Still to cut: 1 x" in done
        assert re.search(r'action="[^"]*/plan"><input type="hidden" name="what" value="rest">', done)
        assert "Plan the rest again" in at.get(JOB).text


def test_the_address_of_a_code_leads_to_its_bar_or_its_piece() -> None:
    """What stands in a code of a label, with an address before it in place of ``cutplan:``."""
    (part, copy), *_ = bars_in_plan()[2]
    run("rack", "add", "SHS 40x40x3", "900")
    with browser() as at:
        plan = actions.fingerprint(PLAN)
        found = at.get(f"/code/part?plan={plan}&mark={part}&copy={copy}").url
        assert (found.path, found.query) == (f"{JOB}/saw", b"bar=2")
        assert at.get(f"/code/offcut?plan={plan}&bar=1").url.query == b"bar=1"
        assert at.get("/code/rack?mark=A1").url.path == "/rack/piece/A1"
        assert at.get("/code/part?plan=00000000&mark=A&copy=1").status_code == 404
        assert at.get("/code/else?mark=A").status_code == 400


def test_a_long_plan_is_shown_around_the_bar_that_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saw_pages, "MOST_BARS", 1)
    with browser() as at:
        page = at.get(f"{JOB}/saw?bar=2").text
        other = at.get(f"{JOB}/saw?bar=1").text
    assert 'id="bar-2"' in page
    assert 'id="bar-1"' not in page
    assert 'data-beyond="1"' in page, "the next bar that is not done and not on the page"
    assert 'href="?bar=1"' in page, "a step to the bar before it"
    assert 'data-beyond="2"' in other
    assert 'href="?bar=2"' in other


def test_before_the_rack_is_begun_the_pages_say_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A tick would begin a ledger with none of the pieces of the rack file."""
    folder = lay_out(tmp_path / "rack")
    monkeypatch.chdir(folder.parent)
    assert run("plan", "gate.csv").exit_code == 0
    with browser() as at:
        for page in ("saw", "drill"):
            answer = at.get(f"/job/gate.csv/{page}")
            assert answer.status_code == 200
            assert "begin that with the pieces of rack.csv first" in words(answer.text)
        at.post("/rack/begin")
        assert "is cut" in words(at.get("/job/gate.csv/saw").text)
