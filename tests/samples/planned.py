"""The samples, each read and planned once for all tests that look at its plan."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from cutplan import actions
from cutplan.model import Job, Plan

INPUTS = Path(__file__).parents[2] / "inputs"
TIMES = {"market-stand/bench-run.xlsx": 6}
"""How often a list is made whose title says a number and leaves open what it means."""


@cache
def planned(name: str) -> tuple[Job, Plan]:
    """A sample by the name of its list."""
    job = actions.read_job(INPUTS / name, times=TIMES.get(name, 0))
    return job, actions.plan(job)
