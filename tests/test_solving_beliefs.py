"""Chances of sets in packings: as by counting all packings where sets hang together like a tree, else near that."""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Sequence

import numpy as np
import pytest

from cutplan.solving.beliefs import Beliefs
from tests.effort import seeds


def by_counting(sets: Sequence[tuple[int, ...]], parts: int, spare: list[float]) -> list[float]:
    """Of all packings, each counting for what it leaves out, the share that holds each set."""
    total, holding = 0.0, [0.0] * len(sets)
    for taken in itertools.product((False, True), repeat=len(sets)):
        held = [part for one, there in zip(sets, taken, strict=True) if there for part in one]
        if len(set(held)) < len(held):
            continue
        counts = math.prod(spare[part] for part in range(parts) if part not in held)
        total += counts
        for number, there in enumerate(taken):
            holding[number] += counts * there
    return [share / total for share in holding]


def told(sets: Sequence[tuple[int, ...]], parts: int, spare: list[float]) -> list[float]:
    """The same by beliefs."""
    of_size = [[one for one in sets if len(one) == size] for size in (2, 3)]
    arrays = [np.array(some, dtype=np.int64).reshape(-1, size) for size, some in zip((2, 3), of_size, strict=True)]
    beliefs = Beliefs(arrays, np.ones(parts, dtype=np.int64), np.array(spare))
    beliefs.settle(2_000, 1e-12, 0.6)
    chances = dict(zip(of_size[0] + of_size[1], itertools.chain(*map(np.ndarray.tolist, beliefs.chances)), strict=True))
    return [chances[one] for one in sets]


def a_tree(draw: random.Random) -> tuple[list[tuple[int, ...]], int]:
    """Sets of two and three parts, each but the first with one part of those before."""
    sets: list[tuple[int, ...]] = [(0, 1)]
    parts = 2
    for _ in range(draw.randint(1, 6)):
        more = draw.randint(1, 2)
        sets.append((draw.randrange(parts), *range(parts, parts + more)))
        parts += more
    return sets, parts


@pytest.mark.parametrize("seed", seeds(200))
def test_of_a_tree_they_are_exact(seed: int) -> None:
    draw = random.Random(seed)
    sets, parts = a_tree(draw)
    spare = [draw.uniform(0.05, 2) for _ in range(parts)]
    assert told(sets, parts, spare) == pytest.approx(by_counting(sets, parts, spare), abs=1e-6)


@pytest.mark.parametrize("seed", seeds(100))
def test_elsewhere_they_are_near(seed: int) -> None:
    """Twelve sets of three of fifteen parts, of which packings may leave out some."""
    draw = random.Random(seed)
    sets = sorted({tuple(sorted(draw.sample(range(15), 3))) for _ in range(12)})
    spare = [1.0] * 15
    assert told(sets, 15, spare) == pytest.approx(by_counting(sets, 15, spare), abs=0.12)


def test_what_is_taken_takes_with_it_what_wants_more_than_is_left() -> None:
    beliefs = Beliefs([np.array([[0, 1], [0, 2], [1, 2]])], np.array([2, 1, 1]), np.full(3, 0.1))
    beliefs.take((0, 1))
    assert [sets.tolist() for sets in beliefs.sets] == [[[0, 2]]]
    assert beliefs.wanted.tolist() == [1, 0, 1]
    beliefs.settle(100, 1e-9, 0.6)
    assert beliefs.chances[0].tolist() == pytest.approx([1 / 1.01])
