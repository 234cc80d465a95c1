"""Listing by reduced cost, against every set there is."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import replace
from unittest import mock

import numpy as np
import pytest

from cutplan.model import Work
from cutplan.solving.enumeration import enumerate_patterns, most_waste
from cutplan.solving.instance import Instance
from cutplan.solving.integer_master import whole_bars
from cutplan.solving.master import Column
from cutplan.solving.parameters import Parameters
from cutplan.solving.patterns.laid import LaidSpace
from cutplan.solving.patterns.laying import CutSequence
from cutplan.solving.pricing import Grid
from cutplan.solving.solver_pieces import Pattern
from cutplan.units import CURRENCY
from tests import builders
from tests.effort import seeds
from tests.solver_instances import instance_for, least_cost, sets_of, some_instance


def least_reduced(instance: Instance, grid: Grid, duals: list[float]) -> list[float]:
    tables = grid.tables(duals, np.float64)
    return [float(grid.best(index, tables, duals, 1).value) for index in range(len(instance.sources))]


def listed(
    instance: Instance,
    duals: list[float],
    gap: float,
    most: int = 10_000,
    waste: list[int] | None = None,
    most_parts: int | None = None,
    parameters: Parameters | None = None,
    stopped: Callable[[], bool] = lambda: False,
) -> list[Column] | None:
    grid = Grid.of(instance, instance.divisor, for_bound=False)
    low = least_reduced(instance, grid, duals)
    return enumerate_patterns(
        instance,
        grid,
        duals,
        low,
        gap,
        waste or rooms(instance),
        most,
        stopped,
        parameters or Parameters(),
        most_parts,
    )


def rooms(instance: Instance) -> list[int]:
    return [max(source.room, 0) for source in instance.sources]


def grown(instance: Instance, index: int, pattern: Pattern) -> bool:
    """Is there an allowed set with one part more?"""
    more = [tuple(n + (k == i) for k, n in enumerate(pattern)) for i in range(len(pattern))]
    return any(
        instance.allowed(index, larger) and all(n <= d for n, d in zip(larger, instance.demand, strict=True))
        for larger in more
    )


@pytest.mark.parametrize("seed", seeds(100))
@pytest.mark.parametrize("share", [0.0, 0.1, 0.6, 3.0])
def test_every_pattern_within_the_gap_is_listed_and_no_other(seed: int, share: float) -> None:
    draw = random.Random(seed)
    instance = some_instance(seed, most_parts=4, most_pieces=8)
    dearest = max(source.price for source in instance.sources)
    duals = [draw.choice([0.0, piece.take * dearest / 1e9 * draw.uniform(0.5, 1.5)]) for piece in instance.pieces]
    gap = share * dearest
    low = least_reduced(instance, Grid.of(instance, instance.divisor, for_bound=False), duals)
    expected = set()
    for index in range(len(instance.sources)):
        for pattern in sets_of(instance.demand):
            if not any(pattern) or not instance.allowed(index, pattern):
                continue
            worth = sum(n * y for n, y in zip(pattern, duals, strict=True))
            if instance.cost(index, pattern) - worth - low[index] <= gap + 1e-3 and (
                instance.valued or not grown(instance, index, pattern)
            ):
                expected.add((index, pattern, instance.cost(index, pattern)))
    found = listed(instance, duals, gap)
    assert found is not None
    assert len(found) == len({(column.source, column.pattern) for column in found})
    assert {(column.source, column.pattern, column.cost) for column in found} == expected


def many() -> Instance:
    parts = [builders.part(f"M{i}", 9, 100 + 7 * i) for i in range(6)]
    return instance_for(builders.job(parts, [builders.offer("P", 1000, 9)]))


def test_too_many_patterns_are_not_listed() -> None:
    instance = many()
    everything = listed(instance, [1e6] * 6, math.inf)
    assert everything is not None
    assert len(everything) > 100
    assert listed(instance, [1e6] * 6, math.inf, most=len(everything)) == everything
    assert listed(instance, [1e6] * 6, math.inf, most=len(everything) - 1) is None


def test_where_no_bar_can_end_flush_no_set_counts_on_a_cut_that_is_spared() -> None:
    parts = [builders.part(f"M{i}", 3, 100 + 7 * i) for i in range(8)]
    job = builders.job(parts, [builders.offer("P", 1000, 9)], kerf=3, end_trim=10, offcut_value_per_mm=7000, keep=50)
    job = replace(job, workshop=replace(job.workshop, work=Work(per_cut=2 * CURRENCY)))
    instance = instance_for(job)
    instance = replace(instance, sources=(replace(instance.sources[0], per_cut=2 * CURRENCY),))
    assert not any(source.flush for source in instance.sources)
    duals = [2.0 * CURRENCY + 9.2 * CURRENCY * piece.take / 1e9 for piece in instance.pieces]
    found = listed(instance, duals, 0.3 * CURRENCY)
    assert found is not None
    assert len(found) > 10
    # No more sets are begun than are listed.
    brief = Parameters(sets_per_pattern=1)
    assert listed(instance, duals, 0.3 * CURRENCY, most=len(found), parameters=brief) == found


@pytest.mark.parametrize("seed", seeds(60))
def test_patterns_that_waste_too_much_or_hold_too_many_parts_are_left_out(seed: int) -> None:
    instance = some_instance(seed, most_parts=4, most_pieces=8)
    duals = [float(piece.take) for piece in instance.pieces]
    everything = listed(instance, duals, math.inf)
    assert everything is not None
    waste = [max(source.room, 0) // 4 for source in instance.sources]
    found = listed(instance, duals, math.inf, waste=waste)
    assert found is not None
    step = instance.divisor

    def steps_free(column: Column) -> int:
        return instance.sources[column.source].room // step - instance.fill(column.pattern) // step

    tight = [c for c in everything if steps_free(c) <= waste[c.source] // step]
    assert {(c.source, c.pattern) for c in found} == {(c.source, c.pattern) for c in tight}
    few = listed(instance, duals, math.inf, most_parts=2)
    assert few is not None
    assert {(c.source, c.pattern) for c in everything if sum(c.pattern) <= 2} <= {(c.source, c.pattern) for c in few}
    assert all(sum(c.pattern) <= 2 for c in few)


@pytest.mark.parametrize("seed", seeds(100))
def test_a_cheapest_plan_of_full_bars_wastes_no_more_than_is_said(seed: int) -> None:
    instance = some_instance(seed, most_parts=3, most_pieces=6)
    left = [source.most for source in instance.sources]
    truth = least_cost(instance, [(0, most) for most in left])
    if truth is None:
        return
    # A plan for the least cost is below the next cost there is, so one must be left when only such bars are taken.
    below = truth + instance.cost_step
    waste = most_waste(instance, instance.demand, left, below)
    columns = listed(instance, [0.0] * len(instance.pieces), math.inf, waste=[w + 1 for w in waste])
    assert columns is not None
    ranges = [(0, most) for most in left]
    found, ended = whole_bars(instance, columns, instance.demand, ranges, below, 10.0, 60.0)
    assert ended
    assert found is not None
    assert sum(column.cost * count for column, count in found) == truth


def test_too_large_tables_are_not_made() -> None:
    assert listed(many(), [1e6] * 6, 0.0, parameters=Parameters(listed_cells=100)) is None


def test_enumeration_stops_when_asked_to() -> None:
    instance = instance_for(builders.job([builders.part(f"M{i}", 20, 40 + i) for i in range(12)],
                                       [builders.offer("P", 1000, 9)]))  # fmt: skip
    grid = Grid.of(instance, instance.divisor, for_bound=False)
    duals = [1e6] * 12
    asked = []

    def stop() -> bool:
        asked.append(True)
        return True

    low = least_reduced(instance, grid, duals)
    assert enumerate_patterns(instance, grid, duals, low, math.inf, rooms(instance), 10**9, stop, Parameters()) is None
    assert asked == [True]


def test_a_bar_shorter_than_its_trims_lists_nothing() -> None:
    job = builders.job(
        [builders.part("A", 1, 5)], [builders.offer("P", 15, 9), builders.offer("Q", 50, 9)], end_trim=10
    )
    found = listed(instance_for(job), [1.0], math.inf)
    assert found is not None
    assert [(column.source, column.pattern) for column in found] == [(1, (1,))]


def test_no_set_is_tried_any_more_once_time_is_up() -> None:
    """To try a set in its orders may take a while, and there may be many thousand of them."""
    parts = [builders.part(f"M{n}", 3, 400 + 70 * n, mitres=(45, 10 * n)) for n in range(4)]
    job = builders.job(parts, [builders.offer("P", 6000, 36)], kerf="2.5", end_trim=10, share_mitres=False)
    instance = instance_for(job)
    duals = [30.0 * piece.take / 6e9 for piece in instance.pieces]
    tried: list[Pattern] = []
    looks = 0
    can_be_cut = LaidSpace.can_be_cut

    def counted(space: LaidSpace[CutSequence], index: int, pattern: Pattern) -> bool:
        tried.append(pattern)
        return can_be_cut(space, index, pattern)

    def strikes_at(last: int) -> Callable[[], bool]:
        def stopped() -> bool:
            nonlocal looks
            looks += 1
            return looks > last

        return stopped

    with mock.patch.object(LaidSpace, "can_be_cut", counted):
        assert listed(instance, duals, 1e9)
        assert len(tried) > 100
        tried.clear()
        # A look before each part is let in, and one before each set.
        assert listed(instance, duals, 1e9, stopped=strikes_at(len(parts) + 10)) is None
    assert len(tried) == 10
