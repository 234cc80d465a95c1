"""Every action carries a digest of all it wrote, chained to the one before: no row changes unseen."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from cutplan.rack import handling
from cutplan.rack.drilled import note_drilled
from cutplan.rack.entry import entry
from cutplan.rack.holding import hold_for
from cutplan.rack.issuing import insert
from cutplan.rack.job_events import PlanNote, note_step
from cutplan.rack.measuring import LengthDelivered, note_delivered
from cutplan.rack.pieces import Kind, Split
from cutplan.rack.quotes import Expected, QuoteNote, Share, Spent, note_quote, note_shares, note_spent
from cutplan.rack.replay import contradictions
from cutplan.rack.seals import broken_seal
from cutplan.rack.stages import Step
from cutplan.rack.store import Ledger
from cutplan.rack.ticks import Tick, tick
from tests import racks
from tests.builders import mm
from tests.effort import some

SEALED = (
    "action",
    "piece",
    "state",
    "movement",
    "made",
    "event",
    "tick",
    "price",
    "quote",
    "expected",
    "spent",
    "share",
    "drilled",
    "measured",
    "delivered",
    "seal",
)


@pytest.fixture
def worked(ledger: Ledger) -> Ledger:
    """A ledger with rows in every table, and with every column filled somewhere."""
    racks.put(ledger, 2000, 1500, grade="S235JR", heat_number="H7", certificate="3.1-88", place="B2", photo="a.jpg")
    handling.correct(ledger, racks.doing("correct", reason="measured"), "A1", wall=mm(3), value=5_000_000)
    with entry(ledger, racks.doing("hold", job="gate")) as writing:
        hold_for(writing, "gate", {"A1": 1}, "2031-06-01")
    with entry(ledger, racks.doing("record", job="gate", plan="abc")) as writing:
        row = writing.move("C1", Kind.USED, -1, split=Split(parts=mm(1050), kerf_and_trim=mm(50)), bar=1, note="n")
        insert(writing.db, "made", movement=row, part="A", good=1, spoiled=0)
        writing.priced(30_000_000)
        note = PlanNote(plan="abc", folder="reports/gate", parts=2, to_pay=30_000_000)
        note_step(writing, note, Step.ORDERED, merchant="Yard", number="4711", day="2031-05-04", amount=30_000_000)
        tick(writing, note, Step.SPOILED, [Tick(bar=1, part="A", copy=1, spoiled=True, measured=mm(900))], "saw-1")
        frame = Expected(assembly="frame", materials=40, work=60, minutes=60, cost=110, price=140)
        note_quote(
            writing,
            QuoteNote(
                plan="abc",
                number="Q1",
                customer="Fernhollow",
                valid_until="2031-06-01",
                materials=40,
                work=60,
                minutes=60,
                cost=110,
                price=140,
                to_pay=168,
                hour_rate=60,
                assemblies=(frame,),
            ),
        )
        note_spent(writing, [Spent(work="saw", minutes=70, expected=60, figures="per_bar 4000")])
        note_delivered(
            writing,
            [LengthDelivered(family="SHS", nominal=mm(6000), counted=mm(6000), length=mm(6004), quantity=2)],
        )
        insert(
            writing.db,
            "measured",
            action=writing.id, bar=1, saw="band", strokes=2, kerf=mm(2), expected=mm(400), found=mm(399), whole=1,
        )  # fmt: skip
        note_drilled(writing, note, "A", 1, done=True, given_id="drill-1")
        note_shares(writing, [Share(assembly="frame", materials=40, minutes=60)])
        writing.new_piece(
            Kind.CUT_FROM,
            racks.TUBE,
            racks.state(400, grade="S235JR", heat_number="H7", certificate="3.1-88"),
            parent="A1",
            bar=1,
        )
    handling.undo(ledger, racks.doing("undo"))
    return ledger


@contextmanager
def unguarded(db: sqlite3.Connection) -> Iterator[None]:
    """Without the triggers that keep rows as they are, as a slip of another program or a disk would find it."""
    guards = db.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    db.execute("PRAGMA foreign_keys = OFF")
    db.execute("PRAGMA ignore_check_constraints = ON")
    for name, _ in guards:
        db.execute(f"DROP TRIGGER {name}")
    yield
    for _, sql in guards:
        db.execute(sql)


def test_a_ledger_as_it_was_written(worked: Ledger) -> None:
    assert broken_seal(worked.db) is None
    assert contradictions(worked) == ()


@pytest.mark.parametrize("table", some(SEALED, *list(SEALED)[::3]))
def test_any_column_of_any_row_that_changed_is_found(table: str, worked: Ledger) -> None:
    db = worked.db
    columns = [(row[1], row[2]) for row in db.execute(f"PRAGMA table_info({table})")]
    rows = [row[0] for row in db.execute(f"SELECT rowid FROM {table}")]
    tried = 0
    with unguarded(db):
        for row in rows:
            for column, kind in columns:
                db.execute("BEGIN")
                change = f"coalesce({column}, 0) + 1000" if kind == "INTEGER" else f"{column} || 'x'"
                db.execute(f"UPDATE {table} SET {column} = {change} WHERE rowid = ?", (row,))
                assert broken_seal(db) is not None, (table, row, column)
                db.execute("ROLLBACK")
                tried += 1
    assert tried == len(rows) * len(columns) > 0


@pytest.mark.parametrize("table", some(SEALED, *list(SEALED)[1::3]))
def test_a_row_that_is_gone_is_found(table: str, worked: Ledger) -> None:
    db = worked.db
    with unguarded(db):
        for (row,) in db.execute(f"SELECT rowid FROM {table}").fetchall():
            db.execute("BEGIN")
            db.execute(f"DELETE FROM {table} WHERE rowid = ?", (row,))
            assert broken_seal(db) is not None, (table, row)
            db.execute("ROLLBACK")


def test_verify_names_the_first_action_that_is_not_as_it_was(worked: Ledger) -> None:
    with unguarded(worked.db):
        worked.db.execute("UPDATE state SET grade = 'S355JR' WHERE grade = 'S235JR'")
    assert contradictions(worked) == ("action 1, add of 2031-05-04T09:30:00Z, is not as it was written",)
