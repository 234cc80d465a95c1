"""The knapsack that prices bars: dense, bounded, one pass for every stock length.

Lengths are counted in steps. For the plan, what parts take is rounded up to the
step; for the bound it is rounded down and the remainder over-estimated, so that
a step coarser than the common divisor keeps both honest. The layered pass makes
safe hold exact: ``short`` holds sets without a part that the vice can hold,
``held`` sets with at least one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from cutplan.solving.problem import Pattern, Problem, Source
from cutplan.units import Length, ceil_div

Array: TypeAlias = NDArray[Any]

FINEST_CAP = 1_500_000
"""Steps a bar may have before the working step is made coarser than the common divisor."""


def working_step(problem: Problem, cap: int = FINEST_CAP) -> Length:
    """The step lengths are counted in: the parts' common divisor, or coarser for bars above ``cap`` steps. [nm]"""
    longest = max((source.room for source in problem.sources), default=0)
    step = problem.divisor
    return step if longest // step <= cap else ceil_div(longest, cap)


@dataclass
class _Pass:
    """Which states took a part, chunk by chunk; ``entry`` marks where a held set began from a short one."""

    part: int
    take: int
    chunks: list[tuple[int, Array]]
    first: Array | None = None
    from_short: Array | None = None


class Table:
    """Best worth of a set for every fill, for the parts one grade of bar serves.

    Parameters
    ----------
    takes
        What each part takes. [steps]
    worths
        Worth of one of each part; integers for a bound, floats for pricing.
    limits
        Most of each part in one bar, 0 for a part that is not served.
    held
        Which parts the vice can hold.
    layered
        Whether sets without a held part must be told apart.
    cap
        Steps of the longest bar.
    """

    def __init__(
        self,
        takes: Sequence[int],
        worths: Sequence[Any],
        limits: Sequence[int],
        held: Sequence[bool],
        *,
        layered: bool,
        cap: int,
        dtype: Any = np.float64,
    ) -> None:
        self.cap = cap
        self._parts = len(takes)
        wanted = [i for i in range(len(takes)) if worths[i] > 0 and limits[i] > 0 and takes[i] <= cap]
        # Best worth per step first, so that a set from fewer passes is already a good one.
        wanted.sort(key=lambda i: (-worths[i] / max(takes[i], 1), i))
        self.layered = layered and any(not held[i] for i in wanted)
        if self.layered:
            # A worthless part can be what holds a set of short ones; the shortest of its kind does it best.
            spare = [i for i in range(len(takes)) if held[i] and worths[i] <= 0 < limits[i] and takes[i] <= cap]
            wanted += sorted(spare, key=lambda i: (takes[i], i))[:1]
        first = [i for i in wanted if not (self.layered and held[i])]
        self.short: Array = np.zeros(cap + 1, dtype=dtype)
        self._short_passes = []
        for i in first:
            copies = self._copies(takes[i], limits[i])
            chunks = self.bounded_pass(self.short, takes[i], worths[i], copies)
            self._short_passes.append(_Pass(i, takes[i], chunks))
        self._held_passes: list[_Pass] = []
        self.held: Array = self.short
        if self.layered:
            self.held = np.full(cap + 1, -1, dtype=dtype)
            for i in wanted:
                if held[i]:
                    self._held_passes.append(self._held_pass(i, takes[i], max(worths[i], 0), limits[i]))

    def _copies(self, take: int, limit: int) -> int:
        return min(limit, self.cap // take) if take else limit

    @staticmethod
    def bounded_pass(best: Array, take: int, worth: Any, copies: int) -> list[tuple[int, Array]]:
        """Let up to ``copies`` of a part into ``best``, in place; which states took each chunk of copies."""
        chunks = []
        size = 1
        while copies > 0:
            size = min(size, copies)
            shift = size * take
            if shift == 0:
                best += size * worth
                chunks.append((size, np.ones(0, dtype=bool)))
            else:
                candidate = best[:-shift] + size * worth
                chunks.append((size, candidate > best[shift:]))
                np.maximum(best[shift:], candidate, out=best[shift:])
            copies -= size
            size *= 2
        return chunks

    def _held_pass(self, i: int, take: int, worth: Any, limit: int) -> _Pass:
        # Of this part at least one: one copy on top of a set that holds up to limit - 1 of it.
        from_short = self.short >= self.held
        base = np.maximum(self.short, self.held)
        copies = self._copies(take, limit)
        chunks = self.bounded_pass(base, take, worth, copies - 1)
        candidate = base[: len(base) - take] + worth
        first = candidate > self.held[take:]
        np.maximum(self.held[take:], candidate, out=self.held[take:])
        return _Pass(i, take, chunks, first, from_short)

    def pattern(self, fill: int, held: bool, passes: int | None = None) -> Pattern:
        """The best set within ``fill`` steps; with ``passes`` only the first so many parts are used."""
        counts = [0] * self._parts
        if held and self.layered:
            for step in reversed(self._held_passes):
                assert step.first is not None
                assert step.from_short is not None
                at = fill - step.take
                if at < 0 or not step.first[at]:
                    continue
                counts[step.part] += 1
                fill = self._walk(step, at, counts)
                if step.from_short[fill]:
                    break
        for step in reversed(self._short_passes[:passes]):
            fill = self._walk(step, fill, counts)
        return tuple(counts)

    @property
    def passes(self) -> int:
        """Number of parts that entered the table without a held layer."""
        return len(self._short_passes)

    @staticmethod
    def _walk(step: _Pass, fill: int, counts: list[int]) -> int:
        for size, taken in reversed(step.chunks):
            shift = size * step.take
            if shift == 0:
                counts[step.part] += size
            elif fill >= shift and taken[fill - shift]:
                counts[step.part] += size
                fill -= shift
        return fill


@dataclass(frozen=True)
class Best:
    """A least value, and its set: given outright, or to be read from the table at ``fill``."""

    value: Any
    pattern: Pattern | None
    fill: int = 0
    held: bool = False


@dataclass(frozen=True)
class Grid:
    """A problem counted in steps, for the plan (``for_bound`` false) or for the bound."""

    problem: Problem
    step: Length
    for_bound: bool
    takes: tuple[int, ...]
    caps: tuple[int, ...]
    classes: tuple[int, ...]
    """For each source, the first source whose grade serves the same parts."""
    limits: Pattern
    """Most of each part in one bar."""

    @classmethod
    def of(cls, problem: Problem, step: Length, *, for_bound: bool) -> Grid:
        """Count a problem in steps of ``step`` nm, rounding for the plan or for the bound."""
        takes = tuple(p.take // step if for_bound else ceil_div(p.take, step) for p in problem.pieces)
        caps = tuple(max(source.room // step, -1) for source in problem.sources)
        classes = tuple(problem.served.index(served) for served in problem.served)
        return cls(problem, step, for_bound, takes, caps, classes, problem.demand)

    def limited(self, limits: Sequence[int]) -> Grid:
        """The same grid when only ``limits`` of each part are still wanted."""
        return replace(self, limits=tuple(limits))

    def tables(self, worths: Sequence[Any], dtype: Any) -> dict[int, Table]:
        """A table for each grade class, up to its longest bar."""
        problem = self.problem
        tables = {}
        for leader in sorted(set(self.classes)):
            cap = max(c for c, group in zip(self.caps, self.classes, strict=True) if group == leader)
            if cap < 0:
                continue
            served = problem.served[leader]
            tables[leader] = Table(
                self.takes,
                worths,
                [most if ok else 0 for most, ok in zip(self.limits, served, strict=True)],
                [piece.held for piece in problem.pieces],
                layered=problem.hold > 0,
                cap=cap,
                dtype=dtype,
            )
        return tables

    def hold_cap(self, source: Source) -> int:
        """Most steps that a set without a held part may fill; below 0 when no such set is safe."""
        problem = self.problem
        if problem.hold == 0:
            return max(source.room // self.step, -1)
        return int((source.reach - problem.hold) // self.step)

    def costs(self, source: Source, cap: int) -> Array | None:
        """Cost of a bar at every fill, the remainder over-estimated; None when it does not depend on the fill."""
        problem = self.problem
        if problem.rate == 0:
            return None
        remainder = source.reach - np.arange(cap + 1, dtype=np.int64) * self.step
        value = np.where((remainder >= problem.keep) & (remainder > 0), remainder * problem.rate // 1_000_000, 0)
        costs: Array = source.price - value
        return costs

    def best(self, index: int, tables: dict[int, Table], worths: Sequence[Any], unit: Any) -> Best:
        """The least of cost x ``unit`` less worth over the sets of one source; the empty set is among them."""
        problem, source, cap = self.problem, self.problem.sources[index], self.caps[index]
        nothing = (0,) * len(problem.pieces)
        least = Best(problem.cost(source, nothing) * unit, nothing)
        for i, served in enumerate(problem.served[index]):
            single = tuple(int(i == k) for k in range(len(problem.pieces)))
            if served and worths[i] > 0 and problem.never_cut(source, single):
                value = problem.cost(source, single) * unit - worths[i]
                least = min(least, Best(value, single), key=lambda best: best.value)
        table = tables.get(self.classes[index])
        if table is None or cap < 0:
            return least
        costs = self.costs(source, cap)
        layers = [(table.short, min(cap, self.hold_cap(source)), False), (table.held, cap, True)]
        for layer, limit, held in layers if table.layered else [(table.short, cap, False)]:
            if limit >= 0:
                at, value = self._least(layer, limit, costs, source.price, unit)
                if value < least.value:
                    least = Best(value, None, at, held)
        return least

    def pattern(self, best: Best, index: int, tables: dict[int, Table]) -> Pattern:
        """The set that a least value stands for."""
        if best.pattern is not None:
            return best.pattern
        return tables[self.classes[index]].pattern(best.fill, best.held)

    def richest(self, index: int, tables: dict[int, Table], worths: Sequence[Any]) -> Pattern:
        """The set of most worth on one source, whatever the bar costs."""
        return self.pattern(self.best(index, tables, worths, 0), index, tables)

    @staticmethod
    def _least(layer: Array, limit: int, costs: Array | None, price: int, unit: Any) -> tuple[int, Any]:
        if costs is None:
            # The layer never falls with the fill, so the longest fill is best.
            return limit, price * unit - layer[limit]
        net = costs[: limit + 1] * unit - layer[: limit + 1]
        at = int(np.argmin(net))
        return at, net[at]
