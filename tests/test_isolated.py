"""Helper processes run the same program wherever a user stands: nothing of the current folder is imported."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from cutplan.isolated import last_words, python
from cutplan.planning.workers import side_by_side
from cutplan.rack import list_shares
from tests.test_planning_workers import tasks

LIBRARIES = ("numpy", "sqlite3", "pickle", "json", "cutplan", "sitecustomize", "encodings")
"""What a helper imports, and a stranger's file beside the list may be called."""


@pytest.fixture
def trapped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The current folder, with files of those names that leave a trace when they are run."""
    for name in LIBRARIES:
        (tmp_path / f"{name}.py").write_text(f"open({str(tmp_path / 'run.txt')!r}, 'a').write('{name} ')\n")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "path", ["", str(tmp_path), *sys.path])
    return tmp_path / "run.txt"


def test_planning_helpers_run_nothing_of_the_current_folder(trapped: Path) -> None:
    answers, _ = side_by_side(tasks(3, 4), 1, time.monotonic() + 60, lambda text: None)
    assert None not in answers
    assert not trapped.exists()


def test_the_probe_of_a_share_runs_nothing_of_the_current_folder(trapped: Path) -> None:
    (trapped.parent / "share").mkdir()
    assert list_shares.locks_work(trapped.parent / "share")
    assert not trapped.exists()


def test_no_other_process_is_started_with_code_of_its_own() -> None:
    """Every ``-c`` goes through one function."""
    package = Path(list_shares.__file__).parent.parent
    users = [path.name for path in package.rglob("*.py") if '"-c"' in path.read_text(encoding="utf-8")]
    assert users == ["isolated.py"]


def test_arguments_reach_the_code_as_they_are(tmp_path: Path) -> None:
    odd = f"a b{os.pathsep}'\"\\"
    done = subprocess.run(python("print(sys.argv[1:])", odd, "--x"), cwd=tmp_path, capture_output=True, text=True)
    assert done.stdout.strip() == repr([odd, "--x"])


@pytest.mark.parametrize(
    ("stderr", "words"), [(b"", ""), (b"a\nKeyError: 3\n\n", "KeyError: 3"), (b"\xff\n", "\ufffd")]
)
def test_last_words(stderr: bytes, words: str) -> None:
    assert last_words(stderr) == words
