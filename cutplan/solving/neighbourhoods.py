"""Planning some bars of the best plan anew, again and again, all others left as they are.

Which cheaper plan there is for the parts of a dozen bars is decided over the patterns of these parts, listed once for
the whole node. Their own LP tells which of these can be of use, mostly few, and often that none is; then more bars join
them, for as long as the search for a cover can bear that. A bar of high reduced cost is more likely to be planned anew
than others.

References
----------
P. Shaw, Using constraint programming and local search methods to solve vehicle routing problems, CP 1998: large
neighbourhood search. Drawing by weights without putting back: P. S. Efraimidis, P. G. Spirakis, Information Processing
Letters 97 (2006). Both from memory.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from cutplan.solving.columns import ColumnGenerator, Relaxation
from cutplan.solving.enumeration import of_source
from cutplan.solving.exact_cover import exact_cover
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.knapsack import Array
from cutplan.solving.listed_master import ListedMaster, Rows
from cutplan.solving.master import Column, columns_of
from cutplan.solving.nodes import Node
from cutplan.solving.plans import PatternUse


def replan_bars(
    generator: ColumnGenerator,
    incumbent: Incumbent,
    node: Node,
    centred: Relaxation,
    tries: int,
    enough: Callable[[], bool],
) -> None:
    """Offer what plans of some bars make the incumbent cheaper, where it is a plan of this node.

    Parameters
    ----------
    centred
        The duals of the node.
    tries
        How often bars are drawn in vain before that is given up.
    enough
        Asked after each plan that is found: is it cheap enough?
    """
    instance, parameters, clock = generator.instance, generator.parameters, generator.clock
    draw = random.Random(len(instance.pieces))
    in_vain, number, known = 0, parameters.replanned_bars, None
    while in_vain < tries and not incumbent.fathoms(node.bound) and _can_be_replanned(generator, incumbent, node):
        bars = [
            column
            for used in incumbent.plan or ()
            for column in columns_of(instance, used.source, used.pattern)
            for _ in range(used.count)
        ]
        known = known or _Known.of(generator, centred, bars, incumbent.cutoff() - centred.bound)
        if known is None or clock.struck():
            return
        before = incumbent.cost
        order = _drawn(draw, [max(0.0, centred.reduced_cost(column)) for column in bars])
        anew, number = _replanned(generator, known, [bars[k] for k in order], number)
        in_vain += 1
        if anew is not None:
            incumbent.offer([PatternUse(bar.source, bar.pattern, 1) for bar in anew])
        if incumbent.cost < before:
            in_vain = 0
            if enough():
                return


def _can_be_replanned(generator: ColumnGenerator, incumbent: Incumbent, node: Node) -> bool:
    """Is the incumbent a plan of the node, each bar of which costs what it costs whatever others are cut to?"""
    if incumbent.plan is None or generator.instance.kept_counts or not generator.lists_all:
        return False
    counts = [0] * len(node.ranges)
    for bars in incumbent.plan:
        counts[bars.source] += bars.count
    return all(low <= count <= high for count, (low, high) in zip(counts, node.ranges, strict=True))


def _drawn(draw: random.Random, weights: Sequence[float]) -> list[int]:
    """All of them by chance, each the sooner the more it weighs; the mean of all is added to every weight."""
    mean = sum(weights) / len(weights) or 1.0
    keys = [draw.random() ** (1 / (weight / mean + 1)) for weight in weights]
    return sorted(range(len(weights)), key=lambda k: -keys[k])


@dataclass(frozen=True)
class _Known:
    """Patterns that bars may be planned anew of, those of one source after those of another, by the duals of the node.

    All costs are multiples of ``step``.
    """

    duals: Sequence[float]
    columns: list[Column]
    rows: Rows
    counts: Array
    step: int

    @classmethod
    def of(cls, generator: ColumnGenerator, centred: Relaxation, bars: Sequence[Column], gap: float) -> _Known | None:
        """All within a gap, or of a source that has too many those within a narrower one; None when time is up."""
        instance, parameters = generator.instance, generator.parameters
        grid = generator.listing_grid.limited(instance.demand)
        columns: list[Column] = []
        for index in sorted({bar.source for bar in bars}):
            found, within = None, gap
            for _ in range(parameters.replanned_narrowed):
                if found is not None or generator.clock.struck():
                    break
                found = of_source(
                    instance,
                    grid,
                    index,
                    centred.duals,
                    centred.least_reduced[index] + within,
                    max(instance.sources[index].room, 0),
                    parameters.replanned_listed,
                    generator.clock.struck,
                    parameters,
                    every_set=True,
                )
                within *= parameters.narrowing
            own = [bar for bar in bars if bar.source == index]
            columns += dict.fromkeys([*(column for column in found or () if any(column.pattern)), *own])
        if generator.clock.struck():
            return None
        rows = Rows.of(instance, columns)
        # Patterns are told from others by their rows: the fewer bytes, the sooner.
        counts = rows.counts.astype(np.int16, order="C")
        return cls(centred.duals, columns, rows, counts, int(np.gcd.reduce(rows.costs)))

    def within(self, places: Array) -> tuple[list[Column], Rows]:
        """Those at some places."""
        rows = self.rows
        some = Rows(
            rows.source[places],
            np.asfortranarray(self.counts[places].astype(np.int64)),
            rows.costs[places],
            rows.kept[places],
        )
        return [self.columns[place] for place in places.tolist()], some


def _replanned(
    generator: ColumnGenerator, known: _Known, bars: Sequence[Column], number: int
) -> tuple[list[Column] | None, int]:
    """A plan in which the first bars, so many or more, are planned anew; None if none is cheaper.

    Beside it, with how many to begin the next time.
    """
    parameters = generator.parameters
    more = max(1, parameters.replanned_more)
    while True:
        found, borne = _covered(generator, known, bars[:number])
        if found is not None or not borne or number >= len(bars):
            fewer = max(parameters.replanned_bars, min(number, len(bars)) - 2 * more)
            return None if found is None else [*found, *bars[number:]], fewer
        number += more


def _covered(generator: ColumnGenerator, known: _Known, bars: Sequence[Column]) -> tuple[list[Column] | None, bool]:
    """A cheaper plan for some bars by as many of each source, None if there is none; and was the search exhaustive?"""
    instance, parameters, clock = generator.instance, generator.parameters, generator.clock
    wanted = np.array([bar.pattern for bar in bars]).sum(axis=0)
    numbers = np.bincount([bar.source for bar in bars], minlength=len(instance.sources))
    below = sum(bar.cost for bar in bars)
    places = np.flatnonzero((numbers > 0)[known.rows.source])
    places = places[(known.counts[places] <= wanted).all(axis=1)]
    columns, rows = known.within(places)
    pieces = tuple(piece._replace(demand=n) for piece, n in zip(instance.pieces, wanted.tolist(), strict=True))
    ranges = [(n, n) for n in numbers.tolist()]
    part = replace(instance, pieces=pieces)
    master = ListedMaster(part, columns, rows, ranges, generator.penalty, parameters)
    master.give(known.duals)
    # A hair more than the dearest of use: rounding of floats must not hide what is just within it.
    dearest = below - known.step + 1e-9 * below
    solution = master.solve({}, dearest, clock)
    if solution is None or solution.bound >= dearest:
        return None, solution is not None
    reduced = rows.costs - rows.counts @ np.array(solution.duals)
    least = np.array(rows.least_of_sources(len(ranges), reduced))
    reduced -= least[rows.source]
    budget = dearest - solution.bound
    order = np.argsort(reduced, kind="stable")
    order = order[reduced[order] <= budget]
    few = parameters.replanned_patterns
    # Where the parts that fewest patterns hold leave little choice, many more can be gone through.
    for most in (few, few * parameters.replanned_widened):
        some, every = order[:most], len(order) <= most
        used = np.zeros((len(some), len(ranges)), dtype=np.int64)
        used[np.arange(len(some)), rows.source[some]] = 1
        cover = exact_cover(
            np.concatenate([rows.counts[some], used], axis=1),
            [*wanted.tolist(), *numbers.tolist()],
            reduced[some],
            budget if every else float(reduced[order[most]]),
            parameters.replanned_states,
            clock.struck,
        )
        if cover.rows is not None:
            return [columns[some[row]] for row in cover.rows], True
        if every or not cover.ended:
            break
    return None, every and cover.ended
