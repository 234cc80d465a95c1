"""Odd jobs: planned, checked, and the plain answer, worked out by hand. Huge ones are benchmarks."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cutplan.checking import check
from cutplan.model import Job, Plan, Status
from cutplan.planning import plan_job
from cutplan.units import CURRENCY, INCH
from tests.builders import job, offcut, offer, part


def planned(odd: Job, *, time_limit: float = 60.0) -> Plan:
    plan = plan_job(odd, time_limit=time_limit)
    assert check(odd, plan) == ()
    assert plan.bound <= plan.cost
    return plan


@pytest.mark.parametrize(
    ("why", "odd", "cost"),
    [
        ("one part", job([part("P", 1, 700)], [offer("A", 1000, 10)], kerf=3, end_trim=10), 10),
        ("all parts equal, three to a bar", job([part("P", 100, 330)], [offer("A", 1000, 10)], kerf=3), 340),
        (
            "all parts equal in many lines",
            job([part(f"P{i}", 1, 330) for i in range(100)], [offer("A", 1000, 10)]),
            340,
        ),
        ("parts equal to the bar", job([part("P", 7, 1000)], [offer("A", 1000, 10)], kerf=3, safe_hold=120), 70),
        (
            "parts equal to the bar, some to an offcut",
            job([part("P", 7, 1000)], [offer("A", 1000, 10)], [offcut("R", 1000, 1)], kerf=3),
            61,
        ),
        ("what remains is less than a kerf", job([part("P", 4, 498)], [offer("A", 1000, 10)], kerf=3), 20),
        ("what remains is nothing", job([part("P", 4, "498.5")], [offer("A", 1000, 10)], kerf=3), 20),
        ("a hair too much", job([part("P", 4, "498.500001")], [offer("A", 1000, 10)], kerf=3), 40),
        ("no kerf, no trim, no rest", job([part("P", 10, 100)], [offer("A", 1000, 10)]), 10),
        ("a free bar", job([part("P", 3, 500)], [offer("A", 1000, 0)]), 0),
        (
            "two hundred offers of one length",
            job([part("P", 2, 500)], [offer(f"A{i}", 1000, 10) for i in range(200)]),
            10,
        ),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_the_answer_is_plain(why: str, odd: Job, cost: int) -> None:
    plan = planned(odd)
    assert plan.cost == cost * CURRENCY, why
    assert plan.status is Status.RECHECKED


@pytest.mark.thorough
def test_inches_on_metric_bars_and_a_divisor_of_a_thousandth() -> None:
    """1/64 in and 0.001 mm have a common divisor of 125 nm: planned in a coarser step, and the proof still holds."""
    parts = [replace(part(f"I{i}", 3, 1), length=(700 + 13 * i) * INCH // 64) for i in range(6)]
    parts += [part(f"M{i}", 2, f"{411 + 97 * i}.{i}01") for i in range(6)]
    plan = planned(job(parts, [offer("A", 6000, 60), offer("B", 7500, 76)], kerf="2.5", end_trim=10, safe_hold=120))
    (group,) = plan.groups
    assert group.proof.step > 125
    assert plan.status is Status.RECHECKED
