"""Ctrl-C at every moment of the command: while it loads, while it reads its command line, works, and ends."""

from __future__ import annotations

import signal
import subprocess
import sys

import pytest

from cutplan.cli.process import working

STOPPED = (130, "", "Stopped before there was a plan; nothing was written.\n")


def ended(script: str, *words: str) -> tuple[int, str, str]:
    """Exit code, stdout and stderr of a process that runs a script as the installed command is run."""
    done = subprocess.run([sys.executable, "-c", script, *words], capture_output=True, text=True, check=False)
    return done.returncode, done.stdout, done.stderr


def stopped_at_import(number: int, begun: str = "signal.default_int_handler") -> str:
    """The command, sent a real interrupt when it loads its n-th module; ``begun`` is what SIGINT did before."""
    return (
        "import os, signal, sys\n"
        f"signal.signal(signal.SIGINT, {begun})\n"
        "from cutplan.cli import main\n"
        f"left = [{number}]\n"
        "def count(event, args):\n"
        "    left[0] -= event == 'import'\n"
        "    if event == 'import' and left[0] == 0:\n"
        "        os.kill(os.getpid(), signal.SIGINT)\n"
        "sys.addaudithook(count)\n"
        "main()\n"
    )


@pytest.mark.parametrize("number", [1, 2, 5, 20, 50, 100, 200, 300])
def test_a_stop_while_modules_load(number: int, parts: str) -> None:
    assert ended(stopped_at_import(number), "check", parts) == STOPPED


@pytest.mark.parametrize("word", ["--help", "--version"])
def test_a_stop_before_a_word_is_said(word: str) -> None:
    assert ended(stopped_at_import(100), word) == STOPPED


def test_a_command_that_is_to_run_on_runs_on(parts: str) -> None:
    code, out, err = ended(stopped_at_import(100, "signal.SIG_IGN"), "check", parts)
    assert (code, err) == (0, "")
    assert out.startswith("frame: 2 lines, 6 parts")


def test_a_stop_while_the_command_line_is_read(parts: str) -> None:
    script = (
        "import os, signal\n"
        "from cutplan import cli\n"
        "from cutplan.cli import commands\n"
        "commands.app = lambda: os.kill(os.getpid(), signal.SIGINT)\n"
        "cli.main()\n"
    )
    assert ended(script) == STOPPED


@pytest.mark.parametrize("pressed", [True, False])
def test_a_stop_that_a_library_turns_into_an_error(pressed: bool, parts: str) -> None:
    """As pybind11 has it: stopped while it loads, a module in C is said not to have been loaded."""
    script = (
        "import os, signal\n"
        "from cutplan import actions, cli\n"
        "def load(*words, **options):\n"
        "    try:\n"
        f"        if {pressed}:\n"
        "            os.kill(os.getpid(), signal.SIGINT)\n"
        "    except KeyboardInterrupt:\n"
        "        pass\n"
        "    raise ImportError('initialization failed')\n"
        "actions.read_job = load\n"
        "cli.main()\n"
    )
    code, out, err = ended(script, "check", parts)
    if pressed:
        assert (code, out, err) == STOPPED
    else:
        assert (code, err.splitlines()[0].split(": ", 1)[1]) == (70, "ImportError: initialization failed")


def test_a_stop_when_all_is_done_changes_nothing(parts: str) -> None:
    script = (
        "import atexit, os, signal\n"
        "from cutplan import cli\n"
        "atexit.register(lambda: os.kill(os.getpid(), signal.SIGINT))\n"
        "cli.main()\n"
    )
    code, _, err = ended(script, "check", parts)
    assert (code, err) == (0, "")


def test_the_entry_loads_next_to_nothing() -> None:
    """Until Ctrl-C is seen to, it would end in a trace."""
    script = "import sys\nimport cutplan.cli\nprint(*sorted(name for name in sys.modules if 'cutplan' in name))"
    _, out, _ = ended(script)
    own = [name for name in out.split() if not name.startswith("__editable__")]
    assert own == ["cutplan", "cutplan.cli", "cutplan.cli.process"]


def test_inside_another_program_ctrl_c_stays_as_it_is() -> None:
    before = signal.getsignal(signal.SIGINT)
    with working():
        assert signal.getsignal(signal.SIGINT) is before
    assert signal.getsignal(signal.SIGINT) is before
