"""Promising pieces to a job, so that two plans cannot count on the same one. A hold past its day counts no more."""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Mapping

from cutplan.problems import Problem, ProblemsFound
from cutplan.rack.entry import Entry, entry, on_hand
from cutplan.rack.pieces import Doing, Hold, Kind, Standing
from cutplan.rack.store import Ledger


def day_of(at: str) -> str:
    """The day of a time as ``Doing.at`` is written."""
    return at[:10]


def free(db: sqlite3.Connection, mark: str, job: str, today: str) -> int:
    """How many of a piece lie there for a job: those that no other job holds today."""
    (count,) = db.execute(
        "SELECT on_hand.quantity - coalesce((SELECT sum(hold.quantity) FROM hold WHERE hold.piece = on_hand.piece "
        "AND hold.job <> ? AND hold.until >= ?), 0) FROM on_hand JOIN piece ON piece.id = on_hand.piece "
        "WHERE piece.mark = ?",
        (job, today, mark),
    ).fetchone() or (0,)
    return int(count)


def hold_for(writing: Entry, job: str, wanted: Mapping[str, int], until: str) -> tuple[str, ...]:
    """Hold so many of each mark for a job, in place of what it held of them; the marks held.

    Raises
    ------
    ProblemsFound
        Every piece of which fewer are free.
    """
    problems = []
    for mark, count in wanted.items():
        there = free(writing.db, mark, job, day_of(writing.doing.at))
        if there < count:
            problems.append(
                Problem(
                    where=mark,
                    found=f"{count} wanted, {there} free",
                    accepted="pieces on the rack that no other job holds",
                    hint=f"cutplan rack history {mark} says which job holds it; plan again to do without",
                    found_is_text=False,
                    code="rack.held",
                )
            )
    if problems:
        raise ProblemsFound(problems)
    for mark, count in wanted.items():
        writing.move(mark, Kind.HELD, hold=Hold(quantity=count - held(writing.db, mark, job), job=job, until=until))
    return tuple(wanted)


def held(db: sqlite3.Connection, mark: str, job: str) -> int:
    """How many of a piece are held for a job, past their day or not."""
    row = db.execute(
        "SELECT hold.quantity FROM hold JOIN piece ON piece.id = hold.piece WHERE piece.mark = ? AND hold.job = ?",
        (mark, job),
    ).fetchone()
    return int(row[0]) if row else 0


def holds_on(db: sqlite3.Connection, mark: str) -> tuple[Hold, ...]:
    """What is held of a piece, past its day or not, by job."""
    rows = db.execute(
        "SELECT hold.quantity, hold.job, hold.until FROM hold JOIN piece ON piece.id = hold.piece WHERE piece.mark = ? "
        "ORDER BY hold.job",
        (mark,),
    )
    return tuple(Hold(quantity=quantity, job=job, until=until) for quantity, job, until in rows)


def release(ledger: Ledger, doing: Doing, *, job: str = "", marks: Collection[str] = ()) -> tuple[Standing, ...]:
    """Give back what is held for a job, or whatever is held of the marks; returns how these pieces were.

    Raises
    ------
    ProblemsFound
        When nothing is held.
    """
    with entry(ledger, doing) as writing:
        before = release_in(writing, job=job, marks=[on_hand(writing.db, mark, "mark").mark for mark in marks])
        if not before:
            what = f"nothing held for {job}" if job else "nothing held"
            raise ProblemsFound(
                [
                    Problem(
                        where=str(ledger.path),
                        found=what,
                        accepted="a job or marks of which something is held",
                        hint="cutplan rack show says what is held",
                        found_is_text=False,
                        code="rack.nothing_held",
                    )
                ]
            )
        return before


def release_in(writing: Entry, *, job: str = "", marks: Collection[str] = ()) -> tuple[Standing, ...]:
    """:func:`release` as a part of an action that does more; nothing where nothing is held."""
    found = [
        row
        for row in writing.db.execute(
            "SELECT mark, job, quantity FROM hold JOIN piece ON piece.id = hold.piece ORDER BY piece.id, job"
        )
        if (not job or row[1] == job) and (not marks or row[0] in marks)
    ]
    before = tuple(on_hand(writing.db, mark, "mark") for mark in dict.fromkeys(row[0] for row in found))
    for mark, name, quantity in found:
        writing.move(mark, Kind.RELEASED, hold=Hold(quantity=-quantity, job=name, until=""))
    return before
