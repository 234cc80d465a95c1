"""Pricing in states where sets are few: every set that may be in a bar is listed once, and weighed by one product.

Which sets there are, their states and their fills do not depend on what parts are worth, so that a list serves many
rounds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from cutplan.solving.knapsack import NO_SET, Array, Table
from cutplan.solving.patterns.trail_states import Beyond, Stated
from cutplan.solving.solver_pieces import Pattern

MOST_SETS = 30_000
"""Sets of a bar up to which they are listed. A product over so many takes a fraction of a millisecond. Own choice."""


@dataclass(frozen=True)
class SetList:
    """Every set that a bar may hold: how many of each part, a row each, by what it fills; and its state."""

    counts: Array
    states: Array
    fills: Array
    rows: Array
    """For every fill that differs, the first row of it."""

    @property
    def at(self) -> Array:
        """The fills that differ, rising. [steps]"""
        at: Array = self.fills[self.rows]
        return at


@lru_cache(maxsize=16)
def listed_sets(
    stated: Stated, start: int, takes: tuple[int, ...], limits: Pattern, beyond: tuple[int, ...], cap: int
) -> SetList | None:
    """All sets of up to ``limits`` parts that fill no more than ``cap``, on top of one in state ``start``.

    ``beyond`` is what states take, by number. None where sets are more than are listed.
    """
    counts = np.zeros((1, len(takes)), dtype=np.int64)
    fills, states = np.zeros(1, dtype=np.int64), np.full(1, start)
    # In the order in which states say most.
    for part in sorted(range(len(takes)), key=lambda part: stated.states.turn(stated.edges[part])):
        take, limit, edge = takes[part], limits[part], stated.edges[part]
        most = min(limit, cap // take) if take else limit
        if not most:
            continue
        copies = np.arange(most + 1)
        grown = (fills[:, None] + copies * take).ravel()
        keep = np.flatnonzero(grown <= cap)
        if len(keep) > MOST_SETS:
            return None
        number = keep % (most + 1)
        known = range(len(stated.states.states))
        steps = np.array([[stated.states.after(s, edge, n) if n else s for n in range(most + 1)] for s in known])
        before = keep // (most + 1)
        counts, fills = counts[before], grown[keep]
        counts[:, part] = number
        states = steps[states[before], number]
    fills = fills + np.array(beyond)[states]
    order = np.argsort(fills, kind="stable")
    order = order[fills[order] <= cap]
    fills = fills[order]
    rows = np.flatnonzero(np.diff(fills, prepend=-1))
    return SetList(counts[order], states[order], fills, rows)


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
        worth = sets.counts @ np.array(profits, dtype=dtype) - np.array(beyond.costs, dtype=dtype)[sets.states]
        if entries:
            worth -= (sets.counts > 0) @ np.array(entries, dtype=dtype)
        self._worth: Array = worth
        self._of_held = sets.counts[:, np.array(held, dtype=bool)].any(axis=1) if layered else None
        self.short = self._rising(self._layer(held=False))
        self.held = self._rising(self._layer(held=True)) if layered else self.short

    def _layer(self, *, held: bool) -> Array:
        if self._of_held is None:
            return self._worth
        layer: Array = np.where(self._of_held == held, self._worth, NO_SET)
        return layer

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
        layer = self._layer(held=held and self.layered)[:there]
        best = int(np.argmax(layer))
        return {int(part): int(self._sets.counts[best, part]) for part in np.flatnonzero(self._sets.counts[best])}
