"""Many made-up jobs at once: ``python -m tests.second_opinion.run --jobs 300 --first 0``.

Prints every fault with the folder of the job that shows it, then how many plans
had which status. Ends with 1 where anything was found.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import traceback
from collections import Counter
from dataclasses import dataclass
from multiprocessing import Pool
from pathlib import Path

from tests.second_opinion.ask import ask
from tests.second_opinion.jobs import made
from tests.second_opinion.judging import judge
from tests.second_opinion.optimum import least_length, least_money, value_is_refused
from tests.second_opinion.shop import Shop
from tests.second_opinion.typed import write


@dataclass(frozen=True)
class Opinion:
    """What was found of the job of one seed; ``outcome`` is the plan's status, or why there is no plan."""

    seed: int
    style: str
    outcome: str
    faults: tuple[str, ...]


def possible(shop: Shop) -> bool:
    """Is there a plan at all?"""
    by_mass = [group for group in shop.groups() if group.by_mass]
    return least_money(shop) is not None and all(least_length(shop, group) is not None for group in by_mass)


def opinion(seed: int, folder: Path) -> Opinion:
    """Make up a job, have it planned, and judge the plan."""
    job = made(seed)
    parts = write(job, folder)

    def of(outcome: str, *faults: str) -> Opinion:
        return Opinion(seed, job.style, outcome, faults)

    answer = ask(parts)
    if answer.document is None:
        if value_is_refused(job.shop) and "offcut" in answer.refused:
            return of("value refused")
        said = answer.no_plan or answer.refused
        return of("no plan", *([f"said to have no plan: {said}"] if possible(job.shop) else []))
    if value_is_refused(job.shop):
        return of(answer.document["result"]["status"], "planned with an offcut value that would buy steel to lay it by")
    faults = judge(job.shop, answer.document) + [f"the package itself: {text}" for text in answer.objections]
    return of(answer.document["result"]["status"], *faults)


def _opinion(task: tuple[int, str]) -> Opinion:
    seed, folder = task
    try:
        return opinion(seed, Path(folder) / str(seed))
    except Exception:
        return Opinion(seed, made(seed).style, "failed", (traceback.format_exc(limit=-3),))


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--jobs", type=int, default=300)
    options.add_argument("--first", type=int, default=0)
    options.add_argument("--processes", type=int, default=1)
    options.add_argument("--folder", default="")
    asked = options.parse_args()
    folder = asked.folder or tempfile.mkdtemp()
    tasks = [(seed, folder) for seed in range(asked.first, asked.first + asked.jobs)]
    outcomes: Counter[str] = Counter()
    found = 0
    with Pool(asked.processes) as pool:
        for judged in pool.imap(_opinion, tasks):
            outcomes[judged.outcome] += 1
            found += bool(judged.faults)
            for fault in judged.faults:
                print(f"{folder}/{judged.seed} ({judged.style}, {judged.outcome}): {fault}", flush=True)
    print(dict(outcomes), f"{found} with faults")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
