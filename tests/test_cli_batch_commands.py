"""The command ``batch``: its table, exit codes, and a file beside the words."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.commands import run

PARTS = "Mark,Quantity,Section,Length\nA,2,SHS 40x40x3,{length}\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    (jobs / "workshop.toml").write_text('[files]\nprices = "prices.csv"\n')
    (jobs / "prices.csv").write_text("Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,6000,30,each\n")
    (jobs / "bench.csv").write_text(PARTS.format(length=1000))
    return jobs


def test_a_folder(folder: Path) -> None:
    result = run("batch", "jobs", "--processes", "0", "--table", "table.csv")
    assert result.exit_code == 0, result.output
    assert result.stdout.splitlines() == [
        "jobs/bench.csv: planned: 30.00 EUR, 19.8 kg, proven, rechecked",
        "Plans for 1 of 1 list, 1 made now.",
    ]
    assert "Passed over as no parts lists: jobs/prices.csv" in result.stderr
    assert "1 of 1: jobs/bench.csv: planned" in result.stderr
    assert Path("reports/bench/plan.json").exists()
    assert Path("table.csv").read_text().count("\n") == 2


def test_what_was_planned_is_told_where_the_table_cannot_be_written(folder: Path) -> None:
    Path("table.csv").mkdir()
    result = run("batch", "jobs", "--processes", "0", "--table", "table.csv")
    assert result.exit_code == 1
    assert "Plans for 1 of 1 list, 1 made now." in result.stdout
    assert "table.csv: found a file that cannot be written" in result.stderr


def test_a_fault_stops_no_other(folder: Path) -> None:
    (folder / "a.csv").write_text(PARTS.format(length="12O0"))
    result = run("batch", "jobs", "--processes", "0", "--json")
    assert result.exit_code == 1
    document = json.loads(result.stdout)
    assert [row["outcome"] for row in document["rows"]] == ["at fault", "planned"]
    assert (document["lists"], document["stopped"], document["wanted_twice"]) == (2, False, [])


@pytest.mark.parametrize(
    ("arguments", "found"),
    [
        (["jobs/bench.csv", "jobs/bench.csv"], "the place of 2 plans"),
        (["jobs", "--table", "table.doc"], '--table: found "table.doc"'),
    ],
)
def test_what_is_refused(folder: Path, arguments: list[str], found: str) -> None:
    result = run("batch", *arguments, "--processes", "0")
    assert result.exit_code == 1
    assert found in result.stderr
    assert not Path("reports").exists()  # nothing is planned first
