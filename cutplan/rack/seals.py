"""Seals: a digest of every action with all that it wrote, chained to the one before, so that no row changes unseen.

A row of the ledger is never changed by this program; a disk, a slip of another program or a hand can change it all
the same. Sections, grades, heat numbers and values then read as well as before, and nothing but a digest tells.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Callable, Iterator
from itertools import groupby
from operator import itemgetter
from typing import Any, NamedTuple

_ACTIONS = "SELECT id, at, who, what, job, plan, reason, undoes FROM action WHERE id >= ? ORDER BY id"
_MOVEMENTS = """
SELECT movement.action, movement.id, kind, quantity, length_change, bar, parts, kerf_and_trim, scrap, note, held,
    held_for, held_until, piece.id, piece.mark, designation, standard, finish, parent, state.id, length, end_a, end_b,
    angle_a, angle_b, grade, heat_number, certificate, place, photo, wall, value
FROM movement LEFT JOIN piece ON piece.id = movement.piece LEFT JOIN state ON state.id = movement.state
WHERE movement.action >= ? ORDER BY movement.action, movement.id
"""
# CROSS JOIN keeps the order of the tables: sealing one action must not go through all that was ever made.
_MADE = """
SELECT movement.action, made.movement, part, good, spoiled FROM movement CROSS JOIN made ON made.movement = movement.id
WHERE movement.action >= ? ORDER BY movement.action, made.rowid
"""
_EVENTS = """
SELECT action, id, job, plan, step, folder, parts, merchant, number, day, amount, unpriced FROM event
WHERE action >= ? ORDER BY action, id
"""
_TICKS = """
SELECT action, id, plan, step, bar, part, copy, measured, given_id FROM tick WHERE action >= ? ORDER BY action, id
"""
_PRICES = """
SELECT movement.action, price.movement, to_pay FROM movement CROSS JOIN price ON price.movement = movement.id
WHERE movement.action >= ? ORDER BY movement.action, movement.id
"""
_SLANTS = """
SELECT movement.action, movement.id, depth, side FROM movement CROSS JOIN state ON state.id = movement.state
WHERE movement.action >= ? AND (depth <> 0 OR side <> 0) ORDER BY movement.action, movement.id
"""
_QUOTES = """
SELECT action, id, plan, number, customer, valid_until, materials, work, minutes, cost, price, to_pay, hour_rate
FROM quote WHERE action >= ? ORDER BY action, id
"""
_EXPECTED = """
SELECT quote.action, expected.id, quote.id, assembly, expected.materials, expected.work, expected.minutes,
    expected.cost, expected.price
FROM quote CROSS JOIN expected ON expected.quote = quote.id WHERE quote.action >= ? ORDER BY quote.action, expected.id
"""
_SPENT = "SELECT action, id, plan, work, minutes, expected FROM spent WHERE action >= ? ORDER BY action, id"
_SHARES = "SELECT action, id, plan, assembly, materials, minutes FROM share WHERE action >= ? ORDER BY action, id"
_DRILLED = "SELECT action, id, plan, step, part, copy, given_id FROM drilled WHERE action >= ? ORDER BY action, id"
_MEASURED = """
SELECT action, id, bar, saw, strokes, kerf, expected, found, whole FROM measured WHERE action >= ? ORDER BY action, id
"""
_DELIVERED = """
SELECT action, id, family, nominal, counted, length, quantity FROM delivered WHERE action >= ? ORDER BY action, id
"""
_FIGURES = "SELECT action, id, figures FROM spent WHERE action >= ? AND figures <> '' ORDER BY action, id"
_WRITTEN = (
    *(_MOVEMENTS, _MADE, _EVENTS, _TICKS, _PRICES, _SLANTS, _QUOTES, _EXPECTED, _SPENT, _SHARES, _DRILLED),
    *(_MEASURED, _DELIVERED, _FIGURES),
)

_encode = json.JSONEncoder(separators=(",", ":")).encode


class Written(NamedTuple):
    """An action with all that it wrote, as the queries above have it."""

    action: tuple[Any, ...]
    movements: list[tuple[Any, ...]]
    made: list[tuple[Any, ...]]
    events: list[tuple[Any, ...]]
    ticks: list[tuple[Any, ...]]
    prices: list[tuple[Any, ...]]
    slants: list[tuple[Any, ...]]
    quotes: list[tuple[Any, ...]]
    expected: list[tuple[Any, ...]]
    spent: list[tuple[Any, ...]]
    shares: list[tuple[Any, ...]]
    drilled: list[tuple[Any, ...]]
    measured: list[tuple[Any, ...]]
    delivered: list[tuple[Any, ...]]
    figures: list[tuple[Any, ...]]

    @property
    def sealed(self) -> tuple[Any, ...]:
        """What its digest is of: rows of tables and columns that came after the first seals only where there are some,
        so that seals of earlier versions hold.
        """
        if self.figures:
            return self
        if self.measured or self.delivered:
            return self[:14]
        if self.drilled:
            return self[:12]
        if self.quotes or self.expected or self.spent or self.shares:
            return self[:11]
        if self.slants:
            return self[:7]
        return self[:6] if self.events or self.ticks or self.prices else self[:3]


def seal(db: sqlite3.Connection, action: int) -> None:
    """Seal an action once all of it is written; it is the last of the ledger."""
    row = db.execute("SELECT digest FROM seal WHERE action < ? ORDER BY action DESC LIMIT 1", (action,)).fetchone()
    for number, digest in _digests(db, action, row[0] if row else ""):
        db.execute("INSERT INTO seal (action, digest) VALUES (?, ?)", (number, digest))


def seal_all(db: sqlite3.Connection) -> None:
    """Seal every action of a ledger from before there were seals, as it stands."""
    db.executemany("INSERT INTO seal (action, digest) VALUES (?, ?)", list(_digests(db, 0, "")))


def broken_seal(db: sqlite3.Connection, see: Callable[[Written], object] | None = None) -> int | None:
    """The first action that is not as it was written, or whose seal is gone; None when all are as they were.

    ``see`` is shown every action, because reading them all takes most of the time that checking a ledger takes.
    """
    stated = dict(db.execute("SELECT action, digest FROM seal").fetchall())
    last, broken = 0, None
    for number, digest in _digests(db, 0, "", see):
        if stated.pop(number, None) != digest and broken is None:
            if see is None:
                return number
            broken = number
        last = number
    if broken is not None:
        return broken
    return min(stated, default=None) if stated else _beyond(db, last)


def _beyond(db: sqlite3.Connection, last: int) -> int | None:
    """An action of which movements speak though it is not there."""
    row = db.execute("SELECT action FROM movement WHERE action > ? OR action < 1 LIMIT 1", (last,)).fetchone()
    return int(row[0]) if row else None


def _digests(
    db: sqlite3.Connection, first: int, before: str, see: Callable[[Written], object] | None = None
) -> Iterator[tuple[int, str]]:
    """Each action from ``first`` on with its digest."""
    tables = [_by_action(db.execute(query, (first,))) for query in _WRITTEN]
    for row in db.execute(_ACTIONS, (first,)):
        written = Written(row, *[rows_of(row[0]) for rows_of in tables])
        if see is not None:
            see(written)
        before = hashlib.sha256(f"{before}\n{_encode(written.sealed)}".encode()).hexdigest()
        yield row[0], before


def _by_action(rows: Iterator[tuple[Any, ...]]) -> Any:
    """Rows in the order of their actions, handed out action by action; an action that is asked for late has none."""
    groups = groupby(rows, key=itemgetter(0))
    ahead: list[tuple[int, list[tuple[Any, ...]]]] = []

    def of(action: int) -> list[tuple[Any, ...]]:
        while not ahead or ahead[0][0] < action:
            ahead.clear()
            number, group = next(groups, (None, ()))
            if number is None:
                return []
            ahead.append((number, list(group)))
        return ahead[0][1] if ahead[0][0] == action else []

    return of
