"""``labels`` prints again, and says where and how many."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.reports import extent
from tests.commands import run


@pytest.fixture
def plan_file(parts: str, tmp_path: Path) -> Path:
    assert run("plan", parts).exit_code == 0
    return Path("reports/frame/plan.json")


def test_labels_in_words_and_as_json(plan_file: Path) -> None:
    told = run("labels", str(plan_file), "--size", "roll 57 x 32 mm")
    assert told.exit_code == 0
    assert told.stdout.endswith("labels.pdf. Print at full size, not fitted to the page.\n")
    answer = json.loads(run("labels", str(plan_file), "--json", "--start", "3").stdout)
    assert answer["file"] == str(Path("reports/frame/labels.pdf"))
    assert told.stdout.startswith(f"{answer['labels']} labels: ")
    assert (answer["first"], answer["of"]) == (1, answer["labels"])


def test_labels_beyond_one_file_are_named(plan_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(extent, "MOST_LABELS", 2)
    told = run("labels", str(plan_file), "--from", "2")
    assert told.stdout.startswith("2 labels: ")
    assert ": --from 4 prints those that follow.\n" in told.stdout


def test_sheets_in_words_and_as_json(plan_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    answer = json.loads(run("sheets", str(plan_file), "--json").stdout)
    assert answer == {
        "file": str(Path("reports/frame/cut-1.pdf")),
        "ways": answer["of"],
        "first": 1,
        "of": answer["of"],
    }
    monkeypatch.setattr(extent, "MOST_WAYS", 1)
    last = run("sheets", str(plan_file), "--from", str(answer["of"]))
    assert last.stdout.startswith(f"Ways to cut a bar {answer['of']} to {answer['of']} of {answer['of']}: ")
    told = run("sheets", str(plan_file))
    assert told.stdout.startswith(f"Ways to cut a bar 1 to 1 of {answer['of']}: ")
    assert told.stdout.endswith("--from 2 prints those that follow.\n")


def test_a_size_that_is_not_known_is_bad_input(plan_file: Path) -> None:
    refused = run("labels", str(plan_file), "--size", "huge")
    assert refused.exit_code == 1
    assert '--size: found "huge".' in refused.stderr


def test_plan_opens_what_it_printed(parts: str, monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[Path] = []

    def opens(path: Path) -> bool:
        opened.append(path)
        return True

    monkeypatch.setattr(actions, "open_file", opens)
    assert run("plan", parts, "--open").exit_code == 0
    assert opened == [Path("reports/frame/plan.pdf")]
    monkeypatch.setattr(actions, "open_file", lambda path: False)
    assert "No program was found to open" in run("plan", parts, "--open").stderr
