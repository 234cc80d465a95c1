"""A ledger that a kill, a disk or a hand has spoiled: one message with the way back, never a trace, never silence."""

from __future__ import annotations

import gc
import os
import random
import shutil
import signal
from pathlib import Path

import pytest

from cutplan import actions
from cutplan.problems import ProblemsFound
from cutplan.rack import handling
from cutplan.rack.backup import restore
from cutplan.rack.replay import contradictions
from cutplan.rack.standing import standing
from cutplan.rack.store import open_ledger
from tests import racks

EVERY_RUN, THOROUGH = 100, 3000


@pytest.mark.skipif(not hasattr(os, "fork"), reason="kills a forked process")
def test_a_writer_that_was_killed_locks_no_reader_out(tmp_path: Path) -> None:
    """The journal of the killed command still lies there: whoever comes next takes its half work back, readers too."""
    path = tmp_path / "rack.ledger"
    with racks.new(path) as ledger:
        racks.put(ledger, *range(500, 900))
    child = os.fork()
    if child == 0:
        with open_ledger(path) as ledger, ledger.changing() as db:
            db.execute("PRAGMA cache_size = 1")  # so that pages go to the file before the end
            for _ in range(5):
                db.execute("INSERT INTO state SELECT NULL, length, end_a, end_b, angle_a, angle_b, grade, heat_number, "
                           "certificate, place, photo, wall, value, depth, side FROM state")  # fmt: skip
            os.kill(os.getpid(), signal.SIGKILL)
    os.waitpid(child, 0)
    assert path.with_name("rack.ledger-journal").exists()
    for _ in range(2):
        with open_ledger(path, read_only=True) as ledger:
            assert len(standing(ledger)) == 400
            assert contradictions(ledger) == ()


@pytest.fixture(scope="module")
def worked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A ledger with rows in most tables, and a copy of it from before its last action."""
    path = tmp_path_factory.mktemp("worked") / "rack.ledger"
    with racks.new(path) as ledger:
        racks.put(ledger, *range(500, 520), grade="S235JR", heat_number="H7", place="B2")
        handling.take(ledger, racks.doing("take"), "A1")
        racks.begun(ledger)
    shutil.copy(path, path.with_name("copy"))
    with open_ledger(path) as ledger:
        handling.scrap(ledger, racks.doing("scrap"), ["C1"])
    return path


def everything(path: Path) -> tuple[object, ...]:
    """All that the tables hold."""
    with open_ledger(path, read_only=True) as ledger:
        names = [row[0] for row in ledger.db.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return tuple(tuple(ledger.db.execute(f"SELECT * FROM {name}")) for name in sorted(names))


def spoil(worked: Path, folder: Path, times: int) -> None:
    """Change a byte of the file at a time, and use the ledger in every way."""
    whole, sound = worked.read_bytes(), everything(worked)
    chance = random.Random(times)
    found = silent = 0
    for number in range(times):
        path = folder / "rack.ledger"
        data = bytearray(whole)
        at = chance.randrange(len(data))
        data[at] ^= 1 << chance.randrange(8)
        path.write_bytes(data)
        rack = actions.find_rack(near=path, ledger=path, who="Ines")
        try:
            faults, _ = actions.rack_verify(rack)
            told = bool(faults)
            for piece in actions.rack_show(rack):
                actions.rack_history(rack, piece.mark)
            for story, _ in actions.job_list(rack):
                actions.job_show(rack, story.name)
            actions.rack_move(rack, ["E1"], "C3")
        except ProblemsFound as refused:
            told = bool(str(refused))
        path.write_bytes(data)
        if told:
            found += 1
        else:
            assert everything(path) == sound, f"byte {at} changed what is stored, in silence"
            silent += 1
        if number % 10 == 0:
            gc.collect()  # what was refused half-way may hold a row, and the ledger with it, until it is thrown away
            kept = restore(path, worked.with_name("copy")).kept
            assert kept is not None
            assert kept.stat().st_size == len(data)
            with open_ledger(path) as ledger:
                assert contradictions(ledger) == ()
        for file in folder.iterdir():
            file.unlink()
    assert found
    assert silent, "bytes that nothing is stored in"


@pytest.mark.thorough
def test_a_changed_byte_is_found_or_says_nothing(worked: Path, tmp_path: Path) -> None:
    spoil(worked, tmp_path, EVERY_RUN)


@pytest.mark.slow
def test_a_changed_byte_is_found_wherever_it_is(worked: Path, tmp_path: Path) -> None:
    spoil(worked, tmp_path, THOROUGH)
