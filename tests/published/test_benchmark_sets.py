"""A sample of the open benchmark sets, where they are at hand.

Some of their licences do not allow copies, so the data stay outside the
project: the environment variable CUTPLAN_BENCHMARKS names the folder with one
gzipped file of JSON lines for each set. A record holds ``capacity`` (one stock
length) or ``stocks`` (length, number available, price), ``items`` (length,
quantity) and ``optimum``, bars or price, or null with ``lower`` and ``upper``
where nobody has settled it. Sources are named in each record.
"""

from __future__ import annotations

import gzip
import json
import os
from pathlib import Path
from typing import Any

import pytest

from cutplan.checking import check
from cutplan.model import Job, Status
from cutplan.planning import plan_job
from cutplan.units import CURRENCY
from tests import builders

FOLDER = os.environ.get("CUTPLAN_BENCHMARKS", "")
SECONDS = 3.0
"""Time limit of one plan; a plan stopped by it must still be whole and its bound true."""

SAMPLE = 4
"""Records of each set in the slow run."""


def sets() -> list[str]:
    return sorted(path.name.removesuffix(".jsonl.gz") for path in Path(FOLDER).glob("*.jsonl.gz")) if FOLDER else []


def records(name: str) -> list[dict[str, Any]]:
    """Records of a set, the fewest different lengths first."""
    with gzip.open(Path(FOLDER) / f"{name}.jsonl.gz", "rt", encoding="utf-8") as lines:
        found = [json.loads(line) for line in lines]
    return sorted(found, key=lambda record: (len(record["items"]), sum(count for _, count in record["items"])))


def job_of(record: dict[str, Any]) -> Job:
    stocks = record.get("stocks") or [[record["capacity"], None, 1]]
    # Bars are at most 100 m here; a tenth of a unit is as exact as a whole one.
    scale = 10 ** max(0, len(str(max(length for length, _, _ in stocks))) - 5)
    return builders.job(
        [builders.part(f"M{length}", count, f"{length}/{scale}") for length, count in record["items"]],
        [
            builders.offer(f"P{k}", f"{length}/{scale}", price, available=most)
            for k, (length, most, price) in enumerate(stocks)
        ],
    )


def assert_true(record: dict[str, Any], seconds: float) -> None:
    job = job_of(record)
    plan = plan_job(job, time_limit=seconds)
    lower, upper = (record["optimum"] if record["optimum"] is not None else record[side] for side in ("lower", "upper"))
    assert check(job, plan) == (), record["name"]
    assert plan.bound <= upper * CURRENCY, record["name"]
    assert plan.cost >= lower * CURRENCY, record["name"]
    if plan.status is not Status.NOT_PROVEN:
        assert plan.cost <= upper * CURRENCY, record["name"]


needs_sets = pytest.mark.skipif(not sets(), reason="CUTPLAN_BENCHMARKS names no folder with benchmark sets")


@pytest.mark.thorough
@needs_sets
@pytest.mark.parametrize("name", sets() or ["no sets"])
def test_the_smallest_of_each_set(name: str) -> None:
    assert_true(records(name)[0], SECONDS)


@pytest.mark.thorough
@needs_sets
@pytest.mark.parametrize(
    ("name", "of"),
    [
        ("waescher", "Waescher_TEST0022"),
        ("waescher", "Waescher_TEST0065"),
        ("hard28", "Hard28_BPP119"),
        ("hard28", "Hard28_BPP716"),
        ("ani", "201_2500_NR_8"),
    ],
)
def test_one_bar_more_than_the_bound_rounded_up_is_rechecked(name: str, of: str) -> None:
    """That nothing less will do rests on the word of the sources; leaves that tell bars apart show it."""
    (record,) = (record for record in records(name) if record["name"] == of)
    assert record["lower_check"] == "published", "no bound rechecked for the sets reaches it"
    job = job_of(record)
    plan = plan_job(job)
    assert check(job, plan) == ()
    assert plan.status is Status.RECHECKED
    assert plan.cost == record["optimum"] * CURRENCY


@pytest.mark.slow
@needs_sets
@pytest.mark.parametrize("name", sets() or ["no sets"])
def test_a_sample_across_each_set(name: str) -> None:
    found = records(name)
    for record in found[:: max(1, len(found) // SAMPLE)]:
        assert_true(record, 4 * SECONDS)
