"""Branching on bar counts: the cases hold every choice of counts that the node held, once each."""

from __future__ import annotations

import itertools
import random
from collections import Counter
from dataclasses import replace

import pytest

from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.count_branching import count_children, counts_of, fractional
from cutplan.solving.nodes import Node, Ranges, by_length
from cutplan.solving.parameters import Parameters
from tests import builders
from tests.effort import seeds
from tests.solver_instances import instance_for

PRICES = (10, 7, 12)


def relaxed(ranges: Ranges | None = None) -> tuple[ColumnGenerator, Node]:
    """Nine of 300 from bars of 1000, 700 and 1200 that there are four of each."""
    lengths = (1000, 700, 1200)
    offers = [
        builders.offer(f"P{n}", length, price) for n, (length, price) in enumerate(zip(lengths, PRICES, strict=True))
    ]
    instance = instance_for(builders.job([builders.part("A", 9, 300)], offers))
    generator = ColumnGenerator(instance, 100_000_000, Clock(deadline=1e9), Parameters())
    ranges = ranges or tuple((0, 4) for _ in instance.sources)
    found = generator.relax(ranges, instance.demand, float("inf"), 100)
    assert found is not None
    return generator, replace(by_length(instance, 1_000, Parameters(), ranges), relaxation=found)


def test_counts_are_what_an_lp_uses_of_each_source() -> None:
    generator, node = relaxed()
    counts = counts_of(generator, node.relaxation.solution)
    # By the length of its parts a bar of 1000 holds 3 for 10, one of 700 2 for 7, one of 1200 4 for 12: the last first.
    by_price = dict(zip((source.price for source in generator.instance.sources), counts, strict=True))
    assert sorted(by_price) == [7_000_000, 10_000_000, 12_000_000]
    assert by_price[12_000_000] == pytest.approx(9 / 4)
    assert sum(counts) == pytest.approx(9 / 4)


def test_only_counts_that_are_not_whole_and_can_be_split_are_fractional() -> None:
    ranges = ((0, 4), (0, 4), (2, 2), (0, 4))
    assert fractional(ranges, [1.5, 2.0, 1.5, 2.9999999], 1e-5) == [0]


@pytest.mark.parametrize("seed", seeds(400))
def test_cases_cover_a_node_and_no_counts_twice(seed: int) -> None:
    generator, node = relaxed()
    draw = random.Random(seed)
    ranges = tuple((low, low + draw.randint(0, 3)) for low in (draw.randint(0, 2) for _ in node.ranges))
    counts = [draw.choice([low, high, (low + high) / 2, draw.uniform(low, high)]) for low, high in ranges]
    cases = count_children(generator, replace(node, ranges=ranges), counts)
    of_node = Counter(itertools.product(*(range(low, high + 1) for low, high in ranges)))
    of_cases = Counter(
        counts for case in cases for counts in itertools.product(*(range(low, high + 1) for low, high in case))
    )
    if all(low == high for low, high in ranges):
        assert not cases
    else:
        assert of_cases == of_node
        assert len(cases) > 1


def test_nothing_is_split_where_no_lp_was_solved() -> None:
    generator, node = relaxed()
    unsolved = by_length(generator.instance, 1_000, Parameters())
    assert count_children(generator, unsolved, [1.5, 0.0, 0.0]) == []
    assert count_children(generator, node, [1.5, 0.0, 0.0]) != []
