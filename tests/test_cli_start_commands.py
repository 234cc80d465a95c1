"""The commands ``new`` and ``convert``."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands import document, run


@pytest.fixture(autouse=True)
def empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_new_says_what_to_do_next() -> None:
    result = run(
        "new", "gate", "--unit", "mm", "--stock", "6 m", "--kerf", "2 mm", "--paper", "A4", "--currency", "AUD"
    )
    assert result.exit_code == 0, result.output
    assert result.stdout == "Fill in gate.xlsx and save it, then: cutplan plan gate.xlsx\n"
    again = run("new", "gate.xlsx", "--json")
    assert again.exit_code == 1
    (problem,) = document(again)["problems"]
    assert problem["found"] == "a file that is there already"


def test_nothing_is_asked_where_nobody_can_answer(empty_folder: Path) -> None:
    assert document(run("new", "gate", "--json")) == {"written": ["gate.xlsx"]}
    assert [path.name for path in empty_folder.iterdir()] == ["gate.xlsx"]


def test_convert_there_and_back(parts: str) -> None:
    result = run("convert", parts)
    assert result.exit_code == 0, result.output
    assert result.stderr == "Written: frame.xlsx\n"
    back = run("convert", "frame.xlsx", "--json")
    assert document(back)["written"] == [
        "frame/frame.csv",
        "frame/prices.csv",
        "frame/workshop.toml",
    ]
    there, again = (run("plan", name).stdout.splitlines() for name in ("frame.csv", "frame/frame.csv"))
    assert there[0].startswith("frame: 6 parts from 2 bars, plan ")  # the name of a plan holds the bytes of its files
    assert again[0].rpartition(" ")[0] == there[0].rpartition(" ")[0]
    assert again[1:] == there[1:]
