"""Plans without waste: every bar full, found where three parts fill a bar, and not looked for elsewhere."""

from __future__ import annotations

import random
import time
from collections.abc import Sequence

import numpy as np
import pytest

from cutplan.model import Status
from cutplan.solving.clock import Clock
from cutplan.solving.instance import Instance
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import covers
from cutplan.solving.tree import TreeSearch
from cutplan.solving.without_waste import in_the_way, without_waste
from tests import builders
from tests.effort import seeds
from tests.solver_instances import instance_for

ROOM = 9_600


def clock(seconds: float = 3_600.0) -> Clock:
    return Clock(deadline=time.monotonic() + seconds)


def bars_of_three(bars: int, draw: random.Random, steps: Sequence[int] = (1, 2, 2, 4, 8)) -> list[int]:
    """Parts that fill so many bars, three each: a long one, mostly even, and two that fill the rest."""
    lengths = []
    for _ in range(bars):
        step = draw.choice(steps)
        long = draw.randrange(ROOM // 2, ROOM - ROOM // 10, step)
        other = draw.randrange(step, ROOM - long, step)
        lengths += [long, other, ROOM - long - other]
    return lengths


def group_of(lengths: Sequence[int]) -> Instance:
    parts = [builders.part(f"M{n}", 1, length) for n, length in enumerate(lengths)]
    return instance_for(builders.job(parts, [builders.offer("P", ROOM, 10)], kerf=0))


@pytest.mark.parametrize("seed", seeds(60))
def test_bars_of_three_are_put_together_again(seed: int) -> None:
    lengths = bars_of_three(40, random.Random(seed))
    instance = group_of(lengths)
    plan = without_waste(instance, Parameters(), clock(), again=False)
    assert plan is not None
    assert covers(instance, plan)
    assert all(bars.count == 1 and instance.left(0, bars.pattern) == 0 for bars in plan)
    assert len(plan) == sum(lengths) // ROOM
    assert without_waste(instance, Parameters(), clock(), again=False) == plan


def test_a_search_ends_with_it_before_an_lp_is_solved() -> None:
    """Of 180 parts nearly all differ: plans made without one take a bar more."""
    lengths = bars_of_three(60, random.Random(5))
    instance = group_of(lengths)
    assert len(instance.pieces) >= Parameters().tight_pieces
    outcome = TreeSearch(instance, Parameters(), clock()).run()
    assert outcome.status is Status.RECHECKED
    assert (outcome.patterns, outcome.cost) == (0, 60 * instance.sources[0].price)


def test_odd_parts_are_placed_while_even_ones_are_there_for_them() -> None:
    """Two odd ones more than half a bar long: each needs another odd one, which even ones leave alone."""
    takes, wanted = np.array([14, 12, 9, 7, 6, 4, 3, 1]), np.array([1, 1, 1, 0, 1, 1, 1, 1])
    first, measure = in_the_way(takes, wanted, 20)
    assert takes[first].tolist() == [9, 3, 1]
    assert measure == 2


@pytest.mark.parametrize(
    ("takes", "room", "away", "measure"),
    [
        ([12, 8, 4], 24, [12, 4], 8),  # without 12 and 4 all is counted in eights
        ([9, 6, 4], 30, [9], 2),  # in twos without the 9, in threes without the 4: the smaller one of equals
        ([9, 6, 3, 2], 30, [2], 3),
        ([5, 3, 1], 7, [5, 3, 1], 7),
        ([14, 7], 7, [], 7),  # the bar has no coarser measure
    ],
)
def test_fewest_parts_are_in_the_way_of_a_coarser_measure(
    takes: list[int], room: int, away: list[int], measure: int
) -> None:
    first, coarser = in_the_way(np.array(takes), np.ones(len(takes), dtype=np.int64), room)
    assert (np.array(takes)[first].tolist(), coarser) == (away, measure)


def refused(instance: Instance, **changes: int) -> bool:
    """Is nothing found?"""
    return without_waste(instance, Parameters(**changes), clock(), again=False) is None


def test_it_is_looked_for_where_every_bar_is_to_be_full_of_few_parts() -> None:
    lengths = bars_of_three(30, random.Random(3))
    short = [*lengths[:-1], lengths[-1] - 1]
    halves = [length for whole in lengths for length in (whole // 2, whole - whole // 2)]
    assert not refused(group_of(lengths))
    assert refused(group_of(short)), "a millimetre is left over"
    assert refused(group_of(halves)), "bars hold six parts"
    assert refused(group_of(lengths), full_bars=29), "more bars than that"
    assert refused(group_of(lengths), full_listed=10), "more sets than that"
    two = [builders.offer("P", ROOM, 10), builders.offer("Q", ROOM // 2, 6)]
    parts = [builders.part(f"M{n}", 1, length) for n, length in enumerate(lengths)]
    assert refused(instance_for(builders.job(parts, two, kerf=0))), "bars of two lengths"
    few = [builders.offer("P", ROOM, 10, available=29), builders.offer("Q", ROOM // 2, 6)]
    assert refused(instance_for(builders.job(parts, few, kerf=0))), "fewer bars than that"


def test_nothing_is_found_when_time_is_up() -> None:
    instance = group_of(bars_of_three(30, random.Random(3)))
    assert without_waste(instance, Parameters(), clock(-1.0), again=False) is None


def test_where_no_plan_has_all_bars_full_none_is_found() -> None:
    """Two odd parts longer than half a bar among even ones: no bar is full with one of them."""
    lengths = [*bars_of_three(22, random.Random(1), (2, 4)), ROOM // 2 + 101, ROOM // 2 + 301, ROOM - 402]
    assert sum(lengths) % ROOM == 0
    assert refused(group_of(lengths))
