"""The most that parts can be worth in a bar, for every fill, in exact 64-bit whole numbers."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias, TypeVar

import numpy as np
import numpy.typing as npt

from cutplan.units import ceil_div

Worths = npt.NDArray[np.int64]

SAFE = 2**62
"""Sums of worth must stay below this, so that a signed 64-bit sum of two cannot overflow."""

MOST_FILLS = 4_000_000
"""Fills beyond which it is not worked out whether parts come to one of them exactly."""

MOST_LISTED = 20_000
"""Sets up to which each is listed, rather than the best of every fill kept for every state."""

NO_SET = -SAFE
"""What the worth of a set is where there is none: less than that of any."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One part as the knapsack sees it: weight in steps, at most ``quantity`` copies.

    ``worth`` is of one copy and may be negative, ``entry`` what having any copy
    costs. ``holds`` says that the part is long enough to be clamped, so that
    any set with it in can be cut safely. ``ends`` are the classes of its two
    ends, where neighbours may share cuts.
    """

    weight: int
    worth: int
    quantity: int
    holds: bool
    entry: int = 0
    ends: tuple[int, int] = (0, 0)


def best_worths(loads: Sequence[Load], cap: int, *, exact: bool = False) -> tuple[Worths, Worths]:
    """Most worth within each fill: of any set, and of sets with at least one part that holds.

    Parameters
    ----------
    loads
        The parts; quantities are split into powers of two, so that each is a plain yes or no.
    cap
        Largest fill, in steps.
    exact
        Whether entry j is for sets of weight j alone.

    Returns
    -------
    any_set, held_set
        Arrays of length cap + 1; entry j is for sets of weight at most j. An
        entry is :data:`NO_SET` where no such set fits.

    Raises
    ------
    OverflowError
        When the worths and entries that may come together in one fill reach :data:`SAFE`.
    """
    total = _most_in(loads, cap)
    if total >= (SAFE // 2 if exact else SAFE):
        raise OverflowError("the duals are too large for 64-bit sums")
    # One below minus everything: adding every worth to "no such set" still leaves a negative number, and where sets may
    # be worth less than nothing, as far below again.
    nothing = -2 * total - 1 if exact else -total - 1
    without = np.full(cap + 1, nothing if exact else 0, dtype=np.int64)
    without[0] = 0
    for load in loads:
        # What is worth nothing makes no set better, unless a fill has to be met exactly.
        if not load.holds and (exact or load.worth > 0):
            entered = without - load.entry
            let_in(entered, load)
            np.maximum(without, entered, out=without)
    held = np.full(cap + 1, nothing, dtype=np.int64)
    for load in loads:
        if load.holds and not exact and not load.entry:
            # As below, in fewer steps: the first copy costs nothing, and every fill has a set without.
            for weight, worth in _chunks(load, cap):
                room = cap + 1 - weight
                np.maximum(held[weight:], np.maximum(held[:room], without[:room]) + worth, out=held[weight:])
        elif load.holds:
            # All that does not hold is in the sets by now, so that one such part more makes any of them a held one.
            before = np.maximum(held, without) - load.entry
            entered = np.full(cap + 1, -2 * total - 1, dtype=np.int64)
            for weight, worth in _chunks(load, cap):
                either = np.maximum(entered, before)[: cap + 1 - weight] + worth
                np.maximum(entered[weight:], either, out=entered[weight:])
            np.maximum(held, entered, out=held)
    any_set = np.maximum(without, held)
    held[held < -total] = NO_SET
    any_set[any_set < -total] = NO_SET
    return any_set, held


StateT = TypeVar("StateT", bound=Hashable)
"""What is followed of a set. ``after`` below gives that of a set once more copies of a part of some ends are in it."""

After: TypeAlias = Callable[[StateT, tuple[int, int], int], StateT]


def worths_by_state(
    loads: Sequence[Load], cap: int, states: Sequence[StateT], after: After[StateT]
) -> tuple[list[Worths], list[Worths]]:
    """Most worth within each fill, for sets of each state: of any, and of those with at least one part that holds.

    As :func:`best_worths`; sets begin at the first of ``states``, which are all that there are.

    Raises
    ------
    OverflowError
        When the worths and entries that may come together in one fill reach half of :data:`SAFE`.
    """
    total = _most_in(loads, cap)
    if total >= SAFE // 2:
        raise OverflowError("the duals are too large for 64-bit sums")
    place = {state: number for number, state in enumerate(states)}
    few = math.prod(_copies(load, cap) + 1 for load in loads) <= MOST_LISTED
    best = (_listed if few else _by_fill)(loads, cap, place, after, -2 * total - 1)
    for each in best:
        if each is not None:
            each[each < -total] = NO_SET
    held = best[len(states) :]
    any_set = [_better(*pair) for pair in zip(best, held, strict=False)]
    none = np.full(cap + 1, NO_SET, dtype=np.int64)
    none.flags.writeable = False  # it is that of many states
    return [none if each is None else each for each in any_set], [none if each is None else each for each in held]


def _by_fill(
    loads: Sequence[Load], cap: int, place: Mapping[StateT, int], after: After[StateT], nothing: int
) -> list[Worths | None]:
    """By a table of every fill: without a part that holds in the first half, with one in the second."""
    states = list(place)
    best: list[Worths | None] = [None] * (2 * len(states))
    best[0] = np.zeros(cap + 1, dtype=np.int64)
    for load in loads:
        entered = [None if each is None else each - load.entry for each in best]
        for size in _sizes(_copies(load, cap)):
            before, entered = entered, list(entered)
            for number, worths in enumerate(before):
                if worths is None:
                    continue
                held, state = divmod(number, len(states))
                to = place[after(states[state], load.ends, size)] + len(states) * (held or load.holds)
                added = worths[: cap + 1 - size * load.weight] + size * load.worth
                own = entered[to]
                own = np.full(cap + 1, nothing, dtype=np.int64) if own is None else own.copy()
                np.maximum(own[size * load.weight :], added, out=own[size * load.weight :])
                entered[to] = own
        best = [_better(one, other) for one, other in zip(best, entered, strict=True)]
    return best


def _listed(
    loads: Sequence[Load], cap: int, place: Mapping[StateT, int], after: After[StateT], nothing: int
) -> list[Worths | None]:
    """As :func:`_by_fill`, by listing the sets: where those are few, no table of many fills is worked through."""
    states = list(place)
    weights, worths, held, at = (np.zeros(1, dtype=np.int64) for _ in range(4))
    for load in loads:
        sets = [(weights, worths, held, at)]
        there = [int(number) for number in np.unique(at)]
        for copies in range(1, _copies(load, cap) + 1):
            to = np.zeros(len(states), dtype=np.int64)
            to[there] = [place[after(states[number], load.ends, copies)] for number in there]
            fits = weights + copies * load.weight <= cap
            more = copies * load.worth - load.entry
            sets.append(
                (weights[fits] + copies * load.weight, worths[fits] + more, held[fits] | load.holds, to[at[fits]])
            )
        weights, worths, held, at = map(np.concatenate, zip(*sets, strict=True))
    best: list[Worths | None] = []
    for number in range(2 * len(states)):
        own = at + len(states) * held == number
        if not own.any():
            best.append(None)
            continue
        most = np.full(cap + 1, nothing, dtype=np.int64)
        np.maximum.at(most, weights[own], worths[own])
        best.append(np.maximum.accumulate(most))
    return best


def let_in(best: Worths, load: Load) -> None:
    """Let copies of a part into the most worth within each fill, in place."""
    for weight, worth in _chunks(load, len(best) - 1):
        np.maximum(best[weight:], best[: len(best) - weight] + worth, out=best[weight:])


def _better(one: Worths | None, other: Worths | None) -> Worths | None:
    if one is None or other is None:
        return other if one is None else one
    return np.maximum(one, other)


def can_fill(weights: Sequence[tuple[int, int]], fill: int) -> bool:
    """Do some parts, each of a weight and so many of them, come to exactly so much?

    Yes without looking where that is more than :data:`MOST_FILLS` multiples of what all weights have in common: a
    stroke is then taken to be spared, which only lowers a bound.
    """
    unit = math.gcd(*(weight for weight, _ in weights))
    if fill < 0 or not unit or fill % unit:
        return False
    cap = fill // unit
    if cap > MOST_FILLS:
        return True
    reached = np.zeros(cap + 1, dtype=bool)
    reached[0] = True
    for weight, quantity in weights:
        if weight <= fill:
            for step, _ in _chunks(Load(weight=weight // unit, worth=0, quantity=quantity, holds=False), cap):
                reached[step:] |= reached[: cap + 1 - step].copy()
    return bool(reached[cap])


def _most_in(loads: Sequence[Load], cap: int) -> int:
    """A limit on what worths and entries within ``cap`` come to, whatever their signs.

    The lower of two: all copies that fit, each part by itself; or every step at the most that one can bring.
    """
    fitting = [load for load in loads if load.weight <= cap]
    each = [abs(load.worth) + load.entry for load in fitting]
    copies = [_copies(load, cap) for load in fitting]
    by_copies = sum(n * much for n, much in zip(copies, each, strict=True))
    loose = sum(n * much for load, n, much in zip(fitting, copies, each, strict=True) if not load.weight)
    by_step = max(
        (ceil_div(much, load.weight) for load, much in zip(fitting, each, strict=True) if load.weight), default=0
    )
    return min(by_copies, loose + cap * by_step)


def _copies(load: Load, cap: int) -> int:
    """Copies of one part that fit by themselves."""
    return min(load.quantity, cap // load.weight) if load.weight else load.quantity


def _chunks(load: Load, cap: int) -> Iterator[tuple[int, int]]:
    """Bundles of 1, 2, 4 ... copies and a rest, which together make every number of copies that fits."""
    for size in _sizes(_copies(load, cap)):
        yield size * load.weight, size * load.worth


def _sizes(copies: int) -> Iterator[int]:
    size = 1
    while copies > 0:
        yield min(size, copies)
        copies -= size
        size *= 2
