"""What ends a search. The clock is moved by hand: tests never wait."""

from __future__ import annotations

import time

import pytest

from cutplan.solving.clock import Clock


@pytest.fixture
def now(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """A clock that stands until it is set."""
    hand = [100.0]
    monkeypatch.setattr(time, "monotonic", lambda: hand[0])
    return hand


def test_a_clock_strikes_once_its_time_is_up_and_remembers(now: list[float]) -> None:
    clock = Clock(deadline=110.0)
    assert not clock.struck()
    assert clock.seconds_left == 10.0
    now[0] = 110.0
    assert not clock.struck()
    now[0] = 110.5
    assert clock.seconds_left == 0.0
    assert clock.stopped_by == ""
    assert clock.struck()
    assert clock.stopped_by == "time limit"
    now[0] = 100.0
    assert clock.struck()


def test_what_stopped_a_search_first_stands(now: list[float]) -> None:
    clock = Clock(deadline=110.0, stopped_by="user")
    assert clock.struck()
    now[0] = 200.0
    assert clock.struck()
    assert clock.stopped_by == "user"
