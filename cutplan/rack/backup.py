"""Copies of a ledger: made while it is in use, and put back with the one that was there kept."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections import defaultdict
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cutplan.problems import Problem, ProblemsFound
from cutplan.rack.marks import LETTERS, look_of, mark_of
from cutplan.rack.pieces import Doing
from cutplan.rack.replay import contradictions
from cutplan.rack.store import Ledger, open_ledger, refusals_named, save_copy
from cutplan.rack.waiting import patiently
from cutplan.unfinished import unfinished


def backup(ledger: Ledger, target: Path) -> None:
    """Copy a ledger to a file that is not there yet; whole and on disk, or not there.

    Raises
    ------
    ProblemsFound
        When there is a file already, or it cannot be written.
    """
    if target.exists():
        raise _problem(
            target, "a file that is there already", "the name of a file that is not there yet", code="file.exists"
        )
    with refusals_named(target):
        save_copy(ledger.db, target)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """Something done that is not in the copy, and the marks of the pieces that moved."""

    doing: Doing
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """What putting a copy back came to.

    Parameters
    ----------
    kept
        Where the ledger that was there is kept; None where there was none.
    lost
        What was done since the copy was made and is not in it; pieces and marks of these actions have to be looked at.
    readable
        Was something there that could be read? If not, ``lost`` is not known, and new marks begin far beyond those of
        the copy.
    """

    kept: Path | None = None
    lost: tuple[Lost, ...] = ()
    readable: bool = True


def restore(path: Path, copy: Path) -> Restored:
    """Put a copy in the place of a ledger; what was there is kept beside it.

    There is a whole ledger at ``path`` at every moment, whatever kills this, and no mark that was given since the copy
    was made is given again. A sound ledger is overwritten in one transaction of its own, so that a command that waits
    for it finds it whole; of a damaged one nothing is needed.

    Raises
    ------
    ProblemsFound
        When the copy is no sound ledger.
    """
    with open_ledger(copy, read_only=True) as source:
        faults = contradictions(source)
        if faults:
            raise _problem(
                copy, f"a copy that does not hold ({faults[0]})", "a copy of a sound ledger", code="ledger.copy"
            )
        with refusals_named(path):
            kept = _free_name(path)
            half = unfinished(path.with_name(f"{path.name}.restored"))
            try:
                save_copy(source.db, half)
                if not path.exists() or path.stat().st_size == 0:
                    with open_ledger(half) as ready:
                        _carry_on(ready, None)
                    os.replace(half, path)
                    return Restored(readable=False)
                with open_ledger(half) as ready:
                    with _held(path) as target:
                        known = _marks_and_actions(target) if target else None
                        if target and known:
                            lost = _carry_on(ready, known)
                            save_copy(target, kept)
                            ready.db.backup(target)
                            return Restored(kept=kept, lost=lost)
                    with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as damaged:
                        known = _marks_and_actions(damaged)
                    lost = _carry_on(ready, known)
                _replace(path, kept, half)
                return Restored(kept=kept, lost=lost, readable=known is not None)
            finally:
                half.unlink(missing_ok=True)


@contextmanager
def _held(path: Path) -> Iterator[sqlite3.Connection | None]:
    """A sound ledger that nobody else reads or writes meanwhile; None where it is damaged.

    What was done up to then is known, and nothing is done after that: it would be lost without a word, and its marks
    given again. The lock outlasts a transaction, because SQLite copies into a file only outside of one.
    """
    try:
        ledger = open_ledger(path)
    except ProblemsFound as refused:
        if any(problem.code == "ledger.busy" for problem in refused.problems):
            raise
        yield None
        return
    with ledger:
        patiently(ledger.db, path, lambda: ledger.db.execute("BEGIN EXCLUSIVE"), readers=True)
        ledger.db.execute("PRAGMA locking_mode = EXCLUSIVE")
        ledger.db.execute("COMMIT")
        yield ledger.db


_Known = tuple[list[tuple[str, str, int | None]], list[tuple[Any, ...]], dict[int, dict[str, None]]]

_GAP = 100 * len(LETTERS)
"""How far marks skip when those that were given cannot be read: a hundred rounds of all letters (own choice)."""


def _marks_and_actions(db: sqlite3.Connection) -> _Known | None:
    """Marks given, actions with seals, and the marks each moved, as far as they can be read; None where they cannot."""
    try:
        marks = db.execute("SELECT look, mark, number FROM mark").fetchall()
        sealed = db.execute("SELECT count(*) FROM sqlite_master WHERE name = 'seal'").fetchone()[0]
        digest = "(SELECT digest FROM seal WHERE action = action.id)" if sealed else "NULL"
        rows = db.execute(f"SELECT id, {digest}, at, who, what, job, plan, reason FROM action ORDER BY id").fetchall()
        if any(look != look_of(mark) or isinstance(number, str) for look, mark, number in marks):
            return None
        return marks, rows, _moved(db)
    except Exception:  # it is being put aside because it may be damaged in any way
        return None


def _moved(db: sqlite3.Connection) -> dict[int, dict[str, None]]:
    """The marks of the pieces that each action moved, in their order; none where movements cannot be read."""
    found: dict[int, dict[str, None]] = defaultdict(dict)
    try:
        for action, mark in db.execute(
            "SELECT action, mark FROM movement JOIN piece ON piece.id = movement.piece ORDER BY movement.id"
        ):
            found[action][mark] = None
    except sqlite3.Error:
        return {}
    return found


def _carry_on(ready: Ledger, known: _Known | None) -> tuple[Lost, ...]:
    """Keep marks given since the copy was made from being given again; what was done since."""
    with ready.changing() as db:
        if known is None:
            (highest,) = db.execute("SELECT coalesce(max(number), -1) FROM mark").fetchone()
            mark = mark_of(highest + _GAP)
            db.execute("INSERT OR IGNORE INTO mark VALUES (?, ?, ?)", (look_of(mark), mark, highest + _GAP))
            return ()
        marks, rows, moved = known
        for look, mark, number in marks:
            if db.execute("INSERT OR IGNORE INTO mark VALUES (?, ?, ?)", (look, mark, number)).rowcount:
                db.execute("INSERT INTO carried VALUES (?)", (mark,))
        there = set(db.execute("SELECT id, digest FROM action LEFT JOIN seal ON seal.action = action.id"))
        sealed = any(row[1] is not None for row in rows)
        ids = {number for number, _ in there}
        names = ("at", "who", "what", "job", "plan", "reason")
        return tuple(
            Lost(doing=Doing(**dict(zip(names, row[2:], strict=True))), marks=tuple(moved.get(row[0], ())))
            for row in rows
            if (row[:2] not in there if sealed else row[0] not in ids)
        )


def _replace(path: Path, kept: Path, ready: Path) -> None:
    """Keep a damaged ledger and its journal beside it, then put the new one in its place in one step.

    The journal goes before that: SQLite would play it into the new file.
    """
    journal = path.with_name(f"{path.name}-journal")
    shutil.copy2(path, kept)
    if journal.exists():
        shutil.copy2(journal, kept.with_name(f"{kept.name}-journal"))
        journal.unlink()
    os.replace(ready, path)


def _free_name(path: Path) -> Path:
    number = 1
    while (name := path.with_name(f"{path.name}.before-restore-{number}")).exists():
        number += 1
    return name


def _problem(path: Path, found: str, accepted: str, *, code: str) -> ProblemsFound:
    return ProblemsFound([Problem(where=str(path), found=found, accepted=accepted, found_is_text=False, code=code)])
