"""Sets of few parts that fill a bar to its very end, all of them, listed by what two parts come to."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from cutplan.solving.knapsack import Array

MOST_SUMS = 2_000_000
"""Pairs of pairs that are looked at side by side: tens of megabytes."""


def full_sets(takes: Sequence[int], wanted: Array, room: int, most_parts: int) -> list[Array]:
    """All sets of two, of three, and so on to ``most_parts``, four at most, that take just ``room``.

    Parameters
    ----------
    takes
        What each part takes, all of them different, the longest first. [steps]
    wanted
        How many there are of each.

    Returns
    -------
    list
        An array for each number of parts, a set in each row: places in ``takes``, rising.
    """
    lengths = np.asarray(takes, dtype=np.int64)
    first, second = np.triu_indices(len(lengths))
    sums = lengths[first] + lengths[second]
    fits = (sums <= room) & (wanted[first] > 0) & (wanted[second] > 0)
    pairs, sums = np.stack((first[fits], second[fits]), axis=1), sums[fits]
    found = [pairs[sums == room]]
    if most_parts > len(found) + 1:
        found.append(_with_one_more(lengths, pairs, sums, room))
    if most_parts > len(found) + 1:
        found.append(_two_pairs(pairs, sums, room))
    return [sets[enough(sets, wanted)] for sets in found]


def enough(sets: Array, wanted: Array) -> Array:
    """Which sets, their places rising, hold no more of each part than there are."""
    fits: Array = np.all(wanted[sets] > 0, axis=1)
    alike = np.ones(len(sets), dtype=np.int64)
    for one in range(1, sets.shape[1]):
        alike = np.where(sets[:, one] == sets[:, one - 1], alike + 1, 1)
        fits = np.logical_and(fits, wanted[sets[:, one]] >= alike)
    return fits


def _with_one_more(lengths: Array, pairs: Array, sums: Array, room: int) -> Array:
    """Pairs with a third part that is no longer than either."""
    places = np.full(room + 1, -1, dtype=np.int64)
    short = lengths <= room
    places[lengths[short]] = np.flatnonzero(short)
    third = places[room - sums]
    fits = third >= pairs[:, 1]
    return np.concatenate((pairs[fits], third[fits, None]), axis=1)


def _two_pairs(pairs: Array, sums: Array, room: int) -> Array:
    """Pairs with another of which no part is longer than either."""
    order = np.argsort(sums, kind="stable")
    pairs, sums = pairs[order], sums[order]
    longer = np.flatnonzero(2 * sums >= room)
    start = np.searchsorted(sums, room - sums[longer], side="left")
    number = np.searchsorted(sums, room - sums[longer], side="right") - start
    found = [np.empty((0, 4), dtype=np.int64)]
    ends = np.cumsum(number)
    begun = 0
    while begun < len(longer):
        done = ends[begun - 1] if begun else 0
        to = max(begun + 1, int(np.searchsorted(ends, done + MOST_SUMS, side="right")))
        some = number[begun:to]
        one = np.repeat(longer[begun:to], some)
        within = np.arange(len(one)) - np.repeat(np.cumsum(some) - some, some)
        other = np.repeat(start[begun:to], some) + within
        fits = pairs[one, 1] <= pairs[other, 0]
        found.append(np.concatenate((pairs[one[fits]], pairs[other[fits]]), axis=1))
        begun = to
    return np.concatenate(found)
