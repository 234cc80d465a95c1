"""Branching over a list of all patterns that a cheaper plan could use, for a node decided by that list.

Over so few patterns the LP bounds far higher than over all, and the duals of its nodes are priced by going through the
list. The duals that the list was made by go into every leaf, so that the list can be made anew.

References
----------
R. Baldacci, N. Christofides, A. Mingozzi, Mathematical Programming 115 (2008), from memory: columns listed by reduced
cost, then an integer program over these; here a tree whose leaves show what that finds.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from cutplan.model import Listing
from cutplan.solving.blocks import least_over_blocks
from cutplan.solving.certificate import LARGEST, Priced, dual_bound, leaf_of, whole
from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator, unsolved
from cutplan.solving.component_branching import Candidate, branched, candidate, children
from cutplan.solving.enumeration import enumerate_patterns
from cutplan.solving.instance import Block, Instance
from cutplan.solving.knapsack import Array
from cutplan.solving.master import Column, Master
from cutplan.solving.nodes import Node, Ranges, Splits
from cutplan.solving.parameters import Parameters


def _fit(instance: Instance, unit: int, duals: Sequence[int], others: int) -> bool:
    """Can the worth of all parts, what bars cost and other duals be summed without overflow? [1/unit of a cost unit]"""
    pieces = sum(instance.demand)
    work = max(source.per_cut + source.per_setup for source in instance.sources) + instance.cut_at_least
    dearest = max(source.price + instance.value(source, source.untouched) for source in instance.sources)
    worth = pieces * (max(duals) + instance.cut_at_least * unit) + others
    return unit * (dearest + (pieces + 2) * work) + worth < LARGEST


def can_be_listed(generator: ColumnGenerator) -> bool:
    """Does the checker list the same patterns: of whole lengths and square parts?"""
    instance = generator.instance
    return (
        generator.lists_all
        and instance.space.adds_up
        and all(piece.square for piece in instance.pieces)
        and not any(source.carrying for source in instance.sources)
    )


@dataclass(frozen=True)
class _Rows:
    """The patterns listed, side by side."""

    source: Array
    counts: Array
    costs: Array
    kept: Array

    @classmethod
    def of(cls, instance: Instance, columns: Sequence[Column]) -> _Rows:
        patterns = np.array([column.pattern for column in columns], dtype=np.int64)
        return cls(
            np.array([column.source for column in columns], dtype=np.int64),
            patterns.reshape(len(columns), len(instance.pieces)),
            np.array([column.cost for column in columns], dtype=np.int64),
            np.array([column.kept for column in columns], dtype=bool),
        )

    def within(self, block: Block) -> Array:
        """Which of them are in a block?"""
        found: Array = (self.source == block.source) & (self.counts >= block.least).all(axis=1)
        return found & self.kept if block.kept else found


@dataclass(frozen=True)
class ListedNodes:
    """The nodes of one choice of bar counts over its list; what :func:`branched` needs of a search."""

    instance: Instance
    parameters: Parameters
    clock: Clock
    master: Master
    rows: _Rows
    ranges: Ranges
    listing: Listing
    unit: int

    @classmethod
    def of(cls, generator: ColumnGenerator, node: Node, cutoff: int, unit: int) -> ListedNodes | None:
        """List all that a plan of the node for less than ``cutoff`` could use; None where that is too much."""
        instance, parameters, clock = generator.instance, generator.parameters, generator.clock
        centred = generator.centred(node.ranges, instance.demand, node.relaxation)
        duals, keep_dual = whole(centred.duals, centred.keep_dual, unit)
        if not _fit(instance, unit, duals, keep_dual):
            return None
        _, least_reduced = dual_bound(generator.bound_grid, duals, node.ranges, unit, keep_dual)
        bars = least_over_blocks(node.ranges, (), least_reduced)
        if bars is None:
            return None
        # Not rounded up to a cost that plans have: what is listed must hold all that is within the gap of the duals.
        bound = sum(y * d for y, d in zip(duals, instance.demand, strict=True)) + bars
        bound -= keep_dual * (instance.most_kept or 0)
        gap = (cutoff * unit - bound) / unit + 1 + parameters.gap_slack * abs(cutoff)
        floats = [y / unit for y in duals]
        columns = enumerate_patterns(
            instance,
            generator.listing_grid.limited(instance.demand),
            floats,
            [least / unit for least in least_reduced],
            gap,
            [max(source.room, 0) for source in instance.sources],
            parameters.listed,
            clock.struck,
            parameters,
            every_set=True,
        )
        if columns is None:
            return None
        columns = [column for column in columns if any(column.pattern) and node.ranges[column.source][1]]
        # A left over that could be kept may be scrapped, and a bar left as it is, if a plan can bear that.
        others = [
            replace(column, cost=instance.cost(column.source, column.pattern, kept=False), kept=False)
            for column in columns
            if column.kept and not instance.kept_counts
        ]
        nothing = (0,) * len(instance.pieces)
        for index, source in enumerate(instance.sources):
            value = instance.value(source, source.untouched)
            others += [Column(index, nothing, source.price - value * kept, kept) for kept in {False, value > 0}]
        for column in others:
            worth = sum(n * y for n, y in zip(column.pattern, floats, strict=True))
            if column.cost - worth <= least_reduced[column.source] / unit + gap:
                columns.append(column)
        master = Master(instance, elastic=True)
        master.set_penalty(generator.penalty)
        master.set_ranges(node.ranges)
        for column in columns:
            master.add(column)
        listing = Listing(duals=instance.by_part(duals), keep_dual=keep_dual, below=cutoff)
        return cls(instance, parameters, clock, master, _Rows.of(instance, columns), node.ranges, listing, unit)

    def bounded(self, splits: Splits) -> Node:
        """Solve the LP of a node over the list and bound it in whole numbers."""
        instance, master, rows = self.instance, self.master, self.rows
        self.clock.nodes += 1
        made = self._blocks(splits)
        ranges: dict[Block, tuple[int, int]] = {}
        for block, split in zip(made, splits, strict=True):
            low, high = ranges.get(block, (split.low, split.high))
            ranges[block] = max(low, split.low), min(high, split.high)
        master.set_blocks(ranges)
        solution = master.solve(self.clock.seconds_left)
        cells = master.pivots * self.parameters.pivot_cells + len(rows.costs) * self.parameters.listed_node_cells
        self.clock.work += cells * len(instance.demand)
        relaxation = unsolved(instance)
        duals, keep_dual, split_duals = (0,) * len(instance.pieces), 0, [0] * len(splits)
        if solution is not None:
            relaxation = replace(relaxation, solution=replace(solution, uses=master.uses()))
            duals, keep_dual = whole(solution.duals, solution.keep_dual, self.unit)
            of_blocks = {block: round(solution.block_duals[block] * self.unit) for block in ranges}
            if not _fit(instance, self.unit, duals, keep_dual + sum(map(abs, of_blocks.values()))):
                duals, keep_dual, of_blocks = (0,) * len(instance.pieces), 0, {}
            for block, dual in of_blocks.items():
                ends = ranges[block]
                # Of splits that make the same block the narrowest says most.
                end = [(split.low, split.high)[dual < 0] for split in splits]
                narrowest = next(k for k, one in enumerate(made) if one == block and end[k] == ends[dual < 0])
                split_duals[narrowest] = dual
        beyond = rows.costs * self.unit + rows.kept * keep_dual - rows.counts @ np.array(duals, dtype=np.int64)
        worth = 0
        for block, split, dual in zip(made, splits, split_duals, strict=True):
            beyond -= dual * rows.within(block)
            worth += dual * (split.low if dual > 0 else split.high)
        own = [beyond[rows.source == index] for index in range(len(instance.sources))]
        least = tuple(int(each.min()) if len(each) else math.inf for each in own)
        bound = Priced(duals, keep_dual, least).bound(instance, self.ranges, self.unit, more=worth)
        leaf = replace(
            leaf_of(instance, duals, self.ranges, keep_dual, splits),
            listing=self.listing,
            split_duals=tuple(split_duals),
        )
        return Node(self.ranges, min(bound, self.listing.below), leaf, relaxation, splits)

    def divided(self, node: Node) -> list[Splits]:
        """The splits of a node's children: of all bars of a source, whatever other splits there are.

        Where numbers of bars with a part or two are whole, it is the number of a single pattern that is not.
        """
        solution, whole_enough = node.relaxation.solution, self.parameters.integrality
        found = candidate(self, solution, ())
        if found is None:
            aside = [
                (abs(use % 1.0 - 0.5), number)
                for number, use in enumerate(solution.uses)
                if abs(use % 1.0 - 0.5) < 0.5 - whole_enough and any(self.master.columns[number].pattern)
            ]
            if not aside:
                return []
            column, use = self.master.columns[min(aside)[1]], solution.uses[min(aside)[1]]
            found = Candidate(column.source, tuple((i, n) for i, n in enumerate(column.pattern) if n), use)
        return children(self, node.splits, found)

    def _blocks(self, splits: Splits) -> list[Block]:
        """The bars that each split is about, those of others not taken off."""
        blocks = list(self.instance.blocks)
        for split in splits:
            blocks.append(blocks[split.share].divided(split)[1])
        return blocks[len(self.instance.sources) :]


def branched_over_list(generator: ColumnGenerator, node: Node, cutoff: int, unit: int, work: int) -> list[Node]:
    """Cases over a list that together cover a node, as many of them at ``cutoff`` as so much work allows."""
    nodes = ListedNodes.of(generator, node, cutoff, unit) if can_be_listed(generator) else None
    if nodes is None:
        return [node]
    first = nodes.bounded(())
    return branched(generator.clock, first, work, nodes.divided, nodes.bounded, lambda one: one.bound >= cutoff)
