"""The face of the solving room: one group in, bars and a proof out."""

import random
import time
from typing import Any

import pytest

from cutplan.checking import check
from cutplan.model import Goal, Held, Job, Status, Work, groups_of
from cutplan.planning import plan_job
from cutplan.planning.scenarios import without_shared_mitres
from cutplan.solving import Clock, Parameters, Solved, solve_group
from tests import builders
from tests.benchmarks.instances import Mitres, shop_job
from tests.effort import some


def solved(job: Job, cutoff: int | None = None) -> Solved:
    (group,) = groups_of(job)
    clock = Clock(deadline=time.monotonic() + 60)
    return solve_group(group, job.workshop, group.offers, parameters=Parameters(), clock=clock, cutoff=cutoff)


def test_bars_are_numbered_from_where_the_caller_says() -> None:
    job = builders.job([builders.part("A", 3, 2900)], [builders.offer("P1", 6000, 30)], kerf="2.5")
    answer = solved(job)
    assert answer.cost == 60_000_000
    assert [bar.number for bar in answer.bars(job.workshop, 5)] == [5, 6]
    plan = answer.group_plan(job.workshop, 1)
    assert plan.goal is Goal.MONEY
    assert plan.proof.status is Status.RECHECKED
    assert plan.proof.sources == ("P1",)


def test_an_offer_that_is_not_open_is_not_used() -> None:
    job = builders.job([builders.part("A", 2, 2900)], [builders.offer("P1", 6000, 30), builders.offer("P2", 3000, 1)])
    (group,) = groups_of(job)
    clock = Clock(deadline=time.monotonic() + 60)
    answer = solve_group(group, job.workshop, group.offers[:1], parameters=Parameters(), clock=clock)
    assert {bar.source for bar in answer.bars(job.workshop, 1)} == {"P1"}


def test_without_an_offer_there_is_no_cost_and_every_part_is_named() -> None:
    job = builders.job([builders.part("A", 1, 900), builders.part("B", 1, 800)], [builders.offer("P1", 1000, 1)])
    (group,) = groups_of(job)
    clock = Clock(deadline=time.monotonic() + 60)
    answer = solve_group(group, job.workshop, [], parameters=Parameters(), clock=clock)
    assert answer.cost is None
    assert answer.not_placed() == ["A", "B"]


def test_a_missing_price_plans_for_least_bought_mass() -> None:
    # 3 kg/m: one bar of 6 m weighs 18 kg, two of 4 m weigh 24 kg.
    job = builders.job([builders.part("A", 2, 2900)], [builders.offer("P1", 6000, None), builders.offer("P2", 4000, 1)])
    answer = solved(job)
    assert answer.goal is Goal.MASS
    assert answer.cost == 18_000_000


@pytest.mark.parametrize("cutoff", [1, 30_000_000])
def test_a_search_that_may_end_early_never_claims_more_than_it_knows(cutoff: int) -> None:
    job = builders.job([builders.part("A", 3, 2900)], [builders.offer("P1", 6000, 30)])
    answer = solved(job, cutoff)
    assert answer.cost is not None
    assert answer.proof.bound <= answer.cost


def test_a_part_too_short_to_hold_is_cut_beside_one_that_can_be_held() -> None:
    job = builders.job(
        [builders.part("long", 1, 900), builders.part("short", 1, 50)],
        [builders.offer("P1", 1000, 1)],
        kerf=2,
        safe_hold=100,
    )
    (bar,) = solved(job).bars(job.workshop, 1)
    assert [cut.mark for cut in bar.cuts] == ["short", "long"]
    assert bar.cuts[-1].held is Held.PART


@pytest.mark.parametrize("seed", some(range(12), 1))
def test_a_cut_that_costs_the_same_everywhere_adds_the_same_to_every_plan(seed: int) -> None:
    """And is no harder to certify."""
    draw = random.Random(seed)
    parts = [builders.part(f"P{i}", draw.randint(1, 4), draw.randint(150, 2500)) for i in range(8)]
    offers = [builders.offer("A", 6000, 60), builders.offer("B", 7500, 76)]
    settings: dict[str, Any] = {"kerf": "2.5", "end_trim": 10, "safe_hold": 120}
    bare = plan_job(builders.job(parts, offers, **settings))
    charged = plan_job(builders.job(parts, offers, work=Work(per_cut=10_000), **settings))
    # A cut for each piece, and one that squares each bar.
    cuts = sum(part.quantity for part in parts) + len(list(charged.bars))
    assert charged.cost == bare.cost + 10_000 * cuts
    assert charged.status is bare.status is Status.RECHECKED


FEW = Parameters(
    rounds=20, nodes=3, divided_first=0, divided_full=0, divided=0, listed_first=100, listed=100, dives=1, node_dives=1
)
"""Counters that end a search early."""


@pytest.mark.parametrize("number", some([2, 4, 6], 2))
def test_shared_cuts_that_pricing_does_not_see_never_make_a_plan_dearer(number: int) -> None:
    """Angles mitred on one leg, whose heels decide which ends meet."""
    made = shop_job(10, seed=1, number=number, mitred=Mitres.ONE_LEG).job
    shared, apart = (plan_job(job, parameters=FEW) for job in (made, without_shared_mitres(made).job))
    assert check(made, shared) == ()
    assert shared.cost <= apart.cost


def test_a_plan_apart_that_the_clock_ended_is_not_claimed_to_depend_on_nothing_else() -> None:
    made = shop_job(10, seed=1, number=2, mitred=Mitres.ONE_LEG).job
    (group,) = groups_of(made)
    clock = Clock(deadline=time.monotonic())
    answer = solve_group(group, made.workshop, group.offers, parameters=FEW, clock=clock)
    assert answer.plan
    assert answer.proof.stopped_by == "time limit"
