"""Who has a ledger that is waited for: said after a moment, rather than after a minute of silence.

SQLite says that a file is busy and never who keeps it so. Where the system tells the owner of a lock (Linux and macOS),
the bytes that SQLite locks are asked about. They are those of its file format: pending 0x40000000, reserved the next,
shared the 510 after it (https://www.sqlite.org/src/file/src/os.h).
"""

from __future__ import annotations

import logging
import os
import sqlite3
import struct
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TypeVar

from cutplan.problems import shown

A_MOMENT = 0.5
"""Seconds for which it is nobody's business that two commands meet."""

FIRST_TRY_MS = 50
"""Waited for without a watch: a thread that is begun takes longer than most changes."""

SOMEBODY = "another program"

Answer = TypeVar("Answer")

_PENDING, _SHARED, _LENGTH = 0x40000000, 0x40000002, 512

_LAYOUT = {"linux": ("hhqqi", (0, 4)), "darwin": ("qqihh", (3, 2))}
"""``struct flock`` by system: its layout, and where type and owner stand in it."""

_kept_open: list[int] = []
"""Files that were asked about. Closing one takes from this process every lock it has on that file, SQLite's too."""


def patiently(db: sqlite3.Connection, path: Path, work: Callable[[], Answer], *, readers: bool = False) -> Answer:
    """Do something that waits where another has the ledger, and say, once, who has it.

    Parameters
    ----------
    work
        What may wait; done again where the ledger was busy at first.
    readers
        Who only reads is in the way too, as at the end of a change.
    """
    (patience,) = db.execute("PRAGMA busy_timeout").fetchone()
    db.execute(f"PRAGMA busy_timeout = {min(FIRST_TRY_MS, patience)}")
    try:
        return work()
    except sqlite3.OperationalError as error:
        if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY:
            raise
    finally:
        db.execute(f"PRAGMA busy_timeout = {patience}")
    with _named_while_waiting(path, readers):
        return work()


@contextmanager
def _named_while_waiting(path: Path, readers: bool) -> Iterator[None]:
    done = threading.Event()

    def watch() -> None:
        while not done.wait(A_MOMENT):
            who = holder(path, readers=readers)
            if who:
                logging.getLogger(__name__).warning("Waiting for %s: %s has it.", shown(path.name), who)
                return

    watching = threading.Thread(target=watch, daemon=True)
    watching.start()
    try:
        yield
    finally:
        done.set()


def holder(path: Path, *, readers: bool = False) -> str:
    """The process that writes a ledger, or reads it; blank when there is none, somebody where no system says who."""
    system = _LAYOUT.get(sys.platform)
    if system is None:
        return SOMEBODY
    import fcntl

    layout, (kind_at, owner_at) = system
    asked = [(fcntl.F_RDLCK, _PENDING, _LENGTH)] + [(fcntl.F_WRLCK, _SHARED, _LENGTH - 2)] * readers
    try:
        file = os.open(path, os.O_RDWR)
    except OSError:
        return ""
    _kept_open.append(file)
    for kind, start, length in asked:
        values = (kind, os.SEEK_SET, start, length, 0) if kind_at == 0 else (start, length, 0, kind, os.SEEK_SET)
        with suppress(OSError):
            answer = struct.unpack(layout, fcntl.fcntl(file, fcntl.F_GETLK, struct.pack(layout, *values)))
            if answer[kind_at] != fcntl.F_UNLCK:
                return _process(answer[owner_at])
    return ""


def _process(number: int) -> str:
    if number <= 0:
        return "a program on another computer"
    try:
        name = Path(f"/proc/{number}/comm").read_text(encoding="utf-8", errors="replace").strip()
    except OSError:
        name = ""
    return f"process {number}{f' ({shown(name)})' * bool(name)}"
