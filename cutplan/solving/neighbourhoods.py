"""Planning a few bars of the best plan anew, again and again, all others left as they are.

For the parts of so few bars most patterns of use can be listed, and an integer program decides these in a tenth of a
second: a cheaper plan for them has no pattern of a higher reduced cost than all of the bars have in sum. A bar of high
reduced cost is more likely to be planned anew than others.

References
----------
P. Shaw, Using constraint programming and local search methods to solve vehicle routing problems, CP 1998: large
neighbourhood search. Drawing by weights without putting back: P. S. Efraimidis, P. G. Spirakis, Information Processing
Letters 97 (2006). Both from memory.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence

from cutplan.solving.columns import ColumnGenerator, Relaxation
from cutplan.solving.enumeration import of_source
from cutplan.solving.incumbent import Incumbent
from cutplan.solving.integer_master import may_ask, whole_bars
from cutplan.solving.master import Column, columns_of
from cutplan.solving.nodes import Node, Ranges
from cutplan.solving.plans import PatternUse


def replan_bars(
    generator: ColumnGenerator,
    incumbent: Incumbent,
    node: Node,
    centred: Relaxation,
    each: int,
    enough: Callable[[], bool],
) -> None:
    """Offer what plans of some bars make the incumbent cheaper, where it is a plan of this node.

    Parameters
    ----------
    centred
        The duals of the node.
    each
        How often each bar is planned anew in vain, on the mean, before that is given up.
    enough
        Asked after each plan that is found: is it cheap enough?
    """
    instance, parameters, clock = generator.instance, generator.parameters, generator.clock
    draw = random.Random(len(instance.pieces))
    in_vain, number = 0, parameters.replanned_bars
    while not incumbent.fathoms(node.bound) and _can_be_replanned(generator, incumbent, node):
        bars = [
            column
            for used in incumbent.plan or ()
            for column in columns_of(instance, used.source, used.pattern)
            for _ in range(used.count)
        ]
        if in_vain * number >= each * len(bars) or not may_ask(clock, parameters.loading):
            return
        before = incumbent.cost
        some = _drawn(draw, [max(0.0, centred.reduced_cost(column)) for column in bars], number)
        others = [PatternUse(bar.source, bar.pattern, 1) for k, bar in enumerate(bars) if k not in some]
        anew = _replanned(generator, centred, node.ranges, others, [bars[k] for k in some])
        in_vain += 1
        if anew is not None:
            incumbent.offer([*others, *anew])
        if incumbent.cost < before:
            in_vain = 0
            if enough():
                return


def _can_be_replanned(generator: ColumnGenerator, incumbent: Incumbent, node: Node) -> bool:
    """Is the incumbent a plan of the node, each bar of which costs what it costs whatever others are cut to?"""
    if incumbent.plan is None or generator.instance.kept_counts or not generator.lists_all:
        return False
    counts = [0] * len(node.ranges)
    for bars in incumbent.plan:
        counts[bars.source] += bars.count
    return all(low <= count <= high for count, (low, high) in zip(counts, node.ranges, strict=True))


def _drawn(draw: random.Random, weights: Sequence[float], number: int) -> set[int]:
    """So many of them by chance, each the likelier the more it weighs; the mean of all is added to every weight."""
    mean = sum(weights) / len(weights) or 1.0
    keys = [draw.random() ** (1 / (weight / mean + 1)) for weight in weights]
    return set(sorted(range(len(weights)), key=lambda k: -keys[k])[:number])


def _replanned(
    generator: ColumnGenerator,
    relaxation: Relaxation,
    ranges: Ranges,
    others: Sequence[PatternUse],
    bars: Sequence[Column],
) -> list[PatternUse] | None:
    """A cheaper plan for what some bars hold, beside the others; None where none is found."""
    instance, parameters, clock = generator.instance, generator.parameters, generator.clock
    wanted = [sum(held) for held in zip(*(bar.pattern for bar in bars), strict=True)]
    used = [0] * len(ranges)
    for other in others:
        used[other.source] += other.count
    left = tuple((max(0, low - n), high - n) for (low, high), n in zip(ranges, used, strict=True))
    gap = sum(max(0.0, relaxation.reduced_cost(bar)) for bar in bars)
    columns = None
    for _ in range(parameters.replanned_narrowed):
        if columns is not None or clock.struck():
            break
        columns = _listed(generator, relaxation, wanted, left, gap)
        gap *= parameters.narrowing
    if columns is None:
        return None
    # What some of the bars are cut to now may be beyond a narrower gap.
    columns += [bar for bar in dict.fromkeys(bars) if bar not in columns]
    below = sum(bar.cost for bar in bars)
    effort = parameters.replanned_effort
    chosen, _ = whole_bars(instance, columns, wanted, left, below, effort, clock.seconds_left)
    return None if chosen is None else [PatternUse(column.source, column.pattern, n) for column, n in chosen]


def _listed(
    generator: ColumnGenerator, relaxation: Relaxation, wanted: Sequence[int], ranges: Ranges, gap: float
) -> list[Column] | None:
    """Every pattern within a gap for what is wanted, of sources that have bars; None where they are too many."""
    instance, parameters = generator.instance, generator.parameters
    grid = generator.listing_grid.limited(wanted)
    columns: list[Column] = []
    for index, (_, high) in enumerate(ranges):
        if not high or grid.caps[index] < 0:
            continue
        found = of_source(
            instance,
            grid,
            index,
            relaxation.duals,
            relaxation.least_reduced[index] + gap,
            max(instance.sources[index].room, 0),
            parameters.replanned_listed - len(columns),
            generator.clock.struck,
            parameters,
            every_set=True,
        )
        if found is None:
            return None
        columns += [column for column in found if any(column.pattern)]
    return columns
