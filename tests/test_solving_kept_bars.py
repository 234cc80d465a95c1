"""Bars whose left over is kept, priced by a knapsack, against trying every set."""

from __future__ import annotations

import itertools
import math
import random

import pytest

from cutplan.solving.blocks import least_over_blocks
from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.instance import Block, Instance
from cutplan.solving.kept_bars import KeptBars, beside_listed
from cutplan.solving.parameters import Parameters
from cutplan.solving.solver_pieces import Pattern
from tests.effort import seeds
from tests.test_solving_listed_master import every_column, some_instance

UNIT = 1000


def kept_bars_of(instance: Instance) -> KeptBars:
    generator = ColumnGenerator(instance, 10**10, Clock(deadline=1e9), Parameters())
    return KeptBars.of(generator, generator.root_ranges)


def costs_of(instance: Instance) -> list[tuple[int, Pattern, int]]:
    """Source, set and cost of every bar whose left over can be kept, of those left as they are too."""
    found = [(one.source, one.pattern, one.cost) for one in every_column(instance) if one.kept]
    for index, source in enumerate(instance.sources):
        value = instance.value(source, source.untouched)
        if value:
            found.append((index, (0,) * len(instance.pieces), source.price - value))
    return found


@pytest.mark.parametrize("seed", seeds(200))
def test_the_least_is_that_of_all_sets(seed: int) -> None:
    draw = random.Random(seed)
    instance = some_instance(draw)
    kept_bars, costs = kept_bars_of(instance), costs_of(instance)
    duals = [draw.randint(0, 6_000_000) for _ in instance.pieces]
    exact = kept_bars.least([y * UNIT for y in duals], 0, UNIT, {})
    best = kept_bars.best([float(y) for y in duals], 0.0, {})
    assert set(exact) == set(best) == {source for source, *_ in costs}
    # A bound goes from here to the plan file, where numbers of numpy are none.
    assert all(type(value) is int for value in exact.values())
    for index, value in exact.items():
        beyond = {
            pattern: cost - sum(n * y for n, y in zip(pattern, duals, strict=True))
            for source, pattern, cost in costs
            if source == index
        }
        assert value == min(beyond.values()) * UNIT
        worth, column = best[index]
        assert worth == pytest.approx(min(beyond.values()))
        assert beyond[column.pattern] == min(beyond.values())


def test_sources_without_such_bars_are_not_priced() -> None:
    instance = some_instance(random.Random(1))
    kept_bars = kept_bars_of(instance)
    nothing = (0,) * len(instance.pieces)
    none, some = ((Block(source, nothing, instance.demand, kept=True)) for source in (0, 1))
    numbers = {none: (0, 0), some: (0, 2)}
    assert set(kept_bars.least(nothing, 0, UNIT, numbers)) == {1}
    assert set(kept_bars.best(nothing, 0.0, numbers)) == {1}


@pytest.mark.parametrize("seed", seeds(200))
def test_all_costs_are_multiples_of_the_step(seed: int) -> None:
    instance = some_instance(random.Random(seed))
    step = kept_bars_of(instance).step()
    assert step > 1
    assert all(cost % step == 0 for *_, cost in costs_of(instance))


@pytest.mark.parametrize("seed", seeds(200))
def test_the_least_of_all_numbers_of_bars(seed: int) -> None:
    """Two sources, of which bars with a kept left over may be told a number of; against trying every number."""
    draw = random.Random(seed)
    ranges = tuple((low, low + draw.randint(0, 3)) for low in (draw.randint(0, 2), draw.randint(0, 2)))
    listed = [draw.choice([math.inf, draw.randint(-9, 9)]) for _ in ranges]
    kept = {source: draw.randint(-9, 9) for source in range(2) if draw.random() < 0.8}
    blocks = {
        Block(source, (0,), (1,), kept=True): (low, low + draw.randint(0, 2))
        for source in draw.sample(range(2), draw.randint(0, 2))
        for low in [draw.randint(0, 2)]
    }
    of_source = []
    for source, (low, high) in enumerate(ranges):
        numbers = next((numbers for block, numbers in blocks.items() if block.source == source), (0, high))
        sums = [
            (listed[source] * a if a else 0) + (kept[source] * b if b else 0)
            for a, b in itertools.product(range(high + 1), repeat=2)
            if low <= a + b <= high
            and numbers[0] <= b <= numbers[1]
            and (a == 0 or listed[source] < math.inf)
            and (b == 0 or source in kept)
        ]
        of_source.append(min(sums, default=math.inf))
    expected = sum(of_source)
    found = least_over_blocks(ranges, *beside_listed(blocks, listed, kept))
    assert found == (None if expected == math.inf else expected)
