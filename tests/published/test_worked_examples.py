"""Worked examples through the whole path, from a Job to a rechecked plan."""

from __future__ import annotations

import json
import os
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from cutplan.checking import check
from cutplan.model import Job, Status
from cutplan.planning import plan_job
from tests import builders
from tests.published.worked_examples import EXAMPLES, Example


def assert_proven(job: Job, least_cost: int) -> None:
    plan = plan_job(job)
    assert plan.cost == least_cost
    assert plan.bound == least_cost
    assert plan.status is Status.RECHECKED
    assert check(job, plan) == ()


def test_there_are_enough_of_them_and_each_has_its_source() -> None:
    assert len(EXAMPLES) >= 20
    assert len({example.name for example in EXAMPLES}) == len(EXAMPLES)
    assert all(len(example.source) > 20 for example in EXAMPLES)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.name)
def test_the_published_optimum_is_found_and_rechecked(example: Example) -> None:
    assert_proven(example.job(), example.least_cost)


INCH = Fraction("25.4")
KERF = INCH / 4
LUMBER_STOCK = (
    (240, 1040), (216, 862), (192, 692), (168, 514), (144, 440), (120, 367),
    (96, 292), (84, 265), (72, 257), (48, 186), (36, 168),
)  # fmt: skip
"""Lengths in inches and prices in cents."""
LUMBER_WANTED = (("72", 6), ("70.75", 1), ("70.5", 3), ("28.5", 1), ("25.5", 10), ("12.5", 1))
"""J. Kantor and others, Hands-on mathematical optimization with Python, extra material on cutting stock, woodworking
example: lengths in inches, a kerf of 1/4 in. Printed is 3244, found without proof; 3228 was recomputed and proven by
listing all 139 patterns, with a kerf for every piece, and all 140, with none where the last piece ends flush."""


def lumber(shortened: Fraction) -> Job:
    return builders.job(
        [builders.part(f"M{length}", quantity, str(Fraction(length) * INCH)) for length, quantity in LUMBER_WANTED],
        [
            builders.offer(f"P{length}", str(length * INCH), price, counted=str(length * INCH - shortened))
            for length, price in LUMBER_STOCK
        ],
        kerf=str(KERF),
    )


@pytest.mark.parametrize(
    "shortened", [KERF, Fraction(0)], ids=["a kerf for every piece", "no kerf where the bar is used up"]
)
def test_lumber_with_a_real_kerf(shortened: Fraction) -> None:
    """A piece that always costs a kerf is a bar counted on one kerf short: n pieces then need n kerfs of its length."""
    assert_proven(lumber(shortened), 3228 * 1_000_000)


COLLECTION = Path(os.environ.get("CUTPLAN_BENCHMARKS", "")) / "worked_examples.json"
"""More of them, some of which may not be copied; each record names its source and how its optimum was checked."""


def collected() -> list[dict[str, Any]]:
    """What the collection has and this file has not, a few thousand pieces of 49 lengths left aside."""
    if not os.environ.get("CUTPLAN_BENCHMARKS") or not COLLECTION.exists():
        return []
    known = {example.name for example in EXAMPLES} | {"dogan_6000"}
    records: list[dict[str, Any]] = json.loads(COLLECTION.read_text(encoding="utf-8"))["examples"]
    return [record for record in records if record["name"] not in known]


@pytest.mark.parametrize("record", collected(), ids=lambda record: record["name"])
def test_examples_read_where_the_collection_is_at_hand(record: dict[str, Any]) -> None:
    job = builders.job(
        [builders.part(f"M{length}", count, length) for length, count in record["items"]],
        [builders.offer(f"P{length}", length, price) for length, _, price in record["stocks"]],
    )
    plan = plan_job(job)
    assert plan.cost == record["optimum"] * 1_000_000
    assert plan.bound == plan.cost
    assert check(job, plan) == ()
