"""Column generation: the LP value in fractions, checked against the LP over every pattern."""

from __future__ import annotations

import math
import random
import time
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from cutplan.model import Split
from cutplan.solving.blocks import Partition
from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator, unsolved, worth_by_length
from cutplan.solving.component_branching import candidate, children
from cutplan.solving.instance import Instance
from cutplan.solving.master import Column, Master
from cutplan.solving.nodes import Splits
from cutplan.solving.parameters import Parameters
from cutplan.solving.pricing import Best, Grid
from tests import builders
from tests.effort import seeds
from tests.solver_instances import instance_for, sets_of, some_instance

PENALTY = 1_000_000_000


def generator(instance: Instance, parameters: Parameters | None = None) -> ColumnGenerator:
    return ColumnGenerator(instance, PENALTY, Clock(deadline=1e9), parameters or Parameters())


def over_every_pattern(
    instance: Instance, ranges: tuple[tuple[int, int], ...], splits: Sequence[Split] = ()
) -> float | None:
    """The LP with all patterns, the same penalty for parts left out; None where it has no solution."""
    master = Master(instance)
    master.set_penalty(PENALTY)
    for index in range(len(instance.sources)):
        for pattern in sets_of(instance.demand):
            if instance.allowed(index, pattern):
                # A left over that could be kept may be scrapped.
                for kept in {instance.value_left(index, pattern) > 0, False}:
                    master.add(Column(index, pattern, instance.cost(index, pattern, kept=kept), kept))
    master.set_ranges(ranges)
    master.set_blocks(Partition.of(instance, splits).ranges)
    solution = master.solve(60.0)
    return None if solution is None else solution.value


@pytest.mark.parametrize("seed", seeds(80))
def test_generated_columns_reach_the_lp_over_every_pattern(seed: int) -> None:
    instance = some_instance(seed, most_parts=4, most_pieces=8)
    made = generator(instance)
    boxes = [made.root_ranges, tuple((0, min(1, source.most)) for source in instance.sources)]
    for ranges in boxes:
        relaxation = made.relax(ranges, instance.demand, math.inf, 400)
        assert relaxation is not None
        truth = over_every_pattern(instance, ranges)
        assert truth is not None
        assert relaxation.solution.value == pytest.approx(truth, rel=1e-6, abs=10)
        assert relaxation.bound <= truth + 1e-6 * abs(truth) + 10
        if relaxation.solution.missing < 1e-9 and instance.space.adds_up:
            assert relaxation.bound == pytest.approx(truth, rel=1e-5, abs=100), "the duals of the last LP prove it"
        for column in made.master.columns:
            assert instance.allowed(column.source, column.pattern)
            assert column.cost == instance.cost(column.source, column.pattern)
            assert relaxation.reduced_cost(column) >= -1e-6 * PENALTY


@pytest.mark.parametrize("seed", seeds(120))
def test_the_lp_over_every_pattern_is_reached_where_bars_are_told_apart(seed: int) -> None:
    """Half of the numbers of bars that the first LP solution breaks are allowed below, half of them above."""
    instance = some_instance(seed, most_parts=4, most_pieces=8)
    made = generator(instance)
    splits: Splits = ()
    relaxation = made.relax(made.root_ranges, instance.demand, math.inf, 400)
    for turn in range(4):
        parts = candidate(made, relaxation.solution, splits) if relaxation else None
        if parts is None:
            break
        nodes = children(made, splits, parts)
        splits = nodes[(seed >> turn) % len(nodes)]
        relaxation = made.relax(made.root_ranges, instance.demand, math.inf, 400, splits=splits)
        truth = over_every_pattern(instance, made.root_ranges, splits)
        if relaxation is None:
            continue
        assert truth is not None
        assert relaxation.solution.value == pytest.approx(truth, rel=1e-6, abs=10)
        assert relaxation.bound <= truth + 1e-6 * abs(truth) + 10
        if relaxation.solution.missing < 1e-9 and instance.space.adds_up:
            assert relaxation.bound == pytest.approx(truth, rel=1e-5, abs=100), "the duals of the last LP prove it"


def chvatal() -> Instance:
    """V. Chvatal, Linear Programming, Freeman 1983, ch. 13: the LP value of 452.25 is known."""
    wanted = [(45, 97), (36, 610), (31, 395), (14, 211)]
    parts = [builders.part(f"M{length}", quantity, length) for length, quantity in wanted]
    return instance_for(builders.job(parts, [builders.offer("P", 100, 1)]))


@pytest.mark.parametrize("seed", seeds(40))
@pytest.mark.parametrize("cap", [0.001, 0.3])
def test_that_parts_could_be_left_out_at_first_changes_no_lp_value(seed: int, cap: float) -> None:
    instance = some_instance(seed, most_parts=4, most_pieces=8)
    made = generator(instance, Parameters(capped_pieces=1, cap=cap))
    relaxation = made.relax(made.root_ranges, instance.demand, math.inf, 400)
    truth = over_every_pattern(instance, made.root_ranges)
    assert relaxation is not None
    assert truth is not None
    assert relaxation.solution.value == pytest.approx(truth, rel=1e-6, abs=10)
    assert relaxation.bound <= truth + 1e-6 * abs(truth) + 10


def test_bars_are_first_priced_by_what_lengths_are_worth() -> None:
    # Of bars of 1000 at 10 and 600 at 9 the long one costs less for its room.
    offers = [builders.offer("P", 1000, 10), builders.offer("Q", 600, 9)]
    instance = instance_for(builders.job([builders.part("A", 3, 400), builders.part("B", 3, 250)], offers))
    assert worth_by_length(instance).duals == pytest.approx((4_000_000, 2_500_000))


def full_bars() -> Instance:
    """Nine lengths, two of each, that fill six bars of 1000 to their ends: 500 + 300 + 200 and the like."""
    lengths = [500, 300, 200, 450, 350, 200 - 1, 1, 420, 380, 150, 50]
    parts = [builders.part(f"M{length}", 2, length) for length in lengths]
    return instance_for(builders.job(parts, [builders.offer("P", 1000, 10)]))


def test_an_lp_below_its_target_is_not_solved_to_its_end() -> None:
    """No bound of it can reach the target, once it is that near."""
    instance = full_bars()
    target = by_length_alone(instance) + 0.01
    made = generator(instance)
    relaxation = made.relax(made.root_ranges, instance.demand, target, 400)
    assert relaxation is not None
    assert not relaxation.at_target
    assert relaxation.solution.missing == pytest.approx(0)
    assert by_length_alone(instance) - 100 <= relaxation.bound <= relaxation.solution.value < target


def test_near_the_target_reduced_costs_count_to_the_last_digits() -> None:
    instance, target = chvatal(), 452_250_000.01
    coarse = Parameters(reduced_cost=0.2, gap_slack=1e-9)
    rough, fine = (
        generator(instance, one).relax(((0, 1313),), instance.demand, target, 400)
        for one in (coarse, replace(coarse, gap_slack=1.0))
    )
    assert rough is not None
    assert fine is not None
    assert rough.solution.value > target > fine.solution.value


def test_a_hair_above_the_dearest_cost_of_use_ends_a_node() -> None:
    """An LP of 452,250,000 against plans that cost a thousandth of a cost unit less."""
    instance, made = chvatal(), generator(chvatal())
    relaxation = made.relax(((0, 1313),), instance.demand, 452_250_000 - 0.001 + made.margin, 400)
    assert relaxation is not None
    assert relaxation.at_target


def test_blocks_that_are_to_have_no_bar_are_not_priced(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is known of their bars, and the LP is none the worse for it."""
    priced, best = [], Grid.best

    def noted(self: Grid, index: int, *others: Any) -> Best:
        priced.append(index)
        return best(self, index, *others)

    monkeypatch.setattr(Grid, "best", noted)
    instance = full_bars()
    made = generator(instance)
    splits = [Split(share=0, part=0, copies=1, low=0, high=0), Split(share=0, part=1, copies=1, low=0, high=2)]
    relaxation = made.relax(made.root_ranges, instance.demand, math.inf, 400, splits=splits)
    assert relaxation is not None
    assert set(priced) == {0, 2}
    # Of the longest part nothing may be cut: two are left out.
    assert relaxation.solution.missing == pytest.approx(2)
    assert relaxation.bound == pytest.approx(relaxation.solution.value, rel=1e-6)


def by_length_alone(instance: Instance) -> float:
    """What the parts cost by their lengths where no bar has any waste."""
    return sum(y * piece.demand for y, piece in zip(worth_by_length(instance).duals, instance.pieces, strict=True))


def test_columns_found_last_wait_until_an_lp_was_solved() -> None:
    """An LP whose bounds are moved goes on from the last solution only where it has no new columns."""
    instance = chvatal()
    made = generator(instance)
    before = len(made.master.columns)
    made.relax(made.root_ranges, instance.demand, math.inf, 1)
    assert len(made.master.columns) == before
    made.relax(made.root_ranges, instance.demand, math.inf, 2)
    assert len(made.master.columns) > before + 1


def test_a_known_lp_value_is_reached() -> None:
    relaxation = generator(chvatal()).relax(((0, 1313),), chvatal().demand, math.inf, 400)
    assert relaxation is not None
    assert relaxation.solution.value == pytest.approx(452_250_000)
    assert not relaxation.at_target


def test_a_node_ends_once_its_bound_reaches_the_target() -> None:
    instance = chvatal()
    relaxation = generator(instance).relax(((0, 1313),), instance.demand, 300_000_000, 400)
    assert relaxation is not None
    assert relaxation.at_target
    assert 300_000_000 <= relaxation.bound <= 452_250_001


def test_coarse_grids_leave_the_last_word_to_the_exact_one() -> None:
    # Six metres in tenths of a millimetre are more steps than the coarse grid has.
    lengths = ["1200.1", "849.7", "633.3", "411.9"]
    parts = [builders.part(f"M{i}", 9 + i, length) for i, length in enumerate(lengths)]
    instance = instance_for(builders.job(parts, [builders.offer("P", 6000, 30)], kerf=2.5))
    made = generator(instance)
    assert made.fill_grid is not made.grid
    assert made.fill_grid.step > made.step
    relaxation = made.relax(made.root_ranges, instance.demand, math.inf, 400)
    assert relaxation is not None
    assert relaxation.bound == pytest.approx(relaxation.solution.value, rel=1e-6)


def test_patterns_that_may_not_be_cut_are_not_added() -> None:
    job = builders.job([builders.part("B", 9, 100)], [builders.offer("P1", 600, 8)], safe_hold=150)
    made = generator(instance_for(job))
    assert not made.add(0, (0,))
    assert not made.add(0, (6,))
    assert not made.add(0, (5,))
    assert made.add(0, (3,))
    assert not made.add(0, (3,))


def test_a_struck_clock_ends_column_generation() -> None:
    instance = chvatal()
    made = ColumnGenerator(instance, PENALTY, Clock(deadline=1e9, stopped_by="user"), Parameters())
    made.relax(made.root_ranges, instance.demand, math.inf, 400)
    assert made.clock.rounds == 1


def test_bars_are_not_priced_where_that_would_outlast_the_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """A first pass shows how long one takes; with less time than that no second one is begun."""
    instance, hand = chvatal(), [0.0]
    tables = Grid.tables

    def counted(self: Grid, *given: Any, **named: Any) -> Any:
        hand[0] += 1.0
        return tables(self, *given, **named)

    monkeypatch.setattr(Grid, "tables", counted)
    monkeypatch.setattr(time, "thread_time", lambda: hand[0])
    monkeypatch.setattr(time, "monotonic", lambda: 3 * hand[0])
    passes = []
    for deadline in (5.9, 6.1):
        hand[0] = 0.0
        made = ColumnGenerator(instance, PENALTY, Clock(deadline=deadline), Parameters())
        made.relax(made.root_ranges, instance.demand, math.inf, 400)
        passes.append(hand[0])
        assert made.clock.stopped_by == "time limit"
    assert passes == [1.0, 2.0]


def test_nothing_known_proves_nothing() -> None:
    relaxation = unsolved(chvatal())
    assert (relaxation.bound, relaxation.duals, relaxation.least_reduced, relaxation.at_target) == (
        0.0,
        (0.0,) * 4,
        (0.0,),
        False,
    )
    assert relaxation.solution.missing == 1313


@pytest.mark.parametrize("seed", seeds(60))
def test_duals_from_the_midst_bound_as_well(seed: int) -> None:
    instance = some_instance(seed, most_parts=4, most_pieces=8)
    made = generator(instance)
    relaxation = made.relax(made.root_ranges, instance.demand, math.inf, 400)
    assert relaxation is not None
    centred = made.centred(made.root_ranges, instance.demand, relaxation)
    assert centred.bound >= relaxation.bound - 1e-4 * abs(relaxation.bound) - 1e4
    value = over_every_pattern(instance, made.root_ranges)
    assert value is not None
    assert centred.bound <= value + 1e-6 * value + 1
    for index in range(len(instance.sources)):
        for pattern in sets_of(instance.demand):
            if instance.allowed(index, pattern):
                worth = sum(n * y for n, y in zip(pattern, centred.duals, strict=True))
                assert instance.cost(index, pattern) - worth >= centred.least_reduced[index] - 1e-3


def test_fewer_patterns_seem_free_by_duals_from_the_midst() -> None:
    # All are cut without waste: every length may be worth its share of a bar, or long ones more and short ones less.
    instance = instance_for(
        builders.job(
            [builders.part(f"M{length}", 1, length) for length in (700, 650, 600, 550, 450, 400, 350, 300)],
            [builders.offer("P", 1000, 1)],
        )
    )
    made = generator(instance)
    relaxation = made.relax(made.root_ranges, instance.demand, math.inf, 400)
    assert relaxation is not None
    centred = made.centred(made.root_ranges, instance.demand, relaxation)

    def free(duals: tuple[float, ...]) -> int:
        sets = (pattern for pattern in sets_of(instance.demand) if instance.allowed(0, pattern))
        return sum(sum(n * y for n, y in zip(one, duals, strict=True)) > 1e6 - 1 for one in sets)

    assert 0 < free(centred.duals) <= free(relaxation.duals)


class Asked(Clock):
    """A clock that counts how often it is asked, and strikes at one time."""

    asked = 0
    strikes_at = 10**9

    def struck(self) -> bool:
        self.asked += 1
        return self.asked >= self.strikes_at


def many_sources() -> Instance:
    draw = random.Random(3)
    parts = [builders.part(f"M{n}", draw.randint(1, 5), draw.randint(200, 3000)) for n in range(12)]
    offers = [builders.offer(f"P{n}", 5000 + 137 * n, 60 + 2 * n) for n in range(15)]
    return instance_for(builders.job(parts, offers))


@pytest.mark.parametrize("strikes_at", [1, 40, 80])
def test_no_two_bars_are_priced_after_time_is_up(strikes_at: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """All bars that one table serves were: with the stock of a dozen merchants that took seconds on a busy machine."""
    made = generator(many_sources())
    clock = made.clock = Asked(deadline=1e9)
    clock.strikes_at = strikes_at
    after, best = [], Grid.best

    def seen(*given: Any) -> Best:
        after.append(clock.asked >= strikes_at)
        return best(*given)

    monkeypatch.setattr(Grid, "best", seen)
    made.relax(made.root_ranges, made.instance.demand, math.inf, 400)
    assert clock.asked >= strikes_at
    assert sum(after) <= 1
