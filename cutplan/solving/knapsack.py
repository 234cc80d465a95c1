"""The knapsack behind pricing: dense, bounded, one pass for every stock length, integers or floats.

The layered pass makes safe hold exact: ``short`` holds sets without a part that the vice can hold, ``held`` sets with
at least one.

References
----------
S. Martello, P. Toth, Knapsack Problems, Wiley 1990, chapter 3 (bounded knapsack, copies in bundles of 1, 2, 4 ...),
from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from cutplan.solving.over_pieces import OverPieces
from cutplan.solving.solver_pieces import Pattern

Array: TypeAlias = NDArray[Any]

MOST_ON_A_PIECE = 2**60
"""Profit of one piece below which those of four can be summed."""

NO_SET = -(2**62)
"""Profit of a set where there is none: below that of any, yet far enough from overflow to be taken from a cost."""


@cache
def chunks_of(copies: int) -> tuple[int, ...]:
    """Bundles of 1, 2, 4 ... copies and a rest, which together make every number up to ``copies``."""
    sizes = []
    size = 1
    while copies > 0:
        sizes.append(min(size, copies))
        copies -= sizes[-1]
        size *= 2
    return tuple(sizes)


def let_in(best: Array, shift: int, gain: Any, taken: Array | None = None) -> None:
    """Let a bundle into ``best``, in place: what takes ``shift`` steps may add ``gain``.

    ``taken``, of the same length, is set where it did.
    """
    if shift == 0:
        best += gain
        if taken is not None:
            taken[:] = True
        return
    candidate = best[:-shift] + gain
    if taken is not None:
        np.greater(candidate, best[shift:], out=taken[shift:])
    np.maximum(best[shift:], candidate, out=best[shift:])


class _Layer:
    """Bundles let into one array one after another, and which fills took which bundle."""

    def __init__(self, best: Array, bundles: Sequence[tuple[int, int, int, Any]], readable: bool) -> None:
        """``bundles`` are (part, copies, steps, profit); ``best`` is changed in place."""
        self._bundles = bundles
        self._taken = np.zeros((len(bundles) if readable else 0, len(best)), dtype=bool)
        for number, (_, _, shift, gain) in enumerate(bundles):
            let_in(best, shift, gain, self._taken[number] if readable else None)

    def read(self, fill: int, counts: dict[int, int]) -> int:
        """Add to ``counts`` what the state at ``fill`` took; the fill it began from."""
        before = len(self._bundles)
        while True:
            rows = np.flatnonzero(self._taken[:before, fill])
            if not len(rows):
                return fill
            before = int(rows[-1])
            part, copies, shift, _ = self._bundles[before]
            counts[part] = counts.get(part, 0) + copies
            fill -= shift


@dataclass
class _HeldPart:
    """One part that the vice can hold, let into the held layer: at least one copy of it, on top of any set."""

    part: int
    take: int
    more: _Layer
    first: Array
    from_short: Array


@dataclass
class _Entered:
    """A layer, and where taking from it beats leaving it out; None where it is always gone through."""

    layer: _Layer
    better: Array | None


def _entered(best: Array, bundles: Sequence[tuple[int, int, int, Any]], entry: Any, readable: bool) -> _Entered:
    """Let bundles into ``best`` that cost ``entry`` together, in place."""
    own = best - entry
    layer = _Layer(own, bundles, readable)
    better = own > best
    np.maximum(best, own, out=best)
    return _Entered(layer, better)


def shortest_or_better(parts: Sequence[int], takes: Sequence[int], profits: Sequence[Any]) -> list[int]:
    """The shortest of some parts, and each longer one that brings more than all shorter ones."""
    found: list[int] = []
    for i in sorted(parts, key=lambda i: (takes[i], -profits[i], i)):
        if not found or profits[i] > profits[found[-1]]:
            found.append(i)
    return found


def _as_one(
    wanted: Sequence[int], takes: Sequence[int], profits: Sequence[Any], limits: Sequence[int], held: Sequence[bool]
) -> tuple[list[int], list[int]]:
    """Parts that a table cannot tell apart as one: the first of them, with the limits of all."""
    first: dict[tuple[int, Any, bool], int] = {}
    together = list(limits)
    for i in wanted:
        leader = first.setdefault((takes[i], profits[i], held[i]), i)
        if leader != i:
            together[leader] += limits[i]
    return list(first.values()), together


class Table:
    """Best profit of a set for every fill, for the parts one grade of bar serves.

    Parameters
    ----------
    takes
        What each part takes. [steps]
    profits
        Profit of one of each part, less what its cut costs; integers for a bound, floats for pricing.
    limits
        Most of each part in one bar, 0 for a part that is not served.
    held
        Which parts the vice can hold.
    entries
        What the first of each part on the bar costs, whatever comes after; empty where that is nothing.
    layered
        Whether sets without a held part are kept apart from the others.
    begun
        Whether every set is added to parts that the vice cannot hold.
    cap
        Steps of the longest bar.
    readable
        Whether sets can be read from the table afterwards; a bound only needs the profits.
    exact
        Whether every fill is for sets that take exactly so much, rather than at most; no part is then too poor.
    """

    flush: Table | None = None
    """The exact table that goes with this one, where some bar may be filled to its very end."""

    def __init__(
        self,
        takes: Sequence[int],
        profits: Sequence[Any],
        limits: Sequence[int],
        held: Sequence[bool],
        *,
        entries: Sequence[Any] = (),
        layered: bool,
        begun: bool = False,
        cap: int,
        dtype: Any = np.float64,
        readable: bool = True,
        exact: bool = False,
    ) -> None:
        self.cap = cap
        self._parts = len(takes)
        self._readable = readable
        self._exact = exact
        wanted = [i for i in range(len(takes)) if (exact or profits[i] > 0) and limits[i] > 0 and takes[i] <= cap]
        if not (readable or entries):
            wanted, limits = _as_one(wanted, takes, profits, limits, held)
        # Best profit per step first, so that a set of early parts is already a good one.
        wanted.sort(key=lambda i: (-profits[i] / max(takes[i], 1), i))
        self.layered = layered and (begun or any(not held[i] for i in wanted))
        if self.layered and not exact:
            # A worthless part can be what holds a set of short ones; the shortest does it best, or one that costs less.
            spare = [i for i in range(len(takes)) if held[i] and profits[i] <= 0 < limits[i] and takes[i] <= cap]
            wanted += shortest_or_better(spare, takes, profits)
        self.short: Array = np.full(cap + 1, NO_SET if exact else 0, dtype=dtype)
        self.short[0] = 0
        first = [i for i in wanted if not (self.layered and held[i])]
        bundles = [self._bundles(i, takes[i], profits[i], self._copies(takes[i], limits[i])) for i in first]
        # Where a first part costs something, each has a layer of its own that starts that much lower.
        self._short_layers = (
            [_entered(self.short, own, entries[i], readable) for i, own in zip(first, bundles, strict=True)]
            if entries
            else [_Entered(_Layer(self.short, [bundle for own in bundles for bundle in own], readable), None)]
        )
        self._entries = entries or (0,) * len(takes)
        self._held_parts: list[_HeldPart] = []
        self.held: Array = self.short
        if self.layered:
            self.held = np.full(cap + 1, NO_SET, dtype=dtype)
            for i in wanted:
                if held[i]:
                    self._held_parts.append(self._held_part(i, takes[i], profits[i], limits[i]))

    def _copies(self, take: int, limit: int) -> int:
        return min(limit, self.cap // take) if take else limit

    @staticmethod
    def _bundles(part: int, take: int, profit: Any, copies: int) -> list[tuple[int, int, int, Any]]:
        return [(part, size, size * take, size * profit) for size in chunks_of(copies)]

    def _held_part(self, i: int, take: int, profit: Any, limit: int) -> _HeldPart:
        # Of this part at least one: one copy on top of a set that holds up to limit - 1 of it.
        from_short = self.short >= self.held
        base = np.maximum(self.short, self.held)
        base -= self._entries[i]
        copies = self._copies(take, limit) - 1 if profit > 0 or self._exact else 0
        more = _Layer(base, self._bundles(i, take, profit, copies), self._readable)
        candidate = base[: len(base) - take] + profit
        first = candidate > self.held[take:]
        np.maximum(self.held[take:], candidate, out=self.held[take:])
        return _HeldPart(i, take, more, first, from_short)

    def fills(self) -> Array:
        """The fills of the rows of both layers, rising."""
        return np.arange(self.cap + 1, dtype=np.int64)

    def row(self, fill: int) -> int:
        """The last row at or below a fill, which is no more than ``cap``; -1 where there is none."""
        return fill

    @property
    def likely(self) -> Array:
        """The held layer, or more than that at rows of which :meth:`tells` says so."""
        return self.held

    def tells(self, row: int) -> bool:
        """Is the likely layer the held one in a row?"""
        return True

    @cached_property
    def on_one_piece(self) -> Array:
        """The most that a set on one piece of a length is worth, for every fill; 0 where the piece is left whole."""
        best = np.maximum(self.short, self.likely) if self.layered else self.short
        fills = self.fills()
        if len(fills) <= self.cap:
            rows = np.searchsorted(fills, np.arange(self.cap + 1), side="right")
            best = np.concatenate((np.zeros(1, dtype=best.dtype), best))[rows]
        whole: Array = np.maximum(best, 0)
        return whole

    @cached_property
    def _on_pieces(self) -> dict[int, OverPieces | None]:
        return {}

    def over_pieces(self, cap: int) -> OverPieces | None:
        """What sets on pieces of ``cap`` steps are worth; None where so many could overflow."""
        if cap not in self._on_pieces:
            best = self.on_one_piece
            safe = cap >= 0 and int(best[min(cap, len(best) - 1)]) < MOST_ON_A_PIECE
            self._on_pieces[cap] = OverPieces(best, cap) if safe else None
        return self._on_pieces[cap]

    def piece(self, fill: int) -> tuple[int, ...]:
        """The best set on one piece within ``fill`` steps, as a pattern."""
        row = self.row(fill)
        held = self.layered and row >= 0 and bool(self.likely[row] > self.short[row])
        return self.pattern(fill, held)

    def counts(self, fill: int, held: bool) -> dict[int, int]:
        """How many of which part the best set within ``fill`` steps holds."""
        counts: dict[int, int] = {}
        if held and self.layered:
            for step in reversed(self._held_parts):
                at = fill - step.take
                if at < 0 or not step.first[at]:
                    continue
                counts[step.part] = counts.get(step.part, 0) + 1
                fill = step.more.read(at, counts)
                if step.from_short[fill]:
                    break
        for layer in reversed(self._short_layers):
            if layer.better is None or layer.better[fill]:
                fill = layer.layer.read(fill, counts)
        return counts

    def pattern(self, fill: int, held: bool) -> Pattern:
        """The best set within ``fill`` steps."""
        counts = self.counts(fill, held)
        return tuple(counts.get(i, 0) for i in range(self._parts))
