"""Another command that has the ledger is named while it is waited for."""

from __future__ import annotations

import logging
import os
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack import store
from cutplan.rack.standing import standing
from cutplan.rack.store import open_ledger
from cutplan.rack.waiting import SOMEBODY, holder, patiently
from tests import racks

pytestmark = pytest.mark.skipif(sys.platform not in ("linux", "darwin"), reason="no other system says who has a lock")

OWNER = (
    "import sqlite3, sys\n"
    "db = sqlite3.connect(sys.argv[1], isolation_level=None)\n"
    "db.execute(sys.argv[2])\n"
    "db.execute('SELECT count(*) FROM sqlite_master').fetchall()\n"
    "print('held', flush=True)\n"
    "sys.stdin.read()\n"
)


@contextmanager
def held(path: Path, how: str) -> Iterator[subprocess.Popen[str]]:
    """Another process with a transaction on the ledger, until its stdin is closed."""
    words = [sys.executable, "-c", OWNER, str(path), how]
    with subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as owner:
        assert owner.stdout is not None
        assert owner.stdin is not None
        assert owner.stdout.readline() == "held\n"
        yield owner
        owner.stdin.close()


@pytest.fixture
def ledger_file(tmp_path: Path) -> Path:
    with racks.new(tmp_path / "rack.ledger") as ledger:
        racks.put(ledger, 500)
    return tmp_path / "rack.ledger"


class When(logging.Handler):
    """Does something at the first message, and keeps it."""

    def __init__(self, then: Callable[[], None]) -> None:
        super().__init__()
        self.then, self.messages = then, list[str]()

    def emit(self, record: logging.LogRecord) -> None:
        self.messages.append(record.getMessage())
        self.then()


def writes(path: Path) -> None:
    with open_ledger(path) as ledger:
        racks.put(ledger, 600)


def reads(path: Path) -> None:
    with open_ledger(path, read_only=True) as ledger:
        assert len(standing(ledger)) == 1


@pytest.mark.parametrize(
    ("how", "work"),
    [
        pytest.param("BEGIN IMMEDIATE", writes, marks=pytest.mark.thorough),
        ("BEGIN EXCLUSIVE", writes),
        ("BEGIN EXCLUSIVE", reads),
        ("BEGIN", writes),  # one who only looks is in the way when the change is to be written down
    ],
)
def test_the_holder_is_named_once_and_waited_for(how: str, work: Callable[[Path], None], ledger_file: Path) -> None:
    """It gives way at the message alone: were none to come, a minute would pass and the work be refused."""
    log = logging.getLogger("cutplan.rack.waiting")
    with held(ledger_file, how) as owner:
        assert owner.stdin is not None
        seen = When(owner.stdin.close)
        log.addHandler(seen)
        try:
            work(ledger_file)
        finally:
            log.removeHandler(seen)
        (message,) = seen.messages
    assert message.startswith(f"Waiting for rack.ledger: process {owner.pid}")
    assert message.endswith(" has it.")


def test_who_waited_in_vain_is_told_by_whom(ledger_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store, "PATIENCE_MS", 50)
    with held(ledger_file, "BEGIN IMMEDIATE") as owner, pytest.raises(ProblemsFound) as refused:
        writes(ledger_file)
    assert f"a ledger that process {owner.pid}" in str(refused.value)


def test_nobody_has_it(ledger_file: Path, tmp_path: Path) -> None:
    assert holder(ledger_file, readers=True) == ""
    assert holder(tmp_path / "none.ledger") == ""
    with held(ledger_file, "BEGIN"):
        assert holder(ledger_file) == "", "who reads is in no reader's way"
        assert holder(ledger_file, readers=True) != ""


def test_a_system_that_says_nothing(ledger_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "plan9")
    assert holder(ledger_file) == SOMEBODY


def test_asking_takes_no_lock_away(ledger_file: Path) -> None:
    """Closing any file of a process takes its locks on it away, which would let another one write meanwhile."""
    with open_ledger(ledger_file) as ledger, ledger.changing():
        assert holder(ledger_file, readers=True) == ""
        with pytest.raises(subprocess.CalledProcessError):
            subprocess.run(
                [sys.executable, "-c", OWNER.replace("isolation_level", "timeout=0, isolation_level"), ledger_file,
                 "BEGIN IMMEDIATE"], check=True, capture_output=True, stdin=subprocess.DEVNULL,
            )  # fmt: skip


def test_where_nothing_is_waited_for_nothing_is_said_and_nothing_watches(
    ledger_file: Path, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun = list[threading.Thread]()
    monkeypatch.setattr(threading.Thread, "start", begun.append)
    reads(ledger_file)
    writes(ledger_file)
    assert (caplog.messages, begun) == ([], [])


def test_what_waited_has_the_patience_it_had_and_what_is_wrong_otherwise_is_raised_at_once(ledger_file: Path) -> None:
    with open_ledger(ledger_file) as ledger:
        (before,) = ledger.db.execute("PRAGMA busy_timeout").fetchone()
        patiently(ledger.db, ledger_file, lambda: None)
        tries = list[str]()

        def wrong() -> None:
            tries.append("one")
            ledger.db.execute("SELECT * FROM none")

        with pytest.raises(sqlite3.OperationalError, match="no such table"):
            patiently(ledger.db, ledger_file, wrong)
        assert tries == ["one"]
        assert ledger.db.execute("PRAGMA busy_timeout").fetchone() == (before,) == (store.PATIENCE_MS,)


@pytest.mark.thorough
def test_the_command_says_it_on_stderr(ledger_file: Path) -> None:
    program = str(Path(sys.executable).with_name("cutplan"))
    words = [program, "rack", "add", "SHS 40x40x3", "700", "--ledger", str(ledger_file)]
    with held(ledger_file, "BEGIN IMMEDIATE") as owner:
        assert owner.stdin is not None
        with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as command:
            assert command.stderr is not None
            assert command.stderr.readline().startswith(f"Waiting for rack.ledger: process {owner.pid}")
            owner.stdin.close()
            out, err = command.communicate()
    assert (command.returncode, err) == (0, "")
    assert out.startswith("Mark to paint: ")
    assert os.path.getsize(ledger_file) > 0
