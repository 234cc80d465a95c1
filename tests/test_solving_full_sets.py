"""Sets of few parts that fill a bar: all of them, each once, and none that wants more of a part than there are."""

from __future__ import annotations

import itertools
import random
from collections import Counter

import numpy as np
import pytest

from cutplan.solving import full_sets as module
from cutplan.solving.full_sets import enough, full_sets
from tests.effort import seeds


def by_trying_all(takes: list[int], wanted: list[int], room: int, parts: int) -> set[tuple[int, ...]]:
    """Every choice of so many places that takes just ``room``."""
    return {
        chosen
        for chosen in itertools.combinations_with_replacement(range(len(takes)), parts)
        if sum(takes[place] for place in chosen) == room
        and all(wanted[place] >= n for place, n in Counter(chosen).items())
    }


@pytest.mark.parametrize("seed", seeds(300))
def test_all_are_listed_once(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    draw = random.Random(seed)
    # So few at a time that pairs of pairs are looked at in many turns.
    monkeypatch.setattr(module, "MOST_SUMS", draw.choice([1, 7, 10_000]))
    room = draw.randint(12, 60)
    takes = sorted(draw.sample(range(1, room + 5), draw.randint(1, 10)), reverse=True)
    wanted = [draw.randint(0, 4) for _ in takes]
    for most_parts in (2, 3, 4):
        found = full_sets(takes, np.array(wanted), room, most_parts)
        assert len(found) == most_parts - 1
        for parts, sets in enumerate(found, start=2):
            rows = [tuple(row) for row in sets.tolist()]
            assert len(set(rows)) == len(rows)
            assert set(rows) == by_trying_all(takes, wanted, room, parts)


def test_no_more_of_a_part_is_held_than_there_are() -> None:
    sets = np.array([[0, 1, 2], [0, 0, 2], [1, 1, 1], [0, 1, 1], [2, 2, 2], [0, 3, 3]])
    assert enough(sets, np.array([1, 2, 3, 0])).tolist() == [True, False, False, True, True, False]
