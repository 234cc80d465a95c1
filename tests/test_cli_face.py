"""The command itself: its version, wrong usage, a stop before, while and after it works."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.commands import run


def test_version() -> None:
    result = run("--version")
    assert (result.exit_code, result.stdout.split()[0]) == (0, "cutplan")


@pytest.mark.parametrize(
    "words", [[], ["plan"], ["plan", "x.csv", "--colour"], ["cut"], ["plan", "x", "--time-limit", "0"]]
)
def test_wrong_usage(words: list[str]) -> None:
    assert run(*words).exit_code == 2


def test_a_stop_while_the_command_line_is_read(parts: str) -> None:
    script = (
        "import os, signal\n"
        "from cutplan.cli import face\n"
        "face.app = lambda: os.kill(os.getpid(), signal.SIGINT)\n"
        "face.main()\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (130, "Stopped before there was a plan; nothing was written.\n")


def test_a_stop_when_all_is_done_changes_nothing(parts: str) -> None:
    script = (
        "import atexit, os, signal\n"
        "from cutplan import cli\n"
        "atexit.register(lambda: os.kill(os.getpid(), signal.SIGINT))\n"
        "cli.main()\n"
    )
    done = subprocess.run([sys.executable, "-c", script, "check", parts], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
