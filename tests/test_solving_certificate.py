"""A bound may be weak, never wrong: leaves against trying everything, and against the bound's own definition."""

from __future__ import annotations

import math
import random

import pytest

from cutplan.model import Job, Leaf, groups_of
from cutplan.planning import plan_job
from cutplan.problems import NoPlan
from cutplan.solving.blocks import Partition
from cutplan.solving.certificate import (
    LARGEST,
    certify,
    denominator,
    dual_bound,
    fitting,
    largest_sum,
    round_up,
    summable,
)
from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.instance import Instance
from cutplan.solving.parameters import Parameters
from cutplan.solving.pricing import Grid
from cutplan.units import MM
from tests import brute_force, builders
from tests.builders import mm
from tests.effort import seeds
from tests.share_counting import some_splits
from tests.solver_instances import instance_for, least_cost, some_instance
from tests.test_laying import mitred_job


def some_ranges(instance: Instance, draw: random.Random) -> tuple[tuple[int, int], ...]:
    ranges = []
    for source in instance.sources:
        low = draw.randint(0, min(1, source.most))
        ranges.append((low, draw.randint(low, source.most)))
    return tuple(ranges)


@pytest.mark.parametrize("seed", seeds(120))
def test_a_leaf_never_bounds_above_the_least_cost(seed: int) -> None:
    draw = random.Random(seed)
    instance = some_instance(seed)
    step = draw.choice([instance.divisor, MM, mm(7)])
    grid = Grid.of(instance, step, for_bound=True)
    unit = draw.choice([1, 8, 64])
    ranges = some_ranges(instance, draw) if seed % 2 else tuple((0, s.most) for s in instance.sources)
    truth = least_cost(instance, ranges)
    if truth is None:
        return
    dearest = max(source.price for source in instance.sources)
    scale = draw.choice([0.2, 0.5, 0.9, 1.1, 2.0]) * dearest / max(source.room for source in instance.sources)
    for _ in range(4):
        duals = [draw.choice([0, int(piece.take * scale * unit * draw.uniform(0.5, 1.1))]) for piece in instance.pieces]
        bound, least_reduced = dual_bound(grid, duals, ranges, unit)
        assert bound <= truth
        assert bound % instance.cost_step == 0
        assert all(least <= source.price * unit for least, source in zip(least_reduced, instance.sources, strict=True))


def leaf_job(draw: random.Random, *, lengths: int = 2) -> Job:
    parts = [builders.part(f"M{i}", draw.randint(1, 2), draw.randint(60, 500)) for i in range(draw.randint(1, 3))]
    offers = [builders.offer(f"P{i}", draw.randint(550, 1000), draw.randint(5, 20)) for i in range(lengths)]
    offcuts = [builders.offcut("K", draw.randint(100, 700), 2, ends="mill sawn")]
    rate = draw.choice([0, 700])
    return builders.job(
        parts, offers, offcuts, kerf=draw.choice([0, 3]), end_trim=draw.choice([0, 10]),
        safe_hold=draw.choice([0, 120, 250]), keep=100, offcut_value_per_mm=rate,
    )  # fmt: skip


@pytest.mark.parametrize("seed", seeds(80))
@pytest.mark.parametrize("step_mm", ["0.1", 7, 31])
def test_a_leaf_bounds_what_its_definition_says(seed: int, step_mm: str | int) -> None:
    """Worked out set by set in :mod:`tests.brute_force`, worthless parts, coarse steps and all."""
    draw = random.Random(seed)
    job = leaf_job(draw)
    instance = instance_for(job)
    grid = Grid.of(instance, mm(step_mm), for_bound=True)
    duals = tuple(draw.choice([0, 1, draw.randint(1, 40_000_000)]) for _ in instance.pieces)
    ranges = some_ranges(instance, draw)
    truth = brute_force.leaf_bound(
        job, groups_of(job)[0], [source.id for source in instance.sources],
        Leaf(ranges=ranges, duals=duals), denominator=4, step=mm(step_mm),
    )  # fmt: skip
    assert dual_bound(grid, duals, ranges, 4)[0] == truth


@pytest.mark.parametrize("seed", seeds(40))
def test_a_leaf_that_tells_bars_apart_bounds_what_its_definition_says(seed: int) -> None:
    draw = random.Random(seed)
    job = leaf_job(draw, lengths=1)
    instance, step = instance_for(job), mm(draw.choice(["0.1", "7", "31"]))
    duals = tuple(draw.choice([0, draw.randint(1, 40_000_000)]) for _ in instance.pieces)
    ranges = some_ranges(instance, draw)
    splits = some_splits(draw, len(instance.sources), instance.demand, draw.randint(1, 2))
    truth = brute_force.leaf_bound(
        job, groups_of(job)[0], [source.id for source in instance.sources],
        Leaf(ranges=ranges, duals=duals, splits=splits), denominator=4, step=step,
    )  # fmt: skip
    grid = Grid.of(instance, step, for_bound=True).divided(Partition.of(instance, splits).blocks)
    bound, _ = dual_bound(grid, duals, ranges, 4, splits=splits)
    # Numbers of bars that contradict each other bound above any cost.
    assert bound == truth or min(bound, truth) > 10**15


def test_a_worthless_part_may_be_what_holds_the_short_ones() -> None:
    # Six of A leave 124 to hold; seven need B, which is worth nothing, and by the coarse step both fit.
    parts = [builders.part("A", 7, 35), builders.part("B", 1, 120)]
    offers = [builders.offer("P", 310, 10)]
    job = builders.job(parts, offers, safe_hold=120, keep=900, offcut_value_per_mm=1)
    leaf = Leaf(ranges=((0, 8),), duals=(40_000_000, 0))
    grid = Grid.of(instance_for(job), mm(31), for_bound=True)
    truth = brute_force.leaf_bound(job, groups_of(job)[0], ["P"], leaf, denominator=4, step=mm(31))
    assert dual_bound(grid, leaf.duals, leaf.ranges, 4) == (truth, (4 * 10_000_000 - 7 * 40_000_000,))


def two_lengths() -> Instance:
    parts = [builders.part("A", 30, 400), builders.part("B", 40, 250), builders.part("C", 7, 130)]
    return instance_for(builders.job(parts, [builders.offer("P1", 1000, 9), builders.offer("P2", 1300, 11)], kerf=3))


def test_duals_a_hair_too_large_are_shrunk() -> None:
    """LP duals are right to about nine figures; without a limit on bars the hair would count once for each of them."""
    # Two parts fill a bar of price 10: 100 bars. A left over of 900 and more has a value, so nothing is rounded up.
    job = builders.job([builders.part("A", 200, 500)], [builders.offer("P", 1000, 10)], keep=900, offcut_value_per_mm=1)
    instance = instance_for(job)
    grid = Grid.of(instance, instance.divisor, for_bound=True)
    ranges, hair = ((0, 200),), 5_000_000 * (1 + 1e-7)
    plain, least_reduced = dual_bound(grid, [round(hair * 1024)], ranges, 1024)
    assert least_reduced[0] < 0
    assert plain == 1_000_000_000 - 100
    bound, leaf = certify(grid, [hair], ranges, 1024)
    assert bound == 1_000_000_000
    assert leaf == Leaf(ranges=ranges, duals=(5_000_000 * 1024,))
    assert certify(grid, [5_000_000.0], ranges, 1024) == (bound, leaf)


@pytest.mark.parametrize("factor", [0.5, 0.999, 1.0, 1.001, 1.3, 4.0])
def test_the_bound_proven_is_never_weaker_than_the_duals_as_they_are(factor: float) -> None:
    instance = two_lengths()
    grid = Grid.of(instance, instance.divisor, for_bound=True)
    floats = [piece.take * factor / 90 for piece in instance.pieces]
    for ranges in (((0, 77), (0, 77)), ((0, 5), (0, 0)), ((2, 2), (1, 30))):
        bound, leaf = certify(grid, floats, ranges, 64)
        assert bound >= dual_bound(grid, [round(y * 64) for y in floats], ranges, 64)[0]
        assert bound == dual_bound(grid, leaf.duals, ranges, 64)[0]
        assert leaf.ranges == ranges


@pytest.mark.parametrize("seed", seeds(200))
def test_shrunk_duals_are_left_out_only_where_they_show_no_more(seed: int) -> None:
    draw = random.Random(seed)
    instance = some_instance(seed)
    grid = Grid.of(instance, instance.divisor, for_bound=True)
    unit = draw.choice([1, 64, 10**6])
    scale = draw.choice([0.9, 1.0, 1.0001, 1.2]) * max(source.price / source.room for source in instance.sources)
    floats = [piece.take * scale * draw.uniform(0.95, 1.0) for piece in instance.pieces]
    ranges = some_ranges(instance, draw) if seed % 2 else tuple((0, s.most) for s in instance.sources)
    duals = [round(y * unit) for y in floats]
    plain, least_reduced = dual_bound(grid, duals, ranges, unit)
    prices = [source.price * unit for source in instance.sources]
    over = [
        price / (price - least)
        for price, least, (_, high) in zip(prices, least_reduced, ranges, strict=True)
        if high > 1 and least < 0
    ]
    shrunk, _ = dual_bound(grid, [int(y * min(over, default=1.0)) for y in duals], ranges, unit)
    assert certify(grid, floats, ranges, unit)[0] == max(plain, shrunk)


@pytest.mark.parametrize("seed", seeds(120))
def test_what_was_priced_in_whole_numbers_need_not_be_priced_again(seed: int) -> None:
    instance = instance_for(mitred_job(seed, share=True, handed=seed % 4 == 0))
    generator = ColumnGenerator(instance, 10**9, Clock(deadline=1e9), Parameters())
    relaxation = generator.relax(generator.root_ranges, instance.demand, math.inf, 400)
    assert relaxation is not None
    of = relaxation.duals, generator.root_ranges, generator.unit, relaxation.keep_dual
    again = certify(generator.bound_grid, *of)
    assert certify(generator.bound_grid, *of, priced=relaxation.priced) == again
    assert (relaxation.priced is None) == (not generator.bound_grid.views)


def test_negative_duals_are_clipped() -> None:
    instance = two_lengths()
    grid = Grid.of(instance, instance.divisor, for_bound=True)
    _, leaf = certify(grid, [-5.0, 1.0, 0.24], ((0, 77), (0, 77)), 100)
    assert leaf.duals == (0, 100, 24)


def test_the_denominator_is_as_fine_as_sums_allow() -> None:
    assert denominator(10**9) == 10**9
    assert denominator(0) == 10**9
    for largest in (1, 10**6, 10**12, 10**15, 10**17, 10**18):
        unit = denominator(largest)
        assert unit == 1 or unit * largest < LARGEST
        assert unit == 10**9 or unit * 10 * largest >= LARGEST
    assert denominator(10**18) == 1


def test_duals_are_lowered_to_what_one_bar_can_be_worth() -> None:
    """Steps of 400 mm: A takes one, of B and C as many as are wanted lie in any bar; a bar has three at most."""
    instance = two_lengths()
    grid = Grid.of(instance, mm(400), for_bound=True)
    assert (grid.takes, grid.caps) == ((1, 0, 0), (2, 3))
    assert fitting(grid, [LARGEST // 8, LARGEST // 100, 7]) == (LARGEST // 8, LARGEST // 100, 7)
    assert fitting(grid, [LARGEST, LARGEST // 80, LARGEST]) == (LARGEST // 6, LARGEST // 94, LARGEST // 94)
    # Whole bars of A alone, each by itself: nothing to lower though 30 of them are wanted.
    exact = Grid.of(instance, instance.divisor, for_bound=True)
    assert fitting(exact, [LARGEST // 4, 0, 0]) == (LARGEST // 4, 0, 0)


def test_the_largest_sum_is_that_of_all_parts_or_of_one_bar() -> None:
    instance = two_lengths()
    assert largest_sum(instance, 100) == 11_000_000
    assert largest_sum(instance, 10**9) == 2 * 77 * 10**9
    dear = builders.job([builders.part("A", 2, 400)], [builders.offer("P", 1000, 9)], offcut_value_per_mm=5_000_000)
    assert largest_sum(instance_for(dear), 1) == 2 * 9_000_000, "a left over is worth no more than its bar"


def test_where_no_number_of_bars_leaves_a_part_out_parts_together_are_worth_no_more_than_a_plan() -> None:
    parts = [builders.part("A", 30, 400), builders.part("B", 40, 250)]
    assert largest_sum(instance_for(builders.job(parts, [builders.offer("P", 1000, 10)])), 10**9) == 2 * 10**9
    two = [builders.offer("P", 1000, 10), builders.offer("Q", 800, 9)]
    assert largest_sum(instance_for(builders.job(parts, two)), 10**9) == 2 * 70 * 10**9
    rack = instance_for(builders.job(parts, [], offcuts=[builders.offcut("R1", 1000)]))
    assert largest_sum(rack, 10**9) == 2 * 70 * 10**9, "of that length there is one"


def test_duals_are_summed_only_where_that_cannot_overflow() -> None:
    instance = two_lengths()
    assert instance.demand == (30, 40, 7)
    assert summable(instance, [LARGEST / 40, LARGEST / 160, 0.0], 1) is False
    assert summable(instance, [LARGEST / 80, LARGEST / 160, 0.0], 1) is True
    assert summable(instance, [LARGEST / 80, LARGEST / 160, 0.0], 2) is False


def test_a_bound_is_rounded_up_to_a_cost_a_plan_can_have() -> None:
    instance = two_lengths()
    assert instance.cost_step == 1_000_000
    assert round_up(instance, 9_000_001) == 10_000_000
    assert round_up(instance, 9_000_000) == 9_000_000
    assert round_up(instance, -1) == 0


def test_with_nothing_to_cut_from_only_parts_left_out_are_summed() -> None:
    assert largest_sum(instance_for(builders.job([builders.part("A", 3, 400)], [])), 100) == 600


def test_nothing_to_cut_from_leaves_no_plan_and_no_fault() -> None:
    job = builders.job([builders.part("A", 1, 80)], [builders.offer("P", 1000, 1)], longest_carry=900)
    with pytest.raises(NoPlan):
        plan_job(job)
