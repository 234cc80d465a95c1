"""Batches: every part once, bars and left overs shared, a bound for all of them, and the checker's word for it."""

from __future__ import annotations

import random
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from cutplan.checking import check
from cutplan.model import SQUARE, Fate, Job, Plan, groups_of
from cutplan.planning import plan_job
from cutplan.problems import NoPlan
from cutplan.solving import Parameters, batches, sparse
from cutplan.solving.clock import Clock
from cutplan.solving.instance import Instance
from cutplan.solving.nodes import Node, by_length
from cutplan.solving.sparse import Filled
from cutplan.solving.whole_numbers import instance_of
from tests import builders, solver_instances
from tests.effort import seeds

FEW = replace(solver_instances.FEW, whole_pieces=7, batch_pieces=5)


def mitred(draw: random.Random) -> dict[str, tuple[int, int]]:
    return {"mitres": draw.choice([(0, 0), (0, 0), (45, 0), (45, 45)])}


def some_job(seed: int) -> Job:
    draw = random.Random(seed)
    parts = [
        builders.part(f"M{n}", draw.randint(1, 4), draw.randint(90, 900), spares=draw.choice([0, 0, 1]), **mitred(draw))
        for n in range(draw.randint(8, 23))
    ]
    offers = [builders.offer("P", 1000, 10), builders.offer("Q", 1300, 12, available=draw.choice([None, 3]))]
    offcuts = [builders.offcut("K", draw.randint(200, 900), draw.choice([1, 3]), quantity=draw.randint(1, 3))]
    return builders.job(
        parts, offers, offcuts, kerf=3, end_trim=10, safe_hold=draw.choice([0, 120]), keep=150,
        offcut_value_per_mm=draw.choice([0, 5000]), most_kept=draw.choice([None, 0, 2, 5]),
    )  # fmt: skip


def planned(job: Job, parameters: Parameters = FEW) -> Plan:
    plan = plan_job(job, parameters=parameters)
    assert check(job, plan) == ()
    return plan


@pytest.mark.parametrize("seed", seeds(40))
def test_the_plan_of_batches_holds_and_its_bound_is_confirmed(seed: int) -> None:
    job = some_job(seed)
    plan = planned(job)
    assert 0 < plan.bound <= plan.cost
    cut = Counter(cut.mark for bar in plan.bars for cut in bar.cuts)
    assert all(part.quantity <= cut[part.mark] <= part.quantity + part.spares for part in job.parts)
    kept = sum(bar.drop.fate is Fate.KEEP for bar in plan.bars)
    assert job.workshop.most_kept is None or kept <= job.workshop.most_kept


@pytest.mark.parametrize("seed", seeds(40))
def test_it_costs_little_more_than_planned_as_a_whole(seed: int) -> None:
    """At most a bar more for each batch, and one."""
    job = some_job(seed)
    in_batches = planned(job)
    whole = planned(job, replace(FEW, whole_pieces=100))
    number = -(-len(job.parts) // 5)
    assert in_batches.bound <= whole.cost
    assert in_batches.cost <= whole.cost + (number + 1) * 12_000_000


def test_square_bars_are_numbered_the_longest_parts_first() -> None:
    """Where parts are mitred, bars follow one another so that the saw is set less often."""
    job = some_job(3)
    parts = tuple(replace(part, end_a=SQUARE, end_b=SQUARE, depth=0) for part in job.parts)
    plan = planned(replace(job, parts=parts))
    assert [bar.number for bar in plan.bars] == list(range(1, len(list(plan.bars)) + 1))
    longest = [max(cut.end - cut.start for cut in bar.cuts) for bar in plan.bars]
    assert longest == sorted(longest, reverse=True)


def test_where_a_batch_finds_no_bar_the_parts_are_planned_at_once() -> None:
    # Each pair fills a bar to the last millimetre, and in batches of five no two of a pair meet.
    parts = [builders.part(f"{mark}{n}", 1, least + n) for mark, least in (("L", 600), ("S", 391)) for n in range(10)]
    plan = planned(builders.job(parts, [builders.offer("P", 1000, 10, available=10)]))
    assert [bar.drop.length for bar in plan.bars] == [0] * 10


def test_where_there_are_too_few_bars_there_is_no_plan() -> None:
    parts = [builders.part(f"L{n}", 1, 600 + n) for n in range(10)]
    with pytest.raises(NoPlan, match="too few"):
        plan_job(builders.job(parts, [builders.offer("P", 1000, 10, available=9)]), parameters=FEW)


def test_the_same_job_gives_the_same_plan() -> None:
    assert planned(some_job(11)) == planned(some_job(11))


def test_time_is_left_to_lay_the_bars_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """As much as the first plan and the bound of the whole took."""
    now = [1000.0]
    monkeypatch.setattr(time, "monotonic", lambda: now[0])
    first_fit = sparse.sparse_first_fit

    def slow(instance: Instance, preference: Sequence[int]) -> list[Filled] | None:
        now[0] += 2
        return first_fit(instance, preference)

    monkeypatch.setattr("cutplan.solving.batches.sparse_first_fit", slow)
    job = builders.job([builders.part(f"M{n}", 1, 300 + n) for n in range(9)], [builders.offer("P", 1000, 10)])
    (group,) = groups_of(job)
    clock = Clock(deadline=1003)
    instance = instance_of(group, job.workshop, job.offers, FEW)
    outcome, _ = batches.in_batches(instance, FEW, clock, lambda text: None)
    assert (clock.deadline, outcome.stopped_by) == (1001, "time limit")


@pytest.mark.parametrize(("seconds", "plans"), [(2.9, 1), (4.1, 2), (100.0, 3)])
def test_first_plans_leave_time_for_a_bound_and_its_check(
    seconds: float, plans: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each of three takes a second here, a bound with its check as long as three; so does the check of that bound."""
    now, made = [0.0], [0]
    monkeypatch.setattr(time, "monotonic", lambda: now[0])
    monkeypatch.setattr(time, "thread_time", lambda: now[0])
    first_fit = sparse.sparse_first_fit

    def a_second(instance: Instance, preference: Sequence[int]) -> list[Filled] | None:
        made[0] += 1
        now[0] += 1
        return first_fit(instance, preference)

    def two_seconds(*given: Any, **named: Any) -> Node:
        now[0] += 2
        return by_length(*given, **named)

    monkeypatch.setattr(batches, "sparse_first_fit", a_second)
    monkeypatch.setattr(batches, "by_length", two_seconds)
    offers = [builders.offer(f"P{n}", 1000 + 100 * n, 10 + n) for n in range(3)]
    job = builders.job([builders.part(f"M{n}", 1, 300 + n) for n in range(9)], offers)
    (group,) = groups_of(job)
    clock = Clock(deadline=seconds)
    found, _ = batches.in_batches(instance_of(group, job.workshop, job.offers, FEW), FEW, clock, lambda text: None)
    assert (made[0], clock.kept_back) == (plans, 2 * FEW.leaf_lengths)
    assert found.plan is not None
