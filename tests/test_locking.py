"""A lock that dies with its owner: what stands in the way is a living process, never a file that was left."""

from __future__ import annotations

import os
import signal
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from cutplan.actions.locking import LOCK_FILE, Held, acquire, release

OWNER = (
    "import sys, time\n"
    "from pathlib import Path\n"
    "from cutplan.actions.locking import acquire\n"
    "acquire(Path(sys.argv[1]))\n"
    "print('held', flush=True)\n"
    "time.sleep(60)\n"
)


@pytest.fixture
def lock(tmp_path: Path) -> Path:
    return tmp_path / LOCK_FILE


def test_one_owner_at_a_time(lock: Path) -> None:
    handle = acquire(lock)
    assert lock.read_text() == f"process {os.getpid()}\n"
    with pytest.raises(Held) as held:
        acquire(lock)
    assert held.value.owner == f"process {os.getpid()}"
    assert lock.read_text() == f"process {os.getpid()}\n", "asking changes nothing"
    release(lock, handle)
    assert not lock.exists()
    release(lock, acquire(lock))


def test_a_file_that_was_left_is_taken_over(lock: Path) -> None:
    lock.write_text("process 4711, which is long gone and had more to say\n")
    handle = acquire(lock)
    assert lock.read_text() == f"process {os.getpid()}\n"
    release(lock, handle)


@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGTERM])
def test_an_owner_that_is_killed_has_no_lock_any_more(number: signal.Signals, lock: Path) -> None:
    owner = subprocess.Popen([sys.executable, "-c", OWNER, str(lock)], stdout=subprocess.PIPE, text=True)
    assert owner.stdout is not None
    assert owner.stdout.readline() == "held\n"
    with pytest.raises(Held) as held:
        acquire(lock)
    assert held.value.owner == f"process {owner.pid}"
    owner.send_signal(number)
    owner.wait()
    owner.stdout.close()
    assert lock.exists(), "nobody was left to take it away"
    release(lock, acquire(lock))


@pytest.mark.skipif(os.name != "posix", reason="elsewhere an open file cannot be removed")
def test_a_file_taken_away_between_opening_and_locking_is_no_lock(lock: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The owner before was done at that moment: who waits for its file would share the lock with the next."""
    from cutplan.actions import locking

    real = locking._lock
    opened: list[object] = []

    def slow(handle: int) -> None:
        if not opened:
            lock.unlink()
        opened.append(handle)
        real(handle)

    monkeypatch.setattr(locking, "_lock", slow)
    handle = acquire(lock)
    assert len(opened) == 2
    with pytest.raises(Held):
        acquire(lock)
    release(lock, handle)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
def test_a_pipe_is_no_lock(lock: Path) -> None:
    os.mkfifo(lock)
    with pytest.raises(OSError, match="no plain file"):
        acquire(lock)
    assert lock.is_fifo()


def test_a_link_is_not_followed(lock: Path, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("mine")
    lock.symlink_to(tmp_path / "list.csv")
    with pytest.raises(OSError, match="symbolic link"):
        acquire(lock)
    assert (tmp_path / "list.csv").read_text() == "mine"


@pytest.mark.skipif(os.name != "posix", reason="masks are those of posix")
def test_it_is_made_with_the_mask_of_its_user(lock: Path) -> None:
    before = os.umask(0o027)
    try:
        handle = acquire(lock)
    finally:
        os.umask(before)
    assert stat.S_IMODE(lock.stat().st_mode) == 0o640
    release(lock, handle)
