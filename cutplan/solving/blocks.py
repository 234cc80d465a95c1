"""Blocks of a source's bars after splits by what they hold, and what numbers of them cost at least together.

References
----------
Branching on how many columns have at least so many of some components: F.
Vanderbeck, On Dantzig-Wolfe decomposition in integer programming and ways to
perform branching in a branch-and-price algorithm, Operations Research 48
(2000); pairs of items together or apart: D. M. Ryan, B. A. Foster, An integer
programming approach to scheduling, 1981. Both from memory.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from cutplan.model import Split
from cutplan.solving.instance import Block, Instance


@dataclass(frozen=True)
class Partition:
    """The blocks that some splits leave, numbered as the splits do.

    ``ranges`` tells how many bars there are of each block at the time it was split off; ``within`` for each block
    left which of those it is, or is a part of. The ``part`` of a split is a piece of the instance here.
    """

    blocks: tuple[Block, ...]
    ranges: Mapping[Block, tuple[int, int]]
    within: tuple[tuple[Block, ...], ...]

    @classmethod
    def of(cls, instance: Instance, splits: Sequence[Split]) -> Partition:
        """Go through the splits."""
        blocks = list(instance.blocks)
        within: list[tuple[Block, ...]] = [()] * len(blocks)
        ranges: dict[Block, tuple[int, int]] = {}
        for split in splits:
            few, many = blocks[split.share].divided(split)
            # A block all of whose bars meet the bound is split to narrow its own range.
            low, high = ranges.get(many, (split.low, split.high))
            ranges[many] = (max(low, split.low), min(high, split.high))
            blocks[split.share] = few
            blocks.append(many)
            within.append(tuple(dict.fromkeys((*within[split.share], many))))
        return cls(tuple(blocks), ranges, tuple(within))

    def is_empty(self, index: int) -> bool:
        """Is a block to have no bar?"""
        return any(self.ranges[one][1] == 0 for one in self.within[index])


@dataclass(frozen=True)
class _Costs:
    """Least cost of every number of bars of some blocks: ``first`` for ``low``, then by slopes that do not fall.

    A step is (cost of one more bar, how many; None is no limit).
    """

    low: int
    first: Any
    steps: tuple[tuple[Any, int | None], ...]

    def together(self, other: _Costs) -> _Costs:
        """Bars of either."""
        # Both are convex, so that n bars of either cost least when the cheapest slopes of both come first.
        steps = sorted(self.steps + other.steps, key=lambda step: step[0])
        return _Costs(self.low + other.low, self.first + other.first, tuple(steps))

    def between(self, low: int, high: int) -> _Costs | None:
        """Only numbers from ``low`` to ``high``; None when there are none such."""
        at, first, steps = self.low, self.first, list(self.steps)
        if at > high:
            return None
        while at < low:
            if not steps:
                return None
            slope, most = steps.pop(0)
            more = low - at if most is None else min(most, low - at)
            at, first = at + more, first + slope * more
            if most is None or more < most:
                steps.insert(0, (slope, None if most is None else most - more))
        kept: list[tuple[Any, int | None]] = []
        room = high - at
        for slope, most in steps:
            more = room if most is None else min(most, room)
            if more:
                kept.append((slope, more))
            room -= more
        return _Costs(at, first, tuple(kept))

    def least(self) -> Any:
        """The least of all."""
        return self.first + sum(slope * most for slope, most in self.steps if slope < 0 and most)


def least_over_blocks(
    ranges: Sequence[tuple[int, int]], splits: Sequence[Split], least_reduced: Sequence[Any]
) -> Any | None:
    """The least sum over all bars when one of each block counts ``least_reduced``; None when no counts are possible.

    Parameters
    ----------
    ranges
        Least and most bars of each source.
    splits
        In turn, with how many bars they make a new block.
    least_reduced
        For each block left after the splits; infinite where no bar can be in it.
    """
    costs: list[_Costs | None] = [_Costs(0, 0, ((least, None),) if least < math.inf else ()) for least in least_reduced]
    # Last split first, so that whatever was split off from a block is added to it before its own range is applied.
    for split in reversed(splits):
        many, few = costs.pop(), costs[split.share]
        many = many.between(split.low, split.high) if many else None
        costs[split.share] = few.together(many) if few and many else None
    total: Any = 0
    for one, (low, high) in zip(costs, ranges, strict=True):
        within = one.between(low, high) if one else None
        if within is None:
            return None
        total += within.least()
    return total
