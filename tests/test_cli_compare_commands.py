"""The command ``compare`` in words, as JSON, refused and stopped."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.actions import comparing
from tests.commands import document, run

pytestmark = pytest.mark.usefixtures("no_paper")


def test_compare_in_words_and_as_json(parts: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    # Six parts of 6,500 mm in all: one bar of 6 m and one of 3 m cost 55.20; a bar of 7 m at 30.00 holds them all.
    (tmp_path / "long.csv").write_text("Merchant,Section,Length,Price,Per\nFar,SHS 40x40x3,7000,30,each\n")
    words = ["compare", parts, "--also", "long.csv", "--kerf", "1 mm", "--keep", "100 mm", "--no-rack"]
    result = run(*words)
    assert result.exit_code == 0, result.output
    table = {line[:34].strip(): line[34:].split() for line in result.stdout.splitlines()}
    assert table["as it is"][:2] == ["55.20", "0.00"]
    assert table["a kerf of 1 mm"][:2] == ["55.20", "0.00"]
    assert table["the offers of long.csv too"][:2] == ["30.00", "-25.20"]
    rows = document(run(*words, "--json", "--out", "rows"))["rows"]
    assert [row["difference_most"] for row in rows] == ["0", "0", "0", "0", "-25.2"]
    assert {row["status"] for row in rows} == {"proven, rechecked"}
    assert sorted(path.name for path in (tmp_path / "rows").iterdir()) == ["0", "1", "2", "3", "4"]
    assert run("verify", "rows/4/plan.json").exit_code == 0


def test_compare_refuses_all_that_is_wrong_at_once(parts: str, tmp_path: Path) -> None:
    (tmp_path / "bad.csv").write_text("Merchant,Section,Length,Price,Per\nFar,SHS 40x40x3,-1,30,each\n")
    result = run("compare", parts, "--kerf", "1,5", "--without", "Yrd", "--also", "bad.csv", "--out", "rows")
    assert result.exit_code == 1
    for text in ('--kerf: found "1,5".', '--without: found "Yrd".', "bad.csv, row 2, column C"):
        assert text in result.stderr
    assert not (tmp_path / "rows").exists()


def test_compare_says_where_a_change_leaves_no_plan(parts: str) -> None:
    result = run("compare", parts, "--without", "yard")
    assert result.exit_code == 0, result.output
    assert "nothing from Yard" in result.stdout
    assert "no plan" in result.stdout


def test_compare_ends_after_a_stop(parts: str, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = actions.plan
    monkeypatch.setattr(comparing, "plan", lambda job, **_: replace(whole(job), stopped_by="user"))
    result = run("compare", parts, "--kerf", "1 mm")
    assert result.exit_code == 5
    assert "stopped by: user" in result.stdout
    assert "a kerf of 1 mm" not in result.stdout
