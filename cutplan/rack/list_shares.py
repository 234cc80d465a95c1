"""A ledger on a network share works only where locks do: told apart by what the system mounts, and tried out."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

from cutplan.isolated import last_words, python
from cutplan.problems import Problem, ProblemsFound, shown

NETWORK = ("nfs", "cifs", "smb", "9p", "afs", "ncpfs", "fuse.sshfs", "fuse.rclone", "fuse.davfs", "davfs")
"""Beginnings of the names of file systems that lie on another computer."""

MOUNTS = Path("/proc/mounts")

_TRY = """
import sqlite3, sys
db = sqlite3.connect(sys.argv[1], timeout=0, isolation_level=None)
try:
    db.execute("BEGIN IMMEDIATE")
except sqlite3.OperationalError:
    sys.exit(7)
"""
"""Another process that asks for a lock that is held: 7 is the answer where locks work."""
_HELD = 7


def on_network(path: Path, mounts: Path = MOUNTS) -> bool:
    """Does this file lie on a network share? False where the system does not tell."""
    text = str(path.absolute())
    if text.startswith("\\\\"):
        return True
    try:
        lines = mounts.read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        return False
    best, kind = "", ""
    for line in lines:
        fields = line.split(" ")
        if len(fields) < 3:
            continue
        place = fields[1].replace("\\040", " ")
        inside = text == place or text.startswith(place.rstrip("/") + "/")
        if inside and len(place) >= len(best):
            best, kind = place, fields[2]
    return kind.startswith(NETWORK)


def locks_work(folder: Path) -> bool:
    """Is a lock that this process holds on a file in a folder seen by another one?

    Raises
    ------
    ProblemsFound
        When no other process could try, with what that one wrote.
    """
    import sqlite3

    path = folder / f".cutplan-lock-test-{os.getpid()}"
    try:
        holder = sqlite3.connect(path, isolation_level=None)
        try:
            holder.execute("BEGIN EXCLUSIVE")
            answer = subprocess.run(python(_TRY, str(path)), check=False, capture_output=True)
            if answer.returncode not in (0, _HELD):
                words = shown(last_words(answer.stderr)) or f"it ended with {answer.returncode}"
                found = f"a network share whose locks another process could not try ({words})"
                accepted = "a folder of this computer, or a share whose locks work"
                raise ProblemsFound(
                    [
                        Problem(
                            where=str(folder), found=found, accepted=accepted, found_is_text=False, code="ledger.share"
                        )
                    ]
                )
            return answer.returncode == _HELD
        finally:
            holder.close()
    except (OSError, sqlite3.Error):
        return False
    finally:
        path.unlink(missing_ok=True)
        path.with_name(f"{path.name}-journal").unlink(missing_ok=True)
