"""Quotes in the ledger, and what jobs took in the end: real minutes, and whose plans they were."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from cutplan.problems import Problem, ProblemsFound
from cutplan.rack.entry import Entry
from cutplan.rack.issuing import insert
from cutplan.rack.job_events import NOT_UNDONE
from cutplan.units import Money

OWN = "Q"
"""Numbers that the ledger gives begin with it."""

TOGETHER = ""
"""The work of minutes that were reported of all of it together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What a quote expects of one assembly; amounts without tax, time in thousandths of a minute."""

    assembly: str
    materials: Money
    work: Money
    minutes: int
    cost: Money
    price: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteNote:
    """What the ledger keeps of a quote; amounts without tax but for ``to_pay``."""

    plan: str
    number: str
    customer: str
    valid_until: str
    materials: Money
    work: Money
    minutes: int
    cost: Money
    price: Money
    to_pay: Money
    hour_rate: Money
    assemblies: tuple[Expected, ...]
    day: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spent:
    """Minutes that work of one kind took, 0 where none were reported, and those expected of it; ``work`` is blank of
    all of it together. ``figures`` are those by which they were expected, blank where nobody noted them.
    """

    work: str
    minutes: int
    expected: int
    figures: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """What one assembly has of a recorded plan: money of its lengths and things, and minutes expected."""

    assembly: str
    materials: Money
    minutes: int


_COLUMNS = "plan, number, customer, valid_until, materials, work, minutes, cost, price, to_pay, hour_rate"


def next_number(db: sqlite3.Connection) -> str:
    """The next number of the ledger's own; one that was taken back is not given again."""
    given = [
        int(number.removeprefix(OWN))
        for (number,) in db.execute("SELECT number FROM quote")
        if number.removeprefix(OWN).isascii() and number.removeprefix(OWN).isdigit()
    ]
    return f"{OWN}{max(given, default=0) + 1}"


def quoted(db: sqlite3.Connection, plans: Iterable[str]) -> tuple[QuoteNote, ...]:
    """The quotes given for some plans, the newest last."""
    digests = list(plans)
    marks = ", ".join("?" * len(digests))
    rows = db.execute(
        f"SELECT quote.id, {', '.join(f'quote.{name}' for name in _COLUMNS.split(', '))}, at FROM quote "
        f"JOIN action ON action.id = quote.action WHERE quote.plan IN ({marks}) AND {NOT_UNDONE} ORDER BY quote.id",
        digests,
    ).fetchall()
    return tuple(_note(db, row) for row in rows)


def _note(db: sqlite3.Connection, row: Sequence[object]) -> QuoteNote:
    number, *values, at = row
    expected = db.execute(
        "SELECT assembly, materials, work, minutes, cost, price FROM expected WHERE quote = ? ORDER BY rowid", (number,)
    ).fetchall()
    return QuoteNote(
        **dict(zip(_COLUMNS.split(", "), values, strict=True)),  # type: ignore[arg-type]
        day=str(at)[:10],
        assemblies=tuple(
            Expected(assembly=assembly, materials=materials, work=work, minutes=minutes, cost=cost, price=price)
            for assembly, materials, work, minutes, cost, price in expected
        ),
    )


def note_quote(writing: Entry, note: QuoteNote) -> None:
    """Keep a quote.

    Raises
    ------
    ProblemsFound
        When another one has its number.
    """
    row = writing.db.execute(
        f"SELECT at, action.job FROM quote JOIN action ON action.id = quote.action WHERE number = ? AND {NOT_UNDONE}",
        (note.number,),
    ).fetchone()
    if row is not None:
        raise ProblemsFound(
            [
                Problem(
                    where="--number",
                    found=note.number,
                    accepted="a number that no quote has",
                    hint=f"it was given on {row[0][:10]} for {row[1]}; without --number the ledger gives the next one",
                    code="quote.number",
                )
            ]
        )
    quote = insert(
        writing.db,
        "quote",
        action=writing.id, plan=note.plan, number=note.number, customer=note.customer, valid_until=note.valid_until,
        materials=note.materials, work=note.work, minutes=note.minutes, cost=note.cost, price=note.price,
        to_pay=note.to_pay, hour_rate=note.hour_rate,
    )  # fmt: skip
    for each in note.assemblies:
        insert(
            writing.db,
            "expected",
            quote=quote, assembly=each.assembly, materials=each.materials, work=each.work, minutes=each.minutes,
            cost=each.cost, price=each.price,
        )  # fmt: skip


def note_spent(writing: Entry, spent: Iterable[Spent]) -> None:
    """Keep what the work on a plan took."""
    for each in spent:
        insert(
            writing.db,
            "spent",
            action=writing.id, plan=writing.doing.plan, work=each.work, minutes=each.minutes, expected=each.expected,
            figures=each.figures,
        )  # fmt: skip


def note_shares(writing: Entry, shares: Iterable[Share]) -> None:
    """Keep whose a plan was that is recorded."""
    for each in shares:
        insert(
            writing.db,
            "share",
            action=writing.id, plan=writing.doing.plan, assembly=each.assembly, materials=each.materials,
            minutes=each.minutes,
        )  # fmt: skip


def spent_on(db: sqlite3.Connection, plans: Iterable[str]) -> tuple[Spent, ...]:
    """What some plans took, kind by kind."""
    rows = _summed(db, "spent", "work", ("minutes", "expected"), plans)
    return tuple(Spent(work=work, minutes=minutes, expected=expected) for work, minutes, expected in rows)


def shares_in(db: sqlite3.Connection, plans: Iterable[str]) -> tuple[Share, ...]:
    """What each assembly had of some plans together."""
    rows = _summed(db, "share", "assembly", ("materials", "minutes"), plans)
    return tuple(Share(assembly=assembly, materials=money, minutes=minutes) for assembly, money, minutes in rows)


def _summed(
    db: sqlite3.Connection, table: str, by: str, columns: tuple[str, str], plans: Iterable[str]
) -> list[tuple[str, int, int]]:
    """Two columns of what was noted of some plans and is not undone, added up in the order of first note."""
    digests = list(plans)
    marks = ", ".join("?" * len(digests))
    sums = ", ".join(f"sum({column})" for column in columns)
    return db.execute(
        f"SELECT {by}, {sums} FROM {table} WHERE plan IN ({marks}) AND {NOT_UNDONE} GROUP BY {by} ORDER BY min(id)",
        digests,
    ).fetchall()


def jobs_measured(
    db: sqlite3.Connection, figures: Mapping[str, str], unnoted: Mapping[str, str]
) -> dict[str, list[tuple[int, int]]]:
    """By kind of work, of each job that reported minutes of it: what it took, and what was expected over all its plans.
    Of a kind that none reported by itself, of those that reported minutes of all together and had work of it.

    Parameters
    ----------
    figures
        By kind of work, those in the workshop file: minutes expected by others tell nothing of these.
    unnoted
        What is taken for the figures of minutes of which an earlier version noted none.
    """
    jobs: dict[str, dict[str, tuple[int, int]]] = {}
    others: set[tuple[str, str]] = set()
    for job, work, by, took, due in db.execute(
        "SELECT coalesce((SELECT event.job FROM event WHERE event.plan = spent.plan LIMIT 1), plan), work, figures, "
        f"sum(minutes), sum(expected) FROM spent WHERE {NOT_UNDONE} GROUP BY 1, 2, 3 ORDER BY 2"
    ):
        before = jobs.setdefault(job, {}).get(work, (0, 0))
        jobs[job][work] = (before[0] + took, before[1] + due)
        if (by or unnoted.get(work, "")) != figures.get(work, ""):
            others.add((job, work))
    for job, work in others:
        # None told of it, but work of it there was.
        jobs[job][work] = (0, jobs[job][work][1])
    works = sorted({work for spent in jobs.values() for work in spent if work != TOGETHER})
    found = {}
    for work in works:
        own = [spent[work] for spent in jobs.values() if spent.get(work, (0, 0))[0]]
        had = [spent for spent in jobs.values() if spent.get(work, (0, 0))[1]]
        told = own or [spent[TOGETHER] for spent in had if spent.get(TOGETHER, (0, 0))[0]]
        if told:
            found[work] = told
    return found
