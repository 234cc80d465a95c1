"""Cases of a search and what bounds them: their LP, or length alone where a limit struck before that was solved."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace
from typing import TypeAlias

from cutplan.model import Leaf, Split
from cutplan.solving.bound import fitting, leaf_bound, leaf_of, prove, round_up, summable
from cutplan.solving.grid import Grid, working_step
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.instance import Instance
from cutplan.solving.limits import Limits
from cutplan.solving.material import length_duals
from cutplan.solving.relax import Generator, Node, nothing_known
from cutplan.solving.shares import Division
from cutplan.units import Length

Ranges: TypeAlias = tuple[tuple[int, int], ...]
Splits: TypeAlias = tuple[Split, ...]

MISSING = 1e-9
"""Pieces left out by an LP solution above which it is said to leave parts out."""

MOST_BY_LENGTH = 3
"""Ways to value parts by their length that are worked through, the most promising first."""

RAISES = 3
"""How often the penalty for that is raised in one case."""

RAISE = 2
"""How many times what seems needed it is raised by."""

MOST_RAISED = 1000
"""How many times its first value the penalty may become."""


@dataclass(frozen=True)
class Case:
    """A case of the search: its count ranges and splits, the leaf that bounds it and its LP solution.

    The ``part`` of a split is a piece of the instance.
    """

    ranges: Ranges
    bound: int
    leaf: Leaf
    node: Node
    splits: tuple[Split, ...] = ()


def by_length(
    instance: Instance, unit: int, ranges: Ranges | None = None, splits: Splits = (), step: Length | None = None
) -> Case:
    """A case bounded without its LP, by the lengths of its parts alone, counted in ``step``."""
    ranges = ranges or tuple((0, source.most) for source in instance.sources)
    whole = Grid.of(instance, step or working_step(instance), for_bound=True)
    grid = whole.divided(Division.of(instance, splits).shares)
    best = (0,) * len(instance.pieces)
    bound, _ = leaf_bound(grid, best, ranges, unit, splits=splits)
    for about, duals in itertools.islice(length_duals(whole, ranges, unit), MOST_BY_LENGTH):
        if round_up(instance, math.ceil(about)) <= bound:
            break
        lowered = fitting(grid, duals)
        shown, _ = leaf_bound(grid, lowered, ranges, unit, splits=splits)
        if shown > bound:
            bound, best = shown, lowered
    return Case(ranges, bound, leaf_of(instance, best, ranges, splits=splits), nothing_known(instance), splits)


def unknown(instance: Instance, unit: int, ranges: Ranges, splits: Splits = ()) -> Case:
    """A case of which only this is known, when time is up: no bar costs less than nothing, counted in any ``unit``."""
    nothing = leaf_of(instance, (0,) * len(instance.pieces), ranges, splits=splits)
    return Case(ranges, 0, nothing, nothing_known(instance), splits)


@dataclass(frozen=True)
class Bounder:
    """The means to bound the cases of one search.

    ``unit`` is the denominator of the duals that show a bound.
    """

    generator: Generator
    incumbent: Incumbent
    limits: Limits
    unit: int

    def bounded(self, ranges: Ranges, splits: Splits = ()) -> Case:
        """Solve the LP of a case and prove its bound in whole numbers."""
        node = self._relaxed(ranges, splits)
        if node is None:
            bounds = unknown if self.generator.clock.struck() else by_length
            return bounds(self.generator.instance, self.unit, ranges, splits)
        case = self._proven(ranges, splits, node)
        if node.relaxed.missing > MISSING and not self.incumbent.settled(case.bound):
            return self._raised(case)
        return case

    def _relaxed(self, ranges: Ranges, splits: Splits) -> Node | None:
        instance = self.generator.instance
        target = self.incumbent.mark() - instance.cost_step + 0.5
        return self.generator.relax(ranges, instance.demand, target, self.limits.rounds, splits=splits)

    def _proven(self, ranges: Ranges, splits: Splits, node: Node) -> Case:
        grid = self.generator.bound_grid.divided(Division.of(self.generator.instance, splits).shares)
        bound, leaf = prove(grid, node.worths, ranges, self.unit, node.keep_dual, splits)
        return Case(ranges, bound, leaf, node, splits)

    def _raised(self, case: Case) -> Case:
        """A case whose LP leaves parts out, bounded with so high a penalty for that that no plan of use is left.

        Its bar counts hold no plan, and the duals that show it grow with the penalty.
        """
        generator, incumbent, node = self.generator, self.incumbent, case.node
        penalty = generator.penalty
        try:
            for _ in range(RAISES):
                lacking = incumbent.mark() - node.relaxed.value
                if node.relaxed.missing <= MISSING or lacking <= 0 or incumbent.settled(case.bound):
                    break
                penalty += math.ceil(RAISE * lacking / node.relaxed.missing)
                if penalty > MOST_RAISED * generator.penalty:
                    break
                generator.master.set_penalty(penalty)
                raised = self._relaxed(case.ranges, case.splits)
                if raised is None or not summable(generator.instance, raised.worths, self.unit):
                    break
                node = raised
                higher = self._proven(case.ranges, case.splits, node)
                if higher.bound > case.bound:
                    case = replace(higher, node=case.node)
        finally:
            generator.master.set_penalty(generator.penalty)
        return case
