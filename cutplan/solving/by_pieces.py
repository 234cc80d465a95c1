"""Deciding a node by what each piece of a length holds, where lengths are cut for the carry.

A set for a whole length is made of sets for its pieces, so that there are very many of the former where there are few
of the latter. An integer program says how many pieces of which length are cut to which set, all pieces of lengths cut
alike together within the room of those lengths. What it shows to be missing is in no plan; what it finds is a plan
where the pieces can be put together to single lengths.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from cutplan.solving.columns import ColumnGenerator, Relaxation
from cutplan.solving.enumeration import of_source, sets_worth
from cutplan.solving.instance import Instance
from cutplan.solving.integer_master import PieceSets
from cutplan.solving.master import Column
from cutplan.solving.nodes import Ranges
from cutplan.solving.over_pieces import MOST_PIECES, OverPieces
from cutplan.solving.plans import PatternUse
from cutplan.solving.solver_pieces import Pattern
from cutplan.units import Length


@dataclass(frozen=True)
class Listed:
    """Sets of use for pieces of lengths, and patterns for bars that come whole; ``all_of_use`` if none is missing."""

    pieces: tuple[PieceSets, ...]
    columns: tuple[Column, ...]
    all_of_use: bool


def told_by_pieces(generator: ColumnGenerator) -> bool:
    """Are there lengths cut for the carry, whose bars cost what their pieces say, whatever is cut from them?"""
    instance = generator.instance
    priced = any(s.rate or s.per_cut or s.per_stroke or s.per_setup for s in instance.sources)
    return instance.space.adds_up_on_pieces and not priced and generator.step == instance.divisor


def listed(
    generator: ColumnGenerator,
    relaxation: Relaxation,
    ranges: Ranges,
    gap: float,
    most: int,
    stopped: Callable[[], bool],
) -> Listed | None:
    """Every set that a plan may use which costs at most ``gap`` more than the bound; None where they are over ``most``.

    By the duals of ``relaxation``, as patterns are listed, for numbers of bars in ``ranges``.
    """
    instance, grid, duals = generator.instance, generator.grid, relaxation.duals
    tables = grid.tables(duals, np.float64, readable=False)
    pieces: list[PieceSets] = []
    columns: list[Column] = []
    complete, left = True, most
    for index, source in enumerate(instance.sources):
        if not ranges[index][1]:
            continue
        above = relaxation.least_reduced[index] + gap
        if not source.carrying:
            found = of_source(instance, grid, index, duals, above, source.room, left, stopped, generator.parameters)
            if found is None:
                return None
            columns += found
            left -= len(found)
            continue
        table = tables.get(grid.classes[index])
        if table is None:
            continue
        best = np.maximum(table.short, table.held) if table.layered else table.short
        cap = source.piece_room // grid.step
        over = OverPieces(best, cap)
        fewest, more = source.in_pieces[0], source.in_pieces[1]
        if fewest.number > MOST_PIECES:
            complete = False
        else:
            # What the other pieces are worth at most, by how much of this one stays free.
            others = fewest.room // grid.step - np.arange(over.cap, -1, -1)
            values = np.where(others < 0, -np.inf, over.most_of(fewest.number - 1, np.maximum(others, 0)))
            needed = fewest.price - above
            sets = sets_worth(instance, grid, index, duals, values, needed, left, stopped, generator.parameters)
            if sets is None:
                return None
            if sets:
                pieces.append(PieceSets(index, fewest.number, fewest.room, fewest.price, tuple(sets)))
            left -= len(sets)
        # Cut into more pieces than need be, a length holds nearly all that one left whole does.
        free = np.zeros(max(0, more.room // grid.step) + 1)
        sets = sets_worth(instance, grid, index, duals, free, more.price - above, left, stopped, generator.parameters)
        if sets is None:
            return None
        counts = np.array(sets, dtype=np.int64).reshape(len(sets), len(duals))
        counts = counts[instance.space.which_can_be_cut(index, counts, stopped)]
        if stopped():
            return None
        patterns = [tuple(row) for row in counts.tolist() if any(row)]
        costs = [instance.cost(index, pattern) for pattern in patterns]
        # What costs no more than the fewest pieces is among their sets, unless cuts are free: then nobody can tell.
        dearer = more.price > fewest.price
        columns += [
            Column(index, p, cost) for p, cost in zip(patterns, costs, strict=True) if cost > fewest.price or not dearer
        ]
        left -= len(patterns)
    return Listed(tuple(pieces), tuple(columns), complete)


@dataclass
class _Bar:
    """A length while pieces are exchanged between lengths: what each piece holds, how full it is, the room of all."""

    source: int
    room: Length
    cap: Length
    held: list[Pattern]
    fills: list[Length]

    @property
    def over(self) -> Length:
        """By how much the pieces hold more than there is room for. [nm]"""
        return max(0, sum(self.fills) - self.room)


def put_together(
    instance: Instance, cut: Sequence[tuple[PieceSets, int, Sequence[Pattern]]]
) -> list[PatternUse] | None:
    """Pieces as whole lengths, each no fuller than it may be; None where no exchange of two pieces helps any more."""
    bars = [bar for lengths, number, sets in cut for bar in _dealt_out(instance, lengths, number, sets)]
    while any(bar.over for bar in bars):
        gains = (
            (bar.over + other.over - _after(bar, a, other, b), bar, a, other, b)
            for bar in bars
            if bar.over
            for other in bars
            if other is not bar
            for a in range(len(bar.fills))
            for b in range(len(other.fills))
            if bar.fills[a] <= other.cap and other.fills[b] <= bar.cap
        )
        best = max(gains, key=lambda gain: gain[0], default=None)
        if best is None or best[0] <= 0:
            return None
        _, bar, a, other, b = best
        bar.held[a], other.held[b] = other.held[b], bar.held[a]
        bar.fills[a], other.fills[b] = other.fills[b], bar.fills[a]
    together = ((bar.source, tuple(map(sum, zip(*bar.held, strict=True)))) for bar in bars)
    return [PatternUse(source, pattern, 1) for source, pattern in together if any(pattern)]


def _dealt_out(instance: Instance, lengths: PieceSets, number: int, sets: Sequence[Pattern]) -> list[_Bar]:
    """The fullest piece first, each to the length that holds least so far."""
    cap = instance.sources[lengths.source].piece_room
    bars = [_Bar(lengths.source, lengths.room, cap, [], []) for _ in range(number)]
    for pattern in sorted(sets, key=instance.fill, reverse=True):
        bar = min((bar for bar in bars if len(bar.held) < lengths.number), key=lambda bar: sum(bar.fills))
        bar.held.append(pattern)
        bar.fills.append(instance.fill(pattern))
    return bars


def _after(bar: _Bar, a: int, other: _Bar, b: int) -> Length:
    """By how much both would be too full if they exchanged two pieces. [nm]"""
    more = other.fills[b] - bar.fills[a]
    return max(0, sum(bar.fills) + more - bar.room) + max(0, sum(other.fills) - more - other.room)
