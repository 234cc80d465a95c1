"""The desk: where every job stands, what is next, and what a job's page shows."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook
from starlette.testclient import TestClient

from cutplan import actions
from cutplan.problems import Problem, ProblemsFound
from cutplan.web.plan_runs import PlanRun
from tests.benches import JOB, browser, tick, words
from tests.commands import run

pytestmark = pytest.mark.usefixtures("no_paper")


@pytest.mark.usefixtures("parts")
def test_a_sound_list_without_a_price_list_leads_to_one() -> None:
    """In a folder with nothing but a list; once a price list is begun and filled, the list is ready."""
    for other in ("prices.csv", "workshop.toml"):
        Path(other).unlink()
    with browser() as at:
        page = at.get("/").text
        assert "frame no price list yet" in words(page)
        assert '<a class="button first" href="/prices">Begin a price list</a>' in page
        assert "Either stands under Prices or Workshop" in words(at.get(JOB).text)
        Path("frame.csv").write_text(Path("frame.csv").read_text().replace("1200", "12OO"))
        assert "list has 2 faults" in words(at.get("/").text)
        Path("frame.csv").write_text(Path("frame.csv").read_text().replace("12OO", "1200"))
        page = at.post("/prices/begin").text
        seen = page.split('name="seen" value="')[1].split('"')[0]
        row = {"c1-0": "Yard", "c1-1": "SHS 40x40x3", "c1-2": "6000", "c1-3": "35.40", "c1-4": "each"}
        assert "Nothing is wrong with it." in at.post("/prices", data={"seen": seen, **row}).text
        assert "frame ready" in words(at.get("/").text)


def test_every_list_stands_where_it_stands(parts_planned: object) -> None:
    Path("gate.csv").write_text("Mark,Quantity,Section,Length\nG,2,SHS 40x40x3,1OOO\n")
    Path("rail.csv").write_text("Mark,Quantity,Section,Length\nR,2,SHS 40x40x3,1000\n")
    with browser() as at:
        stands = {each["job"]: each["stands"] for each in at.get("/state.json").json()["jobs"]}
        assert stands == {"frame.csv": "planned", "gate.csv": "list has 1 fault", "rail.csv": "ready"}
        assert "Mend the list" in at.get("/").text
        Path("frame.csv").write_text("Mark,Quantity,Section,Length\nA,4,SHS 40x40x3,1201\n")
        stands = {each["job"]: each["stands"] for each in at.get("/state.json").json()["jobs"]}
        assert stands["frame.csv"] == "list changed since it was planned"


@pytest.mark.parametrize(
    ("files", "told"),
    [
        (("workshop.toml",), "workshop file"),
        (("prices.csv",), "price list"),
        (("prices.csv", "frame.csv"), "list and price list"),
        (("frame-holes.csv",), "holes"),
    ],
)
def test_what_changed_since_a_job_was_planned_is_named(
    files: tuple[str, ...], told: str, parts_planned: object
) -> None:
    for name in files:
        more = "Mark,Position,Hole\nA,100,M12 clear\n" if name == "frame-holes.csv" else "\n"
        Path(name).write_text((Path(name).read_text() if Path(name).exists() else "") + more)
    with browser() as at:
        assert f"{told} changed since it was planned" in words(at.get(JOB).text)


def test_a_job_goes_from_its_order_to_its_end(parts_planned: object) -> None:
    with browser() as at:
        assert "frame: ordered from Yard." in words(at.post(f"{JOB}/ordered").text)
        assert "ordered" in words(at.get(JOB).text)
        assert at.post(f"{JOB}/received", data={"place": "floor"}).status_code == 200
        assert "received" in at.get("/state.json").text
        assert at.post(f"{JOB}/record").status_code == 200
        assert at.post(f"{JOB}/close").status_code == 200
        assert "closed" in at.get("/state.json").text
    assert "frame: closed." in run("job", "show", "frame").stdout


def test_the_page_of_a_job_has_what_the_printed_plan_says(parts_planned: object) -> None:
    with browser() as at:
        page = words(at.get(JOB).text)
    assert "55.20 EUR" in page  # one of 35.40 and one of 19.80, by the price list
    assert page.index("To pay") < page.index("Bar 1") < page.rindex("Assumed")


def test_a_list_with_faults_shows_each_with_its_place(parts: str) -> None:
    Path("gate.csv").write_text("Mark,Quantity,Section,Length\nG,2,SHS 40x40x3,1OOO\n")
    with browser() as at:
        page = words(at.get("/job/gate.csv").text)
    assert 'row 2, column D "Length"'.replace('"', "&#34;") in page
    assert "1OOO" in page


def test_a_tick_reads_no_list_again(parts_planned: object, monkeypatch: pytest.MonkeyPatch) -> None:
    """Else each part of a folder with many lists would take as long as all of them to read."""
    with browser() as at:
        at.get(f"{JOB}/ticks.json")
        monkeypatch.setattr(actions, "jobs_of", lambda: pytest.fail("the lists are read again"))
        for copy in (1, 2):
            assert tick(at, 1, "A", copy).status_code == 200


def test_files_of_a_plan_are_given_and_no_others(parts_planned: object) -> None:
    with browser() as at:
        answer = at.get(f"{JOB}/file/plan.pdf")
        assert answer.content[:5] == b"%PDF-"
        for name in ("rack.txt", "..%2f..%2fframe.csv", "cutplan.lock"):
            assert at.get(f"{JOB}/file/{name}").status_code == 404


@pytest.mark.parametrize("job", ["..", "../..", "%2Fetc", "frame", "reports", ".", "frame.csv/saw/saw"])
def test_a_job_is_one_of_the_folder_or_not_found(parts: str, job: str) -> None:
    with browser() as at:
        assert at.get(f"/job/{job}").status_code in (200, 404)
        assert at.get(f"/job/{job}/saw").status_code == 404
        assert at.post(f"/job/{job}/plan").status_code in (404, 405)


def planned(at: TestClient, answer: Any) -> str:
    """Wait for a search that was begun; gives the page on what came of it."""
    key = answer.url.path.removeprefix("/job/").removesuffix("/planning")
    run = at.app.state.runs.of(key)  # type: ignore[attr-defined]
    with run.changed:
        assert run.changed.wait_for(lambda: run.done is not None, timeout=120)
    return str(at.get(answer.url.path).text)


@pytest.mark.thorough
def test_several_lists_are_one_purchase(parts: str) -> None:
    Path("rail.csv").write_text("Mark,Quantity,Section,Length\nR,2,SHS 40x40x3,1000\n")
    with browser() as at:
        refused = at.post("/together", data={"with frame.csv": "yes"})
        assert "1 list" in words(refused.text)
        begun = at.post("/together", data={"with frame.csv": "yes", "with rail.csv": "yes"})
        assert begun.url.path == "/job/reports/frame+rail/planning"
        assert "Planned." in words(planned(at, begun))
        stands = {each["job"]: each["stands"] for each in at.get("/state.json").json()["jobs"]}
        assert stands == {
            "frame.csv": "planned in frame + rail",
            "rail.csv": "planned in frame + rail",
            "reports/frame+rail": "planned",
        }
        assert '/job/reports/frame%2Brail"' in at.get("/job/rail.csv").text, "which leads there"
        assert "frame/A" in at.get("/job/reports/frame+rail").text
        Path("rail.csv").write_text("Mark,Quantity,Section,Length\nR,3,SHS 40x40x3,1000\n")
        stands = {each["job"]: each["stands"] for each in at.get("/state.json").json()["jobs"]}
        assert stands["reports/frame+rail"] == "list changed since it was planned"
        assert stands["rail.csv"] == "ready"
        again = at.post("/job/reports/frame+rail/plan")
        assert "Planned." in words(planned(at, again))
        stands = {each["job"]: each["stands"] for each in at.get("/state.json").json()["jobs"]}
        assert stands["reports/frame+rail"] == "planned"


@pytest.mark.usefixtures("parts")
def test_labels_of_one_of_several_jobs_are_printed(paper: None) -> None:
    Path("rail.csv").write_text("Mark,Quantity,Section,Length\nR,2,SHS 40x40x3,1000\n")
    run("plan", "frame.csv", "rail.csv")
    address = "/job/reports/frame+rail"
    with browser() as at:
        page = at.get(address).text
        assert f'action="{address.replace("+", "%2B")}/labels"' in page
        assert "<option>frame</option><option>rail</option>" in page
        made = at.post(f"{address}/labels", data={"job": "rail"})
        assert (made.status_code, made.headers["content-type"]) == (200, "application/pdf")
        assert "frame%2Brail-labels-rail.pdf" in made.headers["content-disposition"]
        assert made.content == Path("reports/frame+rail/labels-rail.pdf").read_bytes()
        assert not Path("reports/frame+rail/labels-frame.pdf").exists()
        refused = at.post(f"{address}/labels", data={"job": "gate"})
        assert refused.status_code == 400
        assert "one of the jobs planned together: frame, rail" in words(refused.text)


def test_a_job_by_itself_has_no_labels_of_one_of_several(parts_planned: object) -> None:
    with browser() as at:
        assert f"{JOB}/labels" not in at.get(JOB).text


def test_a_list_whose_title_says_how_many_is_asked_about(parts: str) -> None:
    Path("bench.csv").write_text('"Bench, 6 off",,,\nMark,Quantity,Section,Length\nB,2,SHS 40x40x3,1000\n')
    with browser() as at:
        stands = {each["job"]: each["stands"] for each in at.get("/state.json").json()["jobs"]}
        assert stands["bench.csv"] == "its title says how many"
        page = at.get("/job/bench.csv").text
        assert "made 6 times" in words(page)
        assert re.search('name="times"[^>]* required', page)
        assert "--times" not in page
        refused = at.post("/job/bench.csv/plan", data={"times": "six"})
        assert refused.status_code == 400
        assert re.search('name="times" value="six"[^>]*aria-invalid', refused.text)
        refused = at.post("/together", data={"with bench.csv": "yes", "with frame.csv": "yes"})
        assert refused.status_code == 400
        assert 'name="with frame.csv" value="yes" checked' in refused.text


@pytest.mark.thorough
def test_a_list_is_planned_as_often_as_is_said(parts: str) -> None:
    Path("bench.csv").write_text('"Bench, 6 off",,,\nMark,Quantity,Section,Length\nB,2,SHS 40x40x3,1000\n')
    with browser() as at:
        assert "Planned." in words(planned(at, at.post("/job/bench.csv/plan", data={"times": "6"})))
        stands = {each["job"]: each["stands"] for each in at.get("/state.json").json()["jobs"]}
        assert stands["bench.csv"] == "planned"
    assert sum(part["quantity"] for part in json.loads(Path("reports/bench/plan.json").read_text())["parts"]) == 12


@pytest.mark.thorough
def test_one_sheet_of_a_workbook_may_be_planned_alone(parts: str) -> None:
    book = Workbook()
    for number, name in enumerate(("Frame", "Door", "Notes")):
        sheet = book.create_sheet(name, number)
        if name != "Notes":
            sheet.append(["Mark", "Quantity", "Section", "Length"])
            sheet.append([name[0], number + 1, "SHS 40x40x3", 700])
    book.save("shed.xlsx")
    with browser() as at:
        page = at.get("/job/shed.xlsx").text
        assert "<option>Door</option>" in page
        assert "<option>Notes</option>" not in page
        assert "Planned." in words(planned(at, at.post("/job/shed.xlsx/plan", data={"sheet": "Door", "times": "1"})))
    (part,) = json.loads(Path("reports/shed/plan.json").read_text())["parts"]
    assert (part["mark"], part["quantity"]) == ("D", 2)


def test_why_no_page_is_given_is_said_in_words(parts: str, monkeypatch: pytest.MonkeyPatch) -> None:
    with browser() as at:
        absent, other = at.get("/job/none.csv"), at.post("/state.json")
        assert (absent.status_code, "no such page" in absent.text) == (404, True)
        assert (other.status_code, "shows a page or takes a form" in other.text) == (405, True)
        monkeypatch.setattr(actions, "jobs_of", lambda: 1 // 0)
        Path("more.csv").write_text("x")
        broken = at.get("/")
    assert (broken.status_code, "where the server was started" in broken.text) == (500, True)


def test_fields_without_end_are_no_form(parts: str) -> None:
    with browser() as at:
        answer = at.post("/workshop", data={f"f{number}": "" for number in range(20_001)})
    assert (answer.status_code, "too many fields" in answer.text) == (400, True)


def test_how_a_list_was_to_be_planned_is_still_there_where_no_plan_came_of_it(parts: str) -> None:
    with browser() as at:
        at.app.state.runs._runs["frame.csv"] = PlanRun(  # type: ignore[attr-defined]
            key="frame.csv",
            process=None,  # type: ignore[arg-type]
            order={"what": "plan", "times": 7, "sheet": "", "hold": "yes"},
            done={"problems": [{"where": "plan", "found": "no bar is long enough", "accepted": "", "hint": ""}]},
        )
        page = at.get(JOB).text
    assert re.search('name="times" value="7"', page)
    assert re.search('name="hold" value="yes" checked', page)


def test_where_what_came_was_to_lie_is_still_there_where_that_is_refused(
    parts_planned: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    def busy(*_: object, **__: object) -> None:
        raise ProblemsFound(
            [Problem(code="ledger.busy", where="rack.ledger", found="in use", accepted="one at a time")]
        )

    with browser() as at:
        at.post(f"{JOB}/ordered")
        monkeypatch.setattr(actions, "receive", busy)
        answer = at.post(f"{JOB}/received", data={"place": "yard"})
    assert answer.status_code == 503
    assert 'name="place" value="yard"' in answer.text
    assert "one at a time" in words(answer.text)
