"""Options that several commands share."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from tests.commands import run

pytestmark = pytest.mark.usefixtures("no_paper")


def test_files_can_be_named(parts: str, tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    for name in ("prices.csv", "workshop.toml"):
        (tmp_path / name).rename(tmp_path / "other" / name)
    (tmp_path / "other/rack.csv").write_text("Mark,Section,Length\nR1,SHS 40x40x3,1250\n")
    result = run(
        "plan", parts, "--workshop", "other/workshop.toml", "--prices", "other/prices.csv", "--rack", "other/rack.csv"
    )
    assert result.exit_code == 0, result.output
    plan = json.loads((tmp_path / "reports/frame/plan.json").read_text(encoding="utf-8"))
    assert "R1" in json.dumps(plan)


def test_one_stock_length_is_enough(parts: str, tmp_path: Path) -> None:
    (tmp_path / "workshop.toml").unlink()
    result = run("plan", parts, "--stock", "SHS 40x40x3: 6000", "--stock", "SHS 40x40x3: 3000")
    assert result.exit_code == 0, result.output


def test_a_list_that_may_not_be_read_is_bad_input(parts: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not wrong usage: the message is that of any other file, and JSON under --json."""
    monkeypatch.setattr(os, "access", lambda *_, **__: False)
    assert run("check", parts).exit_code == 0
    assert run("verify", parts).exit_code == 1
