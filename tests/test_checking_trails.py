"""Sums over trails of a graph, held to trying every order and turn of its edges."""

from __future__ import annotations

import random
from functools import cache

import pytest

from cutplan.checking.trails import (
    NO_PARTS,
    EndClass,
    State,
    begun_twice,
    beyond_twice,
    breaks,
    joined,
    own_twice,
    reached_from,
)
from tests.effort import seeds

Part = tuple[int, int, int]
"""Length and the classes of both ends."""


def by_every_order(parts: list[Part], classes: list[EndClass], begun: int | None = None) -> tuple[int, int]:
    """Least length of a row, and least length with the kerf after its last part; with a class of its first end."""

    def gap(one: int, other: int) -> int:
        wider = max(classes[one].kerf, classes[other].kerf)
        return wider - classes[one].saved if one == other else wider

    @cache
    def rest(left: frozenset[int], last: int) -> tuple[int, int]:
        if not left:
            return 0, classes[last].kerf
        ways = [
            (gap(last, near) + parts[i][0], rest(left - {i}, far))
            for i in left
            for near, far in (parts[i][1:], parts[i][:0:-1])
        ]
        return min(own + more[0] for own, more in ways), min(own + more[1] for own, more in ways)

    every = frozenset(range(len(parts)))
    ways = [
        (parts[i][0], rest(every - {i}, far))
        for i in every
        for near, far in (parts[i][1:], parts[i][:0:-1])
        if begun in (None, near)
    ]
    return min(own + more[0] for own, more in ways), min(own + more[1] for own, more in ways)


def by_trails(parts: list[Part], classes: list[EndClass], begun: int | None = None) -> tuple[int, int]:
    """Twice the same."""
    state, own = NO_PARTS, 0
    for length, a, b in parts:
        state = joined(state, a, b, 1)
        own += own_twice(length, classes[a], classes[b])
    if begun is None:
        return own + beyond_twice(state, classes), own + beyond_twice(state, classes, last_counts=True)
    short, left = (begun_twice(state, classes, frozenset({begun}), last_counts=counts) for counts in (False, True))
    assert short is not None
    assert left is not None
    return own + short, own + left


def some(seed: int, savings: list[int], kerfs: list[int], most: int) -> tuple[list[Part], list[EndClass]]:
    draw = random.Random(seed)
    mitres = [EndClass(25 + draw.choice(kerfs), draw.choice(savings), True) for _ in range(draw.randint(1, most))]
    classes = [EndClass(25), *mitres]
    number = len(classes)
    parts = [
        (draw.randint(900, 3000), draw.randrange(number), draw.randrange(number)) for _ in range(draw.randint(1, 6))
    ]
    return parts, classes


@pytest.mark.parametrize("hundred", seeds(30))
def test_with_up_to_three_mitres_it_is_what_the_best_order_takes(hundred: int) -> None:
    """Depths from 6 mm on, in tenths of a millimetre."""
    for seed in range(100 * hundred, 100 * hundred + 100):
        parts, classes = some(seed, [60, 160, 400], [1, 11, 25], 3)
        least, with_kerf = by_every_order(parts, classes)
        assert by_trails(parts, classes) == (2 * least, 2 * with_kerf)
        for begun in {end for _, *ends in parts for end in ends} if len(classes) == 2 else ():
            assert by_trails(parts, classes, begun)[0] == 2 * by_every_order(parts, classes, begun)[0]


@pytest.mark.parametrize("hundred", seeds(20))
def test_whatever_kerfs_and_savings_it_is_never_more(hundred: int) -> None:
    for seed in range(100 * hundred, 100 * hundred + 100):
        parts, classes = some(seed, [0, 1, 3, 8, 20, 400], [0, 1, 11, 60], 4)
        for begun in (None, *{end for _, *ends in parts for end in ends}):
            for one, other in zip(by_trails(parts, classes, begun), by_every_order(parts, classes, begun), strict=True):
                assert one <= 2 * other


SQUARE, MITRE, FLATTER = EndClass(25), EndClass(36, 400, True), EndClass(29, 230, True)


@pytest.mark.parametrize(
    ("why", "edges", "beyond"),
    [
        ("square parts: a kerf less than they have", [(0, 0), (0, 0)], -50),
        ("frame parts: one saving too many", [(1, 1), (1, 1), (1, 1)], 2 * (400 - 36)),
        ("both, that never meet", [(1, 1), (0, 0)], 2 * (400 - 25)),
        ("an odd number of mitres: one is at an end", [(0, 1)], 400 - 36 - 25),
        ("two that meet: both ends square", [(0, 1), (0, 1)], -50),
        ("three kinds that never meet, the wider kerfs between them", [(1, 1), (2, 2), (0, 0)], 2 * (400 + 230 - 25)),
    ],
)
def test_in_the_head(why: str, edges: list[tuple[int, int]], beyond: int) -> None:
    state: State = NO_PARTS
    for a, b in edges:
        state = joined(state, a, b, 1)
    assert beyond_twice(state, [SQUARE, MITRE, FLATTER]) == beyond, why


def test_the_picture_frame() -> None:
    """n (L - d) + d + (n - 1) kerf / cos 45: eight of 1500 and 40 deep take 11,740 and seven kerfs of 3.6."""
    for number in range(1, 9):
        taken, _ = by_trails([(15_000, 1, 1)] * number, [SQUARE, MITRE])
        assert taken == 2 * (number * 14_600 + 400 + (number - 1) * 36)


def test_how_many_states_there_are() -> None:
    def number(classes: int) -> int:
        kinds = [(a, b) for a in range(classes) for b in range(a, classes)]
        return len(reached_from(NO_PARTS, kinds, 1000) or ())

    # None yet, one class alone, and for two joined or apart as many as parities leave.
    assert [number(classes) for classes in (1, 2, 3)] == [2, 6, 24]
    assert reached_from(NO_PARTS, [(a, b) for a in range(9) for b in range(9)], 100) is None


def test_where_trails_break() -> None:
    apart = joined(joined(NO_PARTS, 0, 0, 1), 1, 1, 3)
    assert breaks(apart) == 1
    assert breaks(joined(apart, 0, 1, 2)) == 0
    four = joined(joined(joined(NO_PARTS, 0, 1, 1), 2, 3, 1), 0, 2, 2)
    assert breaks(four) == 1


def test_no_set_begins_with_an_end_that_none_of_its_parts_has() -> None:
    state = joined(NO_PARTS, 0, 0, 2)
    assert begun_twice(state, [SQUARE, MITRE], frozenset({1})) is None
    assert begun_twice(NO_PARTS, [SQUARE, MITRE], frozenset({0, 1})) is None
