"""A workshop works for days on end: nothing is lost, and every part wanted is made or named as still to cut."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.workshop_days import Workshop


def worked(folder: Path, seed: int, days: int) -> Workshop:
    shop = Workshop(folder, seed)
    shop.work(days)
    shop.delivered()
    return shop


@pytest.mark.parametrize("seed", range(3))
def test_some_days(tmp_path: Path, seed: int) -> None:
    done = worked(tmp_path, seed, 25).done
    assert done["plan"] > 0
    assert done["record"] + done["replan"] > 0, dict(done)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1000, 1200))
def test_three_hundred_days(tmp_path: Path, seed: int) -> None:
    done = worked(tmp_path, seed, 300).done
    for what in ("receive", "record", "replan", "undo", "take", "return", "count", "scrap", "correct"):
        assert done[what], dict(done)
