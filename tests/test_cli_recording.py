"""The command ``record``."""

from __future__ import annotations

from tests.commands import document, run


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
    assert "no note beside it" in run("record", "reports/frame/plan.json").stderr
    run("plan", parts)
    result = run("record", "reports/frame/plan.xlsx")
    assert result.exit_code == 1
