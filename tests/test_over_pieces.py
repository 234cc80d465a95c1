"""The most that sets on some pieces are worth, against trying every way to fill them."""

from __future__ import annotations

import random
from itertools import product

import numpy as np
import pytest

from cutplan.checking.piece_margins import most_over_pieces
from cutplan.solving.over_pieces import MOST_PIECES, OverPieces
from tests.effort import seeds


def worths(seed: int) -> list[int]:
    """What a piece is worth by how much is taken of it: it never falls."""
    draw = random.Random(seed)
    found = [0]
    for _ in range(draw.randint(0, 9)):
        found.append(found[-1] + draw.choice([0, 0, 1, 3, 7]))
    return found


@pytest.mark.parametrize("seed", seeds(60))
@pytest.mark.parametrize("pieces", range(2, MOST_PIECES + 1))
def test_no_way_to_fill_them_is_worth_more(seed: int, pieces: int) -> None:
    best = worths(seed)
    cap = len(best) - 1
    over = OverPieces(np.array(best), cap)
    for room in range(pieces * cap + 3):
        ways = product(range(cap + 1), repeat=pieces)
        most = max(sum(best[fill] for fill in fills) for fills in ways if sum(fills) <= room)
        shared = over.most(pieces, room)
        assert shared is not None
        assert shared.worth == most == sum(best[fill] for fill in shared.fills)
        assert len(shared.fills) == pieces
        assert sum(shared.fills) <= room
        assert max(shared.fills) <= cap
        if room <= pieces * cap:
            assert most_over_pieces(np.array(best, dtype=np.int64), pieces, room) == most


@pytest.mark.parametrize("seed", seeds(60))
@pytest.mark.parametrize("pieces", range(1, MOST_PIECES))
def test_what_others_are_worth_is_never_too_little(seed: int, pieces: int) -> None:
    best = worths(seed)
    over, rooms = OverPieces(np.array(best), len(best) - 1), np.arange(pieces * len(best))
    for room, worth in zip(rooms, over.most_of(pieces, rooms), strict=True):
        ways = product(range(len(best)), repeat=pieces)
        most = max(sum(best[fill] for fill in fills) for fills in ways if sum(fills) <= room)
        assert worth >= most
        assert pieces == MOST_PIECES - 1 or worth == most


def test_what_is_not_looked_at() -> None:
    over = OverPieces(np.array([0, 1]), 1)
    assert over.most(1, 1) is None
    assert over.most(MOST_PIECES + 1, 1) is None
    assert over.most(2, -1) is None
