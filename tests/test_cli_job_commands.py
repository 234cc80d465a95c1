"""The commands of ``job``, on the small list: four A of 1200 and two B of 850 out of a bar of 6 m and one of 3 m."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.commands import document, run

pytestmark = pytest.mark.usefixtures("no_paper")

PLAN = "reports/frame/plan.json"


def said(*words: str) -> str:
    result = run(*words)
    assert result.exit_code == 0, result.output
    return result.stdout


def refused(*words: str) -> str:
    result = run(*words)
    assert result.exit_code == 1, result.output
    return result.stderr


@pytest.fixture
def bars(parts: str) -> dict[int, list[tuple[str, int]]]:
    """The parts of each bar, in order."""
    said("plan", parts)
    groups = json.loads(Path(PLAN).read_text())["groups"]
    return {
        bar["number"]: [(cut["mark"], cut["copy"]) for cut in bar["cuts"]] for group in groups for bar in group["bars"]
    }


def test_a_job_from_its_order_to_its_end(bars: dict[int, list[tuple[str, int]]]) -> None:
    shown = document(run("job", "show", PLAN, "--json"))
    assert (shown["stage"], shown["money"]["still_to_pay"], shown["money"]["so_far"]) == ("planned", "55.20", "0.00")
    assert not Path("rack.ledger").exists(), "who only looks begins no ledger"
    assert said("job", "ordered", PLAN, "--number", "4711", "--date", "2031-05-04") == (
        "frame: ordered from Yard. 2 prices kept for next time.\n"
    )
    assert "ordered already" in said("job", "ordered", PLAN, "--number", "4711", "--date", "2031-05-04")
    assert "Yard: found an order that was noted on" in refused("job", "ordered", PLAN, "--number", "12")
    said("receive", PLAN)
    assert "Ticked as cut" in said("job", "cut", PLAN, "--bar", "1")
    shown = document(run("job", "show", "frame", "--json"))
    assert shown["stage"] == "being cut"
    assert sum(shown["cut"].values()) == len(bars[1])
    assert [each["bar"] for each in shown["to_come"]] == [2]
    text = said("job", "show")
    assert "ordered 2031-05-04 from Yard number 4711" in text
    assert f"{len(bars[1])} of 6 parts ticked" in text
    assert "paid:" in text
    assert "55.20" in text
    assert "6 of 6 parts ticked" in said("job", "cut", PLAN, "--bar", "2")
    said("record", PLAN)
    assert "frame: closed." in said("job", "close", "frame")
    assert refused("job", "cut", PLAN, "A", "--copy", "1").startswith("frame: found a plan that is closed")
    listed = document(run("job", "list", "--json"))["jobs"]
    assert [(job["job"], job["stage"], job["so_far"]) for job in listed] == [("frame", "closed", "55.20")]
    assert said("job", "list").startswith("frame  closed")
    assert said("rack", "verify").splitlines()[0].endswith("holds")


def test_what_is_ticked_is_what_is_recorded(bars: dict[int, list[tuple[str, int]]]) -> None:
    said("job", "cut", PLAN, "--bar", "1")
    assert refused("record", PLAN) == (
        f"parts: found {len(bars[1])} of 6 ticked.\n"
        "Accepted: --ticked where the others are not cut, --all where they are.\n"
        "hint: cutplan job show lists what is not ticked\n"
    )
    assert sum(document(run("record", PLAN, "--ticked", "--json"))["made"].values()) == len(bars[1])
    said("undo")
    assert sum(document(run("record", PLAN, "--all", "--json"))["made"].values()) == 6


def test_a_replan_takes_ticked_parts_as_cut(bars: dict[int, list[tuple[str, int]]]) -> None:
    said("job", "cut", PLAN, "--bar", "1")
    told = document(run("replan", PLAN, "--json"))
    assert told["told"][0] == f"{len(bars[1])} parts are taken as cut, as ticked."
    shown = document(run("job", "show", "frame", "--json"))
    assert [plan["stage"] for plan in shown["plans"]] == ["recorded", "planned"]
    assert sum(shown["cut"].values()) == len(bars[1])
    assert sum(len(bar["parts"]) for bar in shown["to_come"]) == 6 - len(bars[1])
    said("undo")
    assert document(run("job", "show", "frame", "--json"))["stage"] == "being cut", "one undo takes all of it back"


def test_a_spoiled_part_over_two_plans(bars: dict[int, list[tuple[str, int]]]) -> None:
    """55.20 is paid for both bars. B on the last bar is spoiled and scrap; what is then planned is bought again."""
    last = max(bars)
    mark, copy = bars[last][-1]
    for number in bars:
        if number != last:
            said("job", "cut", PLAN, "--bar", str(number))
    if len(bars[last]) > 1:
        for each, which in bars[last][:-1]:
            said("job", "cut", PLAN, each, "--copy", str(which))
    assert "Ticked as spoiled" in said("job", "spoiled", PLAN, mark, "--copy", str(copy), "--measured", "0")
    said("replan", PLAN)
    shown = document(run("job", "show", "frame", "--json"))
    rest = "reports/frame/rest-1/plan.json"
    to_pay = json.loads(Path(rest).read_text())["totals"]["money"]["to_pay"]
    assert shown["spoiled"] == {mark: 1}
    money = shown["money"]
    assert (money["paid"], money["bought_again"], float(money["still_to_pay"])) == ("55.20", "0.00", float(to_pay))
    said("record", rest)
    money = document(run("job", "show", "frame", "--json"))["money"]
    assert (money["paid"], float(money["bought_again"])) == ("55.20", float(to_pay))
    assert float(money["so_far"]) == pytest.approx(55.20 + float(to_pay) - float(money["returned"]))
    text = said("job", "show", "frame")
    for amount in (money["paid"], money["bought_again"], money["so_far"]):
        assert amount in text


def test_ids_and_ticks_taken_back(bars: dict[int, list[tuple[str, int]]]) -> None:
    mark, copy = bars[1][0]
    one = ("job", "cut", PLAN, mark, "--copy", str(copy), "--id", "saw-1")
    assert len(document(run(*one, "--json"))["changed"]) == 1
    assert document(run(*one, "--json"))["changed"] == []
    assert "No longer ticked" in said("job", "uncut", PLAN, mark, "--copy", str(copy))
    assert "Nothing was changed" in said(*one)
    assert document(run("job", "show", PLAN, "--json"))["cut"] == {}


def test_a_job_that_is_given_up(bars: dict[int, list[tuple[str, int]]]) -> None:
    said("receive", PLAN)
    assert refused("job", "close", PLAN).startswith("frame: found 6 parts still to cut: ")
    closed = said("job", "close", PLAN, "--unfinished")
    assert closed.startswith("No longer held: ")
    assert "returned to the rack:" in closed
    assert "cost so far:" in closed
    shown = document(run("job", "show", PLAN, "--json"))
    assert (shown["money"]["paid"], shown["money"]["returned"], shown["money"]["so_far"]) == ("55.20", "55.20", "0.00")


def test_no_such_job(bars: dict[int, list[tuple[str, int]]]) -> None:
    assert said("job", "list").startswith("frame  planned")
    Path("reports").rename("elsewhere")
    assert "no ledger" in refused("job", "list")
    Path("elsewhere").rename("reports")
    said("receive", PLAN)
    assert refused("job", "show", "gate") == (
        "JOB: found no job gate.\nAccepted: a plan.json, or a job such as frame#1 (received).\n"
    )
