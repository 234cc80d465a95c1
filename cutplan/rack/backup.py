"""Copies of a ledger: made while it is in use, and put back with the one that was there kept."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from cutplan.problems import Problem, ProblemsFound
from cutplan.rack.replay import contradictions
from cutplan.rack.store import Ledger, open_ledger, save_copy, told


def backup(ledger: Ledger, target: Path) -> None:
    """Copy a ledger to a file that is not there yet; whole and on disk, or not there.

    Raises
    ------
    ProblemsFound
        When there is a file already, or it cannot be written.
    """
    if target.exists():
        raise _problem(target, "a file that is there already", "the name of a file that is not there yet")
    with told(target):
        save_copy(ledger.db, target)


def restore(path: Path, copy: Path) -> Path | None:
    """Put a copy in the place of a ledger; what was there is kept beside it, and its path returned.

    A sound ledger is overwritten in one transaction of its own, so that a command that waits for it finds it whole. A
    damaged one is moved out of the way.

    Raises
    ------
    ProblemsFound
        When the copy is no sound ledger.
    """
    with open_ledger(copy, read_only=True) as source:
        faults = contradictions(source)
        if faults:
            raise _problem(copy, f"a copy that does not hold ({faults[0]})", "a copy of a sound ledger")
        with told(path):
            if not path.exists() or path.stat().st_size == 0:
                save_copy(source.db, path)
                return None
            kept = _free_name(path)
            if _is_sound(path):
                with closing(sqlite3.connect(path)) as target:
                    save_copy(target, kept)
                    source.db.backup(target)
            else:
                journal = path.with_name(f"{path.name}-journal")
                os.replace(path, kept)
                if journal.exists():
                    os.replace(journal, kept.with_name(f"{kept.name}-journal"))
                save_copy(source.db, path)
            return kept


def _is_sound(path: Path) -> bool:
    try:
        with open_ledger(path, read_only=True):
            return True
    except ProblemsFound:
        return False


def _free_name(path: Path) -> Path:
    number = 1
    while (name := path.with_name(f"{path.name}.before-restore-{number}")).exists():
        number += 1
    return name


def _problem(path: Path, found: str, accepted: str) -> ProblemsFound:
    return ProblemsFound([Problem(where=str(path), found=found, accepted=accepted, found_is_text=False)])
