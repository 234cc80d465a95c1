"""What the bars of a case can cost, where lengths are cut for the carry: no plan costs anything in between.

The price of each bar follows from its length, and pieces more than need be are charged in whole amounts. With prices
of whole lengths, and book values that are anything, that leaves few costs to a case with all offcuts settled.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from cutplan.solving.instance import Instance
from cutplan.units import ceil_div

MOST_SUMS = 4_096


def next_cost(instance: Instance, ranges: Sequence[tuple[int, int]], bound: int) -> int:
    """The least cost from ``bound`` up that bars can have, so many of each source. [cost unit]

    Where bars of these numbers cannot cost as much, the next multiple of the cost step.
    """
    sums, step = _sums(instance, ranges)
    if step:
        # Multiples below a sum count as possible too, which can only lower what is said here.
        return bound + min((one - bound) % step for one in sums)
    above = (one for one in sums if one >= bound)
    return min(above, default=ceil_div(bound, instance.cost_step) * instance.cost_step)


def dearest_below(instance: Instance, ranges: Sequence[tuple[int, int]], cost: int) -> int:
    """The highest cost below ``cost`` that bars can have; less than nothing where there is none."""
    sums, step = _sums(instance, ranges)
    if step:
        return cost - 1 - min((cost - 1 - one) % step for one in sums)
    return max((one for one in sums if one < cost), default=-1)


def _sums(instance: Instance, ranges: Sequence[tuple[int, int]]) -> tuple[set[int], int]:
    """Some costs, and a step: any other is one of them plus a multiple of the step; 0 where there are no others."""
    if instance.valued or not any(source.carrying for source in instance.sources):
        return {0}, instance.cost_step
    step, fixed, open_counts = 0, 0, []
    for source, (low, high) in zip(instance.sources, ranges, strict=True):
        if high:
            step = math.gcd(step, source.per_cut, source.per_setup)
            if source.carrying:
                step = math.gcd(step, source.carrying.charge, source.per_stroke)
            fixed += low * source.price
            open_counts.append((high - low, source.price))
    sums = {fixed}
    # Sources with few numbers of bars first: most of them can be told apart. The others make the step finer, which
    # lets in costs that no bars have but misses none.
    for number, price in sorted(open_counts):
        if len(sums) * (number + 1) > MOST_SUMS:
            step = math.gcd(step, price)
        else:
            sums = {one + n * price for one in sums for n in range(number + 1)}
    return sums, step
