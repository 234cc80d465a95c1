"""A full disk, a place that cannot be written, a ledger in use, a clock that goes backwards: whatever is done to a rack
then is refused in one sentence and leaves all as it was, or is done as ever.
"""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any
from unittest import mock

import pytest

from cutplan.problems import ProblemsFound
from tests import rack_worker
from tests.effort import some
from tests.rack_look import Look, look
from tests.sheets import PRINTING

SECTION = "SHS 40x40x3"
WHOLE = f"Line,Section,Quantity,Length,Price\n#2,{SECTION},1,6000,31\n"
SHORT = WHOLE.replace("6000", "2000")

ORDERS: dict[str, dict[str, Any]] = {
    "add": {"section": SECTION, "length": "900", "place": "B1"},
    "read": {"sheet": f"Mark,Section,Length,Place\nX7,{SECTION},880,B1\n"},
    "scrap": {"marks": ["A1"]},
    "take": {"mark": "C1", "quantity": 1},
    "return": {"mark": "E1", "length": "300"},
    "correct": {"mark": "A1", "length": "1190"},
    "move": {"marks": ["A1"], "place": "C1"},
    "count": {"place": "B1", "sheet": f"Mark,Section,Found\nA1,{SECTION},1\nC1,{SECTION},0\n"},
    "release": {"job": "shelf"},
    "plan": {"name": "door", "hold": True},
    "receive": {"plan": "gate/plan.json", "sheet": WHOLE},
    "receive short": {"plan": "gate/plan.json", "sheet": SHORT},
    "record": {"plan": "gate/plan.json", "facts": None},
    "replan": {"plan": "gate/plan.json", "facts": {"1": {"cut": 0}}, "out": "rest"},
    "order": {"plan": "gate/plan.json"},
    "tick": {"plan": "gate/plan.json", "step": "cut", "parts": {"bar": 1}},
    "tick as spoiled": {
        "plan": "gate/plan.json",
        "step": "spoiled",
        "parts": {"marks": ["L"], "copy": 1, "measured": "2400"},
    },
    "close": {"plan": "shelf/plan.json"},
    "undo": {},
}
"""One of each kind, all of which can be done in the shop as it is made."""


def do(folder: Path, name: str, at: str = "2031-05-06T09:30:00Z") -> Any:
    """Do one of them at a time."""
    with mock.patch("cutplan.actions.rack_found.now", return_value=at):
        typed = folder.parent.parent / "typed"
        typed.mkdir(exist_ok=True)
        order = {"folder": str(folder), "typed": str(typed), "who": "Ines", "do": name.split()[0], "with": ORDERS[name]}
        return rack_worker.done(order)


def made(folder: Path) -> Look:
    """Pieces A1 and C1, E1 taken away, a plan gate that buys one length, and a plan shelf that holds A1."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "door.csv").write_text(f"Mark,Quantity,Section,Length\nP,1,{SECTION},690\n")
    (folder / "workshop.toml").write_text('[files]\nprices = "prices.csv"\n')
    (folder / "prices.csv").write_text(f"Merchant,Section,Length,Price,Per\nYard,{SECTION},6000,36,each\n")
    steps: list[tuple[str, dict[str, Any]]] = [
        *(("add", {"section": SECTION, "length": length, "place": "B1"}) for length in ("1200", "700", "640")),
        ("take", {"mark": "E1"}),
        ("plan", {"name": "gate", "list": f"Mark,Quantity,Section,Length\nL,2,{SECTION},2500\n", "hold": False}),
        ("plan", {"name": "shelf", "list": f"Mark,Quantity,Section,Length\nS,1,{SECTION},1180\n", "hold": True}),
    ]
    for what, given in steps:
        with mock.patch("cutplan.actions.rack_found.now", return_value="2031-05-05T09:30:00Z"):
            rack_worker.done({"folder": str(folder), "who": "Ines", "do": what, "with": given})
    return look(folder)


@pytest.fixture(autouse=True)
def no_paper() -> Iterator[None]:
    patches = [mock.patch(name, lambda job, plan, path, *_, **__: path.touch()) for name in PRINTING]
    for patch in patches:
        patch.start()
    yield
    for patch in patches:
        patch.stop()


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of 512 KB; skipped where none can be mounted."""
    place = tmp_path / "disk"
    place.mkdir()
    words = ["mount", "-t", "tmpfs", "-o", "size=512k", "tmpfs", str(place)]
    if shutil.which("mount") is None or subprocess.run(words, check=False, capture_output=True).returncode:
        pytest.skip("no file system can be mounted here")
    yield place
    subprocess.run(["umount", str(place)], check=True)


@pytest.mark.parametrize("name", some(ORDERS, "record", "replan"))
def test_each_can_be_done(name: str, tmp_path: Path) -> None:
    """Else the tests below would show nothing."""
    before = made(tmp_path / "any" / "shop")
    do(tmp_path / "any" / "shop", name)
    assert look(tmp_path / "any" / "shop") != before


@pytest.mark.parametrize("name", some(ORDERS, "record"))
def test_a_full_disk(name: str, small_disk: Path) -> None:
    """From no room at all to room enough: refused with all as it was, then done; nothing between is ever seen."""
    before = made(small_disk / "shop")
    refused, filler = [], small_disk / "filler"
    for free in (0, 8, 24, 48, 96):
        filler.unlink(missing_ok=True)
        filler.write_bytes(bytes(shutil.disk_usage(small_disk).free - free * 1024))
        try:
            do(small_disk / "shop", name)
        except ProblemsFound as problems:
            refused.append(str(problems))
            assert look(small_disk / "shop") == before
        else:
            break
    assert refused, "there was room enough from the start: the test shows nothing"
    assert all("full" in text or "No space left" in text or "room" in text for text in refused), refused
    filler.unlink()
    if look(small_disk / "shop") == before:
        do(small_disk / "shop", name)
    assert look(small_disk / "shop") != before


@pytest.mark.parametrize("name", some(ORDERS, "receive short"))
def test_a_place_that_cannot_be_written(name: str, small_disk: Path) -> None:
    before = made(small_disk / "shop")
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    try:
        with pytest.raises(ProblemsFound, match=r"cannot be written|[Rr]ead-only") as refused:
            do(small_disk / "shop", name)
        assert len(refused.value.problems) == 1
        assert look(small_disk / "shop") == before, "and it can be looked at"
    finally:
        subprocess.run(["mount", "-o", "remount,rw", str(small_disk)], check=True)


@pytest.mark.parametrize("name", some(ORDERS, "tick"))
def test_a_ledger_in_use(name: str, tmp_path: Path) -> None:
    """Another program has it for longer than anybody waits."""
    before = made(tmp_path / "any" / "shop")
    with closing(sqlite3.connect(tmp_path / "any" / "shop" / "rack.ledger", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with (
            mock.patch("cutplan.rack.store.PATIENCE_MS", 50),
            pytest.raises(ProblemsFound, match=r"in use|has it|another") as refused,
        ):
            do(tmp_path / "any" / "shop", name)
        assert len(refused.value.problems) == 1
        other.execute("ROLLBACK")
    assert look(tmp_path / "any" / "shop") == before
    do(tmp_path / "any" / "shop", name)
    assert look(tmp_path / "any" / "shop") != before


@pytest.mark.parametrize("name", some(ORDERS, "tick"))
def test_a_clock_that_goes_backwards(name: str, tmp_path: Path) -> None:
    """What is done a year before the last thing comes to the same but for days, and is undone as ever."""
    folder = tmp_path / "any" / "shop"
    before = made(folder)
    shutil.copytree(folder, tmp_path / "kept")
    do(folder, name)
    usual = look(folder)
    shutil.rmtree(folder)
    (tmp_path / "kept").rename(folder)
    do(folder, name, at="2030-05-06T23:59:59Z")
    early = look(folder)
    assert [piece[:-1] for piece in early.lying] == [piece[:-1] for piece in usual.lying]
    assert (early.balances, early.rows) == (usual.balances, usual.rows)
    if name != "undo" and early.actions > before.actions:
        do(folder, "undo", at="2029-01-01T00:00:00Z")
        assert look(folder).lying == before.lying
