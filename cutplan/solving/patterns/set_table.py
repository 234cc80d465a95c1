"""Pricing in states where sets are few: every set that may be in a bar is listed once, and weighed by one product.

Which sets there are, their states and their fills do not depend on what parts are worth, so that a list serves many
rounds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

import numpy as np

from cutplan.solving.knapsack import NO_SET, Array, Table
from cutplan.solving.patterns.trail_states import Beyond, Stated
from cutplan.solving.solver_pieces import Pattern

MOST_CELLS = 12_000_000
"""Sets of a bar times parts up to which they are listed: 12 MB, gone through in hundredths of a second, where tables
of every fill and state take tenths. Own choice."""

BLOCK = 16_384
"""Sets that are weighed at a time. Measured: half the time of all at once."""


@dataclass(frozen=True)
class SetList:
    """Every set that a bar may hold, by what it fills.

    ``counts`` has a row for each part: how many of it each set holds.
    """

    counts: Array
    states: Array
    fills: Array

    @cached_property
    def rows(self) -> Array:
        """For every fill that differs, the first set of it."""
        return np.flatnonzero(np.diff(self.fills, prepend=-1))

    @cached_property
    def at(self) -> Array:
        """The fills that differ, rising. [steps]"""
        at: Array = self.fills[self.rows]
        return at

    @cached_property
    def _most(self) -> Array:
        most: Array = self.counts.max(axis=1, initial=0)
        return most

    def within(self, limits: Sequence[int], cap: int) -> SetList:
        """Those of no more than so many of each part that fill no more than ``cap``."""
        there = int(np.searchsorted(self.fills, cap, side="right"))
        fewer = [part for part, limit in enumerate(limits) if limit < self._most[part]]
        if not fewer and there == len(self.fills):
            return self
        kept = np.ones(there, dtype=bool)
        for part in fewer:
            kept &= self.counts[part, :there] <= limits[part]
        places = np.flatnonzero(kept)
        return SetList(self.counts[:, places], self.states[places], self.fills[places])


@lru_cache(maxsize=6)
def listed_sets(
    stated: Stated, start: int, takes: tuple[int, ...], limits: Pattern, beyond: tuple[int, ...], cap: int
) -> SetList | None:
    """All sets of up to ``limits`` parts that fill no more than ``cap``, on top of one in state ``start``.

    ``beyond`` is what states take, by number. None where sets are more than are listed.
    """
    fills, states = np.zeros(1, dtype=np.int64), np.full(1, start, dtype=np.int16)
    added: list[tuple[int, Array, Array]] = []
    # In the order in which states say most.
    for part in sorted(range(len(takes)), key=lambda part: stated.states.turn(stated.edges[part])):
        take, limit, edge = takes[part], limits[part], stated.edges[part]
        most = min(limit, cap // take) if take else limit
        if not most:
            continue
        if most > np.iinfo(np.int8).max:
            return None
        grown = (fills[:, None] + np.arange(most + 1) * take).ravel()
        keep = np.flatnonzero(grown <= cap)
        if len(keep) * len(takes) > MOST_CELLS:
            return None
        before, number = np.divmod(keep.astype(np.int32), np.int32(most + 1))
        added.append((part, before, number.astype(np.int8)))
        known = range(len(stated.states.states))
        steps = np.array(
            [[stated.states.after(s, edge, n) if n else s for n in range(most + 1)] for s in known], dtype=np.int16
        )
        fills, states = grown[keep], steps[states[before], number]
    fills = fills + np.array(beyond)[states]
    order = np.argsort(fills, kind="stable")
    order = order[fills[order] <= cap]
    # Each set is followed back through the parts that were added to it.
    counts, at = np.zeros((len(takes), len(order)), dtype=np.int8), order
    for part, before, number in reversed(added):
        counts[part], at = number[at], before[at]
    return SetList(counts, states[order], fills[order])


class SetTable(Table):
    """As :class:`~cutplan.solving.knapsack.Table`, with rows for those fills alone that some set has.

    Parameters
    ----------
    sets
        The sets, as they are listed for these parts.
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
        sets: SetList,
        beyond: Beyond,
        entries: Sequence[Any] = (),
        layered: bool,
        begun: bool = False,
        cap: int,
        dtype: Any = np.float64,
        readable: bool = True,
    ) -> None:
        self.cap = cap
        self.layered = layered
        self._parts = len(takes)
        self._sets = sets
        worth: Array = -np.array(beyond.costs, dtype=dtype)[sets.states]
        paying = [(part, y) for part, y in enumerate(np.array(profits, dtype=dtype)) if limits[part] and y]
        product = np.empty(min(BLOCK, len(worth)), dtype=dtype)
        # A column of a block at a time takes less memory than a product of all, and stays close to the processor.
        for low in range(0, len(worth), BLOCK):
            there = worth[low : low + BLOCK]
            of_part = product[: len(there)]
            for part, profit in paying:
                of_part[:] = sets.counts[part, low : low + BLOCK]
                of_part *= profit
                there += of_part
        for part, entry in enumerate(np.array(entries, dtype=dtype)):
            if entry:
                worth -= (sets.counts[part] > 0) * entry
        self._layers = [worth, worth]
        if layered:
            of_held = sets.counts[np.array(held, dtype=bool)].any(axis=0)
            self._layers = [np.where(of_held == holds, worth, NO_SET) for holds in (False, True)]
        self.short = self._rising(self._layers[False])
        self.held = self._rising(self._layers[True]) if layered else self.short

    def _rising(self, worth: Array) -> Array:
        best: Array = np.maximum.accumulate(np.maximum.reduceat(worth, self._sets.rows)) if len(worth) else worth
        return best

    def fills(self) -> Array:
        """Those that some set has."""
        return self._sets.at

    def row(self, fill: int) -> int:
        """The last at or below a fill; -1 where there is none."""
        return int(np.searchsorted(self._sets.at, fill, side="right")) - 1

    def counts(self, fill: int, held: bool) -> dict[int, int]:
        """How many of which part the best set within ``fill`` steps holds."""
        there = int(np.searchsorted(self._sets.fills, fill, side="right"))
        if not there:
            return {}
        # Of equals the first, which fills least.
        counts = self._sets.counts[:, int(np.argmax(self._layers[held][:there]))]
        return {int(part): int(counts[part]) for part in np.flatnonzero(counts)}
