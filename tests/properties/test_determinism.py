"""Same input, same plan: in another process too, whatever order its sets and dictionaries hash in, however many
threads libraries may start, and however busy the machine is."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from cutplan.model import Job, Merchant, Plan, Work
from cutplan.planning import plan_job, workers
from cutplan.solving import Parameters
from tests import builders
from tests.effort import THOROUGH

ROOT = Path(__file__).parent.parent.parent

SCRIPT = """
from cutplan.planning import plan_job
from tests.properties.test_determinism import PARAMETERS, digest, several_jobs
for job in several_jobs():
    print(digest(plan_job(job, parameters=PARAMETERS)))
"""

PARAMETERS = Parameters(nodes=8 if THOROUGH else 2)
"""A left over of value makes proof hard; what counters cut short must be the same plan as well."""


def digest(plan: Plan) -> str:
    return hashlib.sha256(repr(plan).encode()).hexdigest()


def several_jobs() -> Iterator[Job]:
    """Jobs that take the search through all it does: merchants, two groups, values, branching and listing."""
    other = builders.square_tube(50)
    charges = [Merchant(name="Depot", delivery=9_000_000), Merchant(name="Wharf", minimum_order=60_000_000)]
    lengths = ["1210.5", "990", "845.2", "702", "655", "512.5", "433", "318", "250"][: 9 if THOROUGH else 5]
    parts = [builders.part(f"M{i}", 3 + i % 4, length, section=other if i % 3 == 0 else builders.square_tube())
             for i, length in enumerate(lengths)]  # fmt: skip
    offers = [
        builders.offer(f"P{side}{k}", length, price, merchant=merchant, section=builders.square_tube(side))
        for side in (40, 50)
        for k, (length, price, merchant) in enumerate(
            [(6000, "31", "Depot"), (6500, "35", "Wharf"), (3000, "17.5", "Yard")]
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


BUSY = "while True: sum(range(100_000))"
"""A program that keeps a processor busy until it is ended."""


def digests(seed: str, threads: str = "1") -> list[str]:
    """Digests of the plans that a process with this hash seed makes, libraries being offered that many threads."""
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT],
        cwd=ROOT,
        env={
            **os.environ,
            "PYTHONHASHSEED": seed,
            "PYTHONPATH": str(ROOT),
            **dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), threads),
        },
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.split()


@pytest.fixture(scope="module")
def here() -> list[str]:
    """Digests of the plans of this process, whose strings hash by chance."""
    return [digest(plan_job(job, parameters=PARAMETERS)) for job in several_jobs()]


def test_another_process_makes_the_same_plans(here: list[str]) -> None:
    assert len(here) == 3
    assert digests("4294967295", threads="4") == here


@pytest.mark.thorough
def test_two_other_processes_make_the_same_plans(here: list[str]) -> None:
    assert digests("1") == digests("2") == here


@pytest.mark.thorough
def test_a_busy_machine_makes_the_same_plans(here: list[str]) -> None:
    load = [subprocess.Popen([sys.executable, "-c", BUSY]) for _ in range(os.cpu_count() or 1)]
    try:
        assert digests("1") == here
    finally:
        for process in load:
            process.kill()
            process.wait()


@pytest.mark.thorough
def test_one_process_and_several_make_the_same_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    sides = [builders.square_tube(40), builders.square_tube(50)]
    parts = [builders.part(f"L{i}", 1 + i % 3, 310 + 97 * i % 1900, section=sides[i % 2]) for i in range(2 * 20)]
    offers = [builders.offer(f"S{k}", 6000, 60, section=side) for k, side in enumerate(sides)]
    many = builders.job(parts, offers, kerf="2.5", work=Work(per_cut=10_000))
    monkeypatch.setattr(workers, "processors", lambda: 1)
    alone = plan_job(many, parameters=PARAMETERS)
    monkeypatch.setattr(workers, "processors", lambda: 2)
    told: list[str] = []
    assert plan_job(many, parameters=PARAMETERS, progress=told.append) == alone
    assert "2 groups in 2 processes" in told


@pytest.mark.thorough
def test_the_same_process_makes_the_same_plan_twice() -> None:
    for job in several_jobs():
        assert plan_job(job, parameters=PARAMETERS) == plan_job(job, parameters=PARAMETERS)
