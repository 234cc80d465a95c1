"""The problem generator CUTGEN1, and the two problems its paper prints.

References
----------
T. Gau, G. Waescher, CUTGEN1: a problem generator for the standard
one-dimensional cutting stock problem, European Journal of Operational Research
84 (1995) 572-579; p. 576 prints the first and the last of 150 problems. The
printed figures were read in the unit test of an Apache-2.0 port; the optima
394 and 322 were recomputed, all patterns listed.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

import pytest

from cutplan.checking import check
from cutplan.model import Job, Status
from cutplan.planning import plan_job
from cutplan.units import CURRENCY
from tests import builders
from tests.effort import some_rows

Problem = dict[int, int]
"""Length to number wanted."""


def uniform(seed: int) -> Iterator[float]:
    """Lehmer's generator, 16807 modulo 2^31 - 1, between 0 and 1."""
    while True:
        seed = seed * 16807 % (2**31 - 1)
        yield seed / (2**31 - 1)


def cutgen1(many: int, bar: int, shortest: float, longest: float, demand: int, seed: int) -> Iterator[Problem]:
    """Problems of one class, one after the other from one stream of numbers."""
    draw = uniform(seed)
    while True:
        shares = islice(draw, many)
        lengths = sorted((int((shortest + (longest - shortest) * u) * bar + u) for u in shares), reverse=True)
        weights = list(islice(draw, many))
        total, left = sum(weights), many * demand
        problem: Problem = {}
        for place, (length, weight) in enumerate(zip(lengths, weights, strict=True), 1):
            share = max(1, int(many * demand * weight / total + 0.5))
            count = share if place < many else max(1, left)
            left -= count
            problem[length] = problem.get(length, 0) + count
        yield problem


FIRST = {577: 63, 570: 64, 544: 85, 539: 84, 526: 54, 512: 20, 504: 24, 459: 31, 446: 48, 378: 27}
LAST = {570: 16, 558: 94, 543: 20, 540: 99, 513: 59, 490: 48, 476: 78, 453: 35, 434: 51}


def job(problem: Problem, bar: int = 1000) -> Job:
    parts = [builders.part(f"M{length}", count, length) for length, count in problem.items()]
    return builders.job(parts, [builders.offer("P", bar, 1)])


def test_the_recipe_gives_the_printed_problems() -> None:
    problems = list(islice(cutgen1(10, 1000, 0.375, 0.625, 50, seed=1994), 150))
    assert problems[0] == FIRST
    assert problems[149] == LAST


@pytest.mark.parametrize(("problem", "optimum"), [(FIRST, 394), (LAST, 322)], ids=["first", "last"])
def test_the_printed_problems_are_closed(problem: Problem, optimum: int) -> None:
    wanted = job(problem)
    plan = plan_job(wanted)
    assert plan.cost == plan.bound == optimum * CURRENCY
    assert plan.status is Status.RECHECKED
    assert check(wanted, plan) == ()


CLASSES = [(shares, many, demand) for shares in ((0.01, 0.2), (0.01, 0.8), (0.2, 0.8))
           for many in (10, 20, 40) for demand in (10, 100)]  # fmt: skip
"""The 18 classes in use since, bars of 1000 and seed 1994; from memory."""
SMALLER = [each for each in CLASSES if each[1] < 40]


def assert_closed(shares: tuple[float, float], many: int, demand: int, count: int) -> None:
    for problem in islice(cutgen1(many, 1000, *shares, demand, seed=1994), count):
        wanted = job(problem)
        plan = plan_job(wanted)
        assert check(wanted, plan) == ()
        assert plan.status is not Status.NOT_PROVEN


@pytest.mark.parametrize(("shares", "many", "demand"), some_rows(SMALLER, *SMALLER[::4]))
def test_the_first_of_each_class_is_closed(shares: tuple[float, float], many: int, demand: int) -> None:
    assert_closed(shares, many, demand, 1)


@pytest.mark.slow
@pytest.mark.parametrize(("shares", "many", "demand"), CLASSES)
def test_the_first_five_of_each_class_are_closed(shares: tuple[float, float], many: int, demand: int) -> None:
    assert_closed(shares, many, demand, 5)
