"""What ends a search: counters first, so that the same input gives the same plan; a clock only in the last resort."""

from __future__ import annotations

import time
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Limits:
    """Counters per group, and a clock per job.

    Parameters
    ----------
    nodes
        Cases of bar counts looked at.
    rounds
        LP solves in one case.
    dives
        Dives from one LP solution.
    whole_columns
        Known patterns that an integer program is given.
    root_effort, case_effort, last_effort, listed_effort
        Deterministic time of the integer program at the start, in a case whose counts are whole, in
        one whose counts cannot be split further, and over listed patterns.
    listed_first, listed
        Patterns listed by reduced cost before the list is given up: at the start of a group with one
        source, and for cases set aside.
    """

    nodes: int = 2_000
    rounds: int = 400
    dives: int = 20
    whole_columns: int = 4_000
    root_effort: float = 0.1
    case_effort: float = 0.3
    last_effort: float = 4.0
    listed_effort: float = 8.0
    listed_first: int = 4_000
    listed: int = 40_000


@dataclass
class Clock:
    """Counts what a search did and tells when its time is up."""

    deadline: float
    rounds: int = 0
    nodes: int = 0
    stopped_by: str = ""

    def struck(self) -> bool:
        """Is the time up? Remembered, because it makes the plan depend on the machine."""
        if not self.stopped_by and time.monotonic() > self.deadline:
            self.stopped_by = "time limit"
        return bool(self.stopped_by)

    @property
    def seconds_left(self) -> float:
        """[s]"""
        return max(0.0, self.deadline - time.monotonic())
