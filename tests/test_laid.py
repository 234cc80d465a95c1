"""Sets judged by their best order, whatever the orders are: what a space keeps and what it sends on."""

from __future__ import annotations

import pickle
import random
from collections.abc import Sequence
from itertools import combinations_with_replacement, product

import pytest

from cutplan.solving.patterns import laid
from cutplan.solving.patterns.laid import LaidSpace, add_up, copies_of, parts_by_kind
from tests import builders
from tests.effort import seeds
from tests.solver_instances import instance_for


@pytest.mark.parametrize("share", [False, True])
def test_what_was_worked_out_is_not_sent_to_another_process(share: bool) -> None:
    parts = [builders.part("A", 2, 300, mitres=(45, 45))]
    job = builders.job(parts, [builders.offer("P", 1000, 8)], kerf="2.5", share_mitres=share)
    here = instance_for(job).space
    assert isinstance(here, LaidSpace)
    assert here.can_be_cut(0, (2,))
    there = pickle.loads(pickle.dumps(here))
    assert there == here
    assert not there._laid
    assert there.laid(0, (2,)) == here.laid(0, (2,))


def test_parts_of_a_kind_come_longest_first_from_the_end() -> None:
    parts = [builders.part("A", 1, 300), builders.part("B", 1, 400), builders.part("C", 1, 200)]
    kind = instance_for(builders.job(parts, [builders.offer("P", 1000, 8)])).pieces[0].kind
    waiting = parts_by_kind([kind] * 3, parts)
    assert [waiting[kind].pop().mark for _ in parts] == ["B", "A", "C"]


@pytest.mark.parametrize(
    ("copies", "gaps", "between", "found"),
    [
        ([(50, 1)], [3], 50, True),  # one part has no neighbour
        ([(50, 1)], [3], 53, False),
        ([(50, 2)], [3], 103, True),
        ([(50, 2)], [3, -10], 90, True),
        ([(50, 3)], [3, -10], 143, True),  # one gap of each
        ([(50, 2)], [3, -10], 143, False),
        ([(70, 1), (50, 2)], [0], 120, True),
        ([(70, 1), (50, 2)], [0], 140, False),
        ([(5, 1)], [-5], 7, True),  # a part that makes no bar longer: not worked out
        ([], [0], 0, False),
    ],
)
def test_what_parts_with_gaps_can_come_to(
    copies: Sequence[tuple[int, int]], gaps: Sequence[int], between: int, found: bool
) -> None:
    assert add_up(tuple(copies), frozenset(gaps), between) is found


@pytest.mark.parametrize("seed", seeds(60))
def test_what_parts_with_gaps_come_to_is_what_listing_all_comes_to(seed: int) -> None:
    draw = random.Random(seed)
    lengths = sorted(draw.sample(range(8, 30), 3), reverse=True)
    copies = tuple((length, draw.randint(1, 2)) for length in lengths)
    gaps = draw.sample(range(-7, 5), 3)
    every = set()
    for counts in product(*(range(n + 1) for _, n in copies)):
        if any(counts):
            bare = sum(length * n for (length, _), n in zip(copies, counts, strict=True))
            every |= {bare + sum(some) for some in combinations_with_replacement(gaps, sum(counts) - 1)}
    for between in range(1, 200):
        assert add_up(copies, frozenset(gaps), between) is (between in every)


def test_of_too_many_sums_any_may_be_come_to(monkeypatch: pytest.MonkeyPatch) -> None:
    copies = ((31, 5), (17, 5))
    assert not add_up(copies, frozenset({0}), 1000)
    monkeypatch.setattr(laid, "MOST_SUMS", 10)
    add_up.cache_clear()
    assert add_up(copies, frozenset({0}), 1000)
    add_up.cache_clear()


def test_spares_may_fill_a_bar_too() -> None:
    parts = [builders.part("A", 2, 300, mitres=(45, 45), spares=1), builders.part("B", 1, 400, mitres=(45, 0))]
    pieces = instance_for(builders.job(parts, [builders.offer("P", 2000, 8)])).pieces
    assert copies_of(pieces) == ((builders.mm(400), 1), (builders.mm(300), 3))
