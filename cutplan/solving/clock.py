"""What a search counts, and the clock that ends it in the last resort: counters bind first, so that plans repeat."""

from __future__ import annotations

import math
import time
from dataclasses import dataclass, field

from cutplan.solving.parameters import Parameters


@dataclass
class Pace:
    """How much longer things take here than they keep a processor busy: the machine may be shared with others.

    Of one thread, which works from when this is made; what it waits for others is to be ``left_out``. As long as little
    is known, that much work is ``assumed`` to have gone at full speed before. [s]
    """

    assumed: float = 0.0

    began: float = field(default_factory=lambda: time.monotonic())
    worked_before: float = field(default_factory=lambda: time.thread_time())

    def worked(self) -> float:
        """Processor seconds so far. [s]"""
        return time.thread_time() - self.worked_before

    def leave_out(self, seconds: float) -> None:
        """Count a time in which this thread waited as if it had not been. [s]"""
        self.began += seconds

    def seconds(self, work: float) -> float:
        """How long something takes that keeps a processor busy for ``work``, as long as it has been so far. [s]"""
        worked = self.worked() + self.assumed
        return work * max(1.0, (time.monotonic() - self.began + self.assumed) / worked) if worked > 0 else work


@dataclass
class Clock:
    """Counts what a search did and tells when its time is up.

    ``kept_back`` is how long a processor takes for what has to be done when the search is over: that ends no later
    than ``allowed`` after the deadline, where no more than ``at_most`` need be taken off the search for it; how long it
    takes here is reckoned anew as ``often``. [s]
    """

    deadline: float
    pace: Pace = field(default_factory=Pace)
    kept_back: float = 0.0
    allowed: float = 0.0
    at_most: float = math.inf
    often: float = 0.0
    rounds: int = 0
    work: int = 0
    nodes: int = 0
    stopped_by: str = ""
    waiting: int = 0
    """How many groups want a plan with a bound when this search is over."""
    least: float = 0.0
    """How long a plan with a bound keeps a processor busy: reckoned, until this search has its own. [s]"""

    def __post_init__(self) -> None:
        self._made = self.pace.worked()
        self._late, self._reckoned, self._reckoned_for = 0.0, -math.inf, 0.0

    @classmethod
    def until(cls, deadline: float, parameters: Parameters) -> Clock:
        """A clock for a search whose plan is laid out and checked when it is over, in time for the deadline. [s]"""
        return cls(
            deadline=deadline,
            pace=Pace(parameters.pace_assumed),
            allowed=parameters.late,
            often=parameters.kept_often,
            at_most=max(0.0, deadline - time.monotonic()) * parameters.kept_at_most,
        )

    def note_first_bound(self) -> None:
        """Leave those that wait as long as there being a plan with a bound took here: less cannot be done."""
        if self.waiting:
            self.least = self.pace.worked() - self._made
            self.deadline -= self.waiting * self.pace.seconds(self.least)
            self.waiting = 0

    def struck(self) -> bool:
        """Is the time up? Remembered, because it makes the plan depend on the machine."""
        if not self.stopped_by and self._left() < 0:
            self.stopped_by = "time limit"
        return bool(self.stopped_by)

    def lets(self, work: float) -> bool:
        """Is there time for what keeps a processor busy for so long and cannot be ended before? Else it is up."""
        if not self.struck() and self._left() < self.pace.seconds(work):
            self.stopped_by = "time limit"
        return not self.stopped_by

    def count(self, other: Clock) -> None:
        """Add what was counted by another."""
        self.rounds += other.rounds
        self.work += other.work
        self.nodes += other.nodes

    def within(self, deadline: float) -> Clock:
        """A clock for a part of the search, which ends no later than this one and has counted nothing yet."""
        return Clock(deadline=min(deadline, time.monotonic() + self._left()), pace=self.pace)

    @property
    def seconds_left(self) -> float:
        """[s]"""
        return max(0.0, self._left())

    def _left(self) -> float:
        # Not the time of day, which may be set while a plan is made.
        now = time.monotonic()
        if self.kept_back and (now >= self._reckoned + self.often or self.kept_back != self._reckoned_for):
            # Asking how long a thread has worked takes ten times as long as asking what time it is.
            self._late = min(self.at_most, max(0.0, self.pace.seconds(self.kept_back) - self.allowed))
            self._reckoned, self._reckoned_for = now, self.kept_back
        for_others = self.waiting * self.pace.seconds(self.least) if self.waiting and self.least else 0.0
        return self.deadline - now - self._late - for_others
