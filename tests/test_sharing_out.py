"""Parts shared out among pieces, against trying every way."""

from __future__ import annotations

import random
from itertools import product

import pytest

from cutplan.solving.patterns.sharing_out import Search, by_sums
from tests.effort import seeds


def fitting(takes: list[int], rooms: list[int], *, none_empty: bool) -> bool:
    """Does any way to share them out fit?"""
    for where in product(range(len(rooms)), repeat=len(takes)):
        filled = [sum(take for take, at in zip(takes, where, strict=True) if at == k) for k in range(len(rooms))]
        if all(map(int.__le__, filled, rooms)) and not (none_empty and 0 in filled):
            return True
    return False


@pytest.mark.parametrize("pieces", [2, 3])
@pytest.mark.parametrize("seed", seeds(400))
def test_all_sums_find_a_way_where_there_is_one(seed: int, pieces: int) -> None:
    draw = random.Random(seed)
    takes = sorted((draw.randint(1, 12) for _ in range(draw.randint(1, 7))), reverse=True)
    outer, inner = draw.randint(4, 20), draw.randint(4, 20)
    rooms = [outer, *[inner] * (pieces - 2), outer]
    where = by_sums(takes, rooms)
    assert (where is not None) == fitting(takes, rooms, none_empty=True)
    if where is not None:
        filled = [sum(take for take, at in zip(takes, where, strict=True) if at == k) for k in range(pieces)]
        assert all(0 < fill <= room for fill, room in zip(filled, rooms, strict=True))


@pytest.mark.parametrize("seed", seeds(200))
def test_the_search_finds_a_way_where_there_is_one(seed: int) -> None:
    draw = random.Random(seed)
    takes = sorted((draw.randint(1, 12) for _ in range(draw.randint(1, 6))), reverse=True)
    rooms = [draw.randint(4, 16) for _ in range(draw.randint(2, 4))]
    search = Search(takes, [True] * len(takes), rooms, rooms, len(rooms), 10**6, lambda filled, held: True)
    assert (search.run() is not None) == fitting(takes, rooms, none_empty=False)


def test_the_search_ends_where_it_is_told_to() -> None:
    takes, rooms = [5, 5, 4, 4], [9, 9]
    brief, full = (Search(takes, [True] * 4, [0, 1], rooms, 2, most, lambda filled, held: True) for most in (2, 99))
    assert brief.run() is None
    assert full.run() is not None
    assert 2 <= brief.tried < full.tried


@pytest.mark.parametrize(("number", "found"), [(1500, True), (1501, False)])
def test_very_many_parts_are_put_where_they_fit_and_no_other_way_is_said_to_be_none(number: int, found: bool) -> None:
    """Three pieces with room for 500 each; a step deeper for each part would be more than Python goes."""
    search = Search([1] * number, [True] * number, [0, 1, 0], [500] * 3, 3, 20_000, lambda filled, held: True)
    where = search.run()
    assert (where is not None) == found
    assert found or search.tried >= 20_000
    if where is not None:
        assert [where.count(place) for place in range(3)] == [500] * 3
