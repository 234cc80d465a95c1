"""Second goals: each one by hand, and on random instances never a dearer or a forbidden plan."""

from __future__ import annotations

import random
from collections import Counter

import pytest

from cutplan.solving.constructive import first_fit, preferences
from cutplan.solving.exchange import exchanges, improved, score
from cutplan.solving.instance import Instance
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse, covers, total_cost
from tests.builders import job, offcut, offer, part
from tests.effort import seeds
from tests.solver_instances import instance_for, some_instance


def never() -> bool:
    return False


def measure(instance: Instance, plan: list[PatternUse]) -> tuple[int, int, int, int, int]:
    patterns = Counter({(bars.source, bars.pattern): bars.count for bars in plan})
    return score(instance, patterns, lambda kind: False)


def test_one_bar_less_where_it_costs_nothing() -> None:
    """Two offcuts that cost nothing, and either holds all."""
    instance = instance_for(job([part("P", 2, 300)], [], [offcut("K", 700), offcut("L", 650)]))
    assert improved(instance, [PatternUse(0, (1,), 1), PatternUse(1, (1,), 1)], never, Parameters()) == [
        PatternUse(1, (2,), 1)
    ]


def test_fewer_set_ups() -> None:
    """Both bars hold one of each; sorted, each bar needs the stop set once."""
    instance = instance_for(
        job([part("P", 2, 500), part("Q", 2, 490)], [offer("A", 1000, 10)], [offcut("K", 1000, 10)])
    )
    mixed = [PatternUse(0, (1, 1), 1), PatternUse(1, (1, 1), 1)]
    assert measure(instance, mixed)[3] == 4
    assert measure(instance, improved(instance, mixed, never, Parameters()))[3] == 2


def test_one_long_left_over() -> None:
    """400 and 400 left become 700 and 100: the 300 moves."""
    instance = instance_for(job([part("P", 2, 600), part("Q", 2, 300)], [offer("A", 1300, 10)]))
    plan = improved(instance, [PatternUse(0, (1, 1), 2)], never, Parameters())
    assert len(plan) == 2
    assert set(plan) == {PatternUse(0, (2, 0), 1), PatternUse(0, (0, 2), 1)}


def test_an_exchange_keeps_every_part() -> None:
    instance = instance_for(job([part("P", 2, 300), part("Q", 2, 200)], [offer("A", 1000, 10)]))
    found = list(exchanges(instance, (0, (1, 1)), (0, (1, 1))))
    assert Counter([(0, (2, 2))]) in found
    assert Counter([(0, (2, 0)), (0, (0, 2))]) in found
    for patterns in found:
        made = [sum(count * pattern[i] for (_, pattern), count in patterns.items()) for i in range(2)]
        assert made == [2, 2]


@pytest.mark.parametrize("seed", seeds(200))
def test_never_dearer_and_never_a_part_lost(seed: int) -> None:
    instance = some_instance(seed, most_parts=4, most_pieces=12)
    most = [source.most for source in instance.sources]
    order = random.Random(seed).choice(list(preferences(instance)))
    plan = first_fit(instance, order, instance.demand, most)
    if plan is None:
        return
    better = improved(instance, plan, never, Parameters())
    assert covers(instance, better)
    assert total_cost(instance, better) <= total_cost(instance, plan)
    assert measure(instance, better) <= measure(instance, plan)
