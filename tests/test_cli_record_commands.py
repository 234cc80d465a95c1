"""The command ``record``."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.commands import document, run

pytestmark = pytest.mark.usefixtures("no_paper")


def test_plan_record_plan(parts: str) -> None:
    assert run("plan", parts).exit_code == 0
    result = run("record", "reports/frame/plan.json", "--place", "B2")
    assert result.exit_code == 0, result.output
    assert result.stdout.startswith("frame: recorded.")
    again = run("record", "reports/frame/plan.json")
    assert again.exit_code == 0
    assert "recorded already" in again.stdout
    shown = run("rack", "show", "--place", "b2").stdout
    assert "place B2" in shown
    assert document(run("record", "reports/frame/plan.json", "--json"))["recorded_before"] is True
    assert "taken back: record for frame" in run("undo").stdout.lower()
    assert document(run("record", "reports/frame/plan.json", "--json"))["made"] == {"A": 4, "B": 2}


def test_refused_in_words(parts: str) -> None:
    assert "found no such file" in run("record", "reports/frame/plan.json").stderr
    assert "found no JSON from line 1" in run("record", parts).stderr
    run("plan", parts)
    result = run("record", "reports/frame/plan.xlsx")
    assert result.exit_code == 1


def test_receive_and_replan(parts: str) -> None:
    run("plan", parts)
    plan = "reports/frame/plan.json"
    assert "Fill it in" in run("receive", plan, "--sheet", "given.xlsx").stdout
    assert document(run("receive", plan, "--sheet", "g2.xlsx", "--json")) == {"sheet": "g2.xlsx"}
    assert "The plan still fits what came." in run("receive", plan, "--given", "given.xlsx").stdout
    assert document(run("receive", plan, "--json"))["received_before"] is True
    result = run("replan", plan, "--bar", "1")
    assert result.exit_code == 0, result.output
    assert "Bar 1 is taken as cut." in result.stdout
    assert "rest-1/plan.json" in result.stderr
    rest = "reports/frame/rest-1/plan.json"
    number = json.loads(Path(rest).read_text())["groups"][0]["bars"][0]["number"]
    told = document(run("replan", rest, "--bent", str(number), "--usable", "0", "--json"))
    assert told["told"][:2] == ["No bar is taken as cut.", f"Bar {number} cannot be used."]
    assert run("replan", plan, "--spoiled", "A").exit_code == 1


def test_the_cut_record_from_sheet_to_ledger(parts: str) -> None:
    import openpyxl

    run("plan", parts)
    plan = "reports/frame/plan.json"
    assert "2 bars. Fill it in" in run("record", plan, "--sheet", "cut.xlsx").stdout
    assert document(run("record", plan, "--sheet", "c2.xlsx", "--json"))["bars"] == 2
    result = run("record", plan, "--actual", "cut.xlsx")
    assert result.exit_code == 1
    assert result.stderr.count("found a blank cell, here and in 1 more row.") == 1
    book = openpyxl.load_workbook("cut.xlsx")
    sheet = book["Cut record"]
    sheet["D4"], sheet["D5"] = "yes", "no"
    book.save("cut.xlsx")
    recorded = document(run("record", plan, "--actual", "cut.xlsx", "--json"))
    assert sum(recorded["still_to_cut"].values()) + sum(recorded["made"].values()) == 6
    assert run("record", plan, "--sheet", "cut.xlsx").exit_code == 1
