"""Opening a ledger: what is refused, in which words, and what a refusal leaves."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack import store
from cutplan.rack.migrations import VERSION
from cutplan.rack.standing import standing
from cutplan.rack.store import is_ledger, open_ledger
from tests import racks


def refusal(path: Path, **how: bool) -> str:
    with pytest.raises(ProblemsFound) as refused, open_ledger(path, **how):
        pass
    return str(refused.value).replace(str(path), "LEDGER")


def test_no_ledger_is_told(tmp_path: Path) -> None:
    assert refusal(tmp_path / "rack.ledger") == (
        "LEDGER: found no ledger.\nAccepted: a ledger.\nhint: cutplan rack add makes one with the first piece"
    )
    assert not list(tmp_path.iterdir())


def test_settings_of_a_ledger(tmp_path: Path) -> None:
    with racks.new(tmp_path / "rack.ledger") as ledger:
        for setting, value in (("journal_mode", "delete"), ("synchronous", 3), ("foreign_keys", 1)):
            assert ledger.db.execute(f"PRAGMA {setting}").fetchone() == (value,)


@pytest.mark.parametrize("name", ["rack.ledger", "old rack 2.ledger", "Gestell für Reste?.ledger", "棚 #1%20.ledger"])
def test_any_name_and_place(name: str, tmp_path: Path) -> None:
    path = tmp_path / "two words, été" / name
    path.parent.mkdir()
    with racks.new(path) as ledger:
        racks.put(ledger, 500)
    assert [file.name for file in path.parent.iterdir()] == [name]
    assert is_ledger(path)
    with open_ledger(path, read_only=True) as ledger:
        assert len(standing(ledger)) == 1


def another_program(path: Path) -> None:
    db = sqlite3.connect(path)
    db.execute("CREATE TABLE tune (title)")
    db.commit()
    db.close()


def newer(path: Path) -> None:
    racks.new(path).__exit__()
    db = sqlite3.connect(path)
    db.execute(f"PRAGMA user_version = {VERSION + 1}")
    db.close()


def damaged_page(path: Path) -> None:
    with racks.new(path) as ledger:
        racks.put(ledger, *range(500, 900))
    data = bytearray(path.read_bytes())
    data[5 * 4096 : 6 * 4096] = b"\x55" * 4096
    path.write_bytes(data)


def cut_short(path: Path) -> None:
    with racks.new(path) as ledger:
        racks.put(ledger, *range(500, 900))
    path.write_bytes(path.read_bytes()[:9000])


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (another_program, "found a SQLite file of another program"),
        (lambda path: path.write_text("Mark,Section,Length\n"), "found a file that is no ledger"),
        (newer, f"found a ledger of version {VERSION + 1}, written by a newer cutplan"),
        (damaged_page, "found a damaged ledger ("),
        (cut_short, "found a damaged ledger ("),
        (lambda path: path.mkdir(), "found a file that cannot be used (Is a directory)"),
    ],
)
@pytest.mark.parametrize("how", [{}, {"read_only": True}, {"create": True}])
def test_what_is_no_sound_ledger(make: Callable[[Path], None], told: str, how: dict[str, bool], tmp_path: Path) -> None:
    path = tmp_path / "rack.ledger"
    make(path)
    before = path.read_bytes() if path.is_file() else b""
    assert f"LEDGER: {told}" in refusal(path, **how)
    assert (path.read_bytes() if path.is_file() else b"") == before
    if "damaged" in told:
        assert "hint: put a backup back: cutplan rack restore BACKUP" in refusal(path)


def test_an_empty_file_is_a_ledger_that_was_cut_short(tmp_path: Path) -> None:
    path = tmp_path / "rack.ledger"
    path.touch()
    assert "found no ledger" in refusal(path)
    with open_ledger(path, create=True) as ledger:
        assert racks.put(ledger, 500) == ("A1",)


def test_a_ledger_in_use_is_waited_for_and_then_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store, "PATIENCE_MS", 50)
    path = tmp_path / "rack.ledger"
    writing, other = racks.new(path), open_ledger(path)
    with writing, other, writing.changing(), pytest.raises(ProblemsFound, match="another program has held"):
        racks.put(other, 500)
    with open_ledger(path) as ledger:
        assert racks.put(ledger, 500)


def test_a_writer_is_waited_for(tmp_path: Path) -> None:
    path = tmp_path / "rack.ledger"
    started = threading.Event()

    def writes() -> None:
        with racks.new(path) as ledger, ledger.changing():
            started.set()
            threading.Event().wait(0.2)

    racks.new(path).__exit__()
    other = threading.Thread(target=writes)
    other.start()
    started.wait()
    with open_ledger(path) as ledger:
        assert racks.put(ledger, 500) == ("A1",)
    other.join()


def test_a_full_disk_leaves_the_ledger_as_it_was(tmp_path: Path) -> None:
    """A limit on the pages of the file stands in for the disk: SQLite then says what it says of a full one."""
    path = tmp_path / "rack.ledger"
    with racks.new(path) as ledger:
        racks.put(ledger, 500)
        ledger.db.execute("PRAGMA max_page_count = 1")  # not below what is there
        with pytest.raises(ProblemsFound, match="a disk that is full") as refused:
            racks.put(ledger, *range(500, 1500))
        assert "room for the ledger and its journal" in str(refused.value)
        assert len(standing(ledger)) == 1
    with open_ledger(path) as ledger:
        assert racks.put(ledger, 600) == ("C1",)


def test_a_read_only_ledger_is_shown_and_not_written(tmp_path: Path) -> None:
    path = tmp_path / "rack.ledger"
    with racks.new(path) as ledger:
        racks.put(ledger, 500)
    with open_ledger(path, read_only=True) as ledger:
        assert len(standing(ledger)) == 1
        with pytest.raises(ProblemsFound, match="cannot be written"):
            racks.put(ledger, 600)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a process of another user")
def test_a_folder_that_cannot_be_written(tmp_path: Path) -> None:
    """Told in words; whoever may write anywhere (root) steps down first, in a process of its own."""
    import tempfile

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path = folder / "rack.ledger"
        with racks.new(path) as ledger:
            racks.put(ledger, 500)
        path.chmod(0o444)
        folder.chmod(0o555)
        reader, writer = os.pipe()
        child = os.fork()
        if child == 0:
            try:
                if os.geteuid() == 0:
                    os.setuid(65534)
                said = []
                for attempt in (path, folder / "new.ledger"):
                    try:
                        racks.put(open_ledger(attempt, create=True), 600)
                        said.append("written")
                    except ProblemsFound as refused:
                        said.append(str(refused))
                with open_ledger(path, read_only=True) as ledger:
                    said.append(f"{len(standing(ledger))} on the rack")
                os.write(writer, "|".join(said).encode())
            finally:
                os._exit(0)
        os.close(writer)
        with os.fdopen(reader) as answer:
            said = answer.read().split("|")
        os.waitpid(child, 0)
        folder.chmod(0o755)
    assert len(said) == 3
    assert all("a ledger or a folder that cannot be written" in text for text in said[:2])
    assert said[2] == "1 on the rack"


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of 384 KB, of which an empty ledger takes about half; skipped where none can be mounted."""
    place = tmp_path / "small"
    place.mkdir()
    words = ["mount", "-t", "tmpfs", "-o", "size=384k", "tmpfs", str(place)]
    if shutil.which("mount") is None or subprocess.run(words, check=False, capture_output=True).returncode:
        pytest.skip("no file system can be mounted here")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def test_a_disk_that_really_is_full(small_disk: Path) -> None:
    path = small_disk / "rack.ledger"
    with racks.new(path) as ledger:
        racks.put(ledger, 500)
        before = standing(ledger)
        with pytest.raises(ProblemsFound, match="full"):
            racks.put(ledger, *range(500, 2500))
        assert standing(ledger) == before
    with open_ledger(path) as ledger:
        assert standing(ledger) == before
