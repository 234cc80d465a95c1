"""Listing every pattern that a better plan could use, by reduced cost.

With duals y and, for each source, the least m of cost less worth, a plan that
uses a pattern of reduced cost r (its cost less its worth less m) costs at least
the bound plus r. When all patterns with r inside the gap can be listed, an
integer program over them decides.

Parts are taken longest first, and all sets begun grow side by side, one part at
a time, as arrays. A set is dropped as soon as no rest could make it worth its bar.

References
----------
Reduced-cost fixing: G. Nemhauser, L. Wolsey, Integer and Combinatorial
Optimization, Wiley 1988, section II.5.2 (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from cutplan.solving.instance import Instance
from cutplan.solving.knapsack import Array, chunks_of, let_in
from cutplan.solving.master import Column, columns_of
from cutplan.solving.parameters import Parameters
from cutplan.solving.pricing import Grid
from cutplan.solving.solver_pieces import Pattern, Source
from cutplan.units import Length


def enumerate_patterns(
    instance: Instance,
    grid: Grid,
    duals: Sequence[float],
    least_reduced: Sequence[float],
    gap: float,
    waste: Sequence[Length],
    most: int,
    stopped: Callable[[], bool],
    parameters: Parameters,
    most_parts: int | None = None,
    *,
    every_set: bool = False,
) -> list[Column] | None:
    """Every pattern with reduced cost at most ``gap``; None when there are more than ``most`` or time is up.

    Where a bar costs the same whatever is cut from it only sets to which no
    part can be added are listed: a smaller set costs no less. With ``every_set``
    these are listed too.

    Parameters
    ----------
    grid
        Its ``limits`` are the most of each part that a pattern may hold.
    duals
        Duals of the relaxation, 0 or more. [cost unit]
    least_reduced
        By these duals, the least of cost less worth of each source. [cost unit]
    gap
        What a better plan may cost above the relaxation's bound. [cost unit]
    waste
        The most that a bar of each source may leave free. [nm]
    most_parts
        The most parts that a pattern may hold, where patterns of more are left out.
    """
    columns: list[Column] = []
    for index, cap in enumerate(grid.caps):
        if cap < 0:
            continue
        found = of_source(
            instance,
            grid,
            index,
            duals,
            least_reduced[index] + gap,
            waste[index],
            most - len(columns),
            stopped,
            parameters,
            most_parts,
            every_set=every_set,
        )
        if found is None:
            return None
        columns += found
    return columns


def of_source(
    instance: Instance,
    grid: Grid,
    index: int,
    duals: Sequence[float],
    above: float,
    waste: Length,
    most: int,
    stopped: Callable[[], bool],
    parameters: Parameters,
    most_parts: int | None = None,
    *,
    every_set: bool = False,
) -> list[Column] | None:
    """Every pattern of a source that costs at most ``above`` more than its parts are worth."""
    source, served, cap = instance.sources[index], instance.served[index], grid.caps[index]
    order = sorted(
        (i for i, limit in enumerate(grid.limits) if limit and served[i] and grid.takes[i] <= cap),
        key=lambda i: (-grid.takes[i], i),
    )
    if (cap + 1) * (len(order) + 1) > parameters.listed_cells or any(grid.takes[i] == 0 for i in order):
        return None
    # A hair more than the gap: rounding of floats must not hide a pattern that is just within it.
    dearest = above + 1e-9 * source.price
    # Where every set may be cut, one that leaves room for a part it could hold is never listed.
    largest = instance.flat and not every_set
    full = largest and instance.space.adds_up and (instance.hold == 0 or all(instance.held[i] for i in order))
    growth = _Growth(
        parts=[
            _Part(
                i,
                grid.takes[i],
                max(duals[i] - grid.cuts(source, i, 1), 0.0),
                min(grid.limits[i], cap // grid.takes[i]),
            )
            for i in order
        ],
        values=_values(source, grid, cap),
        # Cuts are taken off the duals; where a bar ends flush one of them is spared.
        needed=source.price - (source.per_cut if source.flush or not instance.space.adds_up else 0) - dearest,
        # Counted in a coarser step, a set takes less than it seems to.
        free=min(cap, waste // grid.step) if grid.step == instance.divisor else cap,
        full=full and most_parts is None,
        most_parts=sum(grid.limits) if most_parts is None else most_parts,
    )
    begun = growth.run(most * parameters.sets_per_pattern, stopped)
    if begun is None:
        return None
    counts = begun.counts(len(instance.pieces))
    counts = counts[instance.space.which_can_be_cut(index, counts, stopped)]
    if stopped():
        return None
    if full and len(counts) > most:
        return None
    columns: list[Column] = []
    for row, worth in zip(counts.tolist(), (counts @ np.maximum(duals, 0.0)).tolist(), strict=True):
        pattern = tuple(row)
        # Sets grew by what they cost at least, set-ups left aside; here the true cost decides.
        cheap = instance.cost(index, pattern) <= worth + dearest
        if cheap and (full or not largest or _is_full(instance, grid, index, pattern)):
            columns.extend(columns_of(instance, index, pattern))
        if len(columns) > most:
            return None
    return columns


def sets_worth(
    instance: Instance,
    grid: Grid,
    index: int,
    duals: Sequence[float],
    values: Array,
    needed: float,
    most: int,
    stopped: Callable[[], bool],
    parameters: Parameters,
) -> list[Pattern] | None:
    """Every set, the empty one too, that with what stays free is worth ``needed`` or more; None when over ``most``.

    ``values`` is what is free worth by its steps; its length says how much a set may fill.
    """
    served, cap = instance.served[index], len(values) - 1
    order = sorted(
        (i for i, limit in enumerate(grid.limits) if limit and served[i] and grid.takes[i] <= cap),
        key=lambda i: (-grid.takes[i], i),
    )
    if (cap + 1) * (len(order) + 1) > parameters.listed_cells or any(grid.takes[i] == 0 for i in order):
        return None
    growth = _Growth(
        parts=[_Part(i, grid.takes[i], max(duals[i], 0.0), min(grid.limits[i], cap // grid.takes[i])) for i in order],
        values=values,
        needed=needed - 1e-9 * abs(needed),
        free=cap,
        full=False,
        most_parts=sum(grid.limits),
    )
    begun = growth.run(most * parameters.sets_per_pattern, stopped)
    if begun is None or len(begun.room) > most:
        return None
    return [tuple(row) for row in begun.counts(len(instance.pieces)).tolist()]


def _is_full(instance: Instance, grid: Grid, index: int, pattern: Pattern) -> bool:
    """Is there no part that could be added?"""
    slack = instance.sources[index].room - instance.fill(pattern)
    for i, (n, piece) in enumerate(zip(pattern, instance.pieces, strict=True)):
        if n < grid.limits[i] and piece.take <= slack:
            grown = tuple(m + int(k == i) for k, m in enumerate(pattern))
            if instance.allowed(index, grown):
                return False
    return True


def most_waste(instance: Instance, wanted: Sequence[int], left: Sequence[int], below: int) -> list[Length]:
    """The most that a bar of each source may leave free in a plan for ``wanted`` that costs less than ``below``. [nm]

    When all parts are worth the same for their length, what a bar costs above the worth of a full one adds
    to the least that any plan costs. ``left`` is how many bars of each source there are.
    """
    rooms = [max(source.room, 0) for source in instance.sources]
    if instance.valued:
        return rooms
    length = sum(n * piece.take for n, piece in zip(wanted, instance.pieces, strict=True))
    known = list(zip(instance.sources, rooms, left, strict=True))
    best = (0.0, 0.0)
    # The bound is concave in the rate and made of straight pieces, which meet only where a full bar of some source is
    # worth just its price.
    for rate in {source.price / room for source, room, most in known if room and most}:
        bound = rate * length + sum(most * min(0.0, source.price - rate * room) for source, room, most in known)
        best = max(best, (bound, rate))
    bound, rate = best
    if rate <= 0:
        return rooms
    gap = below - instance.cost_step - bound + 1e-9 * abs(below)
    above = [max(0.0, source.price - rate * room) for source, room, _ in known]
    # The gap is a hair wide and truncation is towards zero: floats may let in a bar too many, never one too few.
    return [min(room, max(int((gap - a) / rate), -1)) for room, a in zip(rooms, above, strict=True)]


def _values(source: Source, grid: Grid, cap: int) -> Array:
    """Worth of what is left of a bar, for every number of steps still free. [cost unit]"""
    if not source.rate:
        return np.zeros(cap + 1)
    costs = grid.costs(source, np.arange(cap + 1, dtype=np.int64), 1, 0)
    return (source.price - costs)[::-1].astype(np.float64)


@dataclass(frozen=True)
class _Part:
    """A part as it is let into sets: its index, steps, worth of one, most in one bar."""

    index: int
    take: int
    worth: float
    most: int


@dataclass(frozen=True)
class _Begun:
    """Sets begun, side by side: steps still free, worth, parts they may still take, the number of what each took last.

    ``short`` is more than the set may leave free in the end: a step beyond what may go to waste, or what one more
    of a part takes that the set holds fewer of than it may.
    ``taken`` holds for every part and count, in turn, what the sets with that count had taken before; -1 is nothing.
    """

    room: Array
    worth: Array
    short: Array
    more: Array
    last: Array
    taken: list[tuple[int, int, Array]]

    def take(self, index: int, count: int, can: Array, good: Array) -> Array:
        """What the sets that take ``count`` of a part, and are good then, took last."""
        last = self.last[can][good]
        if count == 0:
            return last
        number = sum(len(before) for *_, before in self.taken)
        self.taken.append((index, count, last))
        return np.arange(number, number + len(last))

    def counts(self, width: int) -> Array:
        """How many of each part every set holds, traced back from what it took last."""
        counts = np.zeros((len(self.last), width), dtype=np.int64)
        part = np.concatenate([np.full(len(before), i) for i, _, before in self.taken] or [np.zeros(0, dtype=int)])
        held = np.concatenate([np.full(len(before), n) for _, n, before in self.taken] or [np.zeros(0, dtype=int)])
        earlier = np.concatenate([before for *_, before in self.taken] or [np.zeros(0, dtype=int)])
        rows, last = np.arange(len(self.last)), self.last
        while len(rows):
            rows, last = rows[last >= 0], last[last >= 0]
            counts[rows, part[last]] = held[last]
            last = earlier[last]
        return counts


@dataclass(frozen=True, kw_only=True)
class _Growth:
    """Which sets are grown: worth ``needed`` with what they leave, at most ``free`` steps, of at most ``most_parts``.

    ``values`` is what is left worth by the steps free. With ``full``, only sets that leave no room for one more of
    a part they may hold.
    """

    parts: Sequence[_Part]
    values: Array
    needed: float
    free: int
    full: bool
    most_parts: int

    def run(self, most: int, stopped: Callable[[], bool]) -> _Begun | None:
        """Let in part after part; None when more than ``most`` sets are begun at a time."""
        completions = _completions([(part.take, part.most, part.worth) for part in self.parts], self.values)
        fills = _completions([(part.take, part.most, float(part.take)) for part in self.parts], 0 * self.values)
        cap = len(self.values) - 1
        sets = _Begun(
            np.array([cap]), np.zeros(1), np.array([self.free + 1]), np.array([self.most_parts]), np.array([-1]), []
        )
        longest = [part.take for part in self.parts] + [0]
        for k, part in enumerate(self.parts, start=1):
            if stopped():
                return None
            grown = []
            for n in range(part.most + 1):
                can = (sets.room >= n * part.take) & (sets.more >= n)
                if n and not can.any():
                    break
                room, worth, more = sets.room[can] - n * part.take, sets.worth[can] + n * part.worth, sets.more[can] - n
                short = sets.short[can]
                if self.full and n < part.most:
                    short = np.minimum(short, part.take)
                # What the rest may fill is limited by its copies, and by how many more of the longest of it may come.
                # Each limit by itself is no less than the truth, so that no set of use is dropped.
                filled = np.minimum(fills[k][room], more * longest[k])
                good = (worth + completions[k][room] >= self.needed) & (room - filled < short)
                grown.append((room[good], worth[good], short[good], more[good], sets.take(part.index, n, can, good)))
            room, worth, short, more, last = (np.concatenate(arrays) for arrays in zip(*grown, strict=True))
            if len(room) > most:
                return None
            sets = _Begun(room, worth, short, more, last, sets.taken)
        return sets


def _completions(parts: Sequence[tuple[int, int, float]], values: Array) -> list[Array]:
    """For each k, the most that parts[k:] and what is left then can be worth in every room."""
    rows = [values]
    for take, most, worth in reversed(parts):
        row = rows[-1].copy()
        for size in chunks_of(most):
            let_in(row, size * take, size * worth)
        rows.append(row)
    return rows[::-1]
