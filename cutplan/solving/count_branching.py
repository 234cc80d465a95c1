"""Branching on bar counts: cases of how many bars of each source there are, which together cover a node.

References
----------
F. Vanderbeck, On Dantzig-Wolfe decomposition in integer programming and ways to perform branching in a
branch-and-price algorithm, Operations Research 48 (2000), from memory.
"""

from __future__ import annotations

from collections.abc import Sequence

from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.master import MasterSolution
from cutplan.solving.nodes import Node, Ranges


def counts_of(generator: ColumnGenerator, solution: MasterSolution) -> list[float]:
    """How many bars of each source an LP solution uses."""
    counts = [0.0] * len(generator.instance.sources)
    for column, use in zip(generator.master.columns, solution.uses, strict=False):
        counts[column.source] += use
    return counts


def fractional(ranges: Ranges, counts: Sequence[float], integrality: float) -> list[int]:
    """Sources whose count is not whole and can still be split."""
    return [
        s
        for s, (count, (low, high)) in enumerate(zip(counts, ranges, strict=True))
        if integrality < count % 1.0 < 1 - integrality and low < high
    ]


def _around(ranges: Ranges, s: int, below: int, at: int | None) -> list[Ranges]:
    """Split the range of source ``s``: up to ``below`` and above, or under, at and over ``at``."""
    low, high = ranges[s]
    parts = [(low, below), (below + 1, high)] if at is None else [(low, at - 1), (at, at), (at + 1, high)]
    return [(*ranges[:s], part, *ranges[s + 1 :]) for part in parts if part[0] <= part[1]]


def count_children(generator: ColumnGenerator, node: Node, counts: Sequence[float]) -> list[Ranges]:
    """Cases that together cover a node: by a fractional count, else around the whole counts found.

    None where nothing is known of the counts, or every source that can be used has one count left.
    """
    ranges, price = node.ranges, [source.price for source in generator.instance.sources]
    if not node.relaxation.solution.uses:
        return []
    split = fractional(ranges, counts, generator.parameters.count_integrality)
    if split:
        # Nearest to a half, where both children differ most from what was found; of those the dearest bar.
        s = min(split, key=lambda s: (round(abs(counts[s] % 1.0 - 0.5), 6), -price[s], s))
        return _around(ranges, s, int(counts[s]), None)
    # A bar that can hold no part is in no plan, and no LP can be made to use it.
    usable = {column.source for column in generator.master.columns}
    wide = [s for s, (low, high) in enumerate(ranges) if low < high and s in usable]
    if not wide:
        return []
    s = max(wide, key=lambda s: (price[s], -s))
    return _around(ranges, s, round(counts[s]), round(counts[s]))
