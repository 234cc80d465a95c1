"""A group as whole numbers: trims and room, what parts take, grades, safe hold, cost of a bar."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.model import Job
from cutplan.solving.instance import Instance
from cutplan.units import MM
from tests import builders
from tests.builders import mm
from tests.effort import seeds
from tests.solver_instances import instance_for, sets_of, some_instance


def one_bar(**settings: object) -> Instance:
    """Two parts of 400 and 100 and one stock length of 1000."""
    parts = [builders.part("A", 3, 400), builders.part("B", 2, 100)]
    return instance_for(builders.job(parts, [builders.offer("P1", 1000, 8)], **settings))  # type: ignore[arg-type]


def test_a_stated_grade_is_served_by_that_grade_alone() -> None:
    parts = [builders.part("A", 1, 400), builders.part("B", 1, 400, grade="S355")]
    offers = [builders.offer("P1", 1000, 8, grade="S235"), builders.offer("P2", 1000, 9, grade="S355")]
    instance = instance_for(builders.job(parts, offers, [builders.offcut("K", 900)]))
    assert instance.served == ((True, False), (True, True), (True, False))
    assert not instance.allowed(0, (0, 1))
    assert instance.allowed(1, (1, 1))
    assert not instance.allowed(2, (1, 1))


def test_a_set_fits_to_the_last_nanometre() -> None:
    instance = one_bar(kerf=100)
    assert instance.allowed(0, (2, 0)), "400 + 100 + 400 and a remainder of 100 that the cut eats"
    job = builders.job([builders.part("A", 2, "500.000001")], [builders.offer("P1", 1000, 8)])
    assert not instance_for(job).allowed(0, (2,))
    job = builders.job([builders.part("A", 2, "498.75")], [builders.offer("P1", 1000, 8)], kerf=2.5)
    assert instance_for(job).allowed(0, (2,)), "498.75 + 2.5 + 498.75 ends flush"


@pytest.mark.parametrize(
    ("pattern", "allowed"),
    [
        ((0, 2), True),  # 200 taken, 800 left to hold
        ((2, 2), True),  # a part of 400 can be held
        ((0, 0), True),
    ],
)
def test_safe_hold_is_met_by_the_left_over_or_by_a_part(pattern: tuple[int, int], allowed: bool) -> None:
    assert one_bar(safe_hold=300).allowed(0, pattern) is allowed


def test_short_parts_alone_may_not_use_a_bar_up() -> None:
    job = builders.job([builders.part("B", 9, 100)], [builders.offer("P1", 600, 8)], safe_hold=150)
    instance = instance_for(job)
    assert instance.allowed(0, (4,)), "200 left"
    assert not instance.allowed(0, (5,)), "100 left, and no part of 150"


def test_the_short_point_is_what_the_vice_holds() -> None:
    # 190 long point, 45 degrees at both ends across 40: 110 at the short side.
    job = builders.job([builders.part("B", 3, 190, mitres=(45, 45))], [builders.offer("P1", 600, 8)], safe_hold=120)
    instance = instance_for(job)
    assert not instance.pieces[0].held
    assert not instance.allowed(0, (3,))


@pytest.mark.parametrize(
    ("part", "offcut", "allowed"),
    [
        (builders.part("B", 1, 100), builders.offcut("K", 100), True),
        (builders.part("B", 1, 100), builders.offcut("K", 101), False),
        (builders.part("B", 1, 100), builders.offcut("K", 100, ends="mill sawn"), False),
        (builders.part("B", 1, 100, mitres=(45, 0)), builders.offcut("K", 100), False),
    ],
)
def test_a_part_that_is_the_whole_bar_needs_no_holding(part, offcut, allowed: bool) -> None:  # type: ignore[no-untyped-def]
    job = builders.job([part], [], [offcut], safe_hold=120, end_trim=10, kerf=3)
    assert instance_for(job).allowed(0, (1,)) is allowed


def test_a_left_over_is_worth_something_from_the_keep_length_on() -> None:
    instance = one_bar(keep=200, offcut_value_per_mm=1500)
    assert instance.cost(0, (2, 0)) == 8_000_000 - 200 * 1500
    assert instance.cost(0, (2, 1)) == 8_000_000, "100 left is scrap"
    assert instance.value(instance.sources[0], -1) == 0
    assert instance.cost_step == 1


def test_money_is_rounded_down_once_for_a_left_over() -> None:
    instance = one_bar(keep=0, offcut_value_per_mm=3)
    assert instance.value(instance.sources[0], mm("0.5")) == 1


@pytest.mark.parametrize("seed", seeds(40))
def test_no_bar_costs_less_than_nothing(seed: int) -> None:
    instance = some_instance(seed)
    dear = replace(instance, sources=tuple(replace(s, rate=s.price * MM // s.length) for s in instance.sources))
    assert all(
        dear.cost(index, pattern) >= 0
        for index in range(len(dear.sources))
        for pattern in sets_of(dear.demand)
        if any(pattern)
    )


def test_every_cost_is_a_multiple_of_the_cost_step() -> None:
    offers = [builders.offer("P1", 1000, "7.50"), builders.offer("P2", 1000, "10.00")]
    job: Job = builders.job([builders.part("A", 1, 400)], offers, [builders.offcut("K", 500)])
    assert instance_for(job).cost_step == 2_500_000
    free = builders.job([builders.part("A", 1, 400)], [], [builders.offcut("K", 500)])
    assert instance_for(free).cost_step == 1
