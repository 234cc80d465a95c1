"""What ends a search: counters first, so that the same input gives the same plan; a clock only in the last resort."""

from __future__ import annotations

import time
from dataclasses import dataclass, field


@dataclass(frozen=True, kw_only=True)
class Limits:
    """Counters per group, and a clock per job.

    Parameters
    ----------
    nodes
        Cases of bar counts looked at.
    rounds
        LP solves in one node.
    whole_nodes, whole_columns
        Nodes of one integer program over known patterns, and how many of these it is given.
    listed
        Patterns listed by reduced cost before the list is given up.
    """

    nodes: int = 400
    rounds: int = 400
    whole_nodes: int = 400
    whole_columns: int = 1_500
    listed: int = 40_000


@dataclass
class Clock:
    """Counts what a search did and tells when its time is up."""

    deadline: float
    rounds: int = 0
    nodes: int = 0
    stopped_by: str = ""
    started: float = field(default_factory=time.monotonic)

    def struck(self) -> bool:
        """Is the time up? Remembered, because it makes the plan depend on the machine."""
        if not self.stopped_by and time.monotonic() > self.deadline:
            self.stopped_by = "time limit"
        return bool(self.stopped_by)

    @property
    def seconds_left(self) -> float:
        """[s]"""
        return max(0.0, self.deadline - time.monotonic())
