"""Looking within a node and deciding it by enumeration."""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import pytest

from cutplan.solving import closing
from cutplan.solving.certificate import certify
from cutplan.solving.clock import Clock
from cutplan.solving.closing import NodeCloser
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.dive import whole_bars_of
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.instance import Instance
from cutplan.solving.master import Column
from cutplan.solving.nodes import Node, Ranges
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse
from cutplan.units import ceil_div
from tests import builders
from tests.effort import seeds
from tests.solver_instances import instance_for, least_cost, some_instance


def closer_for(
    instance: Instance, ranges: tuple[tuple[int, int], ...] | None = None, parameters: Parameters | None = None
) -> tuple[NodeCloser, Node]:
    """A closer without any plan, and the node of the ranges (all counts unless given)."""
    generator = ColumnGenerator(instance, 1_000_000_000, Clock(deadline=1e9), parameters or Parameters())
    ranges = ranges or generator.root_ranges
    relaxation = generator.relax(ranges, instance.demand, float("inf"), 400)
    assert relaxation is not None
    bound, leaf = certify(generator.bound_grid, relaxation.duals, ranges, 1000)
    return NodeCloser(generator, Incumbent(instance), parameters or Parameters()), Node(ranges, bound, leaf, relaxation)


@pytest.mark.parametrize("seed", seeds(60))
def test_listing_decides_a_case_for_good(seed: int) -> None:
    instance = some_instance(seed, most_parts=4, most_pieces=7)
    closer, node = closer_for(instance)
    assert closer.decide(node, 100_000, at_length=True)
    truth = least_cost(instance, node.ranges)
    # With no plan to beat every pattern of a sensible plan is listed, so the cheapest has been found.
    assert (closer.incumbent.cost if closer.incumbent.plan else None) == truth


@pytest.mark.parametrize("seed", seeds(40))
def test_listing_decides_within_the_ranges(seed: int) -> None:
    instance = some_instance(seed, most_parts=3, most_pieces=7)
    ranges = tuple((0, min(source.most, 1)) for source in instance.sources)
    closer, node = closer_for(instance, ranges)
    assert closer.decide(node, 100_000, at_length=True)
    truth = least_cost(instance, ranges)
    # Tidying may move a set to a bar outside the ranges, which only makes a plan cheaper.
    assert truth is None or (closer.incumbent.plan is not None and closer.incumbent.cost <= truth)


@pytest.mark.parametrize("seed", seeds(40))
def test_looking_within_a_case_finds_plans_no_cheaper_than_its_bound(seed: int) -> None:
    instance = some_instance(seed, most_parts=4, most_pieces=8)
    closer, node = closer_for(instance)
    closer.look_within(node, 4, 1.0, thorough=True)
    truth = least_cost(instance, node.ranges)
    if truth is None:
        assert closer.incumbent.plan is None
    else:
        assert closer.incumbent.plan is not None
        assert node.bound <= truth <= closer.incumbent.cost


def pairs() -> Instance:
    parts = [builders.part("A", 3, 500), builders.part("B", 2, 400)]
    return instance_for(builders.job(parts, [builders.offer("P1", 1000, 10), builders.offer("P2", 1300, 12)]))


def test_too_long_a_list_decides_nothing() -> None:
    closer, node = closer_for(pairs())
    assert not closer.decide(node, 1, at_length=True)


def test_a_coarse_step_decides_nothing() -> None:
    # Finer than the finest grid of a bar of 6 m: some patterns could be missed.
    parts = [builders.part("A", 3, "1000.000001"), builders.part("B", 2, 700)]
    closer, node = closer_for(
        instance_for(builders.job(parts, [builders.offer("P", 6000, 9)])), parameters=Parameters(listed_cells=10**8)
    )
    assert closer.generator.step > closer.generator.instance.divisor
    assert not closer.decide(node, 100_000, at_length=True)


def test_a_struck_clock_ends_looking() -> None:
    closer, node = closer_for(pairs())
    closer.generator.clock.stopped_by = "user"
    closer.look_within(node, 4, 1.0, thorough=True)
    assert closer.incumbent.plan is None


def triplets(bars: int) -> Instance:
    """Sets of three that fill a bar of 1000 each (E. Falkenauer, J. of Heuristics 2, 1996; the recipe from memory)."""
    draw = random.Random(bars)
    lengths = []
    for _ in range(bars):
        first = draw.randint(380, 490)
        second = draw.randint(250, (1000 - first) // 2)
        lengths += [first, second, 1000 - first - second]
    parts = [builders.part(f"M{length}", count, length) for length, count in sorted(Counter(lengths).items())]
    return instance_for(builders.job(parts, [builders.offer("P", 1000, 1)]))


@pytest.mark.parametrize("parameters", [Parameters(), Parameters(finished=1), Parameters(finished=1, finished_few=1)])
def test_what_is_left_of_a_dive_is_filled_without_waste(parameters: Parameters) -> None:
    instance = triplets(12)
    closer, node = closer_for(instance, parameters=parameters)
    closer.incumbent.offer([PatternUse(0, instance.single(i), piece.demand) for i, piece in enumerate(instance.pieces)])
    closer.look_within(node, 8, 4.0, thorough=True)
    assert closer.incumbent.cost == 12_000_000


def of_one_length(kinds: int, seed: int) -> Instance:
    """Some lengths of 100 to 600, one to five of each, from bars of 1000."""
    draw = random.Random(seed)
    parts = [builders.part(f"M{length}", draw.randint(1, 5), length) for length in draw.sample(range(100, 600), kinds)]
    return instance_for(builders.job(parts, [builders.offer("P", 1000, 1)]))


@pytest.mark.parametrize("seed", seeds(20))
def test_what_whole_bars_of_an_lp_leave_is_listed(seed: int) -> None:
    # Nothing else may find a plan: no quick list, one dive, and no program over known patterns.
    closer, node = closer_for(of_one_length(12, seed), parameters=Parameters(finished_cells=0))
    assert whole_bars_of(closer.generator, node.relaxation.solution).plan
    least = math.ceil(node.bound / 1_000_000) * 1_000_000
    closer = replace(closer, incumbent=Incumbent(closer.generator.instance, least + 1_000_000))
    closer.look_within(node, 1, 0.0, thorough=True)
    assert closer.incumbent.cost == least


def dived(kinds: int, seed: int, *, told: bool) -> bool:
    """Does one dive find a plan of the least number of bars that could hold all, in a node of just so many?"""
    instance = of_one_length(kinds, seed)
    bars = ceil_div(sum(piece.demand * piece.take for piece in instance.pieces), instance.sources[0].room)
    closer, node = closer_for(instance, ((bars, bars),), Parameters(finished_cells=0))
    closer = replace(closer, incumbent=Incumbent(instance, (bars + 1) * 1_000_000))
    closer.look_within(node, 1, 0.0, thorough=False, counts=(bars,) if told else None)
    return closer.incumbent.plan is not None


def test_a_dive_that_may_do_with_fewer_bars_wastes_less() -> None:
    # Which corner an LP ends in is chance, so that a single job tells nothing.
    some = (3, 4, 7, 9, 15, 17)
    assert sum(dived(20, seed, told=True) for seed in some) >= 5
    assert sum(dived(20, seed, told=False) for seed in some) < 3


def test_patterns_of_few_parts_are_tried_where_all_are_too_many() -> None:
    instance = triplets(12)
    closer, node = closer_for(instance, parameters=Parameters(listed=4_000))
    closer.incumbent.offer([PatternUse(0, instance.single(i), piece.demand) for i, piece in enumerate(instance.pieces)])
    assert not closer.decide(node, 1, at_length=True), "too many patterns to decide"
    assert closer.incumbent.cost < 36_000_000, "but those of few parts make a better plan"


def looked_in_short_lists(**figures: int) -> int | None:
    """What the plan of twelve triplets costs that is found for less than two bars too many; None where none is."""
    closer, node = closer_for(triplets(12), parameters=Parameters(**figures))
    closer = replace(closer, incumbent=Incumbent(closer.generator.instance, 14_000_000))
    closer.look_in_short_lists(node)
    return closer.incumbent.cost if closer.incumbent.plan else None


@pytest.mark.parametrize("first", [1, 300])
def test_a_plan_is_found_among_few_patterns_where_all_are_too_many(first: int) -> None:
    assert looked_in_short_lists(listed_first=100, short_first=first) == 12_000_000


def test_no_program_over_few_patterns_is_run_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[int] = []

    def solve_whole(closer: NodeCloser, columns: Sequence[Column], ranges: Ranges, effort: float) -> bool:
        asked.append(len(columns))
        return False

    monkeypatch.setattr(NodeCloser, "_solve_whole", solve_whole)
    monkeypatch.setattr(closing, "replan_bars", lambda *given: None)
    looked_in_short_lists(listed_first=100, short_first=10)
    fewest, every = asked
    assert fewest == 10 < every
    for first in (every, every + 1):
        looked_in_short_lists(listed_first=100, short_first=first)
    assert asked[2:] == [every, every]


def test_few_patterns_are_not_looked_through_where_all_can_be_listed() -> None:
    assert looked_in_short_lists(listed_first=1_000_000) is None


def test_few_patterns_are_not_looked_through_where_too_many_cost_least() -> None:
    assert looked_in_short_lists(listed_first=100, short_listed=1) is None


def test_no_patterns_are_looked_through_when_time_is_up() -> None:
    closer, node = closer_for(triplets(12), parameters=Parameters(listed_first=1))
    closer.generator.clock.stopped_by = "user"
    closer.look_in_short_lists(node)
    assert closer.incumbent.plan is None


def test_rounding_offers_whole_plans() -> None:
    closer, node = closer_for(pairs())
    closer.round_down(node.relaxation)
    assert closer.incumbent.cost == 22_000_000
