"""Planning some bars of the best plan anew."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from itertools import product

import pytest

from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.constructive import first_fit, preferences
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.instance import Instance
from cutplan.solving.master import Column, columns_of
from cutplan.solving.neighbourhoods import _covered, _drawn, _Known, replan_bars
from cutplan.solving.nodes import Bounder, Node, Ranges
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import covers, total_cost
from cutplan.solving.solver_pieces import Pattern
from tests.benchmarks.instances import shop_job
from tests.effort import seeds
from tests.solver_instances import instance_for, least_cost, some_instance

FEW_BARS = Parameters(replanned_bars=3, replanned_more=1)
"""Of a small plan not all bars are planned anew together at once."""


def valued(number: int = 1) -> Instance:
    """Ten lengths whose left overs are worth money, and whose cuts cost it."""
    return instance_for(shop_job(10, seed=1, number=number, offcut_value=True, cut_charges=True).job)


def replanned(
    instance: Instance,
    *,
    tries: int = 8,
    ranges: Ranges | None = None,
    stopped_by: str = "",
    enough: bool = False,
    parameters: Parameters = FEW_BARS,
) -> tuple[Incumbent, int]:
    """The incumbent after bars of a first fit were planned anew, and what the first fit costs."""
    incumbent, generator, node = begun(instance, parameters, ranges)
    before = incumbent.cost
    centred = generator.centred(node.ranges, instance.demand, node.relaxation)
    generator.clock.stopped_by = stopped_by
    replan_bars(generator, incumbent, node, centred, tries, lambda: enough)
    return incumbent, before


def begun(
    instance: Instance, parameters: Parameters, ranges: Ranges | None = None
) -> tuple[Incumbent, ColumnGenerator, Node]:
    """A first fit, and a node with its bound."""
    incumbent = Incumbent(instance)
    preference = next(iter(preferences(instance)))
    incumbent.offer(first_fit(instance, preference, instance.demand, [source.most for source in instance.sources]))
    generator = ColumnGenerator(instance, 1_000_000_000, Clock(deadline=1e9), parameters)
    node = Bounder(generator, incumbent, parameters, 1000).bounded(ranges or generator.root_ranges)
    return incumbent, generator, node


def test_a_first_fit_becomes_cheaper_step_by_step() -> None:
    once, first = replanned(valued(), enough=True)
    at_length, _ = replanned(valued())
    assert first > once.cost > at_length.cost
    assert at_length.plan is not None
    assert covers(valued(), at_length.plan)
    assert total_cost(valued(), at_length.plan) == at_length.cost


@pytest.mark.parametrize("seed", seeds(60))
def test_no_plan_becomes_dearer_or_cheaper_than_the_least_there_is(seed: int) -> None:
    instance = some_instance(seed, most_parts=4, most_pieces=7)
    if instance.kept_counts or next(iter(preferences(instance)), None) is None:
        return
    truth = least_cost(instance, [(0, source.most) for source in instance.sources])
    if truth is None:
        return
    incumbent, before = replanned(instance)
    if incumbent.plan is not None:
        assert truth <= incumbent.cost <= before
        assert covers(instance, incumbent.plan)


def test_the_same_plan_comes_out_twice() -> None:
    assert replanned(valued(2))[0].plan == replanned(valued(2))[0].plan


def test_nothing_is_planned_anew_when_time_is_up_or_no_trial_is_allowed() -> None:
    for incumbent, before in (replanned(valued(), stopped_by="user"), replanned(valued(), tries=0)):
        assert incumbent.cost == before


def test_a_plan_of_other_bars_than_the_node_allows_stays_as_it_is() -> None:
    instance = valued()
    # No plan buys a hundred bars of the first length.
    incumbent, before = replanned(instance, ranges=((100, 200), *((0, source.most) for source in instance.sources[1:])))
    assert incumbent.cost == before


def test_where_few_left_overs_may_be_kept_a_plan_stays_as_it_is() -> None:
    incumbent, before = replanned(replace(valued(), most_kept=1))
    assert incumbent.cost == before


def test_what_weighs_more_is_drawn_sooner_more_often() -> None:
    draw = random.Random(1)
    drawn = [_drawn(draw, [0.0, 1.0, 9.0]) for _ in range(300)]
    assert all(sorted(order) == [0, 1, 2] for order in drawn)
    first = [sum(order[0] == k for order in drawn) for k in range(3)]
    assert 0 < first[0] < first[1] < first[2]


def least_of_as_many(instance: Instance, bars: Sequence[Column]) -> int:
    """Least cost of a plan for all parts of some bars by as many of each source, by trying everything."""

    @cache
    def best(left: Pattern, sources: tuple[int, ...]) -> int | None:
        if not sources:
            return None if any(left) else 0
        found = []
        for pattern in product(*(range(n + 1) for n in left)):
            if any(pattern) and instance.allowed(sources[0], pattern):
                after = best(tuple(n - m for n, m in zip(left, pattern, strict=True)), sources[1:])
                if after is not None:
                    found.append(after + instance.cost(sources[0], pattern))
        return min(found, default=None)

    wanted = tuple(sum(held) for held in zip(*(bar.pattern for bar in bars), strict=True))
    least = best(wanted, tuple(bar.source for bar in bars))
    assert least is not None
    return least


@pytest.mark.parametrize("seed", seeds(120))
def test_the_cheapest_plan_of_some_bars_is_found_or_shown_not_to_be(seed: int) -> None:
    instance = some_instance(seed, most_parts=4, most_pieces=7)
    if instance.kept_counts or next(iter(preferences(instance)), None) is None:
        return
    incumbent, generator, node = begun(instance, Parameters())
    if incumbent.plan is None or not generator.lists_all:
        return
    bars = [
        column
        for used in incumbent.plan
        for column in columns_of(instance, used.source, used.pattern)
        for _ in range(used.count)
    ]
    centred = generator.centred(node.ranges, instance.demand, node.relaxation)
    known = _Known.of(generator, centred, bars, incumbent.cutoff() - centred.bound)
    assert known is not None
    some = bars[: 1 + seed % 4]
    found, ended = _covered(generator, known, some)
    least, before = least_of_as_many(instance, some), sum(bar.cost for bar in some)
    assert ended
    assert (before if found is None else sum(bar.cost for bar in found)) == least
    assert found is None or least < before


def test_more_bars_join_where_there_is_no_cheaper_plan_for_few() -> None:
    # A bar by itself is cut to what it holds already.
    for more in (0, 1):
        incumbent, first = replanned(valued(), tries=1, parameters=Parameters(replanned_bars=1, replanned_more=more))
        assert incumbent.cost < first
