"""A workshop works for days on end: nothing is lost, and every part wanted is made or named as still to cut."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.effort import some
from tests.workshop_days import worked


@pytest.mark.parametrize("seed", some(range(3), 0))
def test_some_days(tmp_path: Path, seed: int) -> None:
    done = worked(tmp_path, seed, 25).done
    assert done["plan"] > 0
    assert done["record"] + done["replan"] > 0, dict(done)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1000, 1200))
def test_three_hundred_days(tmp_path: Path, seed: int) -> None:
    done = worked(tmp_path, seed, 300).done
    for what in ("order", "receive", "tick", "tick as spoiled", "untick", "record", "replan", "close", "undo"):
        assert done[what], dict(done)
    for what in ("take", "return", "count", "scrap", "correct"):
        assert done[what], dict(done)
