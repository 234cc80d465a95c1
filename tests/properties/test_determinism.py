"""Same input, same plan: in another process too, whatever order its sets and dictionaries hash in."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from cutplan.buying import plan_job
from cutplan.model import Job, Merchant
from cutplan.solving import Limits
from tests import builders

ROOT = Path(__file__).parent.parent.parent

SCRIPT = """
import hashlib
from cutplan.buying import plan_job
from tests.properties.test_determinism import LIMITS, several_jobs
for job in several_jobs():
    print(hashlib.sha256(repr(plan_job(job, limits=LIMITS)).encode()).hexdigest())
"""

LIMITS = Limits(nodes=25)
"""A left over of value makes proof hard; what counters cut short must be the same plan as well."""


def several_jobs() -> Iterator[Job]:
    """Jobs that take the search through all it does: merchants, two groups, values, branching and listing."""
    other = builders.square_tube(50)
    charges = [Merchant(name="Depot", delivery=9_000_000), Merchant(name="Wharf", minimum_order=60_000_000)]
    lengths = ["1210.5", "990", "845.2", "702", "655", "512.5", "433", "318", "250"]
    parts = [builders.part(f"M{i}", 3 + i % 4, length, section=other if i % 3 == 0 else builders.square_tube())
             for i, length in enumerate(lengths)]  # fmt: skip
    stock = [(6000, "31", "Depot"), (6500, "35", "Wharf"), (3000, "17.5", "Yard")]
    offers = [
        builders.offer(f"P{side}{k}", length, price, merchant=merchant, section=builders.square_tube(side))
        for side in (40, 50)
        for k, (length, price, merchant) in enumerate(
            [(6000, 31, "Depot"), (6500, 35, "Wharf"), (3000, "17.5", "Yard")]
        )
    ]
    offcuts = [builders.offcut(f"K{k}", length, 3, ends="mill sawn") for k, length in enumerate([1300, 1300, 870, 520])]
    rules = {"kerf": "2.5", "end_trim": 10, "safe_hold": 120}
    yield builders.job(parts, offers, offcuts, merchants=charges, **rules)
    yield builders.job(parts, offers, offcuts, keep=300, offcut_value_per_mm=1000, **rules)
    wanted = [("A", 4, 37), ("B", 4, 22), ("C", 3, 54), ("D", 2, 57)]
    stock = [builders.offer("P1", 77, 19), builders.offer("P2", 132, 24)]
    small = [builders.offcut("K1", 41), builders.offcut("K2", 88)]
    yield builders.job([builders.part(*part) for part in wanted], stock, small)


def digests(seed: str) -> list[str]:
    """Digests of the plans that a process with this hash seed makes."""
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT],
        cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.split()


def test_two_processes_make_the_same_plans() -> None:
    first = digests("1")
    assert len(first) == 3
    assert digests("4294967295") == first


def test_the_same_process_makes_the_same_plan_twice() -> None:
    for job in several_jobs():
        assert plan_job(job, limits=LIMITS) == plan_job(job, limits=LIMITS)
