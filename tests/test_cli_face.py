"""The command itself: its version, wrong usage, a stop before, while and after it works."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.commands import document, run


def test_version() -> None:
    result = run("--version")
    assert (result.exit_code, result.stdout.split()[0]) == (0, "cutplan")


@pytest.mark.parametrize(
    "words", [[], ["plan"], ["plan", "x.csv", "--colour"], ["cut"], ["plan", "x", "--time-limit", "0"]]
)
def test_wrong_usage(words: list[str]) -> None:
    assert run(*words).exit_code == 2


@pytest.mark.parametrize(
    ("words", "found", "command"),
    [
        (["plan"], "Missing argument 'PARTS'.", "cutplan plan"),
        (["plan", "x.csv", "--colour"], "No such option: --colour (Possible options: --out)", "cutplan plan"),
        (["cut"], "No such command 'cut'.", "cutplan"),
        (["rack", "count", "B2", "--place", "x"], "No such option: --place", "cutplan rack count"),
        (["section"], "Invalid value for SECTION: one of SECTION and --family", "cutplan section"),
    ],
)
def test_wrong_usage_as_json(words: list[str], found: str, command: str) -> None:
    result = run(*words, "--json")
    (problem,) = document(result)["problems"]
    assert (result.exit_code, problem["where"]) == (2, "command line")
    assert (problem["found"], problem["accepted"]) == (found, f"what {command} --help says")


def test_exit_codes_stay_under_json(parts: str) -> None:
    codes = [
        run(*words, "--json").exit_code
        for words in (["check", parts], ["check", "nowhere.csv"], ["section", "SHS 40x40"])
    ]
    assert codes == [0, 1, 1]


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
