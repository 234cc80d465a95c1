"""Plan samples and seeded jobs, keep what came out, and compare it with what another revision made of them.

``python tests/benchmarks/same_plans.py --write before.json``, then, with the code changed,
``python tests/benchmarks/same_plans.py --against before.json``.

The exit code is 1 when cost, status, bound or a bar of any job differs. Processor seconds are printed for both, and how
many jobs have other counters of the search (rounds, patterns, nodes).
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[2]))

from cutplan import actions
from cutplan.model import Job, Plan
from cutplan.planning import plan_job
from cutplan.problems import NoPlan
from tests.benchmarks.instances import shop_jobs
from tests.test_laying import mitred_job

INPUTS = Path(__file__).parents[2] / "inputs"
SAMPLES = ("garden-trailer.csv", "potting-benches.xlsx", "market-stand/market-stand.csv", "tool-stand.csv")

SHOP: tuple[tuple[int, int, dict[str, Any]], ...] = (
    (10, 80, {}),
    (20, 60, {}),
    (10, 40, {"cut_charges": True}),
    (10, 20, {"offcut_value": True}),
)
"""Made-up jobs, two hundred of them: distinct lengths, how many, what else is counted."""

MITRED = 60
"""Tiny jobs with mitred parts."""

SECONDS = 60.0
"""By the clock per job; a job that this ends is not compared."""

Record = dict[str, Any]


def main(arguments: list[str] | None = None) -> int:
    """Plan everything, and write or compare; the return value is the exit code."""
    parser = argparse.ArgumentParser(prog="same_plans.py", description=(__doc__ or "").partition("\n")[0])
    asked = parser.add_mutually_exclusive_group(required=True)
    asked.add_argument("--write", type=Path, metavar="FILE", help="keep what came out")
    asked.add_argument("--against", type=Path, metavar="FILE", help="compare with what was kept")
    given = parser.parse_args(arguments)
    before = json.loads(given.against.read_text(encoding="utf-8")) if given.against else None
    found = {name: _planned(job) for name, job in _jobs()}
    if before is None:
        given.write.write_text(json.dumps(found, indent=1), encoding="utf-8")
        print(f"{len(found)} jobs, {_seconds(found):.1f} s of CPU")
        return 0
    return _compare(before, found)


def _jobs() -> Iterator[tuple[str, Job]]:
    for name in SAMPLES:
        yield name, actions.read_job(INPUTS / name)
    for lengths, count, others in SHOP:
        for instance in shop_jobs(lengths, seed=1, count=count, **others):
            yield f"{instance.set}, {instance.name}", instance.job
    for seed in range(MITRED):
        yield f"mitred {seed}", mitred_job(seed, most_pieces=12)


def _planned(job: Job) -> Record:
    started = time.process_time()
    try:
        plan: Plan | None = plan_job(job, time_limit=SECONDS)
    except NoPlan:
        plan = None
    seconds = time.process_time() - started
    if plan is None:
        return {"outcome": "no plan", "cpu": seconds, "counters": [], "timed_out": False}
    proofs = [proof for case in plan.cases for proof in case.proofs] + [group.proof for group in plan.groups]
    bars = [
        [bar.source, [[cut.mark, cut.start, cut.end] for cut in bar.cuts]]
        for group in plan.groups
        for bar in group.bars
    ]
    return {
        "outcome": [plan.cost, plan.bound, plan.status.value, bars],
        "cpu": seconds,
        "counters": [[proof.rounds, proof.patterns, proof.nodes, len(proof.leaves)] for proof in proofs],
        "timed_out": "time limit" in {plan.stopped_by, *(proof.stopped_by for proof in proofs)},
    }


def _compare(before: dict[str, Record], after: dict[str, Record]) -> int:
    both = [name for name in after if name in before]
    compared = [name for name in both if not (before[name]["timed_out"] or after[name]["timed_out"])]
    other = [name for name in compared if before[name]["outcome"] != after[name]["outcome"]]
    counted = [name for name in compared if before[name]["counters"] != after[name]["counters"]]
    for name in other:
        print(f"differs: {name}")
    print(
        f"{len(compared)} of {len(both)} jobs compared: {len(other)} plans differ, {len(counted)} have other counters;"
        f" {_seconds(before):.1f} s of CPU before, {_seconds(after):.1f} s after"
    )
    return 1 if other or set(before) != set(after) else 0


def _seconds(found: dict[str, Record]) -> float:
    return sum(float(record["cpu"]) for record in found.values())


if __name__ == "__main__":
    sys.exit(main())
