"""A ledger on a share: recognised by its mount, used only where a lock is seen by others."""

from __future__ import annotations

from pathlib import Path

import pytest

from cutplan.problems import ProblemsFound
from cutplan.rack import list_shares, store
from tests import racks

MOUNTS = """\
/dev/sda1 / ext4 rw 0 0
server:/shop /mnt/shop nfs4 rw 0 0
//server/old /mnt/two\\040words cifs rw 0 0
tmpfs /mnt/shop/fast tmpfs rw 0 0
odd
"""


@pytest.mark.parametrize(
    ("path", "share"),
    [
        ("/home/ines/rack.ledger", False),
        ("/mnt/shop/rack.ledger", True),
        ("/mnt/shopping/rack.ledger", False),
        ("/mnt/two words/a/rack.ledger", True),
        ("/mnt/shop/fast/rack.ledger", False),
    ],
)
def test_a_share_is_told_by_its_mount(path: str, share: bool, tmp_path: Path) -> None:
    mounts = tmp_path / "mounts"
    mounts.write_text(MOUNTS)
    assert list_shares.on_network(Path(path), mounts) is share
    assert list_shares.on_network(Path(path), tmp_path / "none") is False


def test_locks_are_tried_with_another_process(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert list_shares.locks_work(tmp_path)
    assert not list(tmp_path.iterdir())
    monkeypatch.setattr(list_shares, "_TRY", "pass")
    assert not list_shares.locks_work(tmp_path), "a process that is let in where it should have been kept out"
    assert not list_shares.locks_work(tmp_path / "none")
    monkeypatch.setattr(list_shares, "_TRY", "import no_such_thing")
    with pytest.raises(ProblemsFound, match=r"could not try .*No module named 'no_such_thing'"):
        list_shares.locks_work(tmp_path)


@pytest.mark.parametrize("works", [True, False])
def test_a_share_without_locks_is_refused(works: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store, "on_network", lambda path: True)
    monkeypatch.setattr(store, "locks_work", lambda folder: works)
    path = tmp_path / "rack.ledger"
    if works:
        with racks.new(path) as ledger:
            assert racks.put(ledger, 500) == ("A1",)
    else:
        with pytest.raises(ProblemsFound, match="a network share on which a lock is not seen by others"):
            racks.new(path)
        assert not path.exists()
