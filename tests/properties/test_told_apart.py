"""Plans whose proof has to tell bars apart by what they hold, against trying everything.

Listing is left out, so that nothing but leaves can show a plan to be the
cheapest. Small jobs with every rule switched on now and then, and set-ups often:
an LP pays for them by halves, so that counts alone prove little.
"""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from cutplan.checking import check
from cutplan.model import NO_WORK, Job, Merchant, Part, Plan, Status, Work
from cutplan.planning import plan_job
from cutplan.problems import NoPlan
from cutplan.solving import Parameters
from tests import brute_force, builders
from tests.effort import runs, some

BY_LEAVES = Parameters(listed_first=0, listed=0, finished=0)
FEW = range(20, 30)
"""Seeds of jobs of which one is told apart."""


def some_job(seed: int) -> Job:
    """Up to nine parts, some of them typed in two lines, of a bar or three."""
    draw = random.Random(seed)
    rate, left, lengths = draw.choice([0, 0, 7000]), draw.randint(6, 9), [draw.randint(60, 140) for _ in range(3)]
    parts: list[Part] = []
    while left:
        quantity, mark = draw.randint(1, min(left, 3)), f"M{len(parts)}"
        left -= quantity
        part = builders.part(
            mark, quantity, draw.randint(16, max(lengths) // 2 + 8), grade=draw.choice(["", "", "S235"])
        )
        parts.append(part)
        if quantity > 1 and draw.random() < 0.2:
            parts[-1:] = [replace(part, quantity=1), replace(part, mark=f"{mark}b", quantity=quantity - 1)]
    offers = [
        builders.offer(
            f"P{length}", length, f"{length * rate / 1_000_000 + draw.randint(8, 16):.2f}",
            grade="S235" if k == 0 else draw.choice(["S235", "", "S355"]),
            available=None if k == 0 else draw.choice([None, 2]),
            merchant=draw.choice(["Yard", "Depot"]),
        )
        for k, length in enumerate(dict.fromkeys(lengths[: draw.choice([1, 1, 2, 3])]))
    ]  # fmt: skip
    offcuts = [
        builders.offcut(
            f"K{k}", draw.randint(30, 120), draw.randint(0, 5), ends=draw.choice(["mill sawn", "sawn sawn"])
        )
        for k in range(draw.randint(0, 2))
    ]
    work = Work(
        per_bar=draw.choice([0, 300_000]),
        per_cut=draw.choice([0, 250_000]),
        per_setup=draw.choice([0, 1_000_000, 2_000_000]),
    )
    depot = Merchant(name="Depot", delivery=draw.choice([0, 2_000_000]), cuts_to_plan=draw.choice([True, False]))
    return builders.job(
        parts, offers, offcuts, kerf=draw.choice([0, 1, "0.5"]), end_trim=draw.choice([0, 2]),
        safe_hold=draw.choice([0, 0, 25, 40]), keep=draw.choice([0, 20, 40]), offcut_value_per_mm=rate,
        most_kept=draw.choice([None, None, 1]), work=draw.choice([NO_WORK, work, work]), merchants=[depot],
    )  # fmt: skip


def planned(job: Job) -> Plan | None:
    try:
        return plan_job(job, parameters=BY_LEAVES)
    except NoPlan:
        return None


@pytest.mark.parametrize("seeds", some([FEW, *runs(range(300), of=50)], FEW))
def test_what_leaves_claim_is_true_and_rechecked(seeds: range) -> None:
    told_apart = 0
    for seed in seeds:
        job = some_job(seed)
        plan, truth = planned(job), brute_force.least_cost(job)
        if plan is None:
            assert truth is None
            continue
        assert truth is not None
        assert check(job, plan) == (), seed
        assert plan.bound <= truth <= plan.cost, seed
        assert plan.status is not Status.RECHECKED or plan.cost == truth, seed
        told_apart += any(leaf.splits for group in plan.groups for leaf in group.proof.leaves)
    assert told_apart > 0
