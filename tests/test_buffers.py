"""Memory that is used again is in use once at a time."""

from __future__ import annotations

import random

import numpy as np
import pytest

from cutplan.solving import buffers
from cutplan.solving.buffers import Buffers


def test_no_two_arrays_share_memory() -> None:
    draw, pool = random.Random(1), Buffers()
    held: list[tuple[int, np.ndarray]] = []
    for number in range(400):
        if held and draw.random() < 0.5:
            value, array = held.pop(draw.randrange(len(held)))
            assert (array == value).all()
            pool.give([array])
        length = draw.choice([10, 70_000, 80_000, 200_000])
        taken = pool.take(length, draw.choice([np.uint8, np.int64, np.float64]))
        assert len(taken) == length
        taken.fill(number % 200)
        held.append((number % 200, taken))
    assert all((array == value).all() for value, array in held)


def test_what_was_given_back_is_taken_again() -> None:
    pool = Buffers()
    first = pool.take(100_000, np.int64)
    given = [first]
    pool.give(given)
    assert given == []
    assert np.shares_memory(pool.take(90_000, np.float64), first)
    assert not np.shares_memory(pool.take(90_000, np.float64), first)


def test_no_more_is_kept_than_allowed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(buffers, "MOST_KEPT", 1 << 20)
    pool = Buffers()
    arrays = [pool.take(500_000, np.uint8) for _ in range(3)]
    pool.give(list(arrays))
    again = [pool.take(500_000, np.uint8) for _ in range(3)]
    assert sum(any(np.shares_memory(one, other) for other in arrays) for one in again) == 2


class User:
    """What arrays are lent to."""


def test_what_was_lent_comes_back_when_its_user_is_gone() -> None:
    pool, user = Buffers(), User()
    lent = [pool.take(100_000, np.uint8)]
    pool.lend(user, lent)
    lent.append(pool.take(100_000, np.uint8))
    kept = list(lent)
    assert not any(np.shares_memory(pool.take(100_000, np.uint8), one) for one in kept)
    del user
    again = [pool.take(100_000, np.uint8) for _ in range(3)]
    assert [any(np.shares_memory(one, other) for other in kept) for one in again] == [True, True, False]
    assert lent == []


def test_an_interrupt_while_memory_comes_back_is_not_lost(monkeypatch: pytest.MonkeyPatch) -> None:
    """In a callback of a weak reference it was printed and dropped, and the search went on."""
    pool, user = Buffers(), User()
    pool.lend(user, [pool.take(100_000, np.uint8)])

    def interrupted(arrays: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(pool, "give", interrupted)
    del user
    with pytest.raises(KeyboardInterrupt):
        pool.take(100_000, np.uint8)
