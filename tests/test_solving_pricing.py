"""The pattern of least reduced cost of every block, against listing every set."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import replace
from itertools import product
from typing import Any

import numpy as np
import pytest

from cutplan.solving.blocks import Partition
from cutplan.solving.instance import Block, Instance
from cutplan.solving.patterns import set_table
from cutplan.solving.pricing import Grid, working_step
from cutplan.solving.solver_pieces import Pattern, Source
from cutplan.units import MM, ceil_div
from tests import builders
from tests.builders import mm
from tests.effort import seeds, some
from tests.share_counting import some_splits
from tests.solver_instances import instance_for, sets_of, some_instance

STEPS, CELLS, STATE_STEPS = 1_500_000, 400_000_000, 3_000_000


def dot(counts: Sequence[int], numbers: Sequence[Any]) -> Any:
    return sum(n * number for n, number in zip(counts, numbers, strict=True))


def uncut(instance: Instance, source: Source, counts: Sequence[int]) -> bool:
    """Is it one square part exactly as long as an untrimmed bar?"""
    chosen = [piece for piece, n in zip(instance.pieces, counts, strict=True) for _ in range(n)]
    whole = [piece for piece in chosen if piece.square and piece.length == source.length]
    return len(chosen) == len(whole) == 1 and not source.trimmed


def least_by_listing(
    instance: Instance, grid: Grid, index: int, duals: Sequence[Any], unit: Any, keep_dual: Any = 0
) -> Any:
    """The least of cost x unit less worth over every set of a block as the grid rounds it; infinite for none."""
    # Where parts are mitred the grid has figures of its own.
    instance, block, step = grid.instance, grid.blocks[index], grid.step
    source, found = instance.sources[block.source], []

    def value(left: int) -> Any:
        """Less than nothing, without end, where a left over is too short to be kept, and is to be."""
        if block.kept and not 0 < left >= instance.keep:
            return -math.inf
        return 0 if block.kept is False else max(instance.value(source, left) * unit - keep_dual, 0)

    for counts in sets_of(instance.demand):
        if not block.has(counts, kept=bool(block.kept)):
            continue
        if any(n and not ok for n, ok in zip(counts, instance.served[block.source], strict=True)):
            continue
        least = (source.price + source.per_setup * sum(map(bool, counts))) * unit - dot(counts, duals)
        fill = dot(counts, grid.takes)
        if grid.stated:
            beyond = grid.stated.beyond(step, source, unit, up=not grid.for_bound)
            state = grid.stated.start(counts)
            fill, least = fill + beyond.steps[state], least + beyond.costs[state]
        left = source.reach - fill * step
        held = any(n and piece.held for n, piece in zip(counts, instance.pieces, strict=True))
        if uncut(instance, source, counts) and not block.kept:
            found.append(least)
        if not any(counts):
            found.append(least - value(source.reach))
        elif fill <= source.room // step and (held or not instance.hold or left >= instance.hold):
            cuts = sum(n * piece.cuts for n, piece in zip(counts, instance.pieces, strict=True))
            found.append(least + cuts * source.per_cut * unit - value(left))
    return min(found, default=math.inf)


@pytest.mark.parametrize("seed", seeds(60))
@pytest.mark.parametrize("coarse", [False, True])
def test_the_best_of_a_source_equals_listing_every_set(seed: int, coarse: bool) -> None:
    instance = some_instance(seed)
    step = mm(7) if coarse else instance.divisor
    grid = Grid.of(instance, step, for_bound=coarse)
    duals = [(seed * 7919 + 104_729 * i) % 9_000_000 * ((seed + i) % 4 > 0) for i in range(len(instance.pieces))]
    tables = grid.tables(duals, np.int64)
    for index in range(len(instance.sources)):
        best = grid.best(index, tables, duals, 2)
        assert best.value == least_by_listing(instance, grid, index, duals, 2)
        pattern = grid.pattern(best, index, tables)
        if not coarse:
            assert instance.allowed(index, pattern) or not any(pattern)
            assert not instance.space.adds_up or instance.cost(index, pattern) * 2 - dot(pattern, duals) <= best.value


@pytest.mark.parametrize("seed", seeds(150))
@pytest.mark.parametrize("coarse", [False, True])
def test_the_best_of_a_block_equals_listing_every_set(seed: int, coarse: bool) -> None:
    """Whatever bars are told apart by, with money for cuts and set-ups now and then."""
    draw = random.Random(seed)
    work: dict[str, Any] = {"per_cut": draw.choice([0, 400_000]), "per_setup": draw.choice([0, 0, 300_000])}
    instance = some_instance(seed)
    instance = replace(instance, sources=tuple(replace(source, **work) for source in instance.sources))
    splits = some_splits(draw, len(instance.sources), instance.demand, draw.randint(1, 4))
    whole = Grid.of(instance, mm(7) if coarse else instance.divisor, for_bound=coarse)
    grid = whole.divided(Partition.of(instance, splits).blocks)
    duals = [draw.choice([0, draw.randint(0, 9_000_000)]) for _ in instance.pieces]
    keep_dual = draw.choice([0, 0, 50_000])
    tables = grid.tables(duals, np.int64, unit=2)
    for index, block in enumerate(grid.blocks):
        best = grid.best(index, tables, duals, 2, keep_dual)
        assert best.value == least_by_listing(instance, grid, index, duals, 2, keep_dual)
        pattern = grid.pattern(best, index, tables)
        assert block.has(pattern, kept=bool(block.kept)) or best.value == math.inf
        if block.kept and any(pattern) and not coarse:
            assert instance.left(block.source, pattern) >= max(instance.keep, 1)
        if not coarse and any(pattern):
            assert instance.allowed(block.source, pattern)
            kept, scrapped = (instance.cost(block.source, pattern, kept=kept) * 2 for kept in (True, False))
            cost = scrapped if block.kept is False else min(kept + keep_dual, scrapped)
            assert not instance.space.adds_up or cost - dot(pattern, duals) <= best.value


@pytest.mark.parametrize("seed", seeds(200))
def test_tables_in_states_find_the_best_that_lists_find(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """With many parts too short for the vice, so that the best of any sets may be one that cannot be held."""
    draw = random.Random(seed)
    parts = [
        builders.part(
            f"M{number}",
            draw.randint(1, 3),
            draw.randint(82, draw.choice([110, 400])),
            mitres=draw.choice([(45, 45), (45, 0), (0, 0)]),
        )
        for number in range(draw.randint(2, 5))
    ]
    offers = [builders.offer(f"P{number}", draw.randint(300, 700), 9) for number in range(2)]
    settings: dict[str, Any] = {"safe_hold": draw.choice([100, 150]), "keep": 0, "share_mitres": True}
    rate = draw.choice([0, 0, 700])
    instance = instance_for(builders.job(parts, offers, kerf=3, offcut_value_per_mm=rate, **settings))
    duals = [draw.choice([0, draw.randint(0, 9_000_000)]) for _ in instance.pieces]
    found = []
    for cells in (10**9, 0):
        monkeypatch.setattr(set_table, "MOST_CELLS", cells)
        set_table.listed_sets.cache_clear()
        of_lists = []
        for for_bound in (False, True):
            grid = Grid.of(instance, instance.divisor, for_bound=for_bound)
            for view in grid.views or (grid,):
                tables = view.tables(duals, np.int64, unit=2)
                for index in range(len(instance.sources)):
                    best = view.best(index, tables, duals, 2)
                    of_lists.append(best.value)
                    pattern = view.pattern(best, index, tables)
                    if not (for_bound or rate) and any(pattern) and instance.space.told_by_view:
                        assert instance.allowed(index, pattern)
                        assert instance.cost(index, pattern) * 2 - dot(pattern, duals) <= best.value
        found.append(of_lists)
    assert found[0] == found[1]


def test_no_bar_can_be_in_a_block_of_more_than_there_is_or_fits() -> None:
    """Three A do not fit, and of B there is one; B is not served by the bar of unknown grade."""
    parts = [builders.part("A", 3, 400), builders.part("B", 1, 100, grade="S235")]
    offers = [builders.offer("P", 1000, 9, grade="S235"), builders.offer("Q", 1000, 8)]
    instance = instance_for(builders.job(parts, offers))
    blocks = [
        Block(0, (3, 0), (3, 1)),
        Block(0, (1, 0), (0, 1)),
        Block(0, (0, 2), (3, 1)),
        Block(1, (0, 1), (3, 1)),
        Block(0, (2, 1), (3, 1)),
    ]
    grid = Grid.of(instance, instance.divisor, for_bound=True).divided(blocks)
    tables = grid.tables([5, 5], np.int64)
    found = [grid.best(index, tables, [5, 5], 1).value for index in range(len(blocks))]
    assert found == [math.inf] * 4 + [9_000_000 - 15]


@pytest.mark.parametrize("seed", some(range(25), *range(6)))
def test_the_richest_set_can_be_cut_and_none_is_richer(seed: int) -> None:
    instance = some_instance(seed)
    grid = Grid.of(instance, instance.divisor, for_bound=False)
    duals = [float(piece.take // MM) for piece in instance.pieces]
    tables = grid.tables(duals, np.float64)
    for index in range(len(instance.sources)):
        pattern = grid.richest(index, tables, duals)
        possible = [counts for counts in sets_of(instance.demand) if instance.allowed(index, counts)]
        assert pattern in possible or not any(pattern)
        assert dot(pattern, duals) == max((dot(counts, duals) for counts in possible), default=0)


def limited_patterns(grid: Grid) -> set[Pattern]:
    instance = grid.instance
    found = set()
    for duals in product((1.0, 5.0), repeat=len(instance.pieces)):
        found.add(grid.richest(0, grid.tables(duals, np.float64), duals))
    return found


def test_limits_hold_a_bar_to_what_is_still_wanted() -> None:
    parts = [builders.part("A", 5, 100), builders.part("B", 5, 150)]
    instance = instance_for(builders.job(parts, [builders.offer("P", 1000, 9)]))
    grid = Grid.of(instance, instance.divisor, for_bound=False)
    assert any(a > 1 or b > 2 for a, b in limited_patterns(grid))
    assert all(a <= 1 and b <= 2 for a, b in limited_patterns(grid.limited((1, 2))))


def test_rounding_is_up_for_the_plan_and_down_for_the_bound() -> None:
    instance = instance_for(builders.job([builders.part("A", 3, 333)], [builders.offer("P", 1000, 9)]))
    assert Grid.of(instance, mm(10), for_bound=False).takes == (34,)
    assert Grid.of(instance, mm(10), for_bound=True).takes == (33,)
    assert Grid.of(instance, mm(10), for_bound=True).caps == (100,)


def test_a_bar_shorter_than_its_trims_holds_nothing() -> None:
    job = builders.job([builders.part("A", 1, 5)], [builders.offer("P", 15, 9)], end_trim=10)
    instance = instance_for(job)
    grid = Grid.of(instance, instance.divisor, for_bound=False)
    assert grid.caps == (-1,)
    tables = grid.tables((1.0,), np.float64)
    assert tables == {}
    assert grid.best(0, tables, (1.0,), 1).pattern == (0,)


def test_sources_of_grades_that_serve_alike_share_a_table() -> None:
    parts = [builders.part("A", 1, 100), builders.part("B", 1, 100, grade="S355")]
    offers = [builders.offer(f"P{i}", 1000, 9, grade=grade) for i, grade in enumerate(["S235", "S355", "", "S355"])]
    instance = instance_for(builders.job(parts, offers))
    grid = Grid.of(instance, instance.divisor, for_bound=False)
    assert grid.classes == (0, 1, 0, 1)
    assert list(grid.alike()) == [[0, 2], [1, 3]]
    assert set(grid.tables((1.0, 2.0), np.float64)) == {0, 1}
    assert set(grid.tables((1.0, 2.0), np.float64, blocks=[1, 3])) == {1}


def test_the_working_step_is_the_divisor_until_bars_are_too_many_steps() -> None:
    parts = [builders.part("A", 3, "1000.5"), builders.part("B", 1, 700)]
    instance = instance_for(builders.job(parts, [builders.offer("P", 6000, 9)]))
    assert working_step(instance, STEPS, CELLS, STATE_STEPS) == mm("0.5")
    assert working_step(instance, 12_000, CELLS, STATE_STEPS) == mm("0.5")
    assert working_step(instance, 6_000, CELLS, STATE_STEPS) == mm(1)
    fine = instance_for(builders.job([builders.part("A", 1, "1000.000001"), builders.part("B", 1, 700)],
                                    [builders.offer("P", 6000, 9)]))  # fmt: skip
    assert working_step(fine, STEPS, CELLS, STATE_STEPS) == ceil_div(mm(6000), STEPS)


def test_a_table_of_many_rows_makes_the_working_step_coarser() -> None:
    # Three of one and seven of the other: bundles of 1 2 and 1 2 4, five rows.
    parts = [builders.part("A", 3, 700), builders.part("B", 7, 200)]
    instance = instance_for(builders.job(parts, [builders.offer("P", 6000, 9)]))
    assert instance.divisor == mm(100)
    assert working_step(instance, STEPS, 300, STATE_STEPS) == mm(100)
    assert working_step(instance, STEPS, 299, STATE_STEPS) == ceil_div(mm(6000), 59)


def test_many_states_make_the_working_step_coarser() -> None:
    """Square, and mitred at one angle or at two: six states of sets and 24."""
    square = builders.part("A", 4, 700)
    one, other = ([builders.part(f"{angle} {end}", 4, 700 + end, mitres=(angle, end)) for end in (0, angle)]
                  for angle in (45, 30))  # fmt: skip
    both = builders.part("45 30", 4, 790, mitres=(45, 30))
    offer = builders.offer("P", 6000, 9)
    plain, few, many = (instance_for(builders.job(parts, [offer], kerf="2.5")) for parts in
                        ([square], [square, *one], [square, *one, *other, both]))  # fmt: skip
    assert [instance.space.states for instance in (plain, few, many)] == [1, 6, 24]
    for instance, states in ((few, 6), (many, 24)):
        room = max(source.room for source in instance.sources)
        assert working_step(instance, STEPS, CELLS, 600 * states) == ceil_div(room, 600)
        assert working_step(instance, 100, CELLS, 600 * states) == ceil_div(room, 100)
