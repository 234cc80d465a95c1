"""A lock on a folder that the system takes back when its owner dies, however it dies.

What counts is the system's lock on the file, never that the file is there: a run that was killed blocks nobody, and
the file it left is taken over. The number of the process stands in it so that a message can name the owner.
"""

from __future__ import annotations

import os
import stat
import sys
from contextlib import suppress
from pathlib import Path

LOCK_FILE = "cutplan.lock"

_FLAGS = os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
"""No link is followed, and nothing is waited for where a pipe bears the name."""

_AT = 1 << 30
"""Windows locks bytes and lets nobody read them: one far behind the text that names the owner."""


class Held(Exception):
    """Another process has the lock; ``owner`` is what stands in the file, blank when it cannot be read."""

    def __init__(self, owner: str) -> None:
        super().__init__(owner)
        self.owner = owner


def acquire(path: Path) -> int:
    """Take the lock at a path without waiting, and return the open file that holds it.

    Raises
    ------
    Held
        When another process, or another use in this one, has it.
    OSError
        When there can be no lock: the folder cannot be written, or something else bears the name.
    """
    while True:
        handle = os.open(path, _FLAGS, 0o666)
        try:
            if not stat.S_ISREG(os.fstat(handle).st_mode):
                raise OSError(0, f"{path.name} there is no plain file")
            try:
                _lock(handle)
            except (BlockingIOError, PermissionError):
                raise Held(_owner(handle)) from None
            if _still_there(handle, path):
                with suppress(OSError):  # on a full disk the owner is not named, and has the lock all the same
                    os.ftruncate(handle, 0)
                    os.write(handle, f"process {os.getpid()}\n".encode())
                return handle
        except BaseException:
            os.close(handle)
            raise
        os.close(handle)  # whoever had it was just done and took the file away


def release(path: Path, handle: int) -> None:
    """Give the lock back and take its file away."""
    if sys.platform == "win32":  # no open file can be removed there
        os.close(handle)
        with suppress(OSError):
            path.unlink()
        return
    with suppress(OSError):
        path.unlink()  # while it is locked: who opened it meanwhile sees that it is no longer there
    os.close(handle)


def _lock(handle: int) -> None:
    if sys.platform == "win32":
        import msvcrt

        os.lseek(handle, _AT, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        os.lseek(handle, 0, os.SEEK_SET)
    else:
        import fcntl

        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


def _owner(handle: int) -> str:
    try:
        os.lseek(handle, 0, os.SEEK_SET)
        return os.read(handle, 100).decode("utf-8", "replace").strip()
    except OSError:
        return ""


def _still_there(handle: int, path: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(handle), os.lstat(path))
    except FileNotFoundError:
        return False
