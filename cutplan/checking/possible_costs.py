"""What the bars of a case can cost: a bound holds up to the next such cost.

How many bars there are of a source says what they cost by themselves. What more may be paid, for work and for further
cuts for the carry, comes in whole amounts, so that costs differ by multiples of what these have in common.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from cutplan.checking.problem import Problem

MOST_SUMS = 4_096
"""Costs that are told apart; sources of which there may be more numbers than that only add to what all have in
common."""


def next_cost(problem: Problem, ranges: Sequence[tuple[int, int]], bound: int) -> int:
    """The least that bars, so many of each source, can cost from ``bound`` up.

    Where nothing is cut for the carry, or bars of these numbers cannot cost as much, it is the next cost that any
    numbers of bars could have. A square part is cut once, at the least that any source asks for a cut or more, unless
    a bar may end flush. Once left overs have a value any cost is possible.
    """
    if any(source.rate for source in problem.sources):
        return bound
    cut = min((source.per_cut for source in problem.sources), default=0)
    carried = any(source.pieces > 1 for source in problem.sources)
    if problem.mitred or problem.flush or carried:
        cut = 0
    cost, multiple, common = cut * sum(part.quantity for part in problem.parts), 0, 0
    open_counts = []
    for source, (low, high) in zip(problem.sources, ranges, strict=True):
        bar = source.price + source.per_cut * (source.start_trim > 0)
        # The least that a cut costs is counted with every part above; only what a source asks beyond it is open.
        more = math.gcd(source.per_cut - cut, source.per_setup, *source.steps)
        common = math.gcd(common, bar, more)
        if high and carried:
            cost += low * bar
            multiple = math.gcd(multiple, more)
            open_counts.append((high - low, bar))
    sums = {cost}
    # Few numbers first, so that most sources are told apart; the others let in costs that no bars have, and miss none.
    for number, bar in sorted(open_counts):
        if len(sums) * (number + 1) > MOST_SUMS:
            multiple = math.gcd(multiple, bar)
        else:
            sums = {one + bar * n for one in sums for n in range(number + 1)}
    if multiple == 0:
        known = min((one for one in sums if carried and one >= bound), default=None)
        if known is not None:
            return known
        multiple = common or 1
    # Multiples below a sum count as possible too: the bound may be lower for that, never higher.
    return bound + min((one - bound) % multiple for one in sums)
