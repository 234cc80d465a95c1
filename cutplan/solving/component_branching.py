"""Branching on component bounds, for a node that bar counts alone leave open.

Where the LP solution has a fractional number of a block's bars that hold a part, or two parts together, one child has
that number rounded down at most, the other one bar more at least. Either is bounded by duals as any other node is, so
that what is fathomed can be rechecked. Before that, bars are told apart by whether their left over is kept: what all
left overs come to follows from bars and parts, and a fraction of a kept one lets the LP put all of it there.

References
----------
F. Vanderbeck, Branching in branch-and-price: a generic scheme, Mathematical Programming 130 (2011); pairs of items
together or apart: D. M. Ryan, B. A. Foster, An integer programming approach to scheduling, 1981. Both from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeAlias

import numpy as np

from cutplan.model import Split
from cutplan.solving.blocks import Partition
from cutplan.solving.clock import Clock
from cutplan.solving.instance import Instance
from cutplan.solving.knapsack import Array
from cutplan.solving.master import Column, MasterSolution
from cutplan.solving.nodes import Node, Splits
from cutplan.solving.parameters import Parameters


class Known(Protocol):
    """An LP."""

    @property
    def columns(self) -> Sequence[Column]:
        """Its columns so far."""


class Branching(Protocol):
    """What branching needs of a search: its instance, and the LP whose solution is branched on."""

    @property
    def instance(self) -> Instance:
        """The group."""

    @property
    def parameters(self) -> Parameters:
        """The figures that steer the search."""

    @property
    def master(self) -> Known:
        """The LP whose solution is branched on."""


@dataclass(frozen=True)
class Candidate:
    """Component bounds, each a part and its least count, that a fractional ``number`` of a block's bars meet.

    Without any it is the number whose left over is kept.
    """

    block: int
    held: tuple[tuple[int, int], ...]
    number: float


class Choice(Protocol):
    """Chooses by what to tell bars apart."""

    def __call__(
        self, search: Branching, solution: MasterSolution, splits: Splits, *, by_parts: bool = True
    ) -> Candidate | None:
        """A candidate; None where there is none."""


def candidate(
    search: Branching, solution: MasterSolution, splits: Splits, *, by_parts: bool = True
) -> Candidate | None:
    """The most fractional number of bars of a block whose left over is kept.

    Where there is none, of those that hold a part; and of two parts together where there is no such.
    """
    return next((some[0] for some in candidates(search, solution, splits, by_parts=by_parts) if some), None)


def with_shortest(
    search: Branching, solution: MasterSolution, splits: Splits, *, by_parts: bool = True
) -> Candidate | None:
    """The most fractional number of bars that hold two parts, of which one is as short as any such part is."""
    *_, together = candidates(search, solution, splits, by_parts=by_parts)
    takes = [piece.take for piece in search.instance.pieces]
    return min(together, key=lambda one: min(takes[part] for part, _ in one.held), default=None)


def candidates(
    search: Branching, solution: MasterSolution, splits: Splits, *, by_parts: bool = True
) -> Iterator[list[Candidate]]:
    """All fractional numbers of bars of a block, the most fractional of each kind first.

    In turn those of bars whose left over is kept, that hold a part, and that hold two parts together.
    """
    takes, whole = [piece.take for piece in search.instance.pieces], search.parameters.integrality
    used = [(column, use) for column, use in zip(search.master.columns, solution.uses, strict=False) if use > whole]
    held, kept = [], []
    for number, block in enumerate(Partition.of(search.instance, splits).blocks):
        within = [
            (column, use)
            for column, use in used
            if block.source == column.source and block.has(column.pattern, kept=column.kept)
        ]
        if within:
            if block.kept is None:
                kept.append(Candidate(number, (), sum(use for column, use in within if column.kept)))
            # A bar left as it is counts among those kept alone.
            within = [(column, use) for column, use in within if any(column.pattern)]
        if within:
            patterns = np.array([column.pattern for column, _ in within])
            held.append(_held(number, patterns, np.array([use for _, use in within]), takes))
    aside = _aside(np.array([one.number for one in kept]), whole)
    yield [kept[k] for k in np.argsort(aside, kind="stable").tolist() if aside[k] < 0.5]
    # One part makes one block more to price, two parts make two.
    for fractional in (_fractional_alone, _fractional_together) if by_parts else ():
        found = [one for some in held for one in fractional(some, whole)]
        yield [one for _, one in sorted(found, key=lambda ranked: ranked[0])]


@dataclass(frozen=True)
class _Held:
    """Component bounds that bars of a block meet: part and count, how long those are, and which patterns meet them."""

    block: int
    parts: list[tuple[int, int]]
    lengths: Array
    holds: Array
    uses: Array


def _held(block: int, patterns: Array, uses: Array, takes: Sequence[int]) -> _Held:
    parts = [(int(i), t) for i in np.flatnonzero(patterns.any(axis=0)) for t in range(1, int(patterns[:, i].max()) + 1)]
    lengths = np.array([takes[i] * t for i, t in parts])
    return _Held(block, parts, lengths, np.array([patterns[:, i] >= t for i, t in parts], dtype=float), uses)


Ranked: TypeAlias = tuple[tuple[float, ...], Candidate]
"""A candidate after its rank: the most fractional first, of these the longest."""


def _fractional_alone(held: _Held, integrality: float) -> Iterator[Ranked]:
    """The fractional numbers of bars that hold a count of one part or more."""
    numbers = held.holds @ held.uses
    aside = _aside(numbers, integrality)
    for a in np.flatnonzero(aside < 0.5):
        yield (aside[a], -held.lengths[a], held.block), Candidate(held.block, (held.parts[a],), float(numbers[a]))


def _fractional_together(held: _Held, integrality: float) -> Iterator[Ranked]:
    """The fractional numbers of bars that hold two parts."""
    numbers = (held.holds * held.uses) @ held.holds.T
    aside = _aside(numbers, integrality)
    part = np.array([i for i, _ in held.parts])
    # Each pair once; of two counts of one part the smaller says nothing more.
    aside[np.tril_indices(len(part))] = 0.5
    aside[part[:, None] == part] = 0.5
    for a, b in zip(*np.nonzero(aside < 0.5), strict=True):
        candidate = Candidate(held.block, (held.parts[a], held.parts[b]), float(numbers[a, b]))
        yield (aside[a, b], -held.lengths[a] - held.lengths[b], held.block), candidate


def _aside(numbers: Array, integrality: float) -> Array:
    """How far numbers are from the middle between two whole ones; 0.5 where they are whole."""
    # Rounded, so that the last digits of an LP solution do not choose between candidates.
    aside = np.abs(numbers % 1.0 - 0.5).round(6)
    return np.where(aside < 0.5 - integrality, aside, 0.5)


def children(search: Branching, splits: Splits, candidate: Candidate) -> list[Splits]:
    """The two nodes that a candidate makes of one: its number rounded down or fewer bars, and more."""
    demand = search.instance.demand
    block, blocks = candidate.block, len(search.instance.sources) + len(splits)
    below = int(candidate.number)
    if not candidate.held:
        # No plan has more bars than parts.
        numbers = ((0, below), (below + 1, max(below + 1, sum(demand))))
        return [(*splits, Split(share=block, part=0, copies=0, low=low, high=high, kept=True)) for low, high in numbers]
    *before, (part, copies) = candidate.held
    # All numbers of bars that hold so many are let in: only the last bound divides the node.
    for i, t in before:
        splits = (*splits, Split(share=block, part=i, copies=t, low=0, high=demand[i] // t))
        block, blocks = blocks, blocks + 1
    # No plan need hold more of a part than is wanted, so that no more bars hold so many.
    most = demand[part] // copies
    return [
        (*splits, Split(share=block, part=part, copies=copies, low=low, high=high))
        for low, high in ((0, below), (below + 1, most))
        if low <= high
    ]


Way: TypeAlias = Callable[[Node], Candidate | None]
"""By what the bars of a node are told apart; None where there is nothing."""


def divided(
    node: Node,
    ways: list[Way],
    made: Callable[[Node, Candidate], list[Node]],
    fathomed: Callable[[Node], bool],
) -> list[Node]:
    """The children of a node by the first way that fathoms one of them, which from then on is the first of ``ways``.

    By the first of all where none does; no children where there is nothing to tell bars apart by.
    """
    tried: dict[Candidate, list[Node]] = {}
    for way in tuple(ways):
        found = way(node)
        if found is not None and found not in tried:
            tried[found] = made(node, found)
            if any(map(fathomed, tried[found])):
                ways.remove(way)
                ways.insert(0, way)
                return tried[found]
    return next(iter(tried.values()), [])


def branched(
    clock: Clock,
    node: Node,
    work: int,
    divided: Callable[[Node], Sequence[Node]],
    fathomed: Callable[[Node], bool],
) -> list[Node]:
    """Cases that together cover one, as many of them fathomed as so much work allows.

    Parameters
    ----------
    divided
        The children of a node; nothing where there is nothing to tell bars apart by.
    fathomed
        Is nothing of use left in a node?
    """
    closed: list[Node] = []
    waiting = [node]
    most = clock.work + work
    while waiting and clock.work < most and not clock.struck():
        node = waiting.pop()
        if fathomed(node):
            closed.append(node)
            continue
        further = divided(node)
        if not further and fathomed(node):
            # Its LP solution was a plan.
            closed.append(node)
        elif not further:
            # Two parts suffice where each is held just once by bars of one source (Ryan and Foster 1981); with more
            # copies a node may be fractional and yet have no candidate.
            return [node, *closed, *waiting]
        # Depth first, so that few wait, and into the child of the lower bound first.
        waiting += sorted(further, key=lambda one: -one.bound)
    return closed + waiting
