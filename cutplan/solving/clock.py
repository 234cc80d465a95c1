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
    divided_first, divided
        Work on LPs, in cells of pricing tables filled, while the bars of a node whose counts cannot be split
        further are told apart by what they hold: before plans for it are sought at length, and at the end.
    rounds
        LP solves in one node.
    root_dives, node_dives, dives
        Dives from the first LP solution where its bound is near, from one whose counts are whole, and where they
        cannot be split further.
    whole_columns
        Known patterns that an integer program is given.
    root_effort, node_effort, last_effort, listed_effort
        Deterministic time of the integer program at the start, in a node whose counts are whole, in
        one whose counts cannot be split further, and over listed patterns.
    listed_first, listed
        Patterns listed by reduced cost before the list is given up: at the start of a group with one
        source, and for nodes set aside.
    finished, finished_effort
        Patterns listed for what is left of a dive, and the effort of an integer program over them.
    finished_pieces, finished_few, few_effort
        Pieces left of a dive from which on patterns of few parts are listed, how many, and the effort over them.
    """

    nodes: int = 2_000
    divided_first: int = 300_000_000
    divided: int = 3_000_000_000
    rounds: int = 400
    root_dives: int = 1
    node_dives: int = 4
    dives: int = 16
    whole_columns: int = 4_000
    root_effort: float = 0.1
    node_effort: float = 0.3
    last_effort: float = 4.0
    listed_effort: float = 8.0
    listed_first: int = 10_000
    listed: int = 40_000
    finished: int = 2_000
    finished_effort: float = 0.1
    finished_pieces: int = 200
    finished_few: int = 8_000
    few_effort: float = 2.0


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
