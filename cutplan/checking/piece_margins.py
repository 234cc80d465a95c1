"""What a length cut for the carry costs at least beyond the worth of its parts, by what each of its pieces can hold.

No piece holds a row longer than can be carried. How many of each part all pieces hold together is left aside, which
only lowers the margin.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from cutplan.checking.dynamic_program import SAFE, Worths
from cutplan.checking.nested import SetState
from cutplan.checking.problem import Problem
from cutplan.checking.sources import InPieces, Source


def pieces_margin(problem: Problem, position: int, unit: int, any_set: Worths) -> int | None:
    """The margin of a length cut for the carry, by what its pieces hold, each by itself and all of them together.

    None where the length is whole, where its left over has a value, or where sums could overflow.
    """
    source, spare = problem.sources[position], problem.reckoning.spare
    step = unit * problem.step
    cap = min((source.piece_room + spare) // step, len(any_set) - 1)
    if not source.ways or source.rate or cap < 0 or int(any_set[cap]) >= SAFE // 4:
        return None
    found = []
    for way in source.ways:
        room = max(way.room + way.number * spare, way.one_whole + (way.number - 1) * spare) // step
        if room < 0:
            continue
        worth = _most_in(source, way, any_set, cap, room, min(room, len(any_set) - 1))
        found.append(problem.denominator * (problem.price(position) + way.more) - worth)
    return min(found, default=None)


def _most_in(source: Source, way: InPieces, worths: Worths, cap: int, room: int, in_one_row: int) -> int:
    """The most that a length in so many pieces is worth, by what one row is worth for every number of steps.

    Each piece has room for ``cap`` steps, all for ``room``, and all in one row for ``in_one_row``. The last way stands
    for all beyond it, and is seen as one row alone.
    """
    worth = int(worths[in_one_row])
    if way == source.ways[-1] or way.number > 4:
        return worth
    return min(worth, most_over_pieces(worths[: cap + 1], way.number, min(room, way.number * cap)))


def most_over_pieces(on_one: Worths, number: int, room: int) -> int:
    """The most that two, three or four pieces are worth that take so many steps in all at most."""
    cap = len(on_one) - 1

    def of_two(together: int) -> int:
        """Of the two pieces either may be the fuller one."""
        first = np.arange((together + 1) // 2, min(cap, together) + 1)
        return int((on_one[first] + on_one[together - first]).max())

    if number == 2:
        return of_two(room)
    two = np.full(2 * cap + 1, int(on_one[0]) * 2, dtype=np.int64)
    rises = np.flatnonzero(np.r_[True, on_one[1:] > on_one[:-1]])
    for rise in rises:
        # The fuller piece takes as much at least.
        both = two[2 * rise : rise + cap + 1]
        np.maximum(both, on_one[rise:] + on_one[rise], out=both)
    two = np.maximum.accumulate(two)
    rest = on_one if number == 3 else two
    taken = np.arange(max(0, room - 2 * cap), min(len(rest) - 1, room) + 1)
    return int((rest[taken] + two[room - taken]).max())


def nested_pieces_margin(
    problem: Problem, position: int, unit: int, states: Sequence[SetState], any_sets: Sequence[Worths], as_one: int
) -> int:
    """The margin of a length cut for the carry by what its pieces hold, no less than that of it ``as_one`` bar.

    Rows on pieces are counted in steps, each with what sets of the state that takes least take less than their parts.
    """
    source, nesting = problem.sources[position], problem.nesting
    assert nesting is not None
    if not source.ways or source.rate:
        return as_one
    beyond = [nesting.beyond_twice(state) for state in states]
    least, step = min(beyond), problem.weight_step
    cap = (2 * source.piece_room - least) // step
    longest = max((2 * way.as_one - least) // step for way in source.ways)
    if cap < 0:
        return as_one
    row = np.zeros(longest + 1, dtype=np.int64)  # a piece that is left whole is worth nothing
    for of_state, any_set in zip(beyond, any_sets, strict=True):
        # The longest row of as many steps.
        at = ((np.arange(1, longest + 2, dtype=np.int64) * step - 1 - (of_state - least)) // step) // unit
        there = at >= 0
        row[there] = np.maximum(row[there], any_set[np.minimum(at[there], len(any_set) - 1)])
    if int(row[cap]) >= SAFE // 4:
        return as_one
    found = []
    for way in source.ways:
        room = max(2 * way.room - way.number * least, 2 * way.one_whole - (way.number - 1) * least) // step
        worth = _most_in(source, way, row, cap, max(0, room), max(0, (2 * way.as_one - least) // step))
        found.append(max(as_one, problem.denominator * source.price - worth) + problem.denominator * way.more)
    return min(found)
