"""Orders cut for the carry beside pieces of the rack, whose book values are any cents, against all ways there are."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction

import pytest

from cutplan.model import Job, Status
from cutplan.problems import NoPlan
from cutplan.units import CURRENCY
from tests.builders import offcut
from tests.carry_optimum import Bench, Number, Shop, least_beside_rack
from tests.effort import seeds
from tests.test_carried import drawn, drawn_shops, ordered_of, planned


def drawn_beside_rack(seed: int) -> tuple[list[int], list[Shop], list[tuple[int, Number]], Bench]:
    """Up to five parts, one merchant or two, and up to two pieces of the rack. [mm]"""
    draw = random.Random(f"rack {seed}")
    if seed % 3 == 2:
        parts, shops, bench = drawn_shops(seed + 7000)
        parts = parts[:4]
    else:
        parts, terms, bench = drawn(seed + 7000)
        parts, shops = parts[:5], [Shop(terms, free=draw.choice([0, 0, 1, 2]))]
    rack: list[tuple[int, Number]] = [
        (
            draw.choice([draw.randint(60, 700) * 5, draw.choice(parts) + draw.choice([0, 5])]),
            Fraction(draw.choice([draw.randint(1, 2000), 0, draw.randint(1, 20) * 100]), 100),
        )
        for _ in range(draw.choice([1, 2]) if len(shops) == 1 else 1)
    ]
    return parts, shops, rack, bench


def job_of(seed: int) -> tuple[Job, Number | None]:
    """The same as a job, and what it costs at least."""
    parts, shops, rack, bench = drawn_beside_rack(seed)
    job = ordered_of(parts, shops, bench)
    pieces = [offcut(f"R{n}", length, f"{float(book):.2f}", "sawn sawn") for n, (length, book) in enumerate(rack)]
    return replace(job, offcuts=tuple(pieces)), least_beside_rack(parts, shops, rack, bench)


@pytest.mark.parametrize("seed", seeds(300))
def test_no_plan_beside_the_rack_costs_less(seed: int) -> None:
    job, true = job_of(seed)
    if true is None:
        with pytest.raises(NoPlan):
            planned(job)
        return
    plan = planned(job)
    assert Fraction(plan.bound, CURRENCY) <= true <= Fraction(plan.cost, CURRENCY)
    assert plan.status is Status.NOT_PROVEN or Fraction(plan.cost, CURRENCY) == true
