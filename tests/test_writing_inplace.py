"""A file of the user's own, changed: what it was stays where it cannot be done."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from cutplan.problems import ProblemsFound
from cutplan.writing.inplace import alone_in, behind_links, replace


def test_a_new_file_and_a_changed_one(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    replace(path, b"1", None)
    replace(path, b"2", b"1")
    assert path.read_bytes() == b"2"
    assert [other.name for other in tmp_path.iterdir()] == ["a.csv"]


def test_what_was_not_read_is_not_replaced(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_bytes(b"1")
    for before in (None, b"2"):
        with pytest.raises(ProblemsFound, match="another program changed meanwhile"):
            replace(path, b"3", before)
    assert path.read_bytes() == b"1"
    assert [other.name for other in tmp_path.iterdir()] == ["a.csv"]


def test_on_a_full_disk_the_file_stays_and_room_is_asked_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    path = tmp_path / "a.csv"
    path.write_bytes(b"1")
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(ProblemsFound, match=r"No space left on device.*\n.*a disk with room for it"):
        replace(path, b"2", b"1")
    assert path.read_bytes() == b"1"
    assert [other.name for other in tmp_path.iterdir()] == ["a.csv"]


def test_links_that_go_in_circles(tmp_path: Path) -> None:
    first, second = tmp_path / "a.csv", tmp_path / "b.csv"
    first.symlink_to(second)
    second.symlink_to(first)
    with pytest.raises(ProblemsFound, match="cannot be written"):
        replace(behind_links(first), b"1", None)


def test_a_folder_that_is_not_there_locks_nothing(tmp_path: Path) -> None:
    with alone_in(tmp_path / "none"), pytest.raises(ProblemsFound, match="cannot be written"):
        replace(tmp_path / "none" / "a.csv", b"1", None)
