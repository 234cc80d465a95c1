"""What ends a search. The clock is moved by hand: tests never wait."""

from __future__ import annotations

import time

import pytest

from cutplan.solving.clock import Clock, Pace


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


@pytest.fixture
def worked(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """Processor seconds of this thread, which stand until they are set."""
    hand = [7.0]
    monkeypatch.setattr(time, "thread_time", lambda: hand[0])
    return hand


def test_on_a_shared_machine_work_takes_as_many_times_as_long_as_it_has_so_far(
    now: list[float], worked: list[float]
) -> None:
    pace = Pace()
    assert pace.seconds(0.5) == 0.5, "nothing is known yet"
    now[0], worked[0] = 124.0, 9.0
    assert pace.worked() == 2.0
    assert pace.seconds(0.5) == 6.0
    pace.leave_out(20.0)
    assert pace.seconds(0.5) == 1.0


def test_no_work_takes_less_than_it_keeps_a_processor_busy(now: list[float], worked: list[float]) -> None:
    pace = Pace()
    now[0], worked[0] = 101.0, 9.0
    assert pace.seconds(0.5) == 0.5


@pytest.mark.parametrize(
    ("kept_back", "left"),
    # Twelve seconds go by in one of the processor's; half a second after the deadline is allowed, and of the ten that
    # are left six are kept back at most.
    [(0.0, 10.0), (0.01, 10.0), (0.125, 9.0), (0.25, 7.5), (0.5, 4.5), (0.6, 4.0), (9.0, 4.0)],
)
def test_a_search_ends_sooner_by_what_follows_it(
    now: list[float], worked: list[float], kept_back: float, left: float
) -> None:
    clock = Clock(deadline=122.0, kept_back=kept_back, allowed=0.5, at_most=6.0)
    now[0], worked[0] = 112.0, 8.0
    assert clock.seconds_left == pytest.approx(left)
    now[0], worked[0] = 112.0 + left - 0.01, 8.0 + (left - 0.01) / 12
    assert not clock.struck()
    now[0], worked[0] = 112.0 + left + 0.01, 8.0 + (left + 0.01) / 12
    assert clock.struck()


def test_what_cannot_be_ended_is_not_begun_without_time_for_it(now: list[float], worked: list[float]) -> None:
    clock = Clock(deadline=122.0)
    now[0], worked[0] = 112.0, 8.0
    assert clock.lets(0.8)
    assert clock.stopped_by == ""
    assert not clock.lets(0.9)
    assert clock.stopped_by == "time limit"
    assert not clock.lets(0.0)


def test_a_part_of_a_search_ends_no_later_than_the_whole(now: list[float], worked: list[float]) -> None:
    whole = Clock(deadline=110.0, kept_back=3.0, allowed=1.0, nodes=5)
    assert whole.within(109.0).seconds_left == 8.0
    assert whole.within(104.0).seconds_left == 4.0
    assert whole.within(104.0).nodes == 0


def test_groups_that_wait_are_left_what_a_plan_and_a_bound_took(now: list[float], worked: list[float]) -> None:
    pace = Pace()
    now[0], worked[0] = 106.0, 8.0
    clock = Clock(deadline=150.0, pace=pace, waiting=3)
    now[0], worked[0] = 112.0, 9.0
    clock.note_first_bound()
    assert clock.seconds_left == 38.0 - 3 * 6.0
    clock.note_first_bound()
    assert clock.seconds_left == 38.0 - 3 * 6.0, "they are left it once"
    assert clock.least == 1.0


def test_groups_that_wait_are_left_what_the_one_before_took_until_more_is_known(
    now: list[float], worked: list[float]
) -> None:
    pace = Pace()
    now[0], worked[0] = 106.0, 8.0
    clock = Clock(deadline=150.0, pace=pace, waiting=3, least=2.0)
    assert clock.seconds_left == 44.0 - 3 * 12.0
    now[0], worked[0] = 112.0, 9.0
    clock.note_first_bound()
    assert clock.seconds_left == 38.0 - 3 * 6.0
