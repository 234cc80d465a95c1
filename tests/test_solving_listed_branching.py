"""Nodes over a list of patterns: what their bounds are multiples of, and what can be listed."""

from __future__ import annotations

import pytest

from cutplan.model import Work
from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.listed_branching import ListedNodes, can_be_listed
from cutplan.solving.nodes import Bounder
from cutplan.solving.parameters import Parameters
from tests import brute_force, builders
from tests.solver_instances import instance_for


@pytest.mark.parametrize("kept", [True, False])
@pytest.mark.parametrize(
    ("work", "step"),
    [
        # What is left of a bar of 1000 with parts of 300 and 200: so many mm at a fifth of a cent each, of bars at 10.
        (Work(), 200_000),
        (Work(per_cut=50_000), 50_000),
        (Work(per_cut=30_000), 10_000),
        # The checker may share a set-up out.
        (Work(per_setup=200_000), 1),
    ],
)
def test_bounds_over_a_list_are_multiples_of_what_its_bars_can_cost(work: Work, step: int, kept: bool) -> None:
    parts = [builders.part("A", 3, 300), builders.part("B", 2, 200)]
    job = builders.job(parts, [builders.offer("P", 1000, 10)], keep=150, offcut_value_per_mm=2000, work=work)
    instance = instance_for(job)
    truth = brute_force.least_cost(job)
    assert truth is not None
    # So little above that no bar is listed without a part.
    incumbent = Incumbent(instance, truth - instance.outside + 1_500_000)
    generator = ColumnGenerator(instance, 10**9, Clock(deadline=1e9), Parameters())
    node = Bounder(generator, incumbent, Parameters(), generator.unit).bounded(((1, 5),))
    nodes = ListedNodes.of(generator, node, incumbent, generator.unit, 10_000, kept=kept)
    assert nodes is not None
    assert nodes.step == step
    first = nodes.bounded(())
    assert first.bound % step == 0
    assert node.bound <= first.bound <= truth - instance.outside


def test_what_the_checker_does_not_list_is_not_listed() -> None:
    offers = [builders.offer("P", 1000, 9)]
    for parts, listed in (
        ([builders.part("A", 2, 300)], True),
        ([builders.part("A", 2, 300, mitres=(45, 45))], False),
    ):
        instance = instance_for(builders.job(parts, offers, keep=200, offcut_value_per_mm=1000))
        generator = ColumnGenerator(instance, 10**9, Clock(deadline=1e9), Parameters())
        assert can_be_listed(generator) is listed
