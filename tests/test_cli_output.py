"""What is printed where, what went wrong in words, and each exit code."""

from __future__ import annotations

import io
import json
import os
import re
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.cli import output
from cutplan.problems import NoPlan
from tests.commands import PARTS, command, document, run
from tests.effort import some, some_rows

pytestmark = pytest.mark.usefixtures("no_paper")


def test_bad_input_in_words_and_as_json(parts: str, tmp_path: Path) -> None:
    (tmp_path / parts).write_text(PARTS.replace("1200", '"1,200"').replace("B,2", "B,2.5"))
    words = run("plan", parts)
    assert words.exit_code == 1
    assert words.stdout == ""
    assert 'found "1,200"' in words.stderr
    assert 'found "2.5"' in words.stderr
    as_json = run("plan", parts, "--json")
    assert as_json.exit_code == 1
    problems = document(as_json)["problems"]
    assert [(problem["code"], problem["found"]) for problem in problems] == [
        ("length.comma", "1,200"),
        ("quantity.unreadable", "2.5"),
    ]
    assert not (tmp_path / "reports").exists()


def test_no_plan_possible(parts: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from cutplan import planning

    def none(*_: object, **__: object) -> None:
        raise NoPlan("B12 needs 7320 mm; the longest bar gives 5980 mm", code="plan.impossible")

    monkeypatch.setattr(planning, "plan_job", none)
    words = run("plan", parts)
    assert (words.exit_code, words.stdout) == (3, "")
    assert words.stderr == "B12 needs 7320 mm; the longest bar gives 5980 mm\n"
    problem = document(run("plan", parts, "--json"))["problems"][0]
    assert (problem["code"], problem["found"][:3]) == ("plan.impossible", "B12")


def test_stopped_without_a_plan(parts: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from cutplan import planning

    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(planning, "plan_job", stopped)
    result = run("plan", parts)
    assert (result.exit_code, result.stdout) == (130, "")
    assert "nothing was written" in result.stderr
    assert not (tmp_path / "reports").exists()


def test_a_fault_is_told_in_words(parts: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def fault(*_: object, **__: object) -> None:
        raise IndexError("off by one")

    monkeypatch.setattr(actions, "read_job", fault)
    result = run("check", parts)
    assert result.exit_code == 70
    assert "IndexError: off by one" in result.stderr
    assert "Traceback" not in result.stderr
    assert isinstance(run("check", parts, "--debug").exception, IndexError)


@pytest.mark.thorough
def test_stop_from_the_keyboard_before_there_is_a_plan(parts: str, tmp_path: Path) -> None:
    """A real interrupt, sent by the program to itself while it reads: no trace, exit 130, nothing left."""
    script = (
        "import os, signal\n"
        "from cutplan import actions, cli\n"
        "actions.read_job = lambda *a, **k: os.kill(os.getpid(), signal.SIGINT)\n"
        "cli.main()\n"
    )
    done = subprocess.run([sys.executable, "-c", script, "plan", parts], capture_output=True, text=True, check=False)
    assert done.returncode == 130, done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "reports").exists()


@pytest.mark.thorough
@pytest.mark.parametrize("as_json", [False, True])
def test_letters_that_the_terminal_lacks(as_json: bool, parts: str, tmp_path: Path) -> None:
    """The installed command; as its error stream is no terminal, it says what was written and shows no progress."""
    (tmp_path / parts).write_text(PARTS.replace("A,4", "\N{GRINNING FACE}é,4"), encoding="utf-8")
    environment = {**os.environ, "PYTHONIOENCODING": "cp1252:strict"}
    done = command("plan", parts, *(["--json"] if as_json else []), env=environment, encoding="cp1252")
    assert done.returncode == 0, done.stderr
    assert done.stderr.startswith("Written: ")
    assert done.stderr.count("\n") == 1
    if as_json:
        assert json.loads(done.stdout)["parts"][0]["mark"] == "\N{GRINNING FACE}é"


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="the system has no device that is always full")
@pytest.mark.parametrize("word", some(["plan", "check"], "check"))
def test_a_result_that_cannot_be_printed(word: str, parts: str, tmp_path: Path) -> None:
    with Path("/dev/full").open("w") as full:
        done = command(word, parts, stdout=full)
    assert done.returncode == 70
    names = ("plan.json", "plan.xlsx", "plan.pdf", "plan.html", "labels.pdf")
    written = "Written: " + ", ".join(str(Path("reports/frame") / name) for name in names)
    assert done.stderr.splitlines() == [
        *([written] if word == "plan" else []),
        "The result could not be printed (No space left on device).",
    ]
    assert (tmp_path / "reports/frame/plan.json").exists() is (word == "plan")


def test_a_stop_while_the_result_is_printed(parts: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(actions, "summary", stopped)
    result = run("plan", parts)
    assert result.exit_code == 5
    assert result.stderr.startswith("Written: ")
    assert "nothing was written" not in result.stderr
    assert (tmp_path / "reports/frame/plan.json").exists()


LAST_WORDS = [
    ("rack add|SHS 40x40x3|1240", "cutplan.cli.on_rack.print_text"),
    ("record|reports/frame/plan.json", "cutplan.words.recorded.record_text"),
    ("replan|reports/frame/plan.json|--bar|1", "cutplan.actions.replan_text"),
    ("job cut|reports/frame/plan.json|--bar|1", "cutplan.words.job_words.ticked_text"),
    ("rack show", "cutplan.words.rack_words.rack_list"),
]
"""Commands, and what each calls last."""


@pytest.mark.parametrize(("words", "last"), some_rows(LAST_WORDS, LAST_WORDS[4]))
def test_a_stop_when_it_is_in_the_ledger(words: str, last: str, parts: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """It was done, and is not to be done again; who only looks has nothing done."""

    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    run("plan", parts)
    run("rack", "add", "FL 50x6", "900")
    first, *rest = words.split("|")
    before = actions.ledger_written()
    with monkeypatch.context() as patched:
        patched.setattr(last, stopped)
        result = run(*first.split(), *rest)
    if first == "rack show":
        assert (result.exit_code, result.stderr) == (130, "Stopped; nothing was written.\n")
        return
    told = "Stopped when it was done: it is in the ledger. cutplan undo takes it back.\n"
    assert (result.exit_code, result.stderr) == (5, told)
    assert actions.ledger_written() == before + 1
    assert run("undo").exit_code == 0


@pytest.mark.thorough
@pytest.mark.skipif(os.name != "posix", reason="stderr is closed as a posix shell does it")
@pytest.mark.parametrize("word", ["plan", "check"])
def test_without_a_stderr(word: str, parts: str) -> None:
    program = str(Path(sys.executable).with_name("cutplan"))
    done = subprocess.run(["/bin/sh", "-c", f'"{program}" {word} {parts} 2>&-'], stdout=subprocess.PIPE, check=False)
    assert done.returncode == 0


def test_bars_are_boxed_on_a_terminal_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    class Terminal(io.StringIO):
        encoding = "utf-8"

        def isatty(self) -> bool:
            return True

    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setattr(sys, "stdout", io.StringIO())
    assert not output.boxed()
    monkeypatch.setattr(sys, "stdout", Terminal())
    assert output.boxed()
    monkeypatch.setenv("NO_COLOR", "1")
    assert not output.boxed()


def test_lines_are_no_wider_than_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    told = "frame: holds\n\n  a sentence that goes on for more than forty columns"
    assert output.folded(told) == "frame: holds\n\n  a sentence that goes on for more than\n    forty columns"


@pytest.mark.skipif(os.name != "posix", reason="stdout is closed as a posix shell does it")
@pytest.mark.thorough
@pytest.mark.parametrize("words", ["plan frame.csv", "check frame.csv", "check frame.csv --json", "rack show"])
def test_without_a_stdout(words: str, parts: str) -> None:
    program = str(Path(sys.executable).with_name("cutplan"))
    assert run("rack", "add", "SHS 40x40x3", "700").exit_code == 0
    done = subprocess.run(["/bin/sh", "-c", f'"{program}" {words} >&-'], stderr=subprocess.PIPE, text=True, check=False)
    assert done.returncode == 70
    assert done.stderr.splitlines()[-1] == "The result could not be printed (stdout is closed)."


@pytest.mark.thorough
@pytest.mark.skipif(not Path("/proc/self/fd").exists(), reason="the system does not list open files")
def test_no_file_is_opened_in_the_place_of_a_closed_stdout(parts: str) -> None:
    """What a library in C prints to stdout would be written into it."""
    script = (
        "import os\n"
        "from cutplan import actions, cli\n"
        "def show(*words, **options):\n"
        "    os.write(2, os.readlink('/proc/self/fd/1').encode())\n"
        "    raise SystemExit(0)\n"
        "actions.read_job = show\n"
        "cli.main()\n"
    )
    words = [sys.executable, "-c", script, "check", parts]
    done = subprocess.run(["/bin/sh", "-c", 'exec "$@" >&-', "sh", *words], stderr=subprocess.PIPE, check=False)
    assert done.stderr == b"/dev/null"


@pytest.mark.skipif(os.name != "posix", reason="a pseudo-terminal is needed")
def test_progress_is_one_line_that_is_redrawn_and_gone_at_the_end(monkeypatch: pytest.MonkeyPatch) -> None:
    import pty

    monkeypatch.setenv("TERM", "xterm")
    ours, theirs = pty.openpty()
    with os.fdopen(theirs, "w") as terminal:
        monkeypatch.setattr(sys, "stderr", terminal)
        with output.progress() as tell:
            assert tell is not None
            for number in range(3):
                tell(f"[group {number}] {'SHS 40x40x3 to EN 10219-2, any grade, black, ' * 3}")
    drawn = ""
    with suppress(OSError):  # the end of a pseudo-terminal is an error here, and nothing there
        while piece := os.read(ours, 100_000):
            drawn += piece.decode()
    os.close(ours)
    assert "[group 2]" in drawn, "square brackets in a name are no mark-up"
    assert "0:00:0" in re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", drawn.split("[group 2]")[0][-40:]), "however long it is"
    # What a terminal shows that goes back to the line's beginning, clears it and goes up a line as it is bidden.
    assert _shown(drawn) == ""


def test_no_progress_where_nobody_watches(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", io.StringIO())
    with output.progress() as tell:
        assert tell is None


def _shown(drawn: str) -> str:
    lines, at = [""], 0
    for token in re.findall(r"\x1b\[[0-9;?]*[A-Za-z]|\r|\n|[^\x1b\r\n]+", drawn):
        if token == "\n":
            at += 1
            lines += [""] * (at + 1 - len(lines))
        elif token == "\x1b[1A":
            at -= 1
        elif token == "\x1b[2K":
            lines[at] = ""
        elif token[0] not in "\x1b\r":
            lines[at] = token  # rich writes a line as a whole, from its beginning
    return "".join(lines).strip()
