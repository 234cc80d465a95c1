"""Branching over a list of the patterns that a cheaper plan could use, for a node decided by that list.

Over so few patterns the LP bounds far higher than over all, and the duals of its nodes are priced by going through the
list. The duals that the list was made by go into every leaf, so that the list can be made anew.

A long list leaves bars out whose left over is kept. Only others are then told apart by what they hold; and where
numbers of these are whole, an integer program puts the parts that are left on bars whose left over is kept.

A bound is rounded up to a multiple of what the costs of all that is listed have in common.

Such LPs take milliseconds, so that many ways to branch are tried, and the one taken whose children's bounds rise most:
a tree of a thousand nodes becomes one of a hundred. Ways that came out well before are tried first.

References
----------
R. Baldacci, N. Christofides, A. Mingozzi, Mathematical Programming 115 (2008): columns listed by reduced cost, then an
integer program over these; here a tree whose leaves show what that finds. Strong branching: D. Applegate, R. Bixby,
V. Chvatal, W. Cook, Finding cuts in the TSP, 1995; what it showed before, as a guide: T. Achterberg, T. Koch,
A. Martin, Branching rules revisited, Operations Research Letters 33 (2005). All from memory.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import zip_longest
from typing import TypeAlias

import numpy as np

from cutplan.model import Listing, Split
from cutplan.solving.blocks import Partition, least_over_blocks
from cutplan.solving.certificate import LARGEST, Priced, dual_bound, leaf_of, whole
from cutplan.solving.clock import Clock
from cutplan.solving.columns import ColumnGenerator, Relaxation, unsolved
from cutplan.solving.component_branching import Candidate, candidates, children
from cutplan.solving.enumeration import enumerate_patterns
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.instance import Block, Instance
from cutplan.solving.kept_bars import KeptBars, beside_listed
from cutplan.solving.last_bars import with_kept_bars
from cutplan.solving.listed_master import ListedMaster, ListedSolution, Rows
from cutplan.solving.master import Column
from cutplan.solving.nodes import Node, Ranges, Splits
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse
from cutplan.units import ceil_div


def _fit(instance: Instance, unit: int, duals: Sequence[int], others: int) -> bool:
    """Can the worth of all parts, what bars cost and other duals be summed without overflow? [1/unit of a cost unit]"""
    pieces = sum(instance.demand)
    work = max(source.per_cut + source.per_setup for source in instance.sources) + instance.cut_at_least
    dearest = max(source.price + instance.value(source, source.untouched) for source in instance.sources)
    worth = pieces * (max(duals) + instance.cut_at_least * unit) + others
    return unit * (dearest + (pieces + 2) * work) + worth < LARGEST


def by_kept(within: Splits) -> Splits:
    """One split of each source that takes as many bars whose left over is kept as all of some splits together say."""
    numbers: dict[int, Split] = {}
    for split in within:
        before = numbers.get(split.share, split)
        numbers[split.share] = replace(split, low=max(before.low, split.low), high=min(before.high, split.high))
    return tuple(numbers.values())


def _centred(generator: ColumnGenerator, node: Node, splits: Splits) -> Relaxation | None:
    """The duals of a node within splits by which few patterns are of use; None when time is up."""
    demand, relaxation = generator.instance.demand, node.relaxation
    if splits:
        found = generator.relax(node.ranges, demand, math.inf, generator.parameters.rounds, splits=splits)
        if found is None:
            return None
        relaxation = found
    return generator.centred(node.ranges, demand, relaxation, splits=splits)


def can_be_listed(generator: ColumnGenerator) -> bool:
    """Does the checker list the same patterns: of whole lengths and square parts?"""
    instance = generator.instance
    return (
        generator.lists_all
        and instance.space.adds_up
        and all(piece.square for piece in instance.pieces)
        and not any(source.carrying for source in instance.sources)
    )


def _step(instance: Instance, rows: Rows, kept_bars: KeptBars | None) -> int:
    """What the costs of all bars that the checker lists, or prices, have in common at least. [cost unit]

    It lists no other sets than are in ``rows``, if need be with a cut more or less. Of bars without a part it may
    reckon what is left otherwise, and set-ups it may share out among parts.
    """
    bare = not rows.counts.any(axis=1).all() and kept_bars is None
    if any(source.per_setup for source in instance.sources) or bare:
        return 1
    apart = kept_bars.step() if kept_bars else 0
    return math.gcd(int(np.gcd.reduce(rows.costs)), apart, *(source.per_cut for source in instance.sources)) or 1


def _of_use(
    generator: ColumnGenerator,
    ranges: Ranges,
    duals: Sequence[float],
    above: Sequence[float],
    most: int,
    *,
    kept: bool,
) -> list[Column] | None:
    """Bars that cost no more beyond the worth of their parts than so much of each source; None for more than ``most``.

    In the order of their sources; with ``kept`` those whose left over is kept too.
    """
    instance, parameters = generator.instance, generator.parameters
    scrapping = replace(instance, sources=tuple(replace(source, rate=0) for source in instance.sources))
    columns = enumerate_patterns(
        instance if kept else scrapping,
        generator.listing_grid.limited(instance.demand),
        duals,
        above,
        0.0,
        [max(source.room, 0) for source in instance.sources],
        most,
        generator.clock.struck,
        parameters,
        every_set=True,
    )
    if columns is None:
        return None
    columns = [column for column in columns if any(column.pattern) and ranges[column.source][1]]
    # A left over that could be kept may be scrapped, and a bar left as it is, if a plan can bear that.
    others = [
        replace(column, cost=instance.cost(column.source, column.pattern, kept=False), kept=False)
        for column in columns
        if column.kept and not instance.kept_counts
    ]
    nothing = (0,) * len(instance.pieces)
    for index, source in enumerate(instance.sources):
        value = instance.value(source, source.untouched) * kept
        others += [Column(index, nothing, source.price - value * is_so, is_so) for is_so in {False, value > 0}]
    for column in others:
        if column.cost - sum(n * y for n, y in zip(column.pattern, duals, strict=True)) <= above[column.source]:
            columns.append(column)
    return sorted(columns, key=lambda column: column.source)


_Way: TypeAlias = tuple[int, tuple[tuple[int, int], ...]]
"""Which number of bars is branched on: the block and the component bounds of a candidate."""


@dataclass
class _Rise:
    """How far bounds of children rose with a way to branch, on the mean."""

    mean: float = 0.0
    times: int = 0

    def seen(self, rise: float) -> None:
        """Let one more into the mean."""
        self.times += 1
        self.mean += (rise - self.mean) / self.times


@dataclass(frozen=True)
class ListedNodes:
    """The nodes of one choice of bar counts over its list; what :func:`branched` needs of a search."""

    generator: ColumnGenerator
    incumbent: Incumbent
    master: ListedMaster
    rows: Rows
    kept_bars: KeptBars | None
    """Bars whose left over is kept, where these are not listed."""
    ranges: Ranges
    listing: Listing
    unit: int
    step: int
    """What the costs of all that is listed have in common, and so those of all plans of it. [cost unit]"""
    rises: dict[_Way, _Rise] = field(default_factory=lambda: defaultdict(_Rise))
    blocks: dict[int, tuple[Splits, tuple[Block, ...]]] = field(default_factory=dict)
    """Of the last splits of each number that were asked for, the bars that each of them is about."""

    @property
    def instance(self) -> Instance:
        """The group."""
        return self.generator.instance

    @property
    def parameters(self) -> Parameters:
        """The figures that steer the search."""
        return self.generator.parameters

    @property
    def clock(self) -> Clock:
        """What limits the search."""
        return self.generator.clock

    @classmethod
    def of(
        cls,
        generator: ColumnGenerator,
        node: Node,
        incumbent: Incumbent,
        unit: int,
        most: int,
        *,
        kept: bool,
        within: Splits = (),
    ) -> ListedNodes | None:
        """List what a plan of the node for less than the incumbent could use; None where that is more than so ``most``.

        With ``kept`` bars whose left over is kept are listed too; else there are so many of them as splits say that the
        plan is ``within``.
        """
        splits = by_kept(within)
        cutoff = incumbent.cutoff()
        instance, parameters = generator.instance, generator.parameters
        centred = _centred(generator, node, splits)
        if centred is None:
            return None
        duals, keep_dual = whole(centred.duals, centred.keep_dual, unit)
        if not _fit(instance, unit, duals, keep_dual):
            return None
        grid = generator.bound_grid.divided(Partition.of(instance, splits).blocks)
        _, least_reduced = dual_bound(grid, duals, node.ranges, unit, keep_dual, splits)
        bars = least_over_blocks(node.ranges, splits, least_reduced)
        if bars is None:
            return None
        # Not rounded up to a cost that plans have: what is listed must hold all that is within the gap of the duals.
        bound = sum(y * d for y, d in zip(duals, instance.demand, strict=True)) + bars
        bound -= keep_dual * (instance.most_kept or 0)
        gap = (cutoff * unit - bound) / unit + 1 + parameters.gap_slack * abs(cutoff)
        floats = [y / unit for y in duals]
        above = [least / unit + gap for least in least_reduced[: len(instance.sources)]]
        columns = _of_use(generator, node.ranges, floats, above, most, kept=kept)
        if columns is None:
            return None
        rows = Rows.of(instance, columns)
        kept_bars = None if kept else KeptBars.of(generator, node.ranges)
        master = ListedMaster(instance, columns, rows, node.ranges, generator.penalty, parameters, kept_bars)
        master.give(floats, [column for column in generator.master.columns if column.kept and not kept])
        listing = Listing(
            duals=instance.by_part(duals), keep_dual=keep_dual, below=cutoff, kept=kept, splits=len(within)
        )
        step = _step(instance, rows, kept_bars)
        return cls(generator, incumbent, master, rows, kept_bars, node.ranges, listing, unit, step)

    def bounded(self, splits: Splits) -> Node:
        """Solve the LP of a node over the list and bound it in whole numbers."""
        return self._certified(splits, self._solved(splits))

    def divided(self, node: Node) -> list[Node]:
        """A node's children, by the numbers of bars whose children's bounds rise most, of those that are tried.

        What is told apart is all bars of a source that are listed, whatever other splits there are. Where numbers of
        bars with a part or two are whole, it is the number of a single pattern that is not; and where all are, the
        other bars are looked for.
        """
        best: tuple[float, list[tuple[Splits, ListedSolution | None]]] = -1.0, []
        since = 0
        for one in self._tried(node):
            # To choose among ways to branch a guess is enough, without pricing bars that are not listed.
            guess = self.kept_bars is not None
            further = [(splits, self._solved(splits, guess=guess)) for splits in children(self, node.splits, one)]
            bounds = [min(found.bound, self._target) if found else node.bound for _, found in further]
            # A number that cannot be higher, or lower, makes no second child.
            rises = sorted(max(bound - node.bound, 1.0) for bound in bounds) or [1.0]
            rise = math.sqrt(rises[0] * rises[-1]) if len(rises) > 1 else self._target - node.bound
            self.rises[one.block, one.held].seen(rise)
            closed = all(bound >= self._target for bound in bounds)
            since = 0 if rise > best[0] else since + 1
            best = max(best, (rise, further), key=lambda tried: tried[0])
            if closed:
                best = rise, further
            if closed or since >= self.parameters.listed_patience or self.clock.struck():
                break
        if self.kept_bars:
            return [self.bounded(splits) for splits, _ in best[1]]
        return [self._certified(splits, found) for splits, found in best[1]]

    def _tried(self, node: Node) -> Sequence[Candidate]:
        """The ways to branch that are tried: those of left overs kept before all, else what rose before, and others."""
        solution, parameters = node.relaxation.solution, self.parameters
        kept, *_ = candidates(self, solution, (), by_parts=False)
        if kept:
            return kept[:1]
        listed = solution.uses
        if self.kept_bars:
            columns = self.master.columns
            listed = tuple(0.0 if column.kept else use for column, use in zip(columns, listed, strict=False))
        _, *by_parts = candidates(self, replace(solution, uses=listed), ())
        if not any(by_parts):
            return self._single(listed)
        known = sorted(
            (one for some in by_parts for one in some if (one.block, one.held) in self.rises),
            key=lambda one: -self.rises[one.block, one.held].mean,
        )
        fresh = [[one for one in some if (one.block, one.held) not in self.rises] for some in by_parts]
        others = [one for pair in zip_longest(*fresh) for one in pair if one is not None]
        return known[: parameters.listed_known] + others[: parameters.listed_fresh]

    def _single(self, uses: Sequence[float]) -> list[Candidate]:
        """The most fractional number of a single pattern listed; none where all are whole: then a plan is offered."""
        whole_enough = self.parameters.integrality
        used = [(column, use) for column, use in zip(self.master.columns, uses, strict=False) if use > whole_enough]
        used = [(column, use) for column, use in used if any(column.pattern)]
        aside = [
            (abs(use % 1.0 - 0.5), number)
            for number, (_, use) in enumerate(used)
            if abs(use % 1.0 - 0.5) < 0.5 - whole_enough
        ]
        if not aside:
            bars = [PatternUse(column.source, column.pattern, round(use)) for column, use in used]
            self.incumbent.offer(with_kept_bars(self.generator, self.ranges, bars, self.incumbent.cutoff()))
            return []
        column, use = used[min(aside)[1]]
        return [Candidate(column.source, tuple((i, n) for i, n in enumerate(column.pattern) if n), use)]

    @property
    def _target(self) -> float:
        """A bound from which on a node is of no use, in whole numbers too."""
        dearest = (self.incumbent.cutoff() - 1) // self.step * self.step
        return dearest + 0.5 + sum(self.instance.demand) / self.unit

    def _solved(self, splits: Splits, *, guess: bool = False) -> ListedSolution | None:
        self.clock.nodes += 1
        return self.master.solve(_ranges(self._blocks(splits), splits), self._target, self.clock, guess=guess)

    def _certified(self, splits: Splits, found: ListedSolution | None) -> Node:
        """A node whose leaf has the duals of an LP in whole numbers."""
        instance, rows = self.instance, self.rows
        made = self._blocks(splits)
        ranges = _ranges(made, splits)
        apart = {block: numbers for block, numbers in ranges.items() if block.kept and self.kept_bars}
        relaxation = unsolved(instance)
        duals, keep_dual, split_duals = (0,) * len(instance.pieces), 0, [0] * len(splits)
        if found is not None:
            relaxation = replace(relaxation, solution=replace(relaxation.solution, uses=found.uses))
            duals, keep_dual = whole(found.duals, found.keep_dual, self.unit)
            of_blocks = {
                b: round(dual * self.unit) for b, dual in zip(ranges, found.block_duals, strict=True) if b not in apart
            }
            if not _fit(instance, self.unit, duals, keep_dual + sum(map(abs, of_blocks.values()))):
                duals, keep_dual, of_blocks = (0,) * len(instance.pieces), 0, {}
            for block, dual in of_blocks.items():
                ends = ranges[block]
                # Of splits that make the same block the narrowest says most.
                end = [(split.low, split.high)[dual < 0] for split in splits]
                narrowest = next(k for k, one in enumerate(made) if one == block and end[k] == ends[dual < 0])
                split_duals[narrowest] = dual
        beyond = rows.costs * self.unit + rows.kept * keep_dual - rows.worth(np.array(duals, dtype=np.int64))
        worth = 0
        for block, split, dual in zip(made, splits, split_duals, strict=True):
            if dual:
                np.subtract(beyond, dual, out=beyond, where=rows.within(block))
                worth += dual * (split.low if dual > 0 else split.high)
        least = rows.least_of_sources(len(instance.sources), beyond)
        kept = self.kept_bars.least(duals, keep_dual, self.unit, apart) if self.kept_bars else {}
        by_number, in_whole = beside_listed(apart, [one if one == math.inf else int(one) for one in least], kept)
        bound = Priced(duals, keep_dual, in_whole).bound(instance, self.ranges, self.unit, by_number, worth)
        bound = ceil_div(bound, self.step) * self.step
        leaf = replace(
            leaf_of(instance, duals, self.ranges, keep_dual, splits),
            listing=self.listing,
            split_duals=tuple(split_duals),
        )
        return Node(self.ranges, min(bound, self.listing.below), leaf, relaxation, splits)

    def _blocks(self, splits: Splits) -> tuple[Block, ...]:
        """The bars that each split is about, those of others not taken off."""
        known, made = self.blocks.get(len(splits), ((), ()))
        # Ways to branch on a node differ in their last splits alone.
        if known != splits:
            before = self._blocks(splits[:-1])
            divided = (*self.instance.blocks, *before)[splits[-1].share]
            made = *before, divided.divided(splits[-1])[1]
            self.blocks[len(splits)] = splits, made
        return made


def _ranges(made: Sequence[Block], splits: Splits) -> dict[Block, tuple[int, int]]:
    """How many bars there are of each block that splits made."""
    ranges: dict[Block, tuple[int, int]] = {}
    for block, split in zip(made, splits, strict=True):
        low, high = ranges.get(block, (split.low, split.high))
        ranges[block] = max(low, split.low), min(high, split.high)
    return ranges
