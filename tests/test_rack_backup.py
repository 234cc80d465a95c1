"""Copies of a ledger: whole, made while others write, and put back with nothing lost."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack.backup import backup, restore
from cutplan.rack.replay import contradictions
from cutplan.rack.standing import standing
from cutplan.rack.store import Ledger, open_ledger
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
    kept = restore(ledger.path, tmp_path / "copy")
    assert kept == tmp_path / "rack.ledger.before-restore-1"
    assert [piece.state.length // 1_000_000 for piece in standing(ledger)] == [500], "seen by who had it open"
    racks.put(ledger, 700)
    assert (lengths(kept), lengths(ledger.path)) == ([600, 500], [700, 500])
    assert restore(ledger.path, kept) == tmp_path / "rack.ledger.before-restore-2"


def test_put_back_over_a_damaged_one_and_over_none(tmp_path: Path) -> None:
    with racks.new(tmp_path / "good") as good:
        racks.put(good, 500)
    path = tmp_path / "rack.ledger"
    damaged_page(path)
    bytes_before = path.read_bytes()
    kept = restore(path, tmp_path / "good")
    assert kept is not None
    assert (kept.read_bytes(), lengths(path)) == (bytes_before, [500])
    path.unlink()
    assert restore(path, tmp_path / "good") is None
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
