"""The tables, version by version: every earlier file is brought up to date with nothing lost."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from cutplan.rack.migrations import STEPS, VERSION, statements
from cutplan.rack.replay import contradictions
from cutplan.rack.standing import standing
from cutplan.rack.store import APPLICATION_ID, Ledger, open_ledger
from tests import racks

ROWS: dict[int, tuple[str, ...]] = {
    1: (
        "INSERT INTO mark (look, mark, number) VALUES ('A1', 'A1', 0), ('C1', 'C1', 1)",
        "INSERT INTO action VALUES (1, '2031-05-04T09:30:00Z', 'Ines', 'add', '', '', '', NULL)",
        "INSERT INTO piece VALUES (1, 'A1', 'SHS 40x40x3', 'EN 10219-2', 'black', NULL), "
        "(2, 'C1', 'SHS 40x40x3', 'EN 10219-2', 'black', NULL)",
        "INSERT INTO state VALUES (1, 1240000000, 'sawn', 'sawn', 0, 0, '', '', '', 'B2', '', NULL, NULL)",
        "INSERT INTO movement (id, action, piece, kind, quantity, state, length_change, parts, kerf_and_trim, scrap, "
        "note) VALUES (1, 1, 1, 'put on the rack', 1, 1, 1240000000, 0, 0, 0, ''), "
        "(2, 1, 2, 'put on the rack', 1, 1, 1240000000, 0, 0, 0, '')",
        "INSERT INTO on_hand VALUES (1, 1, 1), (2, 1, 1)",
    ),
}
ROWS[2] = (
    *ROWS[1],
    "INSERT INTO action VALUES (2, '2031-05-04T09:31:00Z', 'Ines', 'hold', 'gate', '', '', NULL)",
    "INSERT INTO movement (id, action, piece, kind, quantity, state, length_change, parts, kerf_and_trim, scrap, note, "
    "held, held_for, held_until) VALUES (3, 2, 1, 'held', 0, 1, 0, 0, 0, 0, '', 1, 'gate', '2031-05-18')",
    "INSERT INTO hold VALUES (1, 'gate', 1, '2031-05-18')",
)
ROWS[3] = (
    *ROWS[2],
    "INSERT INTO seal VALUES (1, '45c564e1151dc0c2ca88a2e741489d658763b9158ce9f7fc37ddb74a9c4c734a'), "
    "(2, '7db27cc9bb3c4a8a315e9422d77cb5d3d4089f616270dc6fc219f45d0a15c5e0')",
)
ROWS[4] = (
    *ROWS[2],
    "INSERT INTO action VALUES (3, '2031-05-04T09:32:00Z', 'Ines', 'cut', 'gate', 'abc', '', NULL)",
    "INSERT INTO event VALUES (1, 3, 'abc', 'abc', 'planned', 'reports/gate', 2, '', '', '', 40000000, 0)",
    "INSERT INTO tick VALUES (1, 3, 'abc', 'cut', 1, 'A', 1, NULL, 'saw-1')",
    "INSERT INTO price VALUES (1, 40000000)",
    "INSERT INTO seal VALUES (1, 'e001489fe56f66ff56d99466e2d3dd13d7b01ac6e0f84b4df468a0d73a979dbf'), "
    "(2, '01c6333906df1ad10a70d73fd7048a73129e5bc72db55f7764198e59c7051876'), "
    "(3, '6ec300985d96c9bb1063ab133f19142a1f220d585685535101a039013e512f12')",
)
ROWS[5] = (
    *(row for row in ROWS[4][:-1] if not row.startswith("INSERT INTO state")),
    "INSERT INTO state VALUES (1, 1240000000, 'sawn', 'sawn', 45000000, 0, '', '', '', 'B2', '', NULL, NULL, "
    "40000000, 3)",
    "INSERT INTO seal VALUES (1, '7aca772a71aabcb3f1c7a135616434f044cd4b06ada49728c6dbdf9bc553af9d'), "
    "(2, '390a5ba75f733b6c24731d3239712a8cd172942b57be7b1f09a75991a6a90440'), "
    "(3, 'eae69eece7b6d4350e36d9b62539b4ccf4b0025612e8485de52df362eaa759dd')",
)
ROWS[6] = (
    *ROWS[5][:-1],
    "INSERT INTO action VALUES (4, '2031-05-05T09:32:00Z', 'Ines', 'quoted', 'gate', 'abc', '', NULL)",
    "INSERT INTO quote VALUES (1, 4, 'abc', 'Q1', 'Fernhollow', '2031-06-01', 40000000, 60000000, 60000, 110000000, "
    "140000000, 168000000, 60000000)",
    "INSERT INTO expected VALUES (1, 1, 'frame', 40000000, 60000000, 60000, 110000000, 140000000)",
    "INSERT INTO spent VALUES (1, 4, 'abc', 'saw', 70000, 60000)",
    "INSERT INTO share VALUES (1, 4, 'abc', 'frame', 40000000, 60000)",
    "INSERT INTO seal VALUES (1, '7aca772a71aabcb3f1c7a135616434f044cd4b06ada49728c6dbdf9bc553af9d'), "
    "(2, '390a5ba75f733b6c24731d3239712a8cd172942b57be7b1f09a75991a6a90440'), "
    "(3, 'eae69eece7b6d4350e36d9b62539b4ccf4b0025612e8485de52df362eaa759dd'), "
    "(4, '64029e4e35bc0706180ef8e88381a76e52586a4151f54431f694ce2f5d91ffca')",
)
ROWS[7] = (
    *ROWS[6][:-1],
    "INSERT INTO action VALUES (5, '2031-05-05T09:33:00Z', 'Ines', 'drilled', 'gate', 'abc', '', NULL)",
    "INSERT INTO drilled VALUES (1, 5, 'abc', 'drilled', 'A', 1, 'drill-1')",
    ROWS[6][-1] + ", (5, 'd4e6a56caa851a9cefbd708112a0a6da651dde13c6b7db8c9cc3f0614fb5bd5d')",
)
ROWS[8] = (
    *ROWS[7][:-1],
    "INSERT INTO action VALUES (6, '2031-05-05T09:34:00Z', 'Ines', 'record', 'gate', 'abc', '', NULL)",
    "INSERT INTO measured VALUES (1, 6, 1, '', 4, 2500000, 1180000000, 1178000000, 1)",
    "INSERT INTO delivered VALUES (1, 6, 'SHS', 6000000000, 6000000000, 6012000000, 2)",
    ROWS[7][-1] + ", (6, '1e17c3fdb0c1d733e35822203bd2fa592b315efc79e452d32531ad57fc2847fe')",
)
ROWS[9] = (
    *(row.replace("70000, 60000)", "70000, 60000, '')") for row in ROWS[8][:-1]),
    "INSERT INTO action VALUES (7, '2031-05-05T09:35:00Z', 'Ines', 'record', 'gate', 'def', '', NULL)",
    "INSERT INTO spent VALUES (2, 7, 'def', 'saw', 70000, 60000, 'per_bar 4000')",
    ROWS[8][-1] + ", (7, '4275714e64ee94007d4ce161469c8e59c4a31e6dfdc0f2550de7146f75bf6603')",
)
"""A ledger of each version as that version wrote it: two offcuts put on the rack in one action."""


def earlier(path: Path, version: int) -> Path:
    """A file of an earlier version."""
    db = sqlite3.connect(path, isolation_level=None)
    for step in STEPS[:version]:
        for statement in statements(step):
            db.execute(statement)
    for row in ROWS[version]:
        db.execute(row)
    db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    db.execute(f"PRAGMA user_version = {version}")
    db.close()
    return path


def test_a_file_of_every_version_is_tried() -> None:
    assert sorted(ROWS) == list(range(1, VERSION + 1))


@pytest.mark.parametrize("version", ROWS)
def test_an_earlier_file_is_brought_up_to_date(version: int, tmp_path: Path) -> None:
    path = earlier(tmp_path / "rack.ledger", version)
    with open_ledger(path) as ledger:
        assert contradictions(ledger) == ()
        assert [(piece.mark, piece.state.place) for piece in standing(ledger)] == [("A1", "B2"), ("C1", "B2")]
        assert racks.put(ledger, 300) == ("E1",)
        assert ledger.db.execute("PRAGMA user_version").fetchone() == (VERSION,)
    copies = [file.name for file in tmp_path.iterdir() if file != path]
    assert copies == ([] if version == VERSION else [f"rack.ledger.version-{version}"])


def test_tables_are_strict_and_point_to_one_another(ledger: Ledger) -> None:
    tables = ledger.db.execute("PRAGMA table_list").fetchall()
    own = {row[1]: row[5] for row in tables if row[2] == "table" and not row[1].startswith("sqlite_")}
    assert set(own.values()) == {1}, "every table is STRICT"
    assert ledger.db.execute("PRAGMA foreign_keys").fetchone() == (1,)
    with pytest.raises(sqlite3.IntegrityError):
        ledger.db.execute("INSERT INTO piece VALUES (1, 'A1', 'SHS 40x40x3', 'EN 10219-2', 'black', 9)")


def test_a_script_falls_into_its_statements() -> None:
    script = "CREATE TABLE a (b);\nCREATE TRIGGER c BEFORE DELETE ON a\nBEGIN SELECT 1; SELECT 2; END;\n"
    assert [text.split()[1] for text in statements(script)] == ["TABLE", "TRIGGER"]
