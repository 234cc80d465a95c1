"""Giving marks: each once, and none that could be taken for another that was given."""

from __future__ import annotations

import sqlite3
from typing import Any

from cutplan.problems import Refused
from cutplan.rack.marks import look_of, mark_of, tidy_mark


def insert(db: sqlite3.Connection, table: str, **values: Any) -> int:
    """Add a row and return its number; names of tables and columns are this program's own, values are bound."""
    marks = ", ".join("?" * len(values))
    statement = f"INSERT INTO {table} ({', '.join(values)}) VALUES ({marks})"
    row = db.execute(statement, tuple(values.values())).lastrowid
    assert row is not None
    return row


def new_mark(db: sqlite3.Connection) -> str:
    """The next mark that no piece has had and none that was had looks like, R01 beside R1 among them."""
    (number,) = db.execute("SELECT coalesce(max(number), -1) + 1 FROM mark").fetchone()
    while _taken(db, mark_of(number)) or _taken_with_zeros(db, mark_of(number)):
        number += 1
    mark = mark_of(number)
    insert(db, "mark", look=look_of(mark), mark=mark, number=number)
    return mark


def take_mark(db: sqlite3.Connection, wanted: str) -> str:
    """A mark that a piece bears already, kept from now on.

    A mark carried on from a ledger in whose place a copy was put may be taken: it is painted on a piece that came
    since.

    Raises
    ------
    Refused
        When it is no mark, or a piece has or had it, or one that looks alike.
    """
    mark = tidy_mark(wanted)
    taken = _taken(db, mark)
    if taken == mark and db.execute("DELETE FROM carried WHERE mark = ?", (mark,)).rowcount:
        return mark
    if taken:
        alike = "" if taken == mark else f", which it could be taken for ({taken})"
        raise Refused(
            wanted,
            f"a mark that no piece has or had{alike}",
            "leave the mark out to be given a new one",
            code="rack.mark_taken",
        )
    insert(db, "mark", look=look_of(mark), mark=mark)
    return mark


def _taken(db: sqlite3.Connection, mark: str) -> str:
    found = db.execute("SELECT mark FROM mark WHERE look = ?", (look_of(mark),)).fetchone()
    return str(found[0]) if found else ""


def _taken_with_zeros(db: sqlite3.Connection, mark: str) -> bool:
    """Was the same mark given with zeros before its number? ``mark`` is a letter and a number."""
    letter, number = mark[0], look_of(mark[1:])
    rows = db.execute(
        "SELECT 1 FROM mark WHERE look GLOB ? AND ltrim(substr(look, 2), '0') = ?", (f"{letter}0*", number)
    )
    return rows.fetchone() is not None


def reserve(db: sqlite3.Connection, folder: str, count: int) -> tuple[str, ...]:
    """Marks for the offcuts that a plan in this folder leaves, in the order of its bars.

    A plan made again in the same folder is given the same marks, as long as no piece bears them; the sheets of the
    plan before it are then void.
    """
    known = dict(
        db.execute(
            "SELECT number, reserved.mark FROM reserved WHERE folder = ? "
            "AND NOT EXISTS (SELECT 1 FROM piece WHERE piece.mark = reserved.mark)",
            (folder,),
        ).fetchall()
    )
    marks = []
    for number in range(count):
        mark = known.get(number)
        if mark is None:
            mark = new_mark(db)
            db.execute(
                "INSERT INTO reserved (folder, number, mark) VALUES (?, ?, ?) "
                "ON CONFLICT (folder, number) DO UPDATE SET mark = excluded.mark",
                (folder, number, mark),
            )
        marks.append(mark)
    return tuple(marks)
