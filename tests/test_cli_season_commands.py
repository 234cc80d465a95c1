"""The command ``season``: its table, JSON and exit codes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.commands import run
from tests.effort import some


@pytest.fixture
def lists(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    monkeypatch.chdir(tmp_path)
    Path("prices.csv").write_text("Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,3000,10,each\n")
    for name, count in (("first", 2), ("second", 1)):
        Path(f"{name}.csv").write_text(f"Mark,Quantity,Section,Length\nA,{count},SHS 40x40x3,900\n")
    return ["first.csv", "second.csv", "--prices", "prices.csv"]


def test_a_table_and_its_values(lists: list[str]) -> None:
    """The first leaves what the second is cut from, unless left overs are kept from 2 m on alone."""
    shown = run("season", *lists, "--try", "keep=2 m")
    assert shown.exit_code == 0, shown.output
    assert "keep=2 m: +10.00" in shown.stdout.splitlines()
    values = json.loads(run("season", *lists, "--try", "keep=2 m", "--json").stdout)
    assert [row["draws"][0]["to_pay"] for row in values["rows"]] == ["10", "20"]


def test_a_folder_stands_for_the_parts_lists_in_it(lists: list[str]) -> None:
    named, prices = lists[:2], lists[2:]
    Path("jobs").mkdir()
    for name in named:
        Path(name).rename(Path("jobs") / name)
    Path("jobs/phones.csv").write_text("Name,Phone\nA,1\n")
    shown = run("season", "jobs", *prices)
    assert (shown.exit_code, shown.stderr) == (0, f"Passed over as no parts lists: {Path('jobs/phones.csv')}\n")
    assert shown.stdout == run("season", *(str(Path("jobs") / name) for name in named), *prices).stdout


@pytest.mark.parametrize("name", some(["year.svg", "year.csv"], "year.csv"))
def test_it_is_written_as_well(lists: list[str], name: str) -> None:
    shown = run("season", *lists, "--out", name)
    assert shown.stdout.splitlines()[-1] == f"Written: {name}"
    assert "as it is" in Path(name).read_text()


@pytest.mark.parametrize(
    ("more", "exit_code", "found"),
    [
        (["--try", "kep=1"], 1, 'found "kep=1"'),
        (["--out", "year.txt"], 1, "a name that ends in .csv, .svg, .html or .pdf"),
        (["--draws", "3"], 2, "say how many of those"),
        (["--jobs", "0", "--seed", "2"], 2, "say how many of those"),
        (["--cluster", "192.0.2.7:8786", "--processes", "2"], 2, "a cluster has as many as it has workers"),
    ],
)
def test_what_is_refused(lists: list[str], more: list[str], exit_code: int, found: str) -> None:
    result = run("season", *lists, *more)
    assert result.exit_code == exit_code
    assert found in " ".join(result.stderr.split())
