"""Rows of mitred parts against published problems of packing trapezoids, solved here by their own recursion.

Sources, both from memory: R. Lewis, P. Holborn, How to pack trapezoids: exact and evolutionary algorithms, IEEE
Transactions on Evolutionary Computation 21 (2017): trapezoids of one height lie in strips, each may be turned, and
between two whose slants reach a and b along the strip a triangle of width |a - b| is lost, at an end of the strip one
of a. M. Garraffa, F. Salassa, W. Vancroonenburg, G. Vanden Berghe, T. Wauters, The one-dimensional cutting stock
problem with sequence-dependent cut losses, International Transactions in Operational Research 23 (2016): the fewest
bars for items between which such a loss depends on the order.

Their items slant at any angles, and unlike slants nest in part. Here ends of unlike angles share nothing, which is the
same where all slants of a job are alike and other ends square: |a - 0| = a + 0. Made by their construction with that
restriction: lengths drawn evenly, each end slanted or square as a coin falls, a saw of no width.
"""

from __future__ import annotations

import random
from functools import cache

import pytest

from cutplan.checking import check
from cutplan.model import Part, Status
from cutplan.planning import plan_job
from cutplan.units import mm_text
from tests.builders import job, mm, offer, part
from tests.effort import seeds

DEPTH = 40
"""Of the stand-in tube: what a slant of 45 degrees reaches along it. [mm]"""

Item = tuple[int, int, int]
"""Length from point to point, and what either end reaches. [mm]"""


def items_of(seed: int, number: int) -> list[Item]:
    draw = random.Random(f"trapezoids {seed}")
    return [(draw.randint(150, 600), DEPTH * draw.randint(0, 1), DEPTH * draw.randint(0, 1)) for _ in range(number)]


def parts_of(items: list[Item]) -> list[Part]:
    return [
        part(f"T{n}", 1, length, mitres=(45 if one else 0, 45 if other else 0))
        for n, (length, one, other) in enumerate(items)
    ]


def least_row(items: list[Item]) -> dict[int, int]:
    """For every set of items, by bits, twice the shortest strip that holds them in a row.

    M. Held, R. M. Karp, A dynamic programming approach to sequencing problems, 1962, from memory: over sets and what
    the last item reaches at its far end. An item covers its length less half of either slant; what is lost beside it
    is half of the width of each triangle.
    """

    @cache
    def ending_with(members: int, far: int) -> float:
        """Twice the least row of a set up to a far end that reaches so much."""
        found = float("inf")
        for n, (length, one, other) in enumerate(items):
            if not members >> n & 1:
                continue
            rest = members & ~(1 << n)
            for near, end in ((one, other), (other, one)):
                if end != far:
                    continue
                own = 2 * length - near - end
                before = near if not rest else min(ending_with(rest, last) + abs(last - near) for last in (0, DEPTH))
                found = min(found, before + own)
        return found

    rows = {0: 0}
    for members in range(1, 1 << len(items)):
        rows[members] = int(min(ending_with(members, far) + far for far in (0, DEPTH)))
    return rows


def fewest_strips(items: list[Item], width: int) -> int:
    """The fewest strips of a width that hold all items."""
    fits = {members for members, twice in least_row(items).items() if twice <= 2 * width}

    @cache
    def fewest(members: int) -> int:
        if not members:
            return 0
        first = members & -members
        rest = members & ~first
        chosen, best = rest, len(items)
        while True:
            if chosen | first in fits:
                best = min(best, 1 + fewest(rest & ~chosen))
            if not chosen:
                return best
            chosen = (chosen - 1) & rest

    return fewest((1 << len(items)) - 1)


def test_a_row_of_equal_trapezoids_by_hand() -> None:
    """Each covers 300 - 40, and half of 40 is lost at either end of the strip, or beside a square end."""
    assert least_row([(300, DEPTH, DEPTH)] * 4)[0b1111] == 2 * (4 * 260 + 40)
    assert least_row([(300, DEPTH, DEPTH), (200, 0, 0)])[0b11] == 2 * 500
    assert least_row([(300, DEPTH, 0), (200, 0, DEPTH)])[0b11] == 2 * (500 - 40)


@pytest.mark.parametrize("seed", seeds(60))
def test_one_strip_is_as_long_as_the_best_row(seed: int) -> None:
    """A bar of just that length holds all, and one a tenth of a millimetre shorter does not."""
    items = items_of(seed, 8)
    twice = least_row(items)[0b11111111]
    assert twice % 2 == 0
    for shorter, held in ((0, True), (mm("0.1"), False)):
        length = mm_text(mm(twice // 2) - shorter)
        plan = plan_job(job(parts_of(items), [offer("A", length, 10)]))
        assert plan.status is not Status.NOT_PROVEN
        assert (len(list(plan.bars)) == 1) is held


@pytest.mark.parametrize("seed", seeds(60))
def test_as_many_bars_as_losses_by_the_order_need(seed: int) -> None:
    items = items_of(1000 + seed, 9)
    width = random.Random(f"strip {seed}").choice([900, 1000, 1100])
    made = job(parts_of(items), [offer("A", width, 10)])
    plan = plan_job(made)
    assert check(made, plan) == ()
    fewest = fewest_strips(items, width)
    assert plan.bound <= fewest * mm(10) <= plan.cost
    if plan.status is not Status.NOT_PROVEN:
        assert len(list(plan.bars)) == fewest
