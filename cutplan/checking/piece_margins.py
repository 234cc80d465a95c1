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


def pieces_margin(problem: Problem, position: int, unit: int, any_set: Worths) -> int | None:
    """The margin of a length cut for the carry, by what its pieces hold, each by itself and all of them together.

    None where the length is whole, where its left over has a value, or where sums could overflow.
    """
    source, spare = problem.sources[position], problem.reckoning.spare
    step = unit * problem.step
    cap = min((source.piece_room + spare) // step, len(any_set) - 1)
    if not source.ways or source.rate or cap < 0 or int(any_set[cap]) >= SAFE // 4:
        return None
    on_one = any_set[: cap + 1]
    found = []
    for number, all_cut, one_whole, _, more in source.ways:
        room = max(all_cut + number * spare, one_whole + (number - 1) * spare)
        all_told = min(room // step, len(any_set) - 1)
        if all_told < 0:
            continue
        worth = int(any_set[all_told])
        if number != source.ways[-1].number and number <= 4:
            worth = min(worth, most_over_pieces(on_one, number, min(room // step, number * cap)))
        found.append(problem.denominator * (problem.price(position) + more) - worth)
    return min(found, default=None)


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
        two[rise : rise + cap + 1] = np.maximum(two[rise : rise + cap + 1], on_one + on_one[rise])
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
    on_one = row[: cap + 1]
    if int(on_one[-1]) >= SAFE // 4:
        return as_one
    found = []
    for number, all_cut, one_whole, in_one_row, more in source.ways:
        worth = int(row[max(0, (2 * in_one_row - least) // step)])
        if number != source.ways[-1].number and number <= 4:
            room = max(2 * all_cut - number * least, 2 * one_whole - (number - 1) * least) // step
            worth = min(worth, most_over_pieces(on_one, number, min(room, number * cap)) if room >= 0 else 0)
        found.append(max(as_one, problem.denominator * source.price - worth) + problem.denominator * more)
    return min(found)
