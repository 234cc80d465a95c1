"""The commands ``plan``, ``check`` and ``verify``: what goes to stdout and to stderr, and JSON."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from tests.commands import document, run

pytestmark = pytest.mark.usefixtures("no_paper")


def test_plan_writes_and_prints(parts: str, tmp_path: Path) -> None:
    result = run("plan", parts)
    assert result.exit_code == 0, result.output
    files = sorted(path.name for path in (tmp_path / "reports/frame").iterdir())
    assert files == ["labels.pdf", "plan.html", "plan.json", "plan.pdf", "plan.xlsx", "rack.txt"]
    assert "Yard" in result.stdout
    # 4 x 1,200 and 2 x 850 are 6,500 mm: a bar of 6 m at 35.40 and one of 3 m at 19.80; three of 3 m cost 59.40.
    assert "55.20" in result.stdout
    assert "proven" in result.stdout
    assert "Written: " in result.stderr
    assert "Written: " not in result.stdout


def test_plan_as_json_is_the_plan_file(parts: str, tmp_path: Path) -> None:
    result = run("plan", parts, "--json", "--out", "elsewhere")
    assert result.exit_code == 0, result.output
    assert document(result) == json.loads((tmp_path / "elsewhere/plan.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("as_json", [False, True])
def test_check_reports_and_writes_nothing(as_json: bool, parts: str, tmp_path: Path) -> None:
    before = sorted(tmp_path.rglob("*"))
    result = run("check", parts, *(["--json"] if as_json else []))
    assert result.exit_code == 0, result.output
    assert sorted(tmp_path.rglob("*")) == before
    if as_json:
        (group,) = document(result)["groups"]
        assert (group["lines"], group["pieces"], group["length_mm"], group["offers"]) == (2, 6, "6500", 2)
    else:
        assert "frame: 2 lines, 6 parts, 1 group\n" in result.stdout
        assert "6 parts, 6.5 m, 21.5 kg" in result.stdout
        assert "to cut it from: 2 stock lengths, 0 pieces of the rack" in result.stdout


def test_too_few_bars_to_be_had(parts: str, tmp_path: Path) -> None:
    (tmp_path / "prices.csv").write_text(
        "Merchant,Section,Length,Price,Per,Available\nYard,SHS 40x40x3,3000,19.80,each,2\n"
    )
    result = run("plan", parts)
    assert result.exit_code == 3, result.output
    assert "SHS 40x40x3" in result.stderr
    assert not (tmp_path / "reports").exists()


def test_verify_and_a_tampered_plan(parts: str, tmp_path: Path) -> None:
    assert run("plan", parts).exit_code == 0
    path = tmp_path / "reports/frame/plan.json"
    assert "holds" in run("verify", str(path)).stdout
    sound = document(run("verify", str(path), "--json"))
    assert (sound["holds"], sound["failures"]) == (True, [])
    assert sound["findings"]
    assert "6 parts" in sound["rechecked"]
    plan = json.loads(path.read_text(encoding="utf-8"))
    cut = plan["groups"][0]["bars"][0]["cuts"][0]
    cut["end"] = f"{cut['end']}.000001"
    path.write_text(json.dumps(plan), encoding="utf-8")
    result = run("verify", str(path))
    assert result.exit_code == 4, result.output
    assert "does not hold" in result.stdout
    as_json = run("verify", str(path), "--json")
    assert as_json.exit_code == 4
    assert document(as_json)["holds"] is False
    assert document(as_json)["failures"]
    path.write_text(json.dumps({**plan, "job": {**plan["job"], "name": "\x1b[31m" + "x" * 5000}}), encoding="utf-8")
    steered = run("verify", str(path)).stdout
    assert "\x1b" not in steered
    assert len(steered) < 2500


@pytest.mark.parametrize("text", ["", "{}", "not json", '{"schema": 999}'])
def test_verify_of_something_else(text: str, tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    path.write_text(text)
    assert run("verify", str(path)).exit_code == 1
    assert run("verify", str(tmp_path / "missing.json")).exit_code == 1


def test_a_plan_that_fails_its_check(parts: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from cutplan import checking

    monkeypatch.setattr(checking, "check", lambda *_: ("bar 1: a part is missing",))
    result = run("plan", parts)
    assert result.exit_code == 4
    assert "bar 1: a part is missing" in result.stderr
    assert not (tmp_path / "reports").exists()


def test_stopped_with_a_plan(parts: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from cutplan import planning

    real = planning.plan_job
    monkeypatch.setattr(planning, "plan_job", lambda *a, **k: replace(real(*a, **k), stopped_by="user"))
    result = run("plan", parts)
    assert result.exit_code == 5, result.output
    assert (tmp_path / "reports/frame/plan.json").exists()


def test_several_lists_and_things_that_are_not_cut(parts: str, tmp_path: Path) -> None:
    text = "Mark,Quantity,Section,Length\nA,1,SHS 40x40x3,700\nHinge,2,other,\n"
    (tmp_path / "gate.csv").write_text(text, encoding="utf-8")
    result = run("check", parts, "gate.csv")
    assert result.exit_code == 0, result.output
    assert "frame + gate: 3 lines, 7 parts, 1 group\n" in result.stdout
    assert "Other things, which are not cut:\n  2 x Hinge\n" in result.stdout
    found = document(run("check", parts, "gate.csv", "--json"))
    assert found["others"] == [{"name": "Hinge", "quantity": 2, "mass_kg": "0.000"}]
    planned = document(run("plan", parts, "gate.csv", "--json"))
    assert [total["name"] for total in planned["totals"]["lists"]] == ["frame", "gate"]
    assert (tmp_path / "reports/frame+gate/plan.xlsx").exists()


def test_what_is_read_and_judged_keeps_to_the_terminal(parts: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    plan = run("plan", parts)
    assert plan.exit_code == 0
    for result in (run("check", parts), run("verify", f"reports/{Path(parts).stem}/plan.json")):
        assert result.exit_code == 0
        assert max(map(len, result.stdout.splitlines())) <= 60
