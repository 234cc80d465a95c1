"""Cases of a search and what bounds them: their LP, or length alone where a limit struck before that was solved."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeAlias

from cutplan.model import Leaf, Split
from cutplan.solving.blocks import Partition
from cutplan.solving.certificate import certify, dual_bound, fitting, leaf_of, summable
from cutplan.solving.columns import ColumnGenerator, Relaxation, unsolved
from cutplan.solving.cost_steps import dearest_below, next_cost
from cutplan.solving.dual_feasible import length_duals
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.instance import Instance
from cutplan.solving.parameters import Parameters
from cutplan.solving.pricing import Grid, working_step
from cutplan.units import Length

Ranges: TypeAlias = tuple[tuple[int, int], ...]
Splits: TypeAlias = tuple[Split, ...]


@dataclass(frozen=True)
class Node:
    """A node of the search: its count ranges and splits, the leaf that bounds it and its LP solution.

    The ``part`` of a split is a piece of the instance. Plans that cost ``reach`` at most were looked for; where that is
    ``sure`` none of them is cheaper than the incumbent.
    """

    ranges: Ranges
    bound: int
    leaf: Leaf
    relaxation: Relaxation
    splits: tuple[Split, ...] = ()
    reach: int = -1
    sure: bool = True

    @property
    def next(self) -> int:
        """What its next plan costs at least, of those that were not looked for yet."""
        return max(self.bound, self.reach + 1)


def by_length(
    instance: Instance,
    unit: int,
    parameters: Parameters,
    ranges: Ranges | None = None,
    splits: Splits = (),
    step: Length | None = None,
    stopped: Callable[[], bool] = lambda: False,
) -> Node:
    """A node bounded without its LP, by the lengths of its parts alone, counted in ``step``.

    Once it is ``stopped`` the most promising duals are the only ones.
    """
    ranges = ranges or tuple((0, source.most) for source in instance.sources)
    whole = Grid.of(
        instance,
        step or working_step(instance, parameters.most_steps, parameters.table_cells, parameters.state_steps),
        for_bound=True,
    )
    grid = whole.divided(Partition.of(instance, splits).blocks)
    best = (0,) * len(instance.pieces)
    # Without a bar that must be there, or one that brings money in, it is known what these come to.
    bound = 0 if _may_be_empty(instance, ranges, splits) else dual_bound(grid, best, ranges, unit, splits=splits)[0]
    tried = False
    promising = length_duals(whole, ranges, unit, parameters, few=stopped())
    for about, duals in itertools.islice(promising, parameters.length_bounds):
        # They come by what they promise, the most first: from here on none promises more than is shown already. Priced
        # by whole sets they may show more, which is why what an LP showed is no reason not to ask the first.
        if next_cost(instance, ranges, math.ceil(about)) <= bound or (tried and stopped()):
            break
        tried = True
        lowered = fitting(grid, duals)
        shown, _ = dual_bound(grid, lowered, ranges, unit, splits=splits)
        if shown > bound:
            bound, best = shown, lowered
    return Node(ranges, bound, leaf_of(instance, best, ranges, splits=splits), unsolved(instance), splits)


def _may_be_empty(instance: Instance, ranges: Ranges, splits: Splits) -> bool:
    """May there be no bar, and does each cost nothing at least?

    Where cuts are charged, one that is filled to its end may cost less: it is spared a stroke that is counted for it.
    """
    return instance.flat and not splits and not any(low for low, _ in ranges) and not instance.most_earned


def unknown(instance: Instance, unit: int, ranges: Ranges, splits: Splits = ()) -> Node:
    """A node of which only this is known, when time is up: no bar costs less than nothing, counted in any ``unit``."""
    nothing = leaf_of(instance, (0,) * len(instance.pieces), ranges, splits=splits)
    return Node(ranges, 0, nothing, unsolved(instance), splits)


@dataclass(frozen=True)
class Bounder:
    """The means to bound the nodes of one search.

    ``unit`` is the denominator of the duals that show a bound.
    """

    generator: ColumnGenerator
    incumbent: Incumbent
    parameters: Parameters
    unit: int

    def bounded(self, ranges: Ranges, splits: Splits = ()) -> Node:
        """Solve the LP of a node and certify its bound in whole numbers."""
        relaxation = self._relaxation(ranges, splits)
        if relaxation is None:
            if self.generator.clock.struck():
                return unknown(self.generator.instance, self.unit, ranges, splits)
            return by_length(
                self.generator.instance,
                self.unit,
                self.parameters,
                ranges,
                splits,
                stopped=self.generator.clock.struck,
            )
        node = self._proven(ranges, splits, relaxation)
        if relaxation.solution.missing > self.parameters.missing and not self.incumbent.fathoms(node.bound):
            return self._raised(node)
        return node

    def _relaxation(self, ranges: Ranges, splits: Splits) -> Relaxation | None:
        instance = self.generator.instance
        # Above the dearest cost that is still of use, a bound fathoms the node, and the LP need not be solved to its
        # end.
        target = dearest_below(instance, ranges, self.incumbent.cutoff()) + self.generator.margin
        return self.generator.relax(ranges, instance.demand, target, self.parameters.rounds, splits=splits)

    def _proven(self, ranges: Ranges, splits: Splits, relaxation: Relaxation) -> Node:
        grid = self.generator.bound_grid.divided(Partition.of(self.generator.instance, splits).blocks)
        bound, leaf = certify(
            grid, relaxation.duals, ranges, self.unit, relaxation.keep_dual, splits, priced=relaxation.priced
        )
        node = Node(ranges, bound, leaf, relaxation, splits)
        if bound >= math.floor(relaxation.solution.value) or self.incumbent.fathoms(bound):
            return node
        if self.generator.clock.struck():
            return node
        # Sets that fit as bounds see them but cannot be cut bring no columns, so that duals may show less than lengths.
        plain = by_length(self.generator.instance, self.unit, self.parameters, ranges, splits)
        return replace(plain, relaxation=relaxation) if plain.bound > bound else node

    def _raised(self, node: Node) -> Node:
        """A node whose LP leaves parts out, bounded with so high a penalty for that that no plan of use is left.

        Its bar counts hold no plan, and the duals that show it grow with the penalty.
        """
        generator, incumbent, relaxation = self.generator, self.incumbent, node.relaxation
        penalty = generator.penalty
        try:
            for _ in range(self.parameters.raises):
                lacking = incumbent.cutoff() - relaxation.solution.value
                if (
                    relaxation.solution.missing <= self.parameters.missing
                    or lacking <= 0
                    or incumbent.fathoms(node.bound)
                ):
                    break
                penalty += math.ceil(self.parameters.raise_factor * lacking / relaxation.solution.missing)
                if penalty > self.parameters.most_raised * generator.penalty:
                    break
                generator.master.set_penalty(penalty)
                raised = self._relaxation(node.ranges, node.splits)
                if raised is None or not summable(generator.instance, raised.duals, self.unit):
                    break
                relaxation = raised
                higher = self._proven(node.ranges, node.splits, relaxation)
                if higher.bound > node.bound:
                    node = replace(higher, relaxation=node.relaxation)
        finally:
            # One LP serves all nodes.
            generator.master.set_penalty(generator.penalty)
        return node
