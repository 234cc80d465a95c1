"""The commands of costs and quotes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.commands import run


@pytest.fixture
def plan_file(parts: str, tmp_path: Path) -> Path:
    assert run("plan", parts).exit_code == 0
    return Path("reports/frame/plan.json")


def test_costs_in_words_and_as_json(plan_file: Path) -> None:
    told = run("cost", str(plan_file), "--transport", "12.50")
    assert told.exit_code == 0
    assert "12.50" in told.stdout
    assert "Written: " in told.stderr
    values = json.loads(run("cost", str(plan_file), "--transport", "12.50", "--json").stdout)
    assert values["files"] == [str(plan_file.with_name(name)) for name in ("cost.pdf", "cost.xlsx")]
    for row in values["rows"]:
        assert row["amount"] in told.stdout


def test_what_cannot_be_read_is_placed(plan_file: Path) -> None:
    told = run("cost", str(plan_file), "--transport", "a lot")
    assert told.exit_code == 1
    assert told.stderr.startswith('--transport: found "a lot".')
    assert not plan_file.with_name("cost.pdf").exists()
