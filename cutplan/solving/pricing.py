"""Pricing: the pattern of least reduced cost for every block of bars, lengths counted in steps.

For the plan, what parts take is rounded up to the step; for the bound it is
rounded down and the remainder over-estimated, so that a step coarser than the
common divisor keeps both honest.

References
----------
P. C. Gilmore, R. E. Gomory, A linear programming approach to the cutting-stock problem, Operations Research 9 (1961).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import compress
from operator import le, sub
from typing import Any

import numpy as np

from cutplan.solving.buffers import Buffers
from cutplan.solving.instance import Block, Instance
from cutplan.solving.knapsack import NO_SET, Array, Table, chunks_of
from cutplan.solving.patterns.set_table import SetTable, listed_sets
from cutplan.solving.patterns.space import View
from cutplan.solving.patterns.state_table import StateTable
from cutplan.solving.patterns.trail_states import Stated
from cutplan.solving.solver_pieces import Pattern, Source
from cutplan.units import MM, Length, ceil_div


def working_step(instance: Instance, most_steps: int, cells: int, state_steps: int) -> Length:
    """The step lengths are counted in: the parts' common divisor, or coarser for bars above ``most_steps``. [nm]

    It is coarser too where a table would have more than ``cells``, or more than ``state_steps`` side by side.

    A part may take less than a step: it counts as one in the plan, and as nothing in the bound.
    """
    longest_room = max((source.room for source in instance.sources), default=0)
    copies = Counter([min(p.demand, max(longest_room // p.take, 1)) for p in instance.pieces])
    rows = sum(len(chunks_of(most)) * pieces for most, pieces in copies.items())
    states = instance.space.states
    cap = min(most_steps, max(cells // (rows * states), 1), max(state_steps // states, 1))
    step = instance.divisor
    return step if longest_room // step <= cap else ceil_div(longest_room, cap)


@dataclass(frozen=True)
class Best:
    """A least value, and its set: given outright, or to be read from the table at ``fill``.

    The value is infinite, and the set empty, where no bar can be in a block.
    """

    value: Any
    pattern: Pattern | None
    fill: int = 0
    held: bool = False
    flush: bool = False
    fills: tuple[int, ...] = ()
    """Of a set shared out among pieces, how much each of them is filled at most."""


@dataclass(frozen=True)
class Grid:
    """An instance counted in steps, for the plan (``for_bound`` false) or for the bound."""

    instance: Instance
    step: Length
    for_bound: bool
    takes: tuple[int, ...]
    caps: tuple[int, ...]
    blocks: tuple[Block, ...]
    """What is priced, by number: all bars of each source, or blocks that these are divided into."""
    classes: tuple[int, ...]
    """For each block, the first that may hold the same parts at the same money for cuts and set-ups."""
    limits: Pattern
    """Most of each part in one bar."""
    stated: Stated | None = None
    """The states of sets, where what a set takes depends on them."""
    buffers: Buffers = field(default_factory=Buffers, repr=False, compare=False)
    """Memory of tables in states, used again for the next."""
    views: tuple[Grid, ...] = ()
    """For the bound where sets do not add up: grids that see every set between them, each at the least; else none."""

    @classmethod
    def of(cls, instance: Instance, step: Length, *, for_bound: bool) -> Grid:
        """Count an instance in steps of ``step`` nm, rounding for the plan or for the bound."""
        space = instance.space
        if not for_bound:
            return cls._seen(instance, space.view_for_plans(), step, for_bound=False)
        whole = cls._counted(instance, step, for_bound=True)
        if space.adds_up:
            return whole
        views = (cls._seen(instance, view, step, for_bound=True) for view in space.views_for_bounds())
        return replace(whole, views=tuple(views))

    @classmethod
    def _seen(cls, instance: Instance, view: View, step: Length, *, for_bound: bool) -> Grid:
        counted = cls._counted(instance.seen(view), step, for_bound=for_bound, stated=view.stated)
        return counted.limited(view.limits)

    @classmethod
    def _counted(cls, instance: Instance, step: Length, *, for_bound: bool, stated: Stated | None = None) -> Grid:
        takes = tuple(p.take // step if for_bound else ceil_div(p.take, step) for p in instance.pieces)
        whole = cls(instance, step, for_bound, takes, (), (), (), instance.demand, stated)
        return whole.divided(instance.blocks)

    def divided(self, blocks: Sequence[Block]) -> Grid:
        """The same grid for other blocks."""
        sources = [self.instance.sources[block.source] for block in blocks]
        kinds = [
            (
                *(self.instance.served[block.source], source.per_cut, source.per_setup, block.least, block.most),
                # By state bars count more strokes, which depend on their ends.
                (source.start_trim > 0, source.far_trim == 0) if self.stated and source.per_cut else (),
                # Beginning on a slanted end some states take less.
                (source.slant.vertex, source.start_trim) if self.stated and source.slant else (),
            )
            for block, source in zip(blocks, sources, strict=True)
        ]
        return replace(
            self,
            # Down in both grids: what fits is still seen to fit when takes are rounded down, and what is seen to fit
            # when they are rounded up does.
            caps=tuple(max(source.room // self.step, -1) for source in sources),
            blocks=tuple(blocks),
            classes=tuple(kinds.index(kind) for kind in kinds),
            views=tuple(view.divided(blocks) for view in self.views),
        )

    def alike_to(self, other: Grid) -> bool:
        """Do both see every set at the same steps and the same cost, however lengths were rounded to them?"""

        def seen(grid: Grid) -> tuple[object, ...]:
            pieces = [piece._replace(take=0) for piece in grid.instance.pieces]
            sources = [replace(source, room=0) for source in grid.instance.sources]
            states = grid.stated and [
                grid.stated.beyond(grid.step, source, 1, up=not grid.for_bound) for source in sources
            ]
            return grid.step, grid.takes, grid.caps, grid.limits, grid.stated, pieces, sources, states

        return seen(self) == seen(other)

    def given(self, index: int) -> int:
        """Steps that the parts take which every bar of a block holds."""
        return sum(n * take for n, take in zip(self.blocks[index].least, self.takes, strict=True) if n)

    def free(self, index: int) -> int:
        """Most steps that may be added in a bar of a block to the parts that all hold; below 0 where there is none."""
        block, cap = self.blocks[index], self.caps[index]
        if block.kept:
            # So many that the left over, however it is rounded, is still long enough to be kept.
            cap = min(cap, (self.instance.sources[block.source].reach - max(self.instance.keep, 1)) // self.step)
        return cap - self.given(index)

    def limited(self, limits: Sequence[int]) -> Grid:
        """The same grid when only ``limits`` of each part are still wanted."""
        return replace(self, limits=tuple(limits))

    def alike(self) -> Iterator[list[int]]:
        """Blocks by class, all that one table serves, so that no more than one need be held at a time."""
        for leader in sorted(set(self.classes)):
            yield [index for index, group in enumerate(self.classes) if group == leader]

    def tables(
        self,
        duals: Sequence[Any],
        dtype: Any,
        *,
        unit: Any = 1,
        readable: bool = True,
        blocks: Sequence[int] | None = None,
    ) -> dict[int, Table]:
        """A table for each class of blocks, up to its longest bar, of what is added to the parts that all bars hold.

        Costs count ``unit`` times. With ``blocks`` only what serves those is made.
        """
        instance = self.instance
        tables = {}
        for leader in sorted({self.classes[index] for index in blocks} if blocks is not None else set(self.classes)):
            cap = max(c for c, group in zip(self.caps, self.classes, strict=True) if group == leader)
            cap -= self.given(leader)
            block = self.blocks[leader]
            if cap < 0 or not self._may_be(block):
                continue
            served, source = instance.served[block.source], instance.sources[block.source]
            more = map(sub, map(min, block.most, self.limits), block.least)
            limits = tuple([most if ok and most > 0 else 0 for most, ok in zip(more, served, strict=True)])
            made = partial(
                self._table(block, limits, cap, unit),
                self.takes,
                [y - self.cuts(source, i, unit) for i, y in enumerate(duals)] if source.per_cut else duals,
                limits,
                instance.held,
                entries=self._entries(block, unit),
                layered=instance.hold > 0 and not self._is_held(block),
                begun=any(block.least),
                cap=cap,
                dtype=dtype,
                readable=readable,
            )
            tables[leader] = made()
            if any(self._flush(index) is not None for index, group in enumerate(self.classes) if group == leader):
                tables[leader].flush = made(exact=True)
        return tables

    def _table(self, block: Block, limits: Pattern, cap: int, unit: Any) -> Callable[..., Table]:
        if self.stated is None:
            return Table
        source = self.instance.sources[block.source]
        beyond = self.stated.beyond(self.step, source, unit, up=not self.for_bound)
        start = self.stated.start(block.least)
        # Of all sets that any bar may hold a list is made once.
        sets = listed_sets(self.stated, start, self.takes, self.instance.demand, beyond.steps, max(self.caps))
        if sets is not None:
            return partial(SetTable, sets=sets.within(limits, cap), beyond=beyond)
        return partial(StateTable, stated=self.stated, start=start, beyond=beyond, buffers=self.buffers)

    def cuts(self, source: Source, i: int, unit: Any) -> Any:
        """What the strokes count for that one of a part is counted with."""
        return source.per_cut * self.instance.pieces[i].cuts * unit

    def _set_up(self, source: Source, i: int, unit: Any) -> Any:
        """What a part counts for of its set-up: all of it, or what is its share where pieces may share one."""
        money, sharing = source.per_setup * unit, self.instance.sharing[i]
        # Rounded down: all that share a set-up together pay no more than that.
        return money if sharing == 1 else money // sharing

    def _entries(self, block: Block, unit: Any) -> Sequence[Any]:
        source = self.instance.sources[block.source]
        if not source.per_setup:
            return ()
        return [0 if n else self._set_up(source, i, unit) for i, n in enumerate(block.least)]

    def _flush(self, index: int) -> int | None:
        """The steps that sets take which fill a bar of a block to its very end; None where no number of steps says so.

        Where sets do not add up, or lengths are counted in a coarser step than their own, any set may do so.
        """
        source = self.instance.sources[self.blocks[index].source]
        exact = self.instance.space.adds_up and self.instance.divisor % self.step == 0
        return self.caps[index] if source.flush and exact and self.caps[index] >= 0 else None

    def _is_held(self, block: Block) -> bool:
        """Does every bar of a block hold a part that the vice can hold?"""
        return any(compress(block.least, self.instance.held))

    def hold_cap(self, source: Source) -> int:
        """Most steps that a set without a held part may fill; below 0 when no such set is safe."""
        instance = self.instance
        if instance.hold == 0:
            return max(source.room // self.step, -1)
        return int((source.reach - instance.hold) // self.step)

    def costs(self, source: Source, fills: Array, unit: Any, keep_dual: Any) -> Array:
        """Cost of a bar at some fills, the remainder over-estimated.

        Cuts and set-ups are left to the duals.
        """
        instance = self.instance
        remainder = source.reach - fills * self.step
        # Whole millimetres apart, so that no product overflows.
        worth = remainder // MM * source.rate + remainder % MM * source.rate // MM
        value = np.where((remainder >= instance.keep) & (remainder > 0), worth, 0)
        costs: Array = source.price * unit - np.maximum(value * unit - keep_dual, 0)
        return costs

    def best(self, index: int, tables: dict[int, Table], duals: Sequence[Any], unit: Any, keep_dual: Any = 0) -> Best:
        """The least of cost x ``unit`` less worth over the sets of one block, the empty one too if it is among them.

        Keeping a left over costs ``keep_dual``, and is left alone where it is worth no more than that.
        """
        instance, block = self.instance, self.blocks[index]
        source, given = instance.sources[block.source], self.given(index)
        if block.kept is False:
            source = replace(source, rate=0)
        cap = self.free(index)
        nothing = (0,) * len(instance.pieces)
        least = Best(math.inf, nothing)
        if not self._may_be(block):
            return least
        if not any(block.least) and (not block.kept or source.untouched >= max(instance.keep, 1)):
            value = instance.value(source, source.untouched) * unit
            least = Best(source.price * unit - max(value - keep_dual, 0), nothing)
        for i in instance.uncut[block.source]:
            single = instance.single(i)
            if block.has(single):
                value = source.bare * unit + self._set_up(source, i, unit) - duals[i]
                least = min(least, Best(value, single), key=lambda best: best.value)
        nothing_cut = least
        table = tables.get(self.classes[index])
        if table is None or cap < 0:
            return least
        # Where a left over is worth nothing, the fill does not matter.
        fills = table.fills() if source.rate else None
        costs = None if fills is None else self.costs(source, fills + given, unit, keep_dual)
        worth = sum(
            n * (duals[i] - self.cuts(source, i, unit)) - self._set_up(source, i, unit)
            for i, n in enumerate(block.least)
            if n
        )
        flush = self._flush(index)
        if source.flush and instance.space.adds_up and flush is None:
            # No number of steps tells the sets that end flush, so each is seen as if it spared a stroke.
            worth += source.per_cut * unit
        judged = source.in_pieces and costs is None and not any(block.least) and block.kept is None
        shared = self._over_pieces(source, table, unit) if judged else None
        layers = [(table.short, min(cap, self.hold_cap(source) - given), False), (table.likely, cap, True)]
        for layer, limit, held in layers if table.layered else [(table.short, cap, False)]:
            row = table.row(limit) if limit >= 0 else -1
            if row >= 0:
                at, value = self._least(layer, row, costs, source.price, unit)
                # Likely sets are worth no less than held ones: where they do not win, held ones need not be worked out.
                if held and value - worth < least.value and not table.tells(at):
                    layer = table.held
                    at, value = self._least(layer, row, costs, source.price, unit)
                value -= worth
                if layer[at] > NO_SET and value < least.value:
                    least = Best(value, None, limit if fills is None else int(fills[at]), held)
        if shared is not None and least.pattern is None and shared.value >= least.value:
            # Sharing out among pieces is never cheaper than one bar of the same room: the higher of two bounds holds.
            least = shared if shared.value < nothing_cut.value else nothing_cut
        if flush is not None and table.flush is not None and not block.kept:
            layer = table.flush.held if table.flush.layered else table.flush.short
            value = (source.price - source.per_cut) * unit - worth - layer[cap]
            if layer[cap] > NO_SET // 2 and value < least.value:
                least = Best(value, None, cap, table.flush.layered, flush=True)
        return least

    def cheapest_empty(self, index: int) -> bool:
        """Where parts are worth nothing, is no set of a block that is cut cheaper than its empty bar?"""
        block = self.blocks[index]
        return self.stated is None and not any(block.least) and not self.instance.sources[block.source].flush

    def _over_pieces(self, source: Source, table: Table, unit: Any) -> Best | None:
        """The same over sets shared out among pieces of a length, of which none has room for more than a carry.

        Each number of pieces is judged by what such pieces hold and by what they hold in all, the last by the latter
        alone, so that it stands for all beyond it. None where a sum could overflow.
        """
        best, pieces = table.on_one_piece, table.over_pieces(max(source.piece_room // self.step, -1))
        if pieces is None:
            return None
        least = None
        for number, room, as_one, price in source.in_pieces:
            steps = min(as_one // self.step, len(best) - 1)
            if steps < 0:
                continue
            shared = pieces.most(number, room // self.step) if number < source.in_pieces[-1].number else None
            worth, fills = (best[steps], (steps,)) if shared is None or best[steps] < shared.worth else shared
            found = Best(price * unit - worth, None, int(steps), fills=tuple(map(int, fills)))
            if least is None or found.value < least.value:
                least = found
        return least

    def _may_be(self, block: Block) -> bool:
        """Can any bar be in a block, room and safe hold aside?"""
        if any(block.least[i] for i in self.instance.unserved[block.source]):
            return False
        return all(map(le, block.least, map(min, block.most, self.limits)))

    def pattern(self, best: Best, index: int, tables: dict[int, Table]) -> Pattern:
        """The set that a least value stands for."""
        if best.pattern is not None:
            return best.pattern
        table = tables[self.classes[index]]
        if best.fills:
            return tuple(map(sum, zip(*map(table.piece, best.fills), strict=True)))
        added = (table.flush if best.flush and table.flush else table).pattern(best.fill, best.held)
        return tuple(n + m for n, m in zip(added, self.blocks[index].least, strict=True))

    def richest(self, index: int, tables: dict[int, Table], duals: Sequence[Any]) -> Pattern:
        """The set of most worth on one source, whatever the bar costs; ``tables`` are made with a unit of 0."""
        return self.pattern(self.best(index, tables, duals, 0), index, tables)

    @staticmethod
    def _least(layer: Array, row: int, costs: Array | None, price: int, unit: Any) -> tuple[int, Any]:
        if costs is None:
            # The layer never falls with the fill, so the longest fill is best.
            return row, price * unit - layer[row]
        net = costs[: row + 1] - layer[: row + 1]
        at = int(np.argmin(net))
        return at, net[at]
