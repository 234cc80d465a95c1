"""What a killed command left half written is swept by the next that writes the same file, and nothing else is."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from cutplan.rack.store import save_copy
from cutplan.unfinished import unfinished
from cutplan.writing.append import append_parts


@pytest.fixture(scope="module")
def dead() -> int:
    """The number of a process that has ended."""
    process = subprocess.Popen([sys.executable, "-c", ""])
    process.wait()
    return process.pid


def left_by(process: int, path: Path) -> Path:
    half = path.with_name(f".{path.name}.{process}")
    half.write_text("half")
    return half


def test_only_files_of_dead_processes_go(dead: int, tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    gone = [left_by(dead, path), tmp_path / f".a.csv.{dead}-journal"]
    gone[1].write_text("half")
    kept = [
        left_by(os.getppid(), path), left_by(dead, tmp_path / "b.csv"), left_by(dead, tmp_path / "aXcsv"),
        tmp_path / ".a.csv.bak", tmp_path / f"a.csv.{dead}",
    ]  # fmt: skip
    for other in kept[3:]:
        other.write_text("theirs")
    assert unfinished(path) == tmp_path / f".a.csv.{os.getpid()}"
    assert [file.exists() for file in gone] == [False, False]
    assert all(file.exists() for file in kept)


def test_a_number_that_no_process_has(tmp_path: Path) -> None:
    half = left_by(10**30, tmp_path / "a.csv")
    unfinished(tmp_path / "a.csv")
    assert not half.exists()


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    assert unfinished(tmp_path / "none" / "a.csv").name == f".a.csv.{os.getpid()}"


def test_a_list_that_rows_are_added_to(dead: int, tmp_path: Path) -> None:
    path = tmp_path / "braces.csv"
    half = left_by(dead, path)
    append_parts(path, [{"Mark": "D", "Quantity": 1, "Section": "SHS 40x40x3", "Length": "900 mm"}])
    assert not half.exists()
    assert sorted(os.listdir(tmp_path)) == ["braces.csv"]


def test_a_copy_of_a_ledger(dead: int, tmp_path: Path) -> None:
    path = tmp_path / "copy.ledger"
    half = left_by(dead, path)
    with closing(sqlite3.connect(":memory:")) as source:
        source.execute("CREATE TABLE one (two)")
        save_copy(source, path)
    assert sorted(os.listdir(tmp_path)) == ["copy.ledger"]
    assert not half.exists()
