"""Shares: every bar is in one of them, and their numbers cost at least what trying every number shows."""

from __future__ import annotations

import math
import random
from itertools import product

import pytest

from cutplan.model import Split
from cutplan.solving.blocks import Partition, least_over_blocks
from cutplan.solving.instance import Block, Instance
from tests import builders
from tests.effort import seeds
from tests.share_counting import least_by_counting, some_splits, some_sum
from tests.solver_instances import instance_for, sets_of, some_instance


def two_sources() -> Instance:
    parts = [builders.part("A", 4, 300), builders.part("B", 2, 200)]
    return instance_for(builders.job(parts, [builders.offer("P1", 1000, 9), builders.offer("P2", 1300, 11)]))


def test_splits_in_turn_by_hand() -> None:
    """Of P2's bars those with two A or more, of these those with a B, and of the others those with one A."""
    splits = [
        Split(share=1, part=0, copies=2, low=0, high=2),
        Split(share=2, part=1, copies=1, low=1, high=1),
        Split(share=1, part=0, copies=1, low=0, high=3),
    ]
    partition = Partition.of(two_sources(), splits)
    without, many_a = Block(1, (0, 0), (0, 2)), Block(1, (2, 0), (4, 2))
    with_b, one_a = Block(1, (2, 1), (4, 2)), Block(1, (1, 0), (1, 2))
    assert partition.blocks == (Block(0, (0, 0), (4, 2)), without, Block(1, (2, 0), (4, 0)), with_b, one_a)
    assert partition.ranges == {many_a: (0, 2), with_b: (1, 1), one_a: (0, 3)}
    assert partition.within == ((), (), (many_a,), (many_a, with_b), (one_a,))


def test_a_block_that_is_to_have_no_bar_is_told_and_so_is_what_was_split_off_from_it() -> None:
    splits = [
        Split(share=1, part=0, copies=2, low=0, high=0),
        Split(share=2, part=1, copies=1, low=0, high=1),
        Split(share=0, part=0, copies=1, low=0, high=3),
    ]
    partition = Partition.of(two_sources(), splits)
    assert [partition.is_empty(index) for index in range(5)] == [False, False, True, True, False]


def test_a_share_split_by_what_all_its_bars_hold_is_narrowed() -> None:
    splits = [Split(share=0, part=0, copies=2, low=0, high=2), Split(share=2, part=0, copies=2, low=1, high=4)]
    partition = Partition.of(two_sources(), splits)
    made = Block(0, (2, 0), (4, 2))
    assert partition.blocks[2:] == (Block(0, (2, 0), (1, 2)), made), "of the first of these there is no bar"
    assert partition.ranges == {made: (1, 2)}
    assert partition.within[3] == (made,)


def test_bars_whose_left_over_is_kept_are_told_from_the_others() -> None:
    """Of P1 those kept, and of these those with an A; of P2's with an A those kept."""
    splits = [
        Split(share=0, part=0, copies=0, low=0, high=2, kept=True),
        Split(share=2, part=0, copies=1, low=1, high=1),
        Split(share=1, part=0, copies=1, low=0, high=4),
        Split(share=4, part=0, copies=0, low=1, high=1, kept=True),
    ]
    partition = Partition.of(two_sources(), splits)
    kept, kept_a = Block(0, (0, 0), (4, 2), kept=True), Block(0, (1, 0), (4, 2), kept=True)
    a, a_kept = Block(1, (1, 0), (4, 2)), Block(1, (1, 0), (4, 2), kept=True)
    assert partition.blocks == (
        Block(0, (0, 0), (4, 2), kept=False),
        Block(1, (0, 0), (0, 2)),
        Block(0, (0, 0), (0, 2), kept=True),
        kept_a,
        Block(1, (1, 0), (4, 2), kept=False),
        a_kept,
    )
    assert partition.ranges == {kept: (0, 2), kept_a: (1, 1), a: (0, 4), a_kept: (1, 1)}


@pytest.mark.parametrize("seed", seeds(60))
def test_every_bar_is_in_one_share_and_in_those_that_this_was_split_from(seed: int) -> None:
    instance = some_instance(seed)
    draw = random.Random(seed)
    splits = some_splits(draw, len(instance.sources), instance.demand, draw.randint(1, 4))
    partition = Partition.of(instance, splits)
    assert len(partition.blocks) == len(partition.within) == len(instance.sources) + len(splits)
    for source in range(len(instance.sources)):
        for pattern, kept in product(sets_of(instance.demand), (True, False)):
            blocks = [(k, block) for k, block in enumerate(partition.blocks) if block.source == source]
            (own,) = [k for k, block in blocks if block.has(pattern, kept=kept)]
            made = {block for block in partition.ranges if block.source == source and block.has(pattern, kept=kept)}
            assert made == set(partition.within[own])


@pytest.mark.parametrize("seed", seeds(400))
def test_the_least_of_all_numbers_of_bars_equals_trying_every_number(seed: int) -> None:
    ranges, splits, costs = some_sum(seed)
    least_reduced = [math.inf if cost is None else cost for cost in costs]
    assert least_over_blocks(ranges, splits, least_reduced) == least_by_counting(ranges, splits, costs)


def test_without_splits_every_source_is_used_as_little_or_as_much_as_pays() -> None:
    assert least_over_blocks([(1, 3), (0, 5), (2, 2)], (), [2.5, -1.5, 0.0]) == 2.5 - 7.5
