"""Bars whose left over is kept, beside a list of those whose left over is not.

Such a bar counts less by what its left over is worth, so that nearly any set of parts is as good in it as another: of
two hundred thousand sets that a cheaper plan of forty lengths could use nine in ten were of that kind. A knapsack tells
which of them costs least.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from cutplan.model import Split
from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.instance import Block
from cutplan.solving.master import Column
from cutplan.solving.pricing import Grid


@dataclass(frozen=True)
class KeptBars:
    """The bars of all ``sources`` whose left overs are worth something, one block of ``grid`` each."""

    grid: Grid
    sources: tuple[int, ...]

    @classmethod
    def of(cls, generator: ColumnGenerator, ranges: Sequence[tuple[int, int]]) -> KeptBars:
        """Those of an instance, of sources of which there may be bars."""
        instance = generator.instance
        known = enumerate(zip(instance.sources, ranges, strict=True))
        sources = tuple(k for k, (one, (_, most)) in known if most and instance.value(one, one.untouched))
        nothing = (0,) * len(instance.pieces)
        blocks = [Block(source, nothing, instance.demand, kept=True) for source in sources]
        return cls(generator.bound_grid.divided(blocks), sources)

    @property
    def cells(self) -> int:
        """How much a table has for each part that prices them once. [cells]"""
        return sum(max(0, self.grid.caps[leader]) for leader in set(self.grid.classes))

    def best(
        self, duals: Sequence[float], keep_dual: float, numbers: Mapping[Block, tuple[int, int]]
    ) -> dict[int, tuple[float, Column]]:
        """Of each source the bar that costs least beyond the worth of its parts, and what that comes to. [cost unit]

        Of sources alone that have such bars where there are so many of some blocks.
        """
        instance = self.grid.instance
        asked = self._asked(numbers)
        tables = self.grid.tables(duals, np.float64, blocks=list(asked))
        found = {}
        for number, source in asked.items():
            best = self.grid.best(number, tables, duals, 1, keep_dual)
            pattern = self.grid.pattern(best, number, tables)
            found[source] = best.value, Column(source, pattern, instance.cost(source, pattern), kept=True)
        return found

    def least(
        self, duals: Sequence[int], keep_dual: int, unit: int, numbers: Mapping[Block, tuple[int, int]]
    ) -> dict[int, Any]:
        """The least that one costs beyond the worth of its parts, exactly, of the same. [1/unit of a cost unit]"""
        asked = self._asked(numbers)
        tables = self.grid.tables(duals, np.int64, unit=unit, readable=False, blocks=list(asked))
        best = {
            source: self.grid.best(number, tables, duals, unit, keep_dual).value for number, source in asked.items()
        }
        return {source: value if value == math.inf else int(value) for source, value in best.items()}

    def _asked(self, numbers: Mapping[Block, tuple[int, int]]) -> dict[int, int]:
        """Sources that have such bars, by the numbers of their blocks."""
        none = {block.source for block, (_, high) in numbers.items() if not high}
        return {number: source for number, source in enumerate(self.sources) if source not in none}

    def step(self) -> int:
        """What the costs of all of them have in common; 0 where there is none. [cost unit]"""
        instance, common = self.grid.instance, 0
        for number, index in enumerate(self.sources):
            source = instance.sources[index]
            fills = np.arange(max(self.grid.free(number), 0) + 1, dtype=np.int64)
            costs = self.grid.costs(source, fills, 1, 0)
            untouched = source.price - instance.value(source, source.untouched)
            common = math.gcd(common, int(np.gcd.reduce(costs)), untouched, source.per_cut)
        return common


def beside_listed(
    blocks: Mapping[Block, tuple[int, int]], listed: Sequence[Any], kept: Mapping[int, Any]
) -> tuple[tuple[Split, ...], tuple[Any, ...]]:
    """Splits that take bars whose left over is kept from their sources, and the least of each block that these leave.

    Parameters
    ----------
    blocks
        Least and most bars of some sources whose left over is kept.
    listed, kept
        What a bar of each source costs at least that is listed, and one whose left over is kept.
    """
    splits = tuple(
        Split(share=block.source, part=0, copies=0, low=low, high=high, kept=True)
        for block, (low, high) in blocks.items()
    )
    apart = {split.share for split in splits}
    least = [one if k in apart else min(one, kept.get(k, math.inf)) for k, one in enumerate(listed)]
    return splits, (*least, *(kept.get(split.share, math.inf) for split in splits))
