"""A bound that can be rechecked in whole numbers: integer duals and one knapsack per grade class."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from cutplan.model import Leaf, Split
from cutplan.solving.blocks import least_over_blocks
from cutplan.solving.cost_steps import next_cost
from cutplan.solving.instance import Instance
from cutplan.solving.pricing import Grid
from cutplan.units import ceil_div

LARGEST = 2**61
"""Worths and costs times the denominator stay below this, so that int64 sums cannot overflow."""


def denominator(largest: int) -> int:
    """Denominator of the duals, a power of ten: as fine as int64 sums allow, at most a thousand million.

    ``largest`` is the most that all parts of a group may be worth together. [cost unit]
    """
    unit = 1
    while unit < 10**9 and unit * 10 * max(largest, 1) < LARGEST:
        unit *= 10
    return unit


def largest_sum(instance: Instance, penalty: int) -> int:
    """The largest sum a bound needs where no part is worth more than twice ``penalty``. [cost unit]

    Where numbers of bars cannot leave a part out, all parts together are worth no more than that. Splits may still do
    so: duals as high as such a node has are lowered to fit.
    """
    pieces = sum(instance.demand)
    dearest = max((source.price + instance.value(source, source.untouched) for source in instance.sources), default=0)
    work = max((source.per_cut + source.per_setup for source in instance.sources), default=0)
    without_end = len(instance.sources) == 1 and instance.sources[0].most >= pieces
    return max(2 * penalty * (1 if without_end else pieces), dearest + work * pieces)


def fitting(grid: Grid, duals: Sequence[int]) -> tuple[int, ...]:
    """Duals lowered, where they must be, to what one bar can be worth without overflow."""
    # Any duals of 0 or more bound: lowering them may cost strength, never truth.
    cap, demand = max((0, *grid.caps)), grid.instance.demand
    copies = [min(n, cap // take) if take else n for n, take in zip(demand, grid.takes, strict=True)]
    if sum(n * y for n, y in zip(copies, duals, strict=True)) < LARGEST:
        return tuple(duals)
    # Parts that take steps are worth half of that in a whole bar, those that take none the other half.
    by_step, loose = LARGEST // 2 // (cap or 1), sum(n for n, take in zip(demand, grid.takes, strict=True) if not take)
    highest = [take * by_step if take else LARGEST // 2 // loose for take in grid.takes]
    return tuple(min(y, high) for y, high in zip(duals, highest, strict=True))


def summable(instance: Instance, duals: Sequence[float], unit: int) -> bool:
    """Can all parts be worth so much without overflow, counted in 1/unit of a cost unit?"""
    return sum(y * d for y, d in zip(duals, instance.demand, strict=True)) * unit < LARGEST


def round_up(instance: Instance, bound: int) -> int:
    """A bound rounded up to the next cost a plan can have."""
    return ceil_div(bound, instance.cost_step) * instance.cost_step


@dataclass(frozen=True)
class Priced:
    """Whole duals, and for each block of bars its least of cost less worth by them, infinite where no bar can be in it.

    All in 1/unit of a cost unit.
    """

    duals: tuple[int, ...]
    keep_dual: int
    least_reduced: tuple[float, ...]

    def bound(
        self,
        instance: Instance,
        ranges: Sequence[tuple[int, int]],
        unit: int,
        splits: Sequence[Split] = (),
        more: int = 0,
    ) -> int:
        """What they certify, rounded up to the next cost that bars of those counts can have. [cost unit]

        ``more`` is what else is known to be worth something. [1/unit of a cost unit]
        """
        kept = self.keep_dual * (instance.most_kept or 0)
        total = sum(y * d for y, d in zip(self.duals, instance.demand, strict=True)) - kept + more
        bars = least_over_blocks(ranges, splits, self.least_reduced)
        # Numbers of bars that contradict each other bound a node as high as one likes; no more is asked than this.
        total = total + bars if bars is not None else LARGEST
        # Plans cost whole cost units, so that rounding up passes over none.
        return next_cost(instance, ranges, ceil_div(total, unit))


def whole(duals: Sequence[float], keep_dual: float, unit: int) -> tuple[tuple[int, ...], int]:
    """Duals, and what keeping a left over is charged, in whole numbers. [1/unit of a cost unit]"""
    # To the nearest, not down: bars are priced anew by the whole duals, so that either way is as true.
    return tuple(max(0, round(y * unit)) for y in duals), min(max(0, round(keep_dual * unit)), LARGEST)


def dual_bound(
    grid: Grid,
    duals: Sequence[int],
    ranges: Sequence[tuple[int, int]],
    unit: int,
    keep_dual: int = 0,
    splits: Sequence[Split] = (),
) -> tuple[int, tuple[float, ...]]:
    """Bound that integer duals certify when the counts of the sources lie in ``ranges``.

    Parameters
    ----------
    grid
        The instance rounded for the bound, divided by ``splits``.
    duals
        Worth of one of each part, 0 or more. [1/unit of a cost unit]
    ranges
        Least and most bars of each source.
    unit
        The denominator.
    keep_dual
        What keeping one left over is charged, where their number counts. [1/unit of a cost unit]

    Returns
    -------
    tuple
        The bound, rounded up to the next cost that bars of those counts can have, and for each block its least
        of cost less worth, infinite where no bar can be in it. [cost unit; 1/unit]
    """
    priced = _priced(grid, duals, unit, keep_dual)
    return priced.bound(grid.instance, ranges, unit, splits), priced.least_reduced


def _priced(grid: Grid, duals: Sequence[int], unit: int, keep_dual: int) -> Priced:
    least_reduced = [math.inf] * len(grid.blocks)
    for view in grid.views or (grid,):
        for blocks in view.alike():
            tables = (
                {}
                if not any(duals) and all(view.cheapest_empty(index) for index in blocks)
                else view.tables(duals, np.int64, unit=unit, readable=False, blocks=blocks)
            )
            for index in blocks:
                value = view.best(index, tables, duals, unit, keep_dual).value
                least_reduced[index] = min(least_reduced[index], value if value == math.inf else int(value))
    return Priced(tuple(duals), keep_dual, tuple(least_reduced))


def certify(
    grid: Grid,
    floats: Sequence[float],
    ranges: Sequence[tuple[int, int]],
    unit: int,
    keep_float: float = 0.0,
    splits: Sequence[Split] = (),
    priced: Priced | None = None,
) -> tuple[int, Leaf]:
    """The best bound that rounding duals to integers gives, and the leaf that shows it.

    LP duals are right to about nine figures: a bar may then seem worth a hair
    more than it costs, and a source without limit multiplies that hair; duals of
    an LP cut short are off by more. So the duals are tried as they are and once
    more shrunk until no source of many bars is overvalued. What they come to as they are may be ``priced`` already.
    """
    instance = grid.instance
    if priced is None:
        duals, keep_dual = whole(floats, keep_float, unit)
        priced = _priced(grid, fitting(grid, duals), unit, keep_dual)
    bound = priced.bound(instance, ranges, unit, splits)
    shrink = 1.0
    for block, least in zip(grid.blocks, priced.least_reduced, strict=True):
        source, (_, high) = instance.sources[block.source], ranges[block.source]
        worth = source.price * unit - least
        # Farley's bound (1990): so shrunk, no set is worth more than its bar, left overs aside. What a single bar is
        # overvalued by is lost once, and seldom as much as all duals shrunk for it would lose.
        if high > 1 and least < 0 < worth:
            shrink = min(shrink, source.price * unit / worth)
    # The tables cost far more than this sum, which never shows less than shrunk duals would.
    if instance.flat and _shrunk(grid, priced, unit, shrink).bound(instance, ranges, unit, splits) <= bound:
        return bound, leaf_of(instance, priced.duals, ranges, priced.keep_dual, splits)
    if shrink < 1.0:
        smaller = _priced(grid, tuple(int(y * shrink) for y in priced.duals), unit, priced.keep_dual)
        other = smaller.bound(instance, ranges, unit, splits)
        if other > bound:
            bound, priced = other, smaller
    return bound, leaf_of(instance, priced.duals, ranges, priced.keep_dual, splits)


def _shrunk(grid: Grid, priced: Priced, unit: int, shrink: float) -> Priced:
    """The most that shrunk duals can come to where no bar costs more for what is cut from it.

    The set that is worth most of its bar then is worth that fraction of it, but for what rounding takes off its parts.
    """
    least_reduced = []
    for block, least in zip(grid.blocks, priced.least_reduced, strict=True):
        price = grid.instance.sources[block.source].price * unit
        if least != math.inf:
            # Rounding down takes less than 1 off each dual; 2**-40 is more than floats take off the product.
            lost = sum(grid.instance.demand) + int(price - least) // 2**40
            least = price - int((price - least) * shrink) + lost
        least_reduced.append(least)
    return Priced(tuple(int(y * shrink) for y in priced.duals), priced.keep_dual, tuple(least_reduced))


def leaf_of(
    instance: Instance,
    duals: Sequence[int],
    ranges: Sequence[tuple[int, int]],
    keep_dual: int = 0,
    splits: Sequence[Split] = (),
) -> Leaf:
    """A leaf as the proof holds it: by parts instead of pieces."""
    by_part = tuple(replace(split, part=instance.pieces[split.part].parts[0]) for split in splits)
    return Leaf(ranges=tuple(ranges), duals=instance.by_part(duals), keep_dual=keep_dual, splits=by_part)
