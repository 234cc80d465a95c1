"""The tables of a ledger, version by version; each step brings a file of one version to the next."""

from __future__ import annotations

import sqlite3
from contextlib import closing

_FIRST = """
CREATE TABLE mark (
    look TEXT NOT NULL PRIMARY KEY,
    mark TEXT NOT NULL UNIQUE,
    number INTEGER UNIQUE
) STRICT, WITHOUT ROWID;
CREATE TABLE action (
    id INTEGER PRIMARY KEY,
    at TEXT NOT NULL,
    who TEXT NOT NULL,
    what TEXT NOT NULL,
    job TEXT NOT NULL,
    plan TEXT NOT NULL,
    reason TEXT NOT NULL,
    undoes INTEGER UNIQUE REFERENCES action (id),
    CHECK (undoes < id)
) STRICT;
CREATE TABLE piece (
    id INTEGER PRIMARY KEY,
    mark TEXT NOT NULL UNIQUE REFERENCES mark (mark),
    designation TEXT NOT NULL,
    standard TEXT NOT NULL,
    finish TEXT NOT NULL,
    parent INTEGER REFERENCES piece (id),
    CHECK (parent < id)
) STRICT;
CREATE TABLE state (
    id INTEGER PRIMARY KEY,
    length INTEGER NOT NULL CHECK (length > 0),
    end_a TEXT NOT NULL CHECK (end_a IN ('sawn', 'mill')),
    end_b TEXT NOT NULL CHECK (end_b IN ('sawn', 'mill')),
    angle_a INTEGER NOT NULL,
    angle_b INTEGER NOT NULL,
    grade TEXT NOT NULL,
    heat_number TEXT NOT NULL,
    certificate TEXT NOT NULL,
    place TEXT NOT NULL,
    photo TEXT NOT NULL,
    wall INTEGER,
    value INTEGER
) STRICT;
CREATE TABLE movement (
    id INTEGER PRIMARY KEY,
    action INTEGER NOT NULL REFERENCES action (id),
    piece INTEGER NOT NULL REFERENCES piece (id),
    kind TEXT NOT NULL,
    quantity INTEGER NOT NULL,
    state INTEGER NOT NULL REFERENCES state (id),
    length_change INTEGER NOT NULL,
    bar INTEGER,
    parts INTEGER NOT NULL,
    kerf_and_trim INTEGER NOT NULL,
    scrap INTEGER NOT NULL,
    note TEXT NOT NULL
) STRICT;
CREATE INDEX movement_by_piece ON movement (piece);
CREATE INDEX movement_by_action ON movement (action);
CREATE INDEX piece_by_parent ON piece (parent);
CREATE INDEX action_by_plan ON action (plan);
CREATE TABLE on_hand (
    piece INTEGER PRIMARY KEY REFERENCES piece (id),
    quantity INTEGER NOT NULL CHECK (quantity > 0),
    state INTEGER NOT NULL REFERENCES state (id)
) STRICT;
"""

_KEPT = ("mark", "action", "piece", "state", "movement")
"""Tables whose rows are never changed and never taken out, not even by a slip in this program."""


def _guards(table: str) -> str:
    return "".join(
        f"""
CREATE TRIGGER {table}_no_{change} BEFORE {change} ON {table}
BEGIN SELECT RAISE (ABORT, 'a row of {table} is never changed'); END;
"""
        for change in ("update", "delete")
    )


_PLANS = """
ALTER TABLE movement ADD COLUMN held INTEGER NOT NULL DEFAULT 0;
ALTER TABLE movement ADD COLUMN held_for TEXT NOT NULL DEFAULT '';
ALTER TABLE movement ADD COLUMN held_until TEXT NOT NULL DEFAULT '';
CREATE TABLE made (
    movement INTEGER NOT NULL REFERENCES movement (id),
    part TEXT NOT NULL,
    good INTEGER NOT NULL,
    spoiled INTEGER NOT NULL
) STRICT;
CREATE INDEX made_by_movement ON made (movement);
CREATE TABLE hold (
    piece INTEGER NOT NULL REFERENCES piece (id),
    job TEXT NOT NULL,
    quantity INTEGER NOT NULL CHECK (quantity > 0),
    until TEXT NOT NULL,
    PRIMARY KEY (piece, job)
) STRICT;
CREATE TABLE reserved (
    folder TEXT NOT NULL,
    number INTEGER NOT NULL,
    mark TEXT NOT NULL UNIQUE REFERENCES mark (mark),
    PRIMARY KEY (folder, number)
) STRICT;
"""

_ONCE = """
CREATE TABLE once (
    plan TEXT NOT NULL,
    deed TEXT NOT NULL,
    action INTEGER NOT NULL REFERENCES action (id),
    PRIMARY KEY (plan, deed)
) STRICT, WITHOUT ROWID;
INSERT INTO once (plan, deed, action)
SELECT plan, CASE what WHEN 'receive' THEN 'received' ELSE 'recorded' END AS deed, max(id) FROM action
WHERE what IN ('receive', 'record', 'replan') AND plan <> ''
AND id NOT IN (SELECT undoes FROM action WHERE undoes IS NOT NULL) GROUP BY plan, deed;
CREATE TABLE seal (
    action INTEGER PRIMARY KEY REFERENCES action (id),
    digest TEXT NOT NULL
) STRICT;
CREATE TABLE carried (
    mark TEXT NOT NULL PRIMARY KEY REFERENCES mark (mark)
) STRICT, WITHOUT ROWID;
"""
"""``once``: what is done to a plan one time only, until it is undone. ``seal``: see :mod:`cutplan.rack.seals`.
``carried``: marks given in a ledger in whose place a copy was put; they may be painted on pieces."""

_JOBS = """
CREATE TABLE event (
    id INTEGER PRIMARY KEY,
    action INTEGER NOT NULL REFERENCES action (id),
    job TEXT NOT NULL,
    plan TEXT NOT NULL,
    step TEXT NOT NULL CHECK (step IN ('planned', 'ordered', 'received', 'recorded', 'closed')),
    folder TEXT NOT NULL,
    parts INTEGER NOT NULL,
    merchant TEXT NOT NULL,
    number TEXT NOT NULL,
    day TEXT NOT NULL,
    amount INTEGER,
    unpriced INTEGER NOT NULL
) STRICT;
CREATE INDEX event_by_action ON event (action);
CREATE INDEX event_by_plan ON event (plan);
CREATE INDEX event_by_job ON event (job);
CREATE TABLE tick (
    id INTEGER PRIMARY KEY,
    action INTEGER NOT NULL REFERENCES action (id),
    plan TEXT NOT NULL,
    step TEXT NOT NULL CHECK (step IN ('cut', 'spoiled', 'uncut')),
    bar INTEGER NOT NULL,
    part TEXT NOT NULL,
    copy INTEGER NOT NULL,
    measured INTEGER CHECK (measured > 0),
    given_id TEXT,
    UNIQUE (given_id, plan, part, copy)
) STRICT;
CREATE INDEX tick_by_action ON tick (action);
CREATE INDEX tick_by_plan ON tick (plan);
CREATE TABLE price (
    movement INTEGER PRIMARY KEY REFERENCES movement (id),
    to_pay INTEGER NOT NULL
) STRICT;
"""
"""``event``: what was done to a plan; ``job`` is the digest of the first plan of its job. ``tick``: a part ticked as
cut or spoiled, or a tick taken back, and the id that whoever ticked gave it. ``price``: what one of the lengths that
came with a movement costs to pay, tax and all. [nm, millionths of the currency]"""

_SLANTS = """
ALTER TABLE state ADD COLUMN depth INTEGER NOT NULL DEFAULT 0 CHECK (depth >= 0);
ALTER TABLE state ADD COLUMN side INTEGER NOT NULL DEFAULT 0 CHECK (side BETWEEN 0 AND 3);
"""
"""What the slant of end A runs across, 0 where nobody knows, and the side of its long point. [nm]"""

_QUOTES = """
CREATE TABLE quote (
    id INTEGER PRIMARY KEY,
    action INTEGER NOT NULL REFERENCES action (id),
    plan TEXT NOT NULL,
    number TEXT NOT NULL,
    customer TEXT NOT NULL,
    valid_until TEXT NOT NULL,
    materials INTEGER NOT NULL,
    work INTEGER NOT NULL,
    minutes INTEGER NOT NULL,
    cost INTEGER NOT NULL,
    price INTEGER NOT NULL,
    to_pay INTEGER NOT NULL,
    hour_rate INTEGER NOT NULL
) STRICT;
CREATE INDEX quote_by_action ON quote (action);
CREATE INDEX quote_by_plan ON quote (plan);
CREATE TABLE expected (
    id INTEGER PRIMARY KEY,
    quote INTEGER NOT NULL REFERENCES quote (id),
    assembly TEXT NOT NULL,
    materials INTEGER NOT NULL,
    work INTEGER NOT NULL,
    minutes INTEGER NOT NULL,
    cost INTEGER NOT NULL,
    price INTEGER NOT NULL
) STRICT;
CREATE INDEX expected_by_quote ON expected (quote);
CREATE TABLE spent (
    id INTEGER PRIMARY KEY,
    action INTEGER NOT NULL REFERENCES action (id),
    plan TEXT NOT NULL,
    work TEXT NOT NULL,
    minutes INTEGER NOT NULL CHECK (minutes >= 0),
    expected INTEGER NOT NULL CHECK (expected >= 0)
) STRICT;
CREATE INDEX spent_by_action ON spent (action);
CREATE INDEX spent_by_plan ON spent (plan);
CREATE TABLE share (
    id INTEGER PRIMARY KEY,
    action INTEGER NOT NULL REFERENCES action (id),
    plan TEXT NOT NULL,
    assembly TEXT NOT NULL,
    materials INTEGER NOT NULL,
    minutes INTEGER NOT NULL
) STRICT;
CREATE INDEX share_by_action ON share (action);
CREATE INDEX share_by_plan ON share (plan);
"""
"""``quote``: a price given for a plan, with what was expected of it, by assembly in ``expected``. ``spent``: what work
on a recorded plan took. ``share``: what each assembly has of a recorded plan. [millionths, thousandths of a minute]"""

_DRILLED = """
CREATE TABLE drilled (
    id INTEGER PRIMARY KEY,
    action INTEGER NOT NULL REFERENCES action (id),
    plan TEXT NOT NULL,
    step TEXT NOT NULL CHECK (step IN ('drilled', 'undrilled')),
    part TEXT NOT NULL,
    copy INTEGER NOT NULL,
    given_id TEXT UNIQUE
) STRICT;
CREATE INDEX drilled_by_action ON drilled (action);
CREATE INDEX drilled_by_plan ON drilled (plan);
"""
"""A part ticked as drilled, or that tick taken back, and the id that whoever ticked gave it."""

_MEASURED = """
CREATE TABLE measured (
    id INTEGER PRIMARY KEY,
    action INTEGER NOT NULL REFERENCES action (id),
    bar INTEGER NOT NULL,
    saw TEXT NOT NULL,
    strokes INTEGER NOT NULL CHECK (strokes > 0),
    kerf INTEGER NOT NULL,
    expected INTEGER NOT NULL,
    found INTEGER NOT NULL,
    whole INTEGER NOT NULL CHECK (whole IN (0, 1))
) STRICT;
CREATE INDEX measured_by_action ON measured (action);
CREATE TABLE delivered (
    id INTEGER PRIMARY KEY,
    action INTEGER NOT NULL REFERENCES action (id),
    family TEXT NOT NULL,
    nominal INTEGER NOT NULL,
    counted INTEGER NOT NULL,
    length INTEGER NOT NULL,
    quantity INTEGER NOT NULL CHECK (quantity > 0)
) STRICT;
CREATE INDEX delivered_by_action ON delivered (action);
"""
"""``measured``: the left over of a bar that was cut square, as it should be and as it was found; ``whole`` says that
the length of the bar itself was measured too, and that nothing but cuts came off it. ``delivered``: lengths of which a
delivery sheet says how long they are. [nm]"""

_FIGURES = """
ALTER TABLE spent ADD COLUMN figures TEXT NOT NULL DEFAULT '';
"""
"""The figures by which minutes were expected, blank where an earlier version noted them."""

STEPS: tuple[str, ...] = (
    _FIRST + "".join(map(_guards, _KEPT)),
    _PLANS + _guards("made"),
    _ONCE + _guards("seal"),
    _JOBS + "".join(map(_guards, ("event", "tick", "price"))),
    _SLANTS,
    _QUOTES + "".join(map(_guards, ("quote", "expected", "spent", "share"))),
    _DRILLED + _guards("drilled"),
    _MEASURED + "".join(map(_guards, ("measured", "delivered"))),
    _FIGURES,
)
"""``STEPS[n]`` turns version n into version n + 1; version 0 is an empty file."""

VERSION = len(STEPS)
"""The version that this program writes."""

FIRST_SEALED = 3
"""The first version whose actions are sealed."""


def schema_of(db: sqlite3.Connection) -> frozenset[tuple[str, ...]]:
    """Tables, indexes and triggers of an open file, each with its text."""
    rows = db.execute("SELECT type, name, tbl_name, coalesce(sql, '') FROM sqlite_master").fetchall()
    return frozenset(tuple(map(str, row)) for row in rows)


def schema_due() -> frozenset[tuple[str, ...]]:
    """The same of a ledger of this version."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as db:
        for step in STEPS:
            for statement in statements(step):
                db.execute(statement)
        return schema_of(db)


def statements(script: str) -> list[str]:
    """The statements of a script one by one: a script run whole would end the transaction it is part of."""
    found, sofar = [], ""
    for line in script.splitlines(keepends=True):
        sofar += line
        if sqlite3.complete_statement(sofar):
            found.append(sofar.strip())
            sofar = ""
    return [statement for statement in found if statement]
