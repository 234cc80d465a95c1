"""The pricing knapsack where what a set takes depends on its state too: best profit for every fill in every state.

A table for each state grows side by side, a bundle of one part at a time; with the bundle a set passes into another
state. In the end the tables become one, in which each set fills what it really takes.

Sets with a part that the vice can hold need not be told from all others as long as those are worth less: at first
there are tables of sets without such a part and of any sets, which saves a third of the work.

References
----------
S. Martello, P. Toth, Knapsack Problems, Wiley 1990, chapter 3 (bounded knapsack), from memory; states as in dynamic
programs with a second resource, R. Bellman, Dynamic Programming, 1957, from memory.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any, TypeAlias

import numpy as np

from cutplan.solving.buffers import Buffers
from cutplan.solving.knapsack import NO_SET, Array, Table, chunks_of, shortest_or_better
from cutplan.solving.patterns.trail_states import Beyond, Edge, Stated

BLOCK = 16_384
"""Fills that a bundle is let into at a time, of all states: so many stay close to the processor. Measured."""

Move: TypeAlias = tuple[int, Array]
"""From which table sets came, and at which fills, less what the bundle takes, that paid."""


@dataclass(frozen=True)
class _Bundle:
    """Copies of one part let into all tables: for each that sets come to so, the moves to it, the last one first."""

    part: int
    copies: int
    steps: int
    moves: Mapping[int, Sequence[Move]]


@dataclass(frozen=True)
class _Parting:
    """From here on there are tables of any sets beside those of sets without a part that the vice can hold."""


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
    buffers
        Where memory is taken from, and goes back to when the table is no longer used.
    apart
        Whether sets with a part that the vice can hold are kept apart from the beginning.
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
        buffers: Buffers | None = None,
        apart: bool = False,
    ) -> None:
        self._buffers = buffers or Buffers()
        self._marks: list[Array] = []
        self._buffers.lend(self, self._marks)
        self.cap, self.dtype = cap, dtype
        self._parts = len(takes)
        self._readable = readable
        self._states, edges = stated.states, stated.edges
        self._log: list[_Bundle | _Parting | _Entry] = []
        # One number for a state and for whether a part is there that the vice can hold, or may be there.
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
        self._apart, self._parted = apart or not self.layered, False
        self._candidates: Array = np.empty((0, 0), dtype=dtype)
        self._tables: dict[int, Array] = {2 * start: self._all_alike(0)}
        for i in wanted:
            if holds[i] and not (self._apart or self._parted):
                self._part()
            copies = min(limits[i], cap // takes[i]) if takes[i] else limits[i]
            # A part that brings nothing by itself is of use for the state it leads to, and two copies lead where any
            # even number does. Where hands are matched all states cost the same, so that spread is 0.
            copies = copies if profits[i] > 0 else min(copies, 2 if profits[i] + spread > 0 else 1)
            bundles = [(i, size, size * takes[i], size * profits[i]) for size in chunks_of(copies)]
            self._let_in(bundles, holds[i], edges[i], entries[i] if entries else 0)
        self._shifts = beyond.steps
        self.short, self._short_from = self._as_one(beyond, 0, dtype)
        self._likely, self._likely_from = self.short, self._short_from
        if self._parted or (self.layered and apart):
            self._likely, self._likely_from = self._as_one(beyond, 1, dtype)
        if self._apart:
            self.held = self._likely
        else:
            self._held_apart = partial(
                StateTable,
                takes,
                profits,
                limits,
                held,
                stated=stated,
                start=start,
                beyond=beyond,
                entries=entries,
                layered=layered,
                begun=begun,
                cap=cap,
                dtype=dtype,
                readable=readable,
                buffers=self._buffers,
                apart=True,
            )
        self._buffers.give([*self._tables.values()])
        self._tables.clear()

    @cached_property
    def held(self) -> Array:  # type: ignore[override]
        """Worked out where it is asked for; :attr:`likely` tells most of it."""
        return self._exactly.held

    @cached_property
    def _exactly(self) -> StateTable:
        return self._held_apart()

    @property
    def likely(self) -> Array:
        """Of any sets, or of those with a part that the vice can hold."""
        return self._likely

    def tells(self, row: int) -> bool:
        """Where any set is worth more than each without a part that the vice can hold, it has one."""
        return self._apart or bool(self.likely[row] > self.short[row])

    def _all_alike(self, worth: Any) -> Array:
        table = self._buffers.take(self.cap + 1, self.dtype)
        table.fill(worth)
        return table

    def _marked(self, length: int) -> Array:
        """Where marks of so many fills go."""
        if not self._readable:
            return np.empty(0, dtype=bool)
        self._marks.append(self._buffers.take(self.cap + 1, bool))
        return self._marks[-1][:length]

    def _part(self) -> None:
        self._parted = True
        for state, table in list(self._tables.items()):
            self._tables[state + 1] = self._buffers.take(self.cap + 1, self.dtype)
            self._tables[state + 1][:] = table
        self._log.append(_Parting())

    def _let_in(self, bundles: Sequence[tuple[int, int, int, Any]], holds: bool, edge: Edge, entry: Any) -> None:
        """Let in bundles of one part, which cost ``entry`` together, in place."""
        before = self._tables
        if entry:
            self._tables = {state: table - entry for state, table in before.items()}
        for part, copies, steps, gain in bundles:
            moves = self._bundle(steps, gain, copies, holds, edge)
            if self._readable:
                self._log.append(_Bundle(part, copies, steps, moves))
        if entry:
            pays = {state: self._tables[state] > table for state, table in before.items()}
            for state, table in before.items():
                np.maximum(self._tables[state], table, out=self._tables[state])
            if self._readable:
                self._log.append(_Entry(len(bundles), pays))

    def _bundle(self, steps: int, gain: Any, copies: int, holds: bool, edge: Edge) -> dict[int, list[Move]]:
        """Add copies of a part to the sets of every state as they are; where from, for each that sets come to so."""
        pairs = []
        for state in sorted(self._tables):
            if holds and not self._apart and not state % 2:
                continue
            to = 2 * self._states.after(state // 2, edge, copies) + (holds or state % 2)
            pairs.append((state, to))
        length = self.cap + 1 - steps
        for _, to in pairs:
            if to not in self._tables:
                self._tables[to] = self._all_alike(NO_SET)
        grown = [(self._tables[state], self._tables[to][steps:]) for state, to in pairs]
        paid = [self._marked(length) for _ in pairs]
        if len(self._candidates) < len(pairs):
            self._candidates = np.empty((len(pairs), min(BLOCK, self.cap + 1)), dtype=self.dtype)
        # From the longest fills down, so that what is read is as it was before the bundle.
        for high in range(length, 0, -BLOCK):
            low = max(0, high - BLOCK)
            block = self._candidates[: len(pairs), : high - low]
            for candidate, (table, _) in zip(block, grown, strict=True):
                np.add(table[low:high], gain, out=candidate)
            for candidate, (_, table), pays in zip(block, grown, paid, strict=True):
                if self._readable:
                    np.greater(candidate, table[low:high], out=pays[low:high])
                np.maximum(table[low:high], candidate, out=table[low:high])
        moves: dict[int, list[Move]] = {}
        for (state, to), pays in zip(reversed(pairs), reversed(paid), strict=True):
            moves.setdefault(to, []).append((state, pays))
        return moves

    def _as_one(self, beyond: Beyond, layer: int, dtype: Any) -> tuple[Array, Array]:
        """The best of the states for every fill, with what each takes and costs beyond its parts; and which it is."""
        best: Array = np.full(self.cap + 1, NO_SET, dtype=dtype)
        source: Array = np.full(self.cap + 1 if self._readable else 0, self._nothing, dtype=self._mark)
        for state, table in sorted(self._tables.items()):
            shift, cost = beyond.steps[state // 2], beyond.costs[state // 2]
            if state % 2 != layer or shift > self.cap:
                continue
            # Tables never fall with the fill: those fills come first at which there is no set.
            first = int(np.searchsorted(table, NO_SET // 2, side="right"))
            there = table[first : self.cap + 1 - shift]
            candidate, so_far = there - cost if cost else there, best[first + shift :]
            if self._readable:
                np.copyto(source[first + shift :], state, where=candidate > so_far)
            np.maximum(so_far, candidate, out=so_far)
        return best, source

    def counts(self, fill: int, held: bool) -> dict[int, int]:
        """How many of which part the best set within ``fill`` steps holds."""
        if held and not self.tells(fill):
            return self._exactly.counts(fill, held)
        state = int((self._likely_from if held else self._short_from)[fill])
        counts: dict[int, int] = {}
        if state == self._nothing:
            return counts
        fill -= self._shifts[state // 2]
        at = len(self._log)
        while at:
            at -= 1
            step = self._log[at]
            if isinstance(step, _Parting):
                state -= state % 2
            elif isinstance(step, _Entry):
                if state in step.pays and not step.pays[state][fill]:
                    at -= step.bundles
            elif fill >= step.steps:
                for before, pays in step.moves.get(state, ()):
                    if pays[fill - step.steps]:
                        counts[step.part] = counts.get(step.part, 0) + step.copies
                        state, fill = before, fill - step.steps
                        break
        return counts
