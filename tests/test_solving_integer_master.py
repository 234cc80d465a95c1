"""The integer programs over known patterns, on sums that can be done by hand."""

from __future__ import annotations

import itertools
import math
import random
import sys
from collections import Counter
from collections.abc import Sequence

import pytest

from cutplan.model import Merchant
from cutplan.solving.clock import Clock
from cutplan.solving.instance import Instance
from cutplan.solving.integer_master import (
    LARGEST_TOTAL,
    FreeCuts,
    GroupColumns,
    disjoint_sets,
    may_ask,
    whole_bars,
    whole_order,
)
from cutplan.solving.master import Column
from cutplan.units import CURRENCY
from tests import builders
from tests.effort import seeds
from tests.solver_instances import instance_for, two_part_columns, two_part_instance


@pytest.fixture
def instance() -> Instance:
    return two_part_instance()


ROOT = ((0, 5), (0, 5))


def chosen(instance: Instance, below: int, ranges=ROOT, effort: float = 10.0):  # type: ignore[no-untyped-def]
    return whole_bars(instance, two_part_columns(), instance.demand, ranges, below, effort, seconds=60.0)


def test_the_solver_is_loaded_only_where_there_is_time_for_that(
    instance: Instance, monkeypatch: pytest.MonkeyPatch
) -> None:
    chosen(instance, 30_000_000)  # loads it
    assert may_ask(Clock(deadline=math.inf), loading=1e9)
    monkeypatch.delitem(sys.modules, "ortools.sat.python.cp_model")
    clock = Clock(deadline=math.inf)
    assert may_ask(clock, loading=1e9)
    clock = Clock(deadline=1e12)
    assert not may_ask(clock, loading=1e15)
    assert clock.stopped_by == "time limit"


def test_whole_bars_for_less_than_a_mark(instance: Instance) -> None:
    found, ended = chosen(instance, 30_000_000)
    assert ended
    assert found is not None
    assert sum(column.cost * count for column, count in found) == 22_000_000
    assert [sum(column.pattern[i] * count for column, count in found) for i in range(2)] == [3, 2]


def test_costs_beyond_64_bits_are_left_to_others(instance: Instance) -> None:
    # What is summed is counted in the steps that costs come in.
    assert chosen(instance, LARGEST_TOTAL * instance.cost_step) == (chosen(instance, 30_000_000)[0], True)
    assert chosen(instance, LARGEST_TOTAL * instance.cost_step + 1) == (None, False)


def test_whole_bars_for_a_part_of_what_is_wanted(instance: Instance) -> None:
    found, ended = whole_bars(instance, two_part_columns(), (1, 0), ROOT, 30_000_000, 10.0, 60.0)
    assert ended
    assert found is not None
    assert sum(column.cost * count for column, count in found) == 10_000_000
    assert whole_bars(instance, two_part_columns(), (0, 0), ROOT, 30_000_000, 10.0, 60.0) == ([], True)


def test_nothing_below_the_mark_is_known_when_the_program_ends(instance: Instance) -> None:
    assert chosen(instance, 22_000_000) == (None, True)
    found, _ = chosen(instance, 22_000_001)
    assert found is not None


def test_whole_bars_keep_to_the_ranges(instance: Instance) -> None:
    found, ended = chosen(instance, 99_000_000, ranges=((0, 5), (0, 0)))
    assert ended
    assert found is not None
    assert sum(count for _, count in found) == 3
    assert all(column.source == 0 for column, _ in found)
    assert chosen(instance, 99_000_000, ranges=((0, 1), (0, 0))) == (None, True)
    found, _ = chosen(instance, 99_000_000, ranges=((0, 5), (2, 5)))
    assert found is not None
    assert sum(count for column, count in found if column.source == 1) >= 2


def test_costs_that_are_no_multiples_of_a_step_are_taken_as_they_are(instance: Instance) -> None:
    odd = [Column(column.source, column.pattern, column.cost - 3 * k) for k, column in enumerate(two_part_columns())]
    found, ended = whole_bars(instance, odd, instance.demand, ROOT, 22_000_000, 10.0, 60.0)
    assert ended
    assert found is not None
    assert sum(column.cost * count for column, count in found) == 22_000_000 - 9


def test_no_columns_cover_nothing(instance: Instance) -> None:
    assert whole_bars(instance, [], instance.demand, ROOT, 99_000_000, 10.0, 60.0) == (None, True)
    only_first = [column for column in two_part_columns() if column.source == 0]
    assert whole_bars(instance, only_first, instance.demand, ((0, 5), (1, 5)), 99_000_000, 10.0, 60.0) == (None, True)


@pytest.mark.parametrize(
    ("number", "cost"),
    # One bar of 1300 at 12, of which two cuts are 2, and one of 1000 at 10.
    [(0, 22), (1, 21), (2, 20), (9, 20)],
)
def test_cuts_that_an_order_has_free_come_off(instance: Instance, number: int, cost: int) -> None:
    columns = two_part_columns()
    cuts = [2 if column.source == 1 else 0 for column in columns]
    choice = GroupColumns(instance, columns, False, ["Depot", "Yard"], [0, 0], [0, 0], cuts)
    free = {"Yard": FreeCuts(number, CURRENCY)}

    def found(below: int) -> int | None:
        chosen, ended = whole_order([choice], {}, free, False, below * CURRENCY, 10.0, 60.0)
        assert ended
        if chosen is None:
            return None
        spent = sum(count * column.cost for column, count in chosen[0])
        made = sum(2 * count for column, count in chosen[0] if column.source == 1)
        return (spent - min(made, number) * CURRENCY) // CURRENCY

    assert found(cost + 1) == cost
    assert found(cost) is None


def test_a_program_cut_short_claims_nothing() -> None:
    parts = [builders.part(f"M{i}", 7, 211 + 13 * i) for i in range(9)]
    instance = instance_for(builders.job(parts, [builders.offer("P", 1000, 1)]))
    pairs = [
        Column(0, tuple(int(k in (i, j)) + int(i == j == k) for k in range(9)), 1_000_000)
        for i in range(9)
        for j in range(i, 9)
    ]
    found, ended = whole_bars(instance, pairs, instance.demand, ((0, 63),), 99_000_000, 0.0, 60.0)
    assert found is None
    assert not ended


def ordered(
    instance: Instance, minimum: int, delivery: int = 0, must: tuple[str, ...] | None = ("Depot",), below: int = 999
) -> tuple[int | None, bool]:
    """What the best order of the two parts costs where the bars of 1000 come from the Depot, and whether it ended."""
    depot = Merchant(name="Depot", delivery=delivery * CURRENCY, minimum_order=minimum * CURRENCY)
    prices = [source.price for source in instance.sources]
    columns = two_part_columns()
    choice = GroupColumns(instance, columns, False, ["Depot", "Yard"], prices, [0, 0], [0 for _ in columns])
    chosen, ended = whole_order(
        [choice],
        {depot.name: depot.bills() if must is None or depot.name in must else ()},
        {},
        must is not None,
        below * CURRENCY,
        10.0,
        60.0,
    )
    if chosen is None:
        return None, ended
    spent = sum(count * column.cost for column, count in chosen[0] if column.source == 0)
    total = sum(count * column.cost for column, count in chosen[0])
    bought = spent > 0 or must == ("Depot",)
    return (total + bought * (depot.delivery + max(0, depot.minimum_order - spent))) // CURRENCY, ended


@pytest.mark.parametrize(
    ("minimum", "delivery", "must", "cost"),
    [
        (0, 0, ("Depot",), 22),  # one bar of 1300 at 12 and one of 1000 at 10
        (25, 0, ("Depot",), 30),  # three bars of 1000; with one of them 12 + 25
        (25, 7, ("Depot",), 37),
        (25, 7, None, 36),  # three bars of 1300, and nothing from the Depot
        (0, 0, (), 36),
    ],
)
def test_an_order_with_what_the_merchant_charges(
    instance: Instance, minimum: int, delivery: int, must: tuple[str, ...] | None, cost: int
) -> None:
    assert ordered(instance, minimum, delivery, must) == (cost, True)
    assert ordered(instance, minimum, delivery, must, below=cost) == (None, True)


@pytest.mark.parametrize("seed", seeds(120))
def test_disjoint_sets_of_most_worth_are_those_of_trying_all(seed: int) -> None:
    draw = random.Random(seed)
    parts = draw.randint(3, 6)
    wanted = [draw.randint(0, 2) for _ in range(parts)]
    whole = [draw.random() < 0.3 for _ in range(parts)]
    sets = [tuple(sorted(draw.choices(range(parts), k=draw.randint(2, 3)))) for _ in range(draw.randint(1, 7))]
    worth = [draw.randint(0, 5) for _ in sets]
    number = draw.choice([None, None, 1, 2])

    def value(taken: Sequence[int]) -> int | None:
        held = Counter(part for k in taken for part in sets[k])
        fits = all(held[part] <= wanted[part] for part in range(parts))
        fits = fits and all(held[part] == wanted[part] for part in range(parts) if whole[part])
        fits = fits and number in (None, len(taken))
        return sum(worth[k] for k in taken) if fits else None

    choices = itertools.chain.from_iterable(
        itertools.combinations_with_replacement(range(len(sets)), n) for n in range(sum(wanted) // 2 + 1)
    )
    best = max((much for taken in choices if (much := value(taken)) is not None), default=None)
    found = disjoint_sets(sets, wanted, whole, number, worth, 10.0, 60.0)
    assert (None if found is None else value(found)) == best
