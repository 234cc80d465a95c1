"""Jobs of angles, channels and tees whose mitres may share cuts, held to trying every order and turn as solids."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

import pytest

from cutplan.checking import check
from cutplan.model import Job, Lean, Part, Plan, Status, Work
from cutplan.planning import plan_job
from tests.brute_force import least_cost
from tests.builders import job, offer, part_of
from tests.effort import seeds
from tests.turned_solids import SECTIONS, in_some_form

ENDS = [(45, 45), (45, 45), (45, 0), (0, 45), (0, 0), (22.5, 45)]


def handed_job(seed: int, pieces: int, *, ends: int = 3) -> Job:
    """Up to so many pieces of one handed section, of either hand, heels on either side."""
    draw = random.Random(seed)
    name, depth = draw.choice(SECTIONS)
    some = draw.sample(ENDS, ends)
    parts: list[Part] = []
    left = draw.randint(2, pieces)
    while left:
        quantity = draw.randint(1, left)
        left -= quantity
        mitres = draw.choice(some)
        length: Any = draw.choice([draw.randint(200, 480), draw.randint(2300, 2600) / 10, "248.2"])
        lean = draw.choice([Lean.PARALLEL, *Lean]) if all(mitres) else Lean.OPPOSITE
        one = part_of(name, length, mitres=mitres, lean=lean, share_mitres=draw.random() < 0.9)
        parts.append(replace(in_some_form(one, depth, draw), mark=f"M{len(parts)}", quantity=quantity))
    settings: dict[str, Any] = {
        "kerf": draw.choice(["0", "2.5", "3"]),
        "end_trim": draw.choice([0, 10]),
        "safe_hold": draw.choice([0, 120]),
        "share_mitres": True,
        "work": Work(per_cut=draw.choice([0, 0, 500_000])),
    }
    section = parts[0].section
    second: Any = draw.choice([7, "7.5"])
    offers = [
        offer("A", draw.choice([1000, 1150]), 10, section=section),
        offer("B", draw.choice([700, 745]), second, section=section),
    ]
    return job(parts, offers, **settings)


def planned(made: Job) -> Plan:
    plan = plan_job(made)
    assert check(made, plan) == ()
    return plan


def without_sharing(made: Job) -> Job:
    saw = replace(made.workshop.saw, share_mitres=False)
    return replace(made, workshop=replace(made.workshop, saw=saw))


@pytest.mark.parametrize("seed", seeds(2000))
def test_a_plan_costs_what_trying_everything_costs(seed: int) -> None:
    """Every order, turn and roll, and every way to share the pieces out among bars."""
    made = handed_job(seed, 4)
    plan, truth = planned(made), least_cost(made)
    assert truth is not None
    assert plan.bound <= truth <= plan.cost
    if plan.status is not Status.NOT_PROVEN:
        assert plan.cost == truth
