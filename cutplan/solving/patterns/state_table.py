"""The pricing knapsack where what a set takes depends on its state too: best profit for every fill in every state.

A table for each state grows side by side, a bundle of one part at a time; with the bundle a set passes into another
state. In the end the tables become one, in which each set fills what it really takes.

References
----------
S. Martello, P. Toth, Knapsack Problems, Wiley 1990, chapter 3 (bounded knapsack), from memory; states as in dynamic
programs with a second resource, R. Bellman, Dynamic Programming, 1957, from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from cutplan.solving.knapsack import NO_SET, Array, Table, chunks_of, shortest_or_better
from cutplan.solving.patterns.trail_states import Beyond, Edge, Stated


@dataclass(frozen=True)
class _Bundle:
    """Copies of one part let into all tables: by state, from which it was come to at every fill, or nothing."""

    part: int
    copies: int
    steps: int
    origin: dict[int, Array]


@dataclass(frozen=True)
class _Entry:
    """After the bundles of a part that costs something to begin with: how many they are, and where they pay."""

    bundles: int
    pays: dict[int, Array]


class StateTable(Table):
    """As :class:`~cutplan.solving.knapsack.Table`, for sets in states.

    Parameters
    ----------
    stated
        The states, and the edge of each part.
    start
        The state that sets begin in.
    beyond
        What each state costs.
    """

    def __init__(
        self,
        takes: Sequence[int],
        profits: Sequence[Any],
        limits: Sequence[int],
        held: Sequence[bool],
        *,
        stated: Stated,
        start: int,
        beyond: Beyond,
        entries: Sequence[Any] = (),
        layered: bool,
        begun: bool = False,
        cap: int,
        dtype: Any = np.float64,
        readable: bool = True,
    ) -> None:
        self.cap = cap
        self._parts = len(takes)
        self._readable = readable
        self._states, edges = stated.states, stated.edges
        self._log: list[_Bundle | _Entry] = []
        # One number for a state and for whether a part is there that the vice can hold.
        self._mark: Any = np.uint8 if 2 * len(self._states.states) < 255 else np.uint16
        self._nothing = int(np.iinfo(self._mark).max)
        # One or two more of a part may lead to a state that costs less, at most by so much.
        spread = max(beyond.costs) - min(beyond.costs)
        wanted = [i for i in range(len(takes)) if profits[i] + spread > 0 < limits[i] and takes[i] <= cap]
        self.layered = layered and (begun or any(not held[i] for i in wanted))
        holds = list(held) if self.layered else [False] * len(takes)
        if self.layered:
            spare = [
                i for i in range(len(takes)) if held[i] and profits[i] + spread <= 0 < limits[i] and takes[i] <= cap
            ]
            for edge in sorted({edges[i] for i in spare}):
                wanted += shortest_or_better([i for i in spare if edges[i] == edge], takes, profits)
        # Parts of one edge one after another, those that join nothing first: so fewer states are gone through.
        turn = self._states.turn
        wanted.sort(
            key=lambda i: (turn(edges[i]), holds[i], edges[i][0] != edges[i][1], -profits[i] / max(takes[i], 1), i)
        )
        self._tables: dict[int, Array] = {2 * start: np.zeros(cap + 1, dtype=dtype)}
        for i in wanted:
            copies = min(limits[i], cap // takes[i]) if takes[i] else limits[i]
            copies = copies if profits[i] > 0 else min(copies, 2 if profits[i] + spread > 0 else 1)
            bundles = [(i, size, size * takes[i], size * profits[i]) for size in chunks_of(copies)]
            self._let_in(bundles, holds[i], edges[i], entries[i] if entries else 0)
        self.short, self._short_from = self._as_one(beyond, held=False, dtype=dtype)
        self.held, self._held_from = self.short, self._short_from
        if self.layered:
            self.held, self._held_from = self._as_one(beyond, held=True, dtype=dtype)

    def _let_in(self, bundles: Sequence[tuple[int, int, int, Any]], holds: bool, edge: Edge, entry: Any) -> None:
        """Let in bundles of one part, which cost ``entry`` together, in place."""
        before = self._tables
        if entry:
            self._tables = {state: table - entry for state, table in before.items()}
        for part, copies, steps, gain in bundles:
            origin = self._bundle(steps, gain, copies, holds, edge)
            if self._readable:
                self._log.append(_Bundle(part, copies, steps, origin))
        if entry:
            pays = {state: self._tables[state] > table for state, table in before.items()}
            for state, table in before.items():
                np.maximum(self._tables[state], table, out=self._tables[state])
            if self._readable:
                self._log.append(_Entry(len(bundles), pays))

    def _bundle(self, steps: int, gain: Any, copies: int, holds: bool, edge: Edge) -> dict[int, Array]:
        """Add copies of a part to the sets of every state as they are; where from, for each that sets come to so."""
        grown = []
        for state, table in sorted(self._tables.items()):
            to = 2 * self._states.after(state // 2, edge, copies) + (holds or state % 2)
            grown.append((state, to, table[: len(table) - steps] + gain))
        origin: dict[int, Array] = {}
        for state, to, candidate in grown:
            if to not in self._tables:
                self._tables[to] = np.full(self.cap + 1, NO_SET, dtype=candidate.dtype)
            table = self._tables[to][steps:]
            if self._readable:
                if to not in origin:
                    origin[to] = np.full(self.cap + 1, self._nothing, dtype=self._mark)
                origin[to][steps:][candidate > table] = state
            np.maximum(table, candidate, out=table)
        return origin

    def _as_one(self, beyond: Beyond, *, held: bool, dtype: Any) -> tuple[Array, Array]:
        """The best of the states for every fill, with what each takes and costs beyond its parts; and which it is."""
        best: Array = np.full(self.cap + 1, NO_SET, dtype=dtype)
        source: Array = np.full(self.cap + 1, self._nothing, dtype=self._mark)
        for state, table in sorted(self._tables.items()):
            shift = beyond.steps[state // 2]
            if state % 2 != held or shift > self.cap:
                continue
            there = table[: self.cap + 1 - shift]
            candidate = there - beyond.costs[state // 2]
            better = (candidate > best[shift:]) & (there > NO_SET // 2)
            np.copyto(best[shift:], candidate, where=better)
            source[shift:][better] = state
        self._shifts = beyond.steps
        return best, source

    def counts(self, fill: int, held: bool) -> dict[int, int]:
        """How many of which part the best set within ``fill`` steps holds."""
        state = int((self._held_from if held else self._short_from)[fill])
        counts: dict[int, int] = {}
        if state == self._nothing:
            return counts
        fill -= self._shifts[state // 2]
        at = len(self._log)
        while at:
            at -= 1
            step = self._log[at]
            if isinstance(step, _Entry):
                if state in step.pays and not step.pays[state][fill]:
                    at -= step.bundles
                continue
            origin = step.origin.get(state)
            before = self._nothing if origin is None else int(origin[fill])
            if before != self._nothing:
                counts[step.part] = counts.get(step.part, 0) + step.copies
                state, fill = before, fill - step.steps
        return counts
