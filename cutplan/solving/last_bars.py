"""The last bars of a plan: where all others are known, the parts that are left go on bars whose left over is kept.

References
----------
The integer program is a set cover over all patterns of few parts: P. C. Gilmore, R. E. Gomory, A linear programming
approach to the cutting-stock problem, Operations Research 9 (1961).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from cutplan.solving.columns import ColumnGenerator
from cutplan.solving.enumeration import enumerate_patterns
from cutplan.solving.integer_master import may_ask, whole_bars
from cutplan.solving.nodes import Ranges
from cutplan.solving.plans import PatternUse, total_cost


def with_kept_bars(
    generator: ColumnGenerator, ranges: Ranges, bars: Sequence[PatternUse], below: int
) -> list[PatternUse] | None:
    """Bars, and others for the parts that they do not hold, for less than ``below`` in all; None where none are found.

    ``ranges`` is how many bars of each source there may be in all.
    """
    instance, parameters, clock = generator.instance, generator.parameters, generator.clock
    held = [0] * len(instance.pieces)
    used = [0] * len(ranges)
    for one in bars:
        used[one.source] += one.count
        held = [n + one.count * more for n, more in zip(held, one.pattern, strict=True)]
    wanted = [max(0, n - m) for n, m in zip(instance.demand, held, strict=True)]
    if not any(wanted):
        return list(bars)
    left = tuple((max(0, low - n), high - n) for (low, high), n in zip(ranges, used, strict=True))
    if not may_ask(clock, parameters.loading):
        return None
    grid = generator.listing_grid.limited(wanted)
    # Of sources without a bar left nothing is listed.
    grid = replace(grid, caps=tuple(cap if most else -1 for cap, (_, most) in zip(grid.caps, left, strict=True)))
    columns = enumerate_patterns(
        instance,
        grid,
        (0.0,) * len(wanted),
        (0.0,) * len(ranges),
        math.inf,
        [max(source.room, 0) for source in instance.sources],
        parameters.kept_listed,
        clock.struck,
        parameters,
        every_set=True,
    )
    if columns is None:
        return None
    columns = [column for column in columns if any(column.pattern)]
    below -= total_cost(instance, bars)
    chosen, _ = whole_bars(instance, columns, wanted, left, below, parameters.kept_effort, clock.seconds_left)
    return None if chosen is None else [*bars, *(PatternUse(one.source, one.pattern, n) for one, n in chosen)]
