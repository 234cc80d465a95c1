"""Duals without a linear program: a part is worth its length, or what a dual feasible function makes of its length.

Such a function f never falls and has f(x) + f(y) <= f(x + y), so that the f of parts that fit into a room add up to no
more than the f of the room. Where a part is worth theta times its f, a bar of a source therefore costs at least its
price less theta times the f of its room more than its parts are worth. What that bounds is concave in theta, and best
where the bars of one source are worth just what they cost: those that fill the last need when cheaper ones are few.
A left over of value makes a bar cheaper by what is not cut from it.

References
----------
S. P. Fekete, J. Schepers, New classes of fast lower bounds for bin packing problems, Mathematical Programming 91
(2001), which names u^(k) after G. S. Lueker, Bin packing with items uniformly distributed over intervals [a, b], 1983;
both from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache, partial
from typing import TypeAlias

import numpy as np

from cutplan.solving.knapsack import Array
from cutplan.solving.parameters import Parameters
from cutplan.solving.pricing import Grid
from cutplan.solving.solver_pieces import Source

Function: TypeAlias = Callable[[Array], Array]


def functions(takes: Sequence[int], longest: int, divisions: int, shortest_tried: int) -> Iterator[Function]:
    """Dual feasible functions of whole steps from 0 to ``longest``: length itself first."""
    yield np.array
    for k in range(1, divisions + 1):
        yield partial(borders, longest=longest, k=k)
    # For bars of one length no epsilon between two lengths of parts is better than the longer of these, which drops no
    # part more and counts as many as whole bars, or more.
    halves = sorted({take for take in takes if 0 < take <= longest // 2})
    for shortest in [*halves[:: max(1, -(-len(halves) // shortest_tried))], longest // 2]:
        yield partial(without_short, longest=longest, shortest=shortest)


def borders(steps: Array, longest: int, k: int) -> Array:
    """u^(k), times k (k + 1): how many of k + 1 equal lengths are passed, as if there were k of them."""
    passed, beyond = np.divmod((k + 1) * steps, longest)
    return np.where(beyond == 0, k * passed, (k + 1) * passed)


def without_short(steps: Array, longest: int, shortest: int) -> Array:
    """U^(epsilon), times ``longest``: less than ``shortest`` counts nothing, what leaves less a whole bar."""
    whole = np.where(steps > longest - shortest, longest, steps)
    return np.where(steps < shortest, 0, whole)


def length_duals(
    grid: Grid, ranges: Sequence[tuple[int, int]], unit: int, parameters: Parameters, *, few: bool = False
) -> Iterator[tuple[float, tuple[int, ...]]]:
    """Duals of every function at its best theta, with about what they bound, the best first.

    Parameters
    ----------
    grid
        The instance rounded for the bound.
    ranges
        Least and most bars of each source.
    unit
        The denominator of the duals.
    few
        Whether few functions are tried: going through all takes longer than pricing one.

    Yields
    ------
    tuple
        What is bounded, in cost units, and the duals, in 1/unit of one.
    """
    instance = grid.instance
    rooms = [max(source.room // grid.step, 0) for source in instance.sources]
    usable = [s for s, (_, high) in enumerate(ranges) if high and rooms[s]]
    if not usable:
        return
    takes, demand = np.array(grid.takes), np.array(instance.demand)
    strokes = [piece.cuts for piece in instance.pieces]
    cut = min(instance.sources[s].per_cut for s in usable)
    low, high = (np.array([float(ranges[s][end]) for s in usable])[:, None] for end in (0, 1))
    fills = np.array([_corners(instance.sources[s], rooms[s], instance.keep, grid.step) for s in usable])
    costs = [
        [_cost(grid, instance.sources[s], int(fill)) for fill in row] for s, row in zip(usable, fills, strict=True)
    ]
    about = np.array(costs, dtype=float)
    longest = int(fills.max())
    found = []
    for function in functions(
        [take for take in grid.takes if take <= longest],
        longest,
        parameters.divisions_few if few else parameters.divisions,
        parameters.shortest_few if few else parameters.shortest_tried,
    ):
        worth, filled = function(np.minimum(takes, longest)), function(fills)
        theta = _best(float((worth * demand).sum()), about, filled.astype(float), low, high)
        if theta is not None:
            bound, row, corner = theta
            found.append((bound, costs[row][corner], int(filled[row, corner]), worth))
    for bound, cost, share, worth in sorted(found, key=lambda one: -one[0]):
        # No bar asks less for a stroke, so that a part may be worth its strokes on top. Rounded down, so that parts
        # together come to no more than the function lets them.
        bar, stroke = cost * unit, cut * unit
        duals = tuple([bar * f // share + stroke * n for f, n in zip(worth.tolist(), strokes, strict=True)])
        yield bound + cut * int((demand * strokes).sum()), duals


def _corners(source: Source, room: int, keep: int, step: int) -> tuple[int, int, int]:
    """Fills at which a bar may cost least: empty, just leaving enough to keep, and full. [steps]"""
    return 0, min(max((source.reach - keep) // step, 0), room), room


def _cost(grid: Grid, source: Source, fill: int) -> int:
    return source.price - grid.instance.value(source, source.reach - fill * grid.step)


def _best(total: float, costs: Array, filled: Array, low: Array, high: Array) -> tuple[float, int, int] | None:
    """The theta that bounds most, as a row and corner of ``costs`` over ``filled``; None where all bound nothing."""
    rows, corners = np.nonzero(filled > 0)
    if not total or not len(rows):
        return None
    thetas, first = np.unique(costs[rows, corners] / filled[rows, corners], return_index=True)

    @cache
    def bound(place: int) -> float:
        margins = np.minimum.reduce(costs - thetas[place] * filled, axis=1, keepdims=True)
        return float(thetas[place] * total + np.add.reduce(margins * np.where(margins < 0, high, low), axis=None))

    # Concave: the first place after which it does not rise.
    below, above = 0, len(thetas) - 1
    while below < above:
        middle = (below + above) // 2
        if bound(middle) < bound(middle + 1):
            below = middle + 1
        else:
            above = middle
    best = bound(below)
    return (best, int(rows[first[below]]), int(corners[first[below]])) if best > 0 else None
