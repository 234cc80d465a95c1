"""Several processes at one ledger: nothing lost, nothing doubled, the order one and the same for all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack import handling
from cutplan.rack.replay import contradictions
from cutplan.rack.standing import standing
from cutplan.rack.store import open_ledger
from tests import racks

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="forks processes")

PROCESSES = 8


def together(path: Path, each: int) -> None:
    """Eight processes, each adding, taking and scrapping until it has made so many movements."""
    racks.new(path).__exit__()
    children = []
    for number in range(PROCESSES):
        child = os.fork()
        if child == 0:
            code = 1
            try:
                works(path, number, each)
                code = 0
            except ProblemsFound as found:
                print(found)  # pytest shows it with the failure
            finally:
                os._exit(code)
        children.append(child)
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0] * PROCESSES


def works(path: Path, number: int, each: int) -> None:
    with open_ledger(path) as ledger:
        for turn in range(each // 5):
            first, second, _ = racks.put(ledger, 500 + turn, 600 + number, 700)
            handling.take(ledger, racks.doing("take", reason=f"{number}"), first)
            handling.scrap(ledger, racks.doing("scrap", reason=f"{number}"), [second])


def check(path: Path, each: int) -> None:
    turns = PROCESSES * (each // 5)
    with open_ledger(path) as ledger:
        assert contradictions(ledger) == ()
        assert len(standing(ledger)) == turns, "of three put there one stays"
        counted = {
            table: ledger.db.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
            for table in ("movement", "action", "piece", "mark")
        }
        assert counted == {"movement": 5 * turns, "action": 3 * turns, "piece": 3 * turns, "mark": 3 * turns}
        rows = ledger.db.execute(
            "SELECT action, min(id), max(id), count(*) FROM movement GROUP BY action ORDER BY action"
        )
        last = 0
        for _, first, end, count in rows.fetchall():
            assert (first, end - first + 1) == (last + 1, count), "the movements of an action stand together, in order"
            last = end


@pytest.mark.thorough
def test_eight_at_once(tmp_path: Path) -> None:
    together(tmp_path / "rack.ledger", 20)
    check(tmp_path / "rack.ledger", 20)


@pytest.mark.slow
def test_eight_at_once_five_hundred_movements_each(tmp_path: Path) -> None:
    together(tmp_path / "rack.ledger", 500)
    check(tmp_path / "rack.ledger", 500)
