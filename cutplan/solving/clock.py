"""What a search counts, and the clock that ends it in the last resort: counters bind first, so that plans repeat."""

from __future__ import annotations

import time
from dataclasses import dataclass


@dataclass
class Clock:
    """Counts what a search did and tells when its time is up."""

    deadline: float
    rounds: int = 0
    work: int = 0
    nodes: int = 0
    stopped_by: str = ""

    def struck(self) -> bool:
        """Is the time up? Remembered, because it makes the plan depend on the machine."""
        # Not the time of day, which may be set while a plan is made.
        if not self.stopped_by and time.monotonic() > self.deadline:
            self.stopped_by = "time limit"
        return bool(self.stopped_by)

    def count(self, other: Clock) -> None:
        """Add what was counted by another."""
        self.rounds += other.rounds
        self.work += other.work
        self.nodes += other.nodes

    @property
    def seconds_left(self) -> float:
        """[s]"""
        return max(0.0, self.deadline - time.monotonic())
