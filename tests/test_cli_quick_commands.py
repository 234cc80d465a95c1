"""The command ``quick``: from an argument or standard input to a picture, with nothing written unless asked."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from cutplan.cli.commands import app
from tests.commands import document, run

TEXT = "SHS 40x40x3: 4 @ 1200, 2 @ 850; flat 50x6: 8 @ 300"


@pytest.fixture(autouse=True)
def empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_what_to_buy_first_then_the_bars_and_what_was_assumed(empty_folder: Path) -> None:
    result = run("quick", TEXT, "--stock", "6000")
    assert result.exit_code == 0, result.output
    lines = result.stdout.splitlines()
    assert lines[:2] == ["quick: 14 parts from 3 bars", "Buy"]
    at = lines.index("Assumed")
    assert lines[at + 1 : at + 5] == [
        "  Bare numbers are in millimetres.",
        "  Kerf 2.5 mm.",
        "  End trim 10 mm at each mill end, its squaring cut included.",
        "  Stock lengths: 6 m.",
    ]
    assert [line for line in lines if "2 lengths x 6 m SHS 40x40x3" in line]
    assert sum("|" in line for line in lines) >= 3
    assert list(empty_folder.iterdir()) == []


def test_standard_input_gives_the_same(empty_folder: Path) -> None:
    typed = TEXT.replace("; ", "\n") + "\n"
    result = CliRunner().invoke(app, ["quick", "--stock", "6000"], input=typed)
    assert result.exit_code == 0, result.output
    assert result.stdout == run("quick", TEXT, "--stock", "6000").stdout


def test_saved_as_a_job_folder(empty_folder: Path) -> None:
    result = run("quick", TEXT, "--stock", "6 m", "--kerf", "1.5 mm", "--save", "gate", "--json")
    assert result.exit_code == 0, result.output
    assert document(result)["job"]["name"] == "quick"
    assert 'kerf = "1.5 mm"' in Path("gate/workshop.toml").read_text()
    assert "Plan it with: cutplan plan gate/gate.csv" in result.stderr
    assert run("plan", "gate/gate.csv").exit_code == 0
    again = run("quick", TEXT, "--stock", "6 m", "--save", "gate")
    assert again.exit_code == 1
    assert "a name that is taken" in again.stderr


def test_without_stock_lengths_it_says_what_is_missing() -> None:
    result = run("quick", TEXT)
    assert result.exit_code == 1
    assert "no price list and no stock length to cut from" in result.stderr
