"""Copies of a ledger: whole, made while others write, and put back with nothing lost."""

from __future__ import annotations

import os
import sqlite3
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack import backup as backups
from cutplan.rack import handling
from cutplan.rack.backup import Restored, backup, restore
from cutplan.rack.job_events import stories
from cutplan.rack.marks import look_of
from cutplan.rack.replay import contradictions
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger, open_ledger
from cutplan.rack.ticks import ticks_of
from tests import racks
from tests.test_rack_store import another_program, damaged_page


def lengths(path: Path) -> list[int]:
    with open_ledger(path) as ledger:
        assert contradictions(ledger) == ()
        return [piece.state.length // 1_000_000 for piece in standing(ledger)]


def test_a_copy_is_whole_and_is_not_written_over(ledger: Ledger, tmp_path: Path) -> None:
    racks.put(ledger, 500)
    copy = tmp_path / "kept" / "copy.ledger"
    with pytest.raises(ProblemsFound, match="a folder that cannot be written"):
        backup(ledger, copy)
    copy.parent.mkdir()
    backup(ledger, copy)
    racks.put(ledger, 600)
    assert lengths(copy) == [500]
    with pytest.raises(ProblemsFound, match="a file that is there already"):
        backup(ledger, copy)
    assert [path.name for path in copy.parent.iterdir()] == ["copy.ledger"]


def test_put_back_while_another_has_it_open(ledger: Ledger, tmp_path: Path) -> None:
    racks.put(ledger, 500)
    backup(ledger, tmp_path / "copy")
    racks.put(ledger, 600)
    done = restore(ledger.path, tmp_path / "copy")
    kept = done.kept
    assert kept == tmp_path / "rack.ledger.before-restore-1"
    assert [lost.doing.what for lost in done.lost] == ["add"]
    assert [piece.state.length // 1_000_000 for piece in standing(ledger)] == [500], "seen by who had it open"
    racks.put(ledger, 700)
    assert (lengths(kept), lengths(ledger.path)) == ([600, 500], [700, 500])
    assert restore(ledger.path, kept).kept == tmp_path / "rack.ledger.before-restore-2"


def test_jobs_and_ticks_are_in_a_copy_and_those_since_are_listed(ledger: Ledger, tmp_path: Path) -> None:
    racks.begun(ledger)
    before = stories(ledger.db), ticks_of(ledger.db, "abc")
    backup(ledger, tmp_path / "copy")
    racks.begun(ledger, plan="two", job="shelf")
    lost = restore(ledger.path, tmp_path / "copy").lost
    assert [each.doing.what for each in lost] == ["ordered", "cut", "spoiled", "cut", "uncut"]
    assert (stories(ledger.db), ticks_of(ledger.db, "abc")) == before
    assert contradictions(ledger) == ()
    racks.begun(ledger, plan="two", job="shelf")  # the ids of what is lost may be given again
    assert [story.name for story in stories(ledger.db)] == ["gate", "shelf"]


def test_put_back_over_a_damaged_one_and_over_none(tmp_path: Path) -> None:
    with racks.new(tmp_path / "good") as good:
        racks.put(good, 500)
    path = tmp_path / "rack.ledger"
    damaged_page(path)
    bytes_before = path.read_bytes()
    done = restore(path, tmp_path / "good")
    kept = done.kept
    assert kept is not None
    assert (kept.read_bytes(), lengths(path)) == (bytes_before, [500])
    path.unlink()
    assert restore(path, tmp_path / "good") == Restored(readable=False)
    assert lengths(path) == [500]


@pytest.mark.parametrize("make", [another_program, damaged_page, lambda path: path.write_text("x")])
def test_what_is_no_sound_copy_is_not_put_back(make: object, ledger: Ledger, tmp_path: Path) -> None:
    racks.put(ledger, 500)
    make(tmp_path / "copy")  # type: ignore[operator]
    with pytest.raises(ProblemsFound):
        restore(ledger.path, tmp_path / "copy")
    assert lengths(ledger.path) == [500]


def test_a_copy_that_does_not_hold_is_not_put_back(ledger: Ledger, tmp_path: Path) -> None:
    racks.put(ledger, 500)
    with racks.new(tmp_path / "copy") as copy:
        racks.put(copy, 600)
        copy.db.execute("UPDATE on_hand SET quantity = 9")
    with pytest.raises(ProblemsFound, match="a copy that does not hold"):
        restore(ledger.path, tmp_path / "copy")
    assert lengths(ledger.path) == [500]


def marks(path: Path) -> list[str]:
    with open_ledger(path) as ledger:
        return [piece.mark for piece in standing(ledger)]


def test_a_mark_given_since_the_copy_is_not_given_again(ledger: Ledger, tmp_path: Path) -> None:
    racks.put(ledger, 900)
    backup(ledger, tmp_path / "copy")
    racks.put(ledger, 800, 700)
    handling.scrap(ledger, racks.doing("scrap", reason="bent"), ["A1"])
    done = restore(ledger.path, tmp_path / "copy")
    lost = [(each.doing.what, each.doing.reason, each.marks) for each in done.lost]
    assert lost == [("add", "", ("C1", "E1")), ("scrap", "bent", ("A1",))]
    assert racks.put(ledger, 600) == ("F1",), "C1 and E1 are painted on pieces already"
    painted = handling.NewPiece(material=racks.TUBE, state=racks.state(800), mark="C1")
    assert handling.add(ledger, racks.doing(), [painted]) == ("C1",), "that piece is put on the rack again"
    assert marks(ledger.path) == ["A1", "C1", "F1"]


def test_what_is_done_while_a_copy_is_put_back_is_told_or_waits(
    ledger: Ledger, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another command adds a piece after each step of putting back, as far as it is let."""
    racks.put(ledger, 900)
    backup(ledger, tmp_path / "copy")
    ledger.db.execute("PRAGMA busy_timeout = 0")
    given: list[str] = []

    def meanwhile(call: Callable[..., object]) -> Callable[..., object]:
        def do(*args: object) -> object:
            answer = call(*args)
            with suppress(ProblemsFound):
                given.extend(racks.put(ledger, 600))
            return answer

        return do

    for name in ("save_copy", "_carry_on", "_marks_and_actions"):
        monkeypatch.setattr(f"cutplan.rack.backup.{name}", meanwhile(getattr(backups, name)))
    done = restore(ledger.path, tmp_path / "copy")
    assert given
    assert [lost.doing.what for lost in done.lost] == ["add"] * len(given)
    assert done.kept is not None
    assert marks(done.kept) == ["A1", *given]
    assert marks(ledger.path) == ["A1"]
    assert racks.put(ledger, 700)[0] not in given
    assert not ledger.path.with_name("rack.ledger-journal").exists()


def test_a_ledger_that_another_holds_is_not_taken_for_a_damaged_one(
    ledger: Ledger, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("cutplan.rack.store.PATIENCE_MS", 0)
    racks.put(ledger, 900)
    backup(ledger, tmp_path / "copy")
    ledger.db.execute("BEGIN EXCLUSIVE")
    with pytest.raises(ProblemsFound, match="has held"):
        restore(ledger.path, tmp_path / "copy")
    ledger.db.execute("ROLLBACK")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["copy", "rack.ledger"]


def test_who_is_at_work_is_waited_for(ledger: Ledger, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A command in the middle of its work gets it written while a copy is waiting to be put back."""
    racks.put(ledger, 900)
    backup(ledger, tmp_path / "copy")
    waits, done = threading.Event(), list[Restored]()

    def waiting(_: sqlite3.Connection, __: Path, work: Callable[[], object], *, readers: bool) -> object:
        assert readers
        waits.set()
        return work()

    monkeypatch.setattr("cutplan.rack.backup.patiently", waiting)
    putting = threading.Thread(target=lambda: done.append(restore(ledger.path, tmp_path / "copy")))
    ledger.db.execute("PRAGMA busy_timeout = 5000")
    with ledger.changing() as db:
        db.execute("INSERT INTO mark VALUES (?, 'Z9', NULL)", (look_of("Z9"),))
        putting.start()
        assert waits.wait(60)
        time.sleep(0.2)  # it has asked by then
    putting.join()
    assert [each.readable for each in done] == [True]


@pytest.mark.parametrize("there", [b"SQLite format 3\x00" + b"\x00" * 5000, b"", None])
def test_marks_skip_far_where_those_given_cannot_be_read(there: bytes | None, tmp_path: Path) -> None:
    """Where the ledger is lost altogether, too: steel bears marks that were given since the copy was made."""
    with racks.new(tmp_path / "good") as good:
        racks.put(good, 500)
    path = tmp_path / "rack.ledger"
    if there is not None:
        path.write_bytes(there)
    done = restore(path, tmp_path / "good")
    assert (done.readable, done.lost) == (False, ())
    with open_ledger(path) as ledger:
        assert racks.put(ledger, 600) == ("C101",), "a hundred rounds of letters on"


def test_a_kill_at_any_step_of_putting_back_leaves_a_ledger(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every call that changes a file name is where a kill could come: there is a file at the path after each."""
    with racks.new(tmp_path / "good") as good:
        racks.put(good, 500)
    path = tmp_path / "rack.ledger"
    damaged_page(path)
    path.with_name("rack.ledger-journal").write_bytes(b"half")
    seen = []

    def watched(call: Callable[..., object]) -> Callable[..., object]:
        def do(*args: object, **how: object) -> object:
            answer = call(*args, **how)
            seen.append(path.exists() and path.stat().st_size > 0)
            return answer

        return do

    for name in ("replace", "unlink", "rename"):
        monkeypatch.setattr(os, name, watched(getattr(os, name)))
    monkeypatch.setattr(Path, "unlink", watched(Path.unlink))
    restore(path, tmp_path / "good")
    assert len(seen) > 2
    assert all(seen)
    assert lengths(path) == [500]
    assert not path.with_name("rack.ledger-journal").exists()
