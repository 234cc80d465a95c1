"""Planning some bars of the best plan anew."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.constructive import first_fit, preferences
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.instance import Instance
from cutplan.solving.neighbourhoods import _drawn, replan_bars
from cutplan.solving.nodes import Bounder, Ranges
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import covers, total_cost
from tests.benchmarks.instances import shop_job
from tests.effort import seeds
from tests.solver_instances import instance_for, least_cost, some_instance


def valued(number: int = 1) -> Instance:
    """Ten lengths whose left overs are worth money, and whose cuts cost it."""
    return instance_for(shop_job(10, seed=1, number=number, offcut_value=True, cut_charges=True).job)


def replanned(
    instance: Instance, *, each: int = 4, ranges: Ranges | None = None, stopped_by: str = "", enough: bool = False
) -> tuple[Incumbent, int]:
    """The incumbent after bars of a first fit were planned anew, and what the first fit costs."""
    incumbent = Incumbent(instance)
    preference = next(iter(preferences(instance)))
    incumbent.offer(first_fit(instance, preference, instance.demand, [source.most for source in instance.sources]))
    before = incumbent.cost
    parameters = Parameters(replanned_bars=4)
    generator = ColumnGenerator(instance, 1_000_000_000, Clock(deadline=1e9), parameters)
    node = Bounder(generator, incumbent, parameters, 1000).bounded(ranges or generator.root_ranges)
    centred = generator.centred(node.ranges, instance.demand, node.relaxation)
    generator.clock.stopped_by = stopped_by
    replan_bars(generator, incumbent, node, centred, each, lambda: enough)
    return incumbent, before


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
    for incumbent, before in (replanned(valued(), stopped_by="user"), replanned(valued(), each=0)):
        assert incumbent.cost == before


def test_a_plan_of_other_bars_than_the_node_allows_stays_as_it_is() -> None:
    instance = valued()
    # No plan buys a hundred bars of the first length.
    incumbent, before = replanned(instance, ranges=((100, 200), *((0, source.most) for source in instance.sources[1:])))
    assert incumbent.cost == before


def test_where_few_left_overs_may_be_kept_a_plan_stays_as_it_is() -> None:
    incumbent, before = replanned(replace(valued(), most_kept=1))
    assert incumbent.cost == before


def test_what_weighs_more_is_drawn_more_often_and_each_at_most_once() -> None:
    draw = random.Random(1)
    drawn = [_drawn(draw, [0.0, 1.0, 9.0], 2) for _ in range(300)]
    times = [sum(k in some for some in drawn) for k in range(3)]
    assert all(len(some) == 2 for some in drawn)
    assert 0 < times[0] < times[1] < times[2] < 300
    assert _drawn(draw, [0.0, 0.0], 5) == {0, 1}
