"""The knapsack that prices bars: dense, bounded, one pass for every stock length.

Lengths are counted in steps. For the plan, what parts take is rounded up to the
step; for the bound it is rounded down and the remainder over-estimated, so that
a step coarser than the common divisor keeps both honest. The layered pass makes
safe hold exact: ``short`` holds sets without a part that the vice can hold,
``held`` sets with at least one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from cutplan.solving.instance import Instance, Pattern, Share, Source
from cutplan.solving.views import view_for_plans, views_for_bounds
from cutplan.units import MM, Length, ceil_div

Array: TypeAlias = NDArray[Any]

FINEST_CAP = 1_500_000
"""Steps a bar may have before the working step is made coarser than the common divisor."""

MOST_CELLS = 400_000_000
"""Cells of a table, a byte each, above which the working step is made coarser too."""

NO_SET = -(2**62)
"""Worth of a set where there is none: below that of any, and still far enough from overflow to be taken from a cost."""


def working_step(instance: Instance, cap: int = FINEST_CAP, cells: int = MOST_CELLS) -> Length:
    """The step lengths are counted in: the parts' common divisor, or coarser for bars above ``cap`` steps. [nm]

    It is coarser too where a table would have more than ``cells``.

    A part may take less than a step: it counts as one in the plan, and as nothing in the bound.
    """
    longest_room = max((source.room for source in instance.sources), default=0)
    rows = sum(len(chunks_of(min(p.demand, max(longest_room // p.take, 1)))) for p in instance.pieces)
    cap = min(cap, max(cells // rows, 1))
    step = instance.divisor
    return step if longest_room // step <= cap else ceil_div(longest_room, cap)


def chunks_of(copies: int) -> list[int]:
    """Bundles of 1, 2, 4 ... copies and a rest, which together make every number up to ``copies``."""
    sizes = []
    size = 1
    while copies > 0:
        sizes.append(min(size, copies))
        copies -= sizes[-1]
        size *= 2
    return sizes


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
        """``bundles`` are (part, copies, steps, worth); ``best`` is changed in place."""
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


def _shortest_or_better(parts: Sequence[int], takes: Sequence[int], worths: Sequence[Any]) -> list[int]:
    """The shortest of some parts, and each longer one that is worth more than all shorter ones."""
    found: list[int] = []
    for i in sorted(parts, key=lambda i: (takes[i], -worths[i], i)):
        if not found or worths[i] > worths[found[-1]]:
            found.append(i)
    return found


class Table:
    """Best worth of a set for every fill, for the parts one grade of bar serves.

    Parameters
    ----------
    takes
        What each part takes. [steps]
    worths
        Worth of one of each part, less what its cut costs; integers for a bound, floats for pricing.
    limits
        Most of each part in one bar, 0 for a part that is not served.
    held
        Which parts the vice can hold.
    entries
        What the first of each part on the bar costs, whatever comes after; empty where that is nothing.
    layered
        Whether sets without a held part must be told apart.
    begun
        Whether every set is added to parts that the vice cannot hold.
    cap
        Steps of the longest bar.
    readable
        Whether sets can be read from the table afterwards; a bound only needs the worths.
    exact
        Whether every fill is for sets that take exactly so much, rather than at most; no part is then too poor.
    """

    flush: Table | None = None
    """The exact table beside this one, where some bar may be filled to its very end."""

    def __init__(
        self,
        takes: Sequence[int],
        worths: Sequence[Any],
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
        wanted = [i for i in range(len(takes)) if (exact or worths[i] > 0) and limits[i] > 0 and takes[i] <= cap]
        # Best worth per step first, so that a set of early parts is already a good one.
        wanted.sort(key=lambda i: (-worths[i] / max(takes[i], 1), i))
        self.layered = layered and (begun or any(not held[i] for i in wanted))
        if self.layered and not exact:
            # A worthless part can be what holds a set of short ones; the shortest does it best, or one that costs less.
            spare = [i for i in range(len(takes)) if held[i] and worths[i] <= 0 < limits[i] and takes[i] <= cap]
            wanted += _shortest_or_better(spare, takes, worths)
        self.short: Array = np.full(cap + 1, NO_SET if exact else 0, dtype=dtype)
        self.short[0] = 0
        first = [i for i in wanted if not (self.layered and held[i])]
        bundles = [self._bundles(i, takes[i], worths[i], self._copies(takes[i], limits[i])) for i in first]
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
                    self._held_parts.append(self._held_part(i, takes[i], worths[i], limits[i]))

    def _copies(self, take: int, limit: int) -> int:
        return min(limit, self.cap // take) if take else limit

    @staticmethod
    def _bundles(part: int, take: int, worth: Any, copies: int) -> list[tuple[int, int, int, Any]]:
        return [(part, size, size * take, size * worth) for size in chunks_of(copies)]

    def _held_part(self, i: int, take: int, worth: Any, limit: int) -> _HeldPart:
        # Of this part at least one: one copy on top of a set that holds up to limit - 1 of it.
        from_short = self.short >= self.held
        base = np.maximum(self.short, self.held)
        base -= self._entries[i]
        copies = self._copies(take, limit) - 1 if worth > 0 or self._exact else 0
        more = _Layer(base, self._bundles(i, take, worth, copies), self._readable)
        candidate = base[: len(base) - take] + worth
        first = candidate > self.held[take:]
        np.maximum(self.held[take:], candidate, out=self.held[take:])
        return _HeldPart(i, take, more, first, from_short)

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


@dataclass(frozen=True)
class Best:
    """A least value, and its set: given outright, or to be read from the table at ``fill``.

    The value is infinite, and the set empty, where no bar can be in a share.
    """

    value: Any
    pattern: Pattern | None
    fill: int = 0
    held: bool = False
    flush: bool = False


@dataclass(frozen=True)
class Grid:
    """An instance counted in steps, for the plan (``for_bound`` false) or for the bound."""

    instance: Instance
    step: Length
    for_bound: bool
    takes: tuple[int, ...]
    caps: tuple[int, ...]
    shares: tuple[Share, ...]
    """What is priced, by number: all bars of each source, or shares that these are divided into."""
    classes: tuple[int, ...]
    """For each share, the first that may hold the same parts at the same money for cuts and set-ups."""
    limits: Pattern
    """Most of each part in one bar."""
    views: tuple[Grid, ...] = ()
    """For the bound where parts are mitred: grids that see every set between them, each as it is least; else none."""

    @classmethod
    def of(cls, instance: Instance, step: Length, *, for_bound: bool) -> Grid:
        """Count an instance in steps of ``step`` nm, rounding for the plan or for the bound."""
        if not instance.mitred:
            return cls._counted(instance, step, for_bound=for_bound)
        if not for_bound:
            return cls._counted(view_for_plans(instance).instance, step, for_bound=False)
        views = [(view, cls._counted(view.instance, step, for_bound=True)) for view in views_for_bounds(instance)]
        whole = cls._counted(instance, step, for_bound=True)
        return replace(whole, views=tuple(grid.limited(view.limits) for view, grid in views))

    @classmethod
    def _counted(cls, instance: Instance, step: Length, *, for_bound: bool) -> Grid:
        takes = tuple(p.take // step if for_bound else ceil_div(p.take, step) for p in instance.pieces)
        whole = cls(instance, step, for_bound, takes, (), (), (), instance.demand)
        return whole.divided(instance.shares)

    def divided(self, shares: Sequence[Share]) -> Grid:
        """The same grid for other shares."""
        sources = [self.instance.sources[share.source] for share in shares]
        kinds = [
            (self.instance.served[share.source], source.per_cut, source.per_setup, share.least, share.most)
            for share, source in zip(shares, sources, strict=True)
        ]
        return replace(
            self,
            caps=tuple(max(source.room // self.step, -1) for source in sources),
            shares=tuple(shares),
            classes=tuple(kinds.index(kind) for kind in kinds),
            views=tuple(view.divided(shares) for view in self.views),
        )

    def given(self, index: int) -> Length:
        """Steps that the parts take which every bar of a share holds."""
        return sum(n * take for n, take in zip(self.shares[index].least, self.takes, strict=True) if n)

    def limited(self, limits: Sequence[int]) -> Grid:
        """The same grid when only ``limits`` of each part are still wanted."""
        return replace(self, limits=tuple(limits))

    def alike(self) -> Iterator[list[int]]:
        """Shares by class: those that one table serves, so that no more than one need be held at a time."""
        for leader in sorted(set(self.classes)):
            yield [index for index, group in enumerate(self.classes) if group == leader]

    def tables(
        self,
        worths: Sequence[Any],
        dtype: Any,
        *,
        unit: Any = 1,
        readable: bool = True,
        shares: Sequence[int] | None = None,
    ) -> dict[int, Table]:
        """A table for each class of shares, up to its longest bar, of what is added to the parts that all bars hold.

        Costs count ``unit`` times. With ``shares`` only what serves those is made.
        """
        instance = self.instance
        tables = {}
        for leader in sorted({self.classes[index] for index in shares} if shares is not None else set(self.classes)):
            cap = max(c for c, group in zip(self.caps, self.classes, strict=True) if group == leader)
            cap -= self.given(leader)
            share = self.shares[leader]
            if cap < 0 or not self._may_be(share):
                continue
            served, source = instance.served[share.source], instance.sources[share.source]
            bounds = zip(share.least, share.most, self.limits, strict=True)
            more = [min(most, limit) - least for least, most, limit in bounds]
            made = partial(
                Table,
                self.takes,
                [y - self.cuts(source, i, unit) for i, y in enumerate(worths)] if source.per_cut else worths,
                [max(0, most) if ok else 0 for most, ok in zip(more, served, strict=True)],
                [piece.held for piece in instance.pieces],
                entries=self._entries(share, unit),
                layered=instance.hold > 0 and not self._is_held(share),
                begun=any(share.least),
                cap=cap,
                dtype=dtype,
                readable=readable,
            )
            tables[leader] = made()
            if any(self._flush(index) is not None for index, group in enumerate(self.classes) if group == leader):
                tables[leader].flush = made(exact=True)
        return tables

    def cuts(self, source: Source, i: int, unit: Any) -> Any:
        """What the strokes count for that one of a part is counted with."""
        return source.per_cut * self.instance.pieces[i].cuts * unit

    def _set_up(self, source: Source, i: int, unit: Any) -> Any:
        """What a part counts for of its set-up: all of it, or what is its share where pieces may share one."""
        money, sharing = source.per_setup * unit, self.instance.sharing[i]
        return money if sharing == 1 else money // sharing

    def _entries(self, share: Share, unit: Any) -> Sequence[Any]:
        source = self.instance.sources[share.source]
        if not source.per_setup:
            return ()
        return [0 if n else self._set_up(source, i, unit) for i, n in enumerate(share.least)]

    def _flush(self, index: int) -> int | None:
        """The steps that sets take which fill a bar of a share to its very end; None where that cannot be told.

        Where parts are mitred, or lengths are counted in a coarser step than their own, any set may do so.
        """
        source = self.instance.sources[self.shares[index].source]
        exact = not self.instance.mitred and self.instance.divisor % self.step == 0
        return self.caps[index] if source.flush and exact and self.caps[index] >= 0 else None

    def _is_held(self, share: Share) -> bool:
        """Does every bar of a share hold a part that the vice can hold?"""
        return any(n and piece.held for n, piece in zip(share.least, self.instance.pieces, strict=True))

    def hold_cap(self, source: Source) -> int:
        """Most steps that a set without a held part may fill; below 0 when no such set is safe."""
        instance = self.instance
        if instance.hold == 0:
            return max(source.room // self.step, -1)
        return int((source.reach - instance.hold) // self.step)

    def costs(self, source: Source, cap: int, unit: Any, keep_dual: Any) -> Array | None:
        """Cost of a bar at every fill, the remainder over-estimated; None when it does not depend on the fill.

        Cuts and set-ups are left to the worths.
        """
        instance = self.instance
        if source.rate == 0:
            return None
        remainder = source.reach - np.arange(cap + 1, dtype=np.int64) * self.step
        # Whole millimetres apart, so that no product overflows.
        worth = remainder // MM * source.rate + remainder % MM * source.rate // MM
        value = np.where((remainder >= instance.keep) & (remainder > 0), worth, 0)
        costs: Array = source.price * unit - np.maximum(value * unit - keep_dual, 0)
        return costs

    def best(self, index: int, tables: dict[int, Table], worths: Sequence[Any], unit: Any, keep_dual: Any = 0) -> Best:
        """The least of cost x ``unit`` less worth over the sets of one share, the empty one too if it is among them.

        Keeping a left over costs ``keep_dual``, and is left alone where it is worth no more than that.
        """
        instance, share = self.instance, self.shares[index]
        source, given = instance.sources[share.source], self.given(index)
        cap = self.caps[index] - given
        nothing = (0,) * len(instance.pieces)
        least = Best(math.inf, nothing)
        if not self._may_be(share):
            return least
        if not any(share.least):
            least = Best(source.price * unit - max(instance.value(source, source.reach) * unit - keep_dual, 0), nothing)
        for i in instance.uncut[share.source]:
            single = instance.single(i)
            if share.has(single):
                value = source.bare * unit + self._set_up(source, i, unit) - worths[i]
                least = min(least, Best(value, single), key=lambda best: best.value)
        table = tables.get(self.classes[index])
        if table is None or cap < 0:
            return least
        costs = self.costs(source, self.caps[index], unit, keep_dual)
        costs = None if costs is None else costs[given:]
        worth = sum(
            n * (worths[i] - self.cuts(source, i, unit)) - self._set_up(source, i, unit)
            for i, n in enumerate(share.least)
            if n
        )
        flush = self._flush(index)
        if source.flush and not instance.mitred and flush is None:
            worth += source.per_cut * unit
        layers = [(table.short, min(cap, self.hold_cap(source) - given), False), (table.held, cap, True)]
        for layer, limit, held in layers if table.layered else [(table.short, cap, False)]:
            if limit >= 0:
                at, value = self._least(layer, limit, costs, source.price, unit)
                value -= worth
                if layer[at] > NO_SET and value < least.value:
                    least = Best(value, None, at, held)
        if flush is not None and table.flush is not None:
            layer = table.flush.held if table.flush.layered else table.flush.short
            value = (source.price - source.per_cut) * unit - worth - layer[cap]
            if layer[cap] > NO_SET // 2 and value < least.value:
                least = Best(value, None, cap, table.flush.layered, flush=True)
        return least

    def _may_be(self, share: Share) -> bool:
        """Can any bar be in a share, room and safe hold aside?"""
        bounds = zip(share.least, share.most, self.limits, self.instance.served[share.source], strict=True)
        return all(least <= min(most, limit) and (served or not least) for least, most, limit, served in bounds)

    def pattern(self, best: Best, index: int, tables: dict[int, Table]) -> Pattern:
        """The set that a least value stands for."""
        if best.pattern is not None:
            return best.pattern
        table = tables[self.classes[index]]
        added = (table.flush if best.flush and table.flush else table).pattern(best.fill, best.held)
        return tuple(n + m for n, m in zip(added, self.shares[index].least, strict=True))

    def richest(self, index: int, tables: dict[int, Table], worths: Sequence[Any]) -> Pattern:
        """The set of most worth on one source, whatever the bar costs; ``tables`` are made with a unit of 0."""
        return self.pattern(self.best(index, tables, worths, 0), index, tables)

    @staticmethod
    def _least(layer: Array, limit: int, costs: Array | None, price: int, unit: Any) -> tuple[int, Any]:
        if costs is None:
            # The layer never falls with the fill, so the longest fill is best.
            return limit, price * unit - layer[limit]
        net = costs[: limit + 1] - layer[: limit + 1]
        at = int(np.argmin(net))
        return at, net[at]
