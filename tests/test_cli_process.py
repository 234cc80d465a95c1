"""Ctrl-C at every moment of the command: while it loads, while it reads its command line, works, and ends."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.cli.process import working
from tests.effort import some

STOPPED = (130, "", "Stopped; nothing was written.\n")


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


@pytest.mark.parametrize("number", some([1, 2, 5, 20, 50, 100, 200, 250], 20))
def test_a_stop_while_modules_load(number: int, parts: str) -> None:
    assert ended(stopped_at_import(number), "check", parts) == STOPPED


@pytest.mark.parametrize("module", ["cutplan.cli.process", "cutplan.words.stop_words"])
def test_a_stop_before_anybody_sees_to_it(module: str) -> None:
    """While what sees to it is loaded, or the words that say so."""
    script = (
        "import sys\n"
        "class Pressed:\n"
        "    def find_spec(self, name, *_):\n"
        f"        if name == {module!r}:\n"
        "            sys.meta_path.remove(self)\n"
        "            raise KeyboardInterrupt\n"
        "sys.meta_path.insert(0, Pressed())\n"
        "from cutplan.cli import main\n"
        "main()\n"
    )
    assert ended(script) == STOPPED


@pytest.mark.parametrize("word", ["--help", "--version"])
def test_a_stop_before_a_word_is_said(word: str) -> None:
    assert ended(stopped_at_import(100), word) == STOPPED


@pytest.mark.thorough
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


LOADING = {
    "pybind11": "ImportError('initialization failed')",
    "numpy, loaded again": "RuntimeError('CPU dispatcher tracer already initialized')",
    "C": "SystemError('returned NULL without setting an exception')",
}


@pytest.mark.parametrize(
    "stop",
    some(
        [(error, pressed) for error in LOADING.values() for pressed in (True, False)],
        (LOADING["pybind11"], True),
    ),
)
def test_a_stop_that_a_library_turns_into_an_error(stop: tuple[str, bool], parts: str) -> None:
    """Stopped while it loads, a module in C is said not to have been loaded, or to be loaded already."""
    error, pressed = stop
    script = (
        "import os, signal\n"
        "from cutplan import actions, cli\n"
        "def load(*words, **options):\n"
        "    try:\n"
        f"        if {pressed}:\n"
        "            os.kill(os.getpid(), signal.SIGINT)\n"
        "    except KeyboardInterrupt:\n"
        "        pass\n"
        f"    raise {error}\n"
        "actions.read_job = load\n"
        "cli.main()\n"
    )
    code, out, err = ended(script, "check", parts)
    if pressed:
        assert (code, out, err) == STOPPED
    else:
        told = error.replace("('", ": ").replace("')", "")
        assert (code, err.splitlines()[0].split(": ", 1)[1]) == (70, told)


@pytest.mark.thorough
def test_a_stop_when_all_is_done_changes_nothing(parts: str) -> None:
    script = (
        "import atexit, os, signal\n"
        "from cutplan import cli\n"
        "atexit.register(lambda: os.kill(os.getpid(), signal.SIGINT))\n"
        "cli.main()\n"
    )
    code, _, err = ended(script, "check", parts)
    assert (code, err) == (0, "")


def test_inside_another_program_ctrl_c_stays_as_it_is() -> None:
    before = signal.getsignal(signal.SIGINT)
    with working():
        assert signal.getsignal(signal.SIGINT) is before
    assert signal.getsignal(signal.SIGINT) is before


KILLED_EARLY = {-signal.SIGTERM, -signal.SIGHUP} if hasattr(signal, "SIGHUP") else set()
"""Before a command works, a request to end ends it at once; nothing is begun by then."""


def ended_by(number: int, after: float, parts: str) -> tuple[int, str]:
    """Plan a list and send a signal after so many seconds; the exit code, and what was said."""
    program = str(Path(sys.executable).with_name("cutplan"))
    begun = subprocess.Popen([program, "plan", parts], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    time.sleep(after)
    begun.send_signal(number)
    _, err = begun.communicate()
    assert "Traceback" not in err
    return begun.returncode, f"{signal.Signals(number).name} after {after:.3f} s: {err}"


def sent_at_random(times: int, parts: str) -> None:
    """Whenever it comes, the folder is not there, or holds a plan that holds, and nothing besides."""
    folder, chance, codes = Path("reports/frame"), random.Random(times), set()
    begun = time.perf_counter()
    assert ended("from cutplan import cli; cli.main()", "plan", parts)[0] == 0
    lasts = time.perf_counter() - begun
    whole = {path.name: path.read_bytes() for path in folder.iterdir()}
    shutil.rmtree("reports")
    for number in [signal.SIGTERM, signal.SIGHUP] * times:
        code, said = ended_by(number, chance.uniform(0, 1.1 * lasts), parts)
        codes.add(code)
        assert code in {0, 5, 130} | KILLED_EARLY, said
        if code == 5:  # the search was stopped with a plan, which says so
            assert sorted(path.name for path in folder.iterdir()) == sorted(whole)
            assert actions.verify(folder / "plan.json") == ()
        elif code == 0 or Path("reports").exists():  # there is a plan, also where the signal came after the work
            if any(path.is_dir() for path in folder.iterdir()):  # final, not all in place: a reader does that
                assert actions.verify(folder / "plan.json") == ()
            assert {path.name: path.read_bytes() for path in folder.iterdir()} == whole
        shutil.rmtree("reports", ignore_errors=True)
    assert codes != {0}, "no signal came in time: the test shows nothing"


@pytest.mark.thorough
@pytest.mark.skipif(os.name != "posix", reason="signals of posix")
def test_a_request_to_end_leaves_nothing_half_done(parts: str) -> None:
    sent_at_random(4, parts)


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="signals of posix")
def test_a_hundred_requests_to_end_leave_nothing_half_done(parts: str) -> None:
    sent_at_random(50, parts)


@pytest.mark.skipif(os.name != "posix", reason="signals of posix")
@pytest.mark.parametrize("number", some(["SIGTERM", "SIGHUP", "SIGINT"], "SIGTERM"))
def test_asked_to_end_while_it_works(number: str, parts: str, tmp_path: Path) -> None:
    script = (
        "import os, signal\n"
        "from cutplan import cli, planning\n"
        f"planning.plan_job = lambda *a, **k: os.kill(os.getpid(), signal.{number})\n"
        "cli.main()\n"
    )
    assert ended(script, "plan", parts) == STOPPED
    assert not (tmp_path / "reports").exists()


@pytest.mark.skipif(os.name != "posix", reason="signals of posix")
def test_asked_to_end_while_a_sheet_is_set(parts: str, tmp_path: Path) -> None:
    """The typesetter is at work in a thread of its own, which a process that ends does not wait for."""
    script = (
        "import os, signal, threading, time\n"
        "import typst\n"
        "from cutplan import cli\n"
        "class Compiler:\n"
        "    def __init__(self, **how): pass\n"
        "    def compile_with_warnings(self, **how):\n"
        "        os.kill(os.getpid(), signal.SIGINT)\n"
        "        time.sleep(600)\n"
        "typst.Compiler = Compiler\n"
        "cli.main()\n"
    )
    assert ended(script, "plan", parts) == STOPPED
    assert not (tmp_path / "reports").exists()


@pytest.mark.thorough
@pytest.mark.skipif(os.name != "posix", reason="signals of posix")
def test_a_command_that_is_to_outlive_its_terminal_does(parts: str) -> None:
    script = (
        "import os, signal\n"
        "signal.signal(signal.SIGHUP, signal.SIG_IGN)\n"
        "from cutplan import actions, cli\n"
        "read = actions.read_job\n"
        "actions.read_job = lambda *a, **k: (os.kill(os.getpid(), signal.SIGHUP), read(*a, **k))[1]\n"
        "cli.main()\n"
    )
    assert ended(script, "check", parts)[0] == 0
