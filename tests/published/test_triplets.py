"""Triplets: every bar is used up by exactly three parts, so that the optimum is known by construction.

References
----------
E. Falkenauer, A hybrid grouping genetic algorithm for bin packing, Journal of
Heuristics 2 (1996) 5-30: the T sets. The recipe is from memory: bars of 1000,
the longest part of a triple from 380 to 490, the second from 250 to half of
what is left, the third the rest. Seeds and so the problems are our own.
"""

from __future__ import annotations

import random
from collections import Counter

import pytest

from cutplan.checking import check
from cutplan.model import Job, Status
from cutplan.planning import plan_job
from cutplan.units import CURRENCY
from tests import builders
from tests.effort import some

BAR = 1000


def triplets(pieces: int, seed: int) -> list[int]:
    """Lengths of so many pieces, three of which at a time fill a bar."""
    draw = random.Random(f"triplets {pieces} {seed}")
    lengths = []
    for _ in range(pieces // 3):
        longest = draw.randint(380, 490)
        second = draw.randint(250, (BAR - longest) // 2)
        lengths += [longest, second, BAR - longest - second]
    return lengths


def job(lengths: list[int], kerf: str = "0") -> Job:
    """A job of these lengths; with a kerf, parts and the length counted on are a kerf shorter."""
    less = builders.mm(kerf)
    parts = [
        builders.part(f"M{length}", quantity, f"{builders.mm(length) - less}e-6")
        for length, quantity in sorted(Counter(lengths).items(), reverse=True)
    ]
    offer = builders.offer("P", BAR, 1, counted=f"{builders.mm(BAR) - less}e-6")
    return builders.job(parts, [offer], kerf=kerf)


def assert_a_third_of_the_pieces(job: Job, pieces: int) -> None:
    plan = plan_job(job)
    assert check(job, plan) == ()
    assert plan.cost == pieces // 3 * CURRENCY
    assert plan.status is Status.RECHECKED
    assert all(len(bar.cuts) == 3 and bar.drop.length == 0 for bar in plan.bars)


def test_the_recipe() -> None:
    lengths = triplets(120, 1)
    assert len(lengths) == 120
    assert sum(lengths) == 40 * BAR
    assert min(lengths) >= 250
    assert max(lengths) < 500


@pytest.mark.parametrize("seed", some(range(4), 0))
@pytest.mark.parametrize("pieces", some([60, 120, 249], 60))
def test_triplets_are_closed(pieces: int, seed: int) -> None:
    assert_a_third_of_the_pieces(job(triplets(pieces, seed)), pieces)


def test_triplets_with_a_kerf_end_flush() -> None:
    assert_a_third_of_the_pieces(job(triplets(60, 5), kerf="2.5"), 60)


@pytest.mark.slow
@pytest.mark.parametrize("seed", some(range(10, 13), 10))
@pytest.mark.parametrize("pieces", [249, 501])
def test_larger_triplets(pieces: int, seed: int) -> None:
    assert_a_third_of_the_pieces(job(triplets(pieces, seed)), pieces)
