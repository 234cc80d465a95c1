"""Bars filled to the brim: no set of parts beside the longest fills one more, and what is left makes a whole plan."""

from __future__ import annotations

import itertools
import random

import pytest

from cutplan.solving.constructive import first_fit
from cutplan.solving.dive import PartialPlan
from cutplan.solving.instance import Instance
from cutplan.solving.plans import PatternUse, covers
from cutplan.solving.tight import filled, fullest, left_over, put_back, spread
from cutplan.units import MM
from tests import builders
from tests.effort import seeds
from tests.solver_instances import instance_for, most, some_instance

STEPS = 200_000


def never() -> bool:
    return False


def longest_first(instance: Instance) -> list[int]:
    return sorted(range(len(instance.pieces)), key=lambda i: (-instance.takes[i], i))


def most_filled(instance: Instance, index: int) -> int | None:
    """By trying every set that holds the longest part which fits. [nm]"""
    room, served = instance.sources[index].room, instance.served[index]
    fitting = [i for i in longest_first(instance) if served[i] and instance.takes[i] <= room]
    if not fitting:
        return None
    counts = itertools.product(*(range(n + 1 if served[i] else 1) for i, n in enumerate(instance.demand)))
    return max(fill for some in counts if some[fitting[0]] and (fill := instance.fill(some)) <= room)


@pytest.mark.parametrize("seed", seeds(300))
def test_no_set_with_the_longest_part_fills_a_bar_more(seed: int) -> None:
    instance = some_instance(seed, most_parts=5, most_pieces=9)
    for index in range(len(instance.sources)):
        pattern = fullest(instance, index, instance.demand, longest_first(instance), STEPS)
        truth = most_filled(instance, index)
        assert (instance.fill(pattern) if any(pattern) else None) == truth
        assert all(n <= most for n, most in zip(pattern, instance.demand, strict=True))


def test_of_sets_that_fill_a_bar_alike_one_of_long_parts_is_taken() -> None:
    """30 and 10 beside the 60, not four of 10: short parts fill later bars better."""
    parts = [builders.part("A", 1, 60), builders.part("B", 1, 30), builders.part("C", 5, 10)]
    instance = instance_for(builders.job(parts, [builders.offer("P", 100, 1)]))
    assert fullest(instance, 0, instance.demand, [0, 1, 2], STEPS) == (1, 1, 1)


def test_what_shares_no_measure_is_counted_in_steps_and_fits() -> None:
    """In nanometres the sums of one bar would take a gigabyte."""
    parts = [builders.part(f"M{n}", 1, f"{300 + 17 * n}.{n:05}1") for n in range(60)]
    instance = instance_for(builders.job(parts, [builders.offer("P", 6000, 60)]))
    assert instance.divisor < 1000, "less than a micrometre"
    pattern = fullest(instance, 0, instance.demand, longest_first(instance), STEPS)
    assert 5999 * MM < instance.fill(pattern) <= 6000 * MM


def test_nothing_more_is_filled_once_it_is_stopped() -> None:
    instance, asked = many(1), itertools.chain([False, False], itertools.repeat(True))
    state = filled(instance, PartialPlan.of(instance), 20, STEPS, lambda: next(asked))
    assert len(state.plan) == 2


def many(seed: int, number: int = 60) -> Instance:
    draw = random.Random(seed)
    lengths = draw.sample(range(100, 3000), number)
    parts = [builders.part(f"M{n}", draw.randint(1, 3), length) for n, length in enumerate(lengths)]
    offers = [builders.offer("P", 6000, 60), builders.offer("Q", 7000, 69, available=draw.randint(1, 9))]
    return instance_for(builders.job(parts, offers, [builders.offcut("K", 900)], safe_hold=120))


@pytest.mark.parametrize("seed", seeds(60))
def test_what_is_filled_and_what_is_left_are_all_parts(seed: int) -> None:
    instance = many(seed)
    state = filled(instance, PartialPlan.of(instance), 20, STEPS, never)
    assert sum(state.wanted) <= 20
    rest, places = left_over(instance, state)
    alone = [PatternUse(0, rest.single(i), piece.demand) for i, piece in enumerate(rest.pieces)]
    plan = [*state.plan, *put_back(instance, alone, places)]
    made = [sum(bars.count * bars.pattern[i] for bars in plan) for i in range(len(instance.pieces))]
    assert made == list(instance.demand)
    assert all(instance.allowed(bars.source, bars.pattern) for bars in state.plan)
    for s, (source, left) in enumerate(zip(instance.sources, state.left, strict=True)):
        assert left == source.most - sum(bars.count for bars in state.plan if bars.source == s) >= 0
        assert rest.sources[s].most == left


@pytest.mark.parametrize("seed", seeds(60))
def test_what_is_put_aside_is_wanted_in_the_end(seed: int) -> None:
    instance = many(seed)
    state = filled(instance, PartialPlan.of(instance), 10, STEPS, never, aside=15)
    made = [sum(bars.count * bars.pattern[i] for bars in state.plan) for i in range(len(instance.pieces))]
    assert [n + m for n, m in zip(made, state.wanted, strict=True)] == list(instance.demand)
    assert all(instance.allowed(bars.source, bars.pattern) for bars in state.plan)
    aside = spread(instance.demand, longest_first(instance)[::-1], 15)
    assert all(n >= m for n, m in zip(state.wanted, aside, strict=True))
    rest = sum(state.wanted) - 15
    assert rest <= 10 or rest <= max(sum(bars.pattern) for bars in state.plan), "no more than would fill the last bar"


def test_parts_of_all_lengths_are_put_aside() -> None:
    assert spread([1] * 9, range(9), 3) == [0, 1, 0, 0, 1, 0, 0, 1, 0]
    assert spread([4, 0, 5], [2, 1, 0], 3) == [1, 0, 2]
    assert spread([1, 2], [0, 1], 9) == [1, 2]
    assert spread([1, 2], [0, 1], 0) == [0, 0]


def test_what_would_not_fill_the_last_bar_is_left_where_parts_are_put_aside() -> None:
    parts = [builders.part("A", 20, 500), builders.part("B", 3, 300)]
    instance = instance_for(builders.job(parts, [builders.offer("P", 1000, 9)]))
    # Four of A are put aside beside one of B: eight pairs of A are cut, and two of B would be in a bar alone.
    state = filled(instance, PartialPlan.of(instance), 0, STEPS, never, aside=5)
    assert [(bars.pattern, bars.count) for bars in state.plan] == [((2, 0), 8)]
    assert state.wanted == [4, 3]


def test_of_very_many_lengths_less_than_half_is_scrap_of_what_first_fit_leaves() -> None:
    parts = [builders.part(f"M{n}", 1, length) for n, length in enumerate(range(100, 4000, 9))]
    instance = instance_for(builders.job(parts, [builders.offer("P", 6000, 60)], kerf=3))

    def scrap(plan: list[PatternUse]) -> int:
        # The last kerf falls beside the bar where the parts come to its very end.
        return sum(bars.count * (6003 * MM - instance.fill(bars.pattern)) for bars in plan)

    state = filled(instance, PartialPlan.of(instance), 40, STEPS, never)
    bars = sum(bars.count for bars in state.plan)
    first = first_fit(instance, [0], instance.demand, most(instance)) or []
    assert bars > 100
    assert 2 * scrap(state.plan) < scrap(first[:bars])


def test_the_length_of_least_price_for_its_room_is_filled_first() -> None:
    instance = many(1)
    state = filled(instance, PartialPlan.of(instance), 20, STEPS, never)
    cheaper = instance.sources[1]
    assert (cheaper.price, cheaper.length) == (69_000_000, 7000 * 1_000_000)
    assert state.left[1] == 0
    assert [bars.source for bars in state.plan][: cheaper.most] == [1] * cheaper.most
    assert {bars.source for bars in state.plan} == {0, 1}, "pieces of the rack are left to the search of the rest"


def test_nothing_is_filled_where_the_vice_could_not_hold_it() -> None:
    job = builders.job([builders.part("B", 90, 100)], [builders.offer("P1", 600, 8)], safe_hold=150)
    instance = instance_for(job)
    state = filled(instance, PartialPlan.of(instance), 20, STEPS, never)
    assert state == PartialPlan.of(instance)
    assert covers(instance, [PatternUse(0, (4,), 23)])


def test_sets_that_are_no_sum_are_refused() -> None:
    mitred = builders.part("A", 30, 700, mitres=(45, 30))
    instance = instance_for(builders.job([mitred], [builders.offer("P", 6000, 60)], kerf=3))
    with pytest.raises(ValueError, match="no sum"):
        filled(instance, PartialPlan.of(instance), 5, STEPS, never)
