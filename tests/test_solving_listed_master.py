"""The LP over a list, against one that is given every pattern of it at once."""

from __future__ import annotations

import itertools
import math
import random
from dataclasses import replace

import numpy as np
import pytest

from cutplan.model import groups_of
from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.instance import Block, Instance
from cutplan.solving.kept_bars import KeptBars
from cutplan.solving.listed_master import ListedMaster, Rows
from cutplan.solving.master import Column, Master
from cutplan.solving.parameters import Parameters
from cutplan.solving.whole_numbers import instance_of
from tests import builders
from tests.effort import seeds

PENALTY = 10**10
Ranges = tuple[tuple[int, int], ...]


def some_instance(draw: random.Random) -> Instance:
    """A few parts on two lengths, left overs worth money, of which one may be kept or any number."""
    parts = [
        builders.part(mark, draw.randint(1, 4), length)
        for mark, length in zip("ABCD", draw.sample(range(150, 600, 7), 4), strict=True)
    ]
    offers = [builders.offer("P", 1000, 10), builders.offer("Q", 1700, 16)]
    most_kept = draw.choice([None, 1])
    job = builders.job(parts, offers, keep=200, offcut_value_per_mm=2000, most_kept=most_kept)
    group = groups_of(job)[0]
    return instance_of(group, job.workshop, group.offers, Parameters())


def every_column(instance: Instance) -> list[Column]:
    """Every set that may be cut, its left over kept where that is worth something, and scrapped."""
    columns = []
    for source in range(len(instance.sources)):
        for pattern in itertools.product(*(range(n + 1) for n in instance.demand)):
            if any(pattern) and instance.allowed(source, pattern):
                for kept in {False, instance.value_left(source, pattern) > 0}:
                    columns.append(Column(source, pattern, instance.cost(source, pattern, kept=kept), kept))
    return columns


def some_blocks(draw: random.Random, instance: Instance) -> dict[Block, tuple[int, int]]:
    blocks = {}
    for whole in draw.choices(instance.blocks, k=draw.randint(0, 3)):
        least = tuple(draw.choice([0, 0, 1]) for _ in instance.pieces)
        block = Block(whole.source, least, instance.demand, draw.choice([None, True]))
        low = draw.choice([0, 0, 1])
        blocks[block] = low, low + draw.randint(0, 2)
    return blocks


def made(instance: Instance, columns: list[Column], ranges: Ranges, kept_bars: KeptBars | None = None) -> ListedMaster:
    """With ``kept_bars`` those of the columns whose left over is kept are not listed."""
    listed = [column for column in columns if not (kept_bars and column.kept)]
    few = Parameters(listed_begun=2, listed_more=3)
    master = ListedMaster(instance, listed, Rows.of(instance, listed), ranges, PENALTY, few, kept_bars)
    master.give((0.0,) * len(instance.pieces))
    return master


def kept_bars_of(instance: Instance) -> KeptBars:
    generator = ColumnGenerator(instance, PENALTY, Clock(deadline=1e9), Parameters())
    return KeptBars.of(generator, generator.root_ranges)


def about_listed_alone(blocks: dict[Block, tuple[int, int]]) -> dict[Block, tuple[int, int]]:
    """Blocks of bars whose left over is kept hold anything, and others are of bars whose left over is not."""
    found = {}
    for block, numbers in blocks.items():
        least = (0,) * len(block.least) if block.kept else block.least
        found[replace(block, least=least, kept=bool(block.kept))] = numbers
    return found


@pytest.mark.parametrize("listed", ["all", "those not kept"])
@pytest.mark.parametrize("seed", seeds(200))
def test_nodes_one_after_another_are_bounded_as_by_all_patterns_at_once(seed: int, listed: str) -> None:
    """The LP is given few of them, and its rows serve other bars from node to node."""
    draw = random.Random(seed)
    instance = some_instance(draw)
    columns = every_column(instance)
    ranges = tuple((0, source.most) for source in instance.sources)
    kept_bars = None if listed == "all" else kept_bars_of(instance)
    master = made(instance, columns, ranges, kept_bars)
    for _ in range(8):
        blocks = some_blocks(draw, instance)
        if kept_bars:
            blocks = about_listed_alone(blocks)
        whole = Master(instance)
        whole.set_penalty(PENALTY)
        whole.set_ranges(ranges)
        for column in columns:
            whole.add(column)
        whole.set_blocks(blocks)
        expected = whole.solve(10.0)
        guess = master.solve(blocks, math.inf, Clock(deadline=1e9), guess=True)
        found = master.solve(blocks, math.inf, Clock(deadline=1e9))
        assert found is not None
        assert guess is not None
        # Bars that are not known yet can only be cheaper.
        assert guess.bound >= found.bound - 1e-6 * abs(found.bound)
        # Priced by a knapsack, a left over is scrapped where keeping it is charged with more than it is worth.
        lower = kept_bars is not None and instance.kept_counts
        if expected is None or expected.missing > 1e-9:
            # No bars of these numbers cover all parts: what is missing costs the penalty.
            assert lower or found.bound > 1e9
            continue
        assert found.bound <= expected.value * (1 + 1e-6)
        if not lower:
            assert found.bound == pytest.approx(expected.value, rel=1e-6)
            used = list(zip(master.columns, found.uses, strict=True))
            assert sum(column.cost * use for column, use in used) == pytest.approx(expected.value, rel=1e-6)
            for i, wanted in enumerate(instance.demand):
                assert sum(column.pattern[i] * use for column, use in used) >= wanted - 1e-6
    assert len(master.columns) < len(columns)


def test_a_bound_that_is_enough_ends_the_lp() -> None:
    instance = some_instance(random.Random(1))
    columns = every_column(instance)
    ranges = tuple((0, source.most) for source in instance.sources)
    found = made(instance, columns, ranges).solve({}, 1.0, Clock(deadline=1e9))
    assert found is not None
    assert found.bound >= 1.0
    assert found.uses == ()


def test_nothing_is_said_when_time_is_up() -> None:
    instance = some_instance(random.Random(1))
    ranges = tuple((0, source.most) for source in instance.sources)
    # Too little time for any LP, which is given a millisecond at least.
    solution = made(instance, every_column(instance), ranges).solve({}, math.inf, Clock(deadline=0.0))
    assert solution is None or solution.bound > 0


@pytest.mark.parametrize("seed", seeds(200))
def test_what_is_in_a_block_is_what_it_has(seed: int) -> None:
    draw = random.Random(seed)
    instance = some_instance(draw)
    columns = every_column(instance)
    rows = Rows.of(instance, columns)
    for block in some_blocks(draw, instance):
        has = [block.source == one.source and block.has(one.pattern, kept=one.kept) for one in columns]
        assert rows.within(block).tolist() == has


@pytest.mark.parametrize("seed", seeds(100))
def test_what_parts_are_worth_is_their_counts_times_duals(seed: int) -> None:
    draw = random.Random(seed)
    instance = some_instance(draw)
    rows = Rows.of(instance, every_column(instance))
    duals = np.array([draw.randint(0, 10**12) for _ in instance.pieces])
    assert rows.worth(duals).tolist() == (rows.counts @ duals).tolist()
    assert rows.worth(duals / 7) == pytest.approx(rows.counts @ (duals / 7))


def test_the_least_of_each_source() -> None:
    rows = Rows(np.array([0, 0, 2]), np.zeros((3, 1)), np.zeros(3), np.zeros(3, dtype=bool))
    assert rows.least_of_sources(4, np.array([5, 3, 7])) == [3, math.inf, 7, math.inf]


def test_bars_whose_left_over_is_kept_may_be_all_that_there_are() -> None:
    """Nothing is listed: a block of such bars takes in the one known by now."""
    parts = [builders.part("A", 2, 400)]
    job = builders.job(parts, [builders.offer("P", 1000, 10)], keep=200, offcut_value_per_mm=2000)
    group = groups_of(job)[0]
    instance = instance_of(group, job.workshop, group.offers, Parameters())
    ranges = ((0, 2),)
    master = ListedMaster(instance, [], Rows.of(instance, []), ranges, PENALTY, Parameters(), kept_bars_of(instance))
    master.give([0.0], [Column(0, (2,), instance.cost(0, (2,)), kept=True)])
    block = Block(0, (0,), instance.demand, kept=True)
    found = master.solve({block: (1, 2)}, math.inf, Clock(deadline=1e9))
    assert found is not None
    assert found.bound == pytest.approx(9_600_000)
