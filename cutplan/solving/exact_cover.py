"""Patterns that hold just so many of each part, of which the cost is least, by going through what is left to cover.

Bar after bar is chosen, each for the part that fewest patterns hold; of all ways to leave the same to be covered the
cheapest is kept. Where costs are reduced costs by good duals, and little may be spent, these states are few: thousands
of them are gone through side by side as arrays, in hundredths of a second.

References
----------
The part with fewest patterns first: D. E. Knuth, Dancing links, 2000. Dynamic programming over what is left: M. Held,
R. M. Karp, SIAM Journal 10 (1962). Counts side by side in one word, with a bit between them: L. Lamport, Multiple byte
processing with full-word instructions, Communications of the ACM 18 (1975). All from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from cutplan.solving.knapsack import Array


class Cover(NamedTuple):
    """The rows taken, each as often as it is; ``ended`` tells that no cover costs less, or that there is none."""

    rows: list[int] | None
    ended: bool


def exact_cover(
    counts: Array,
    wanted: Sequence[int],
    costs: Array,
    budget: float,
    most: int,
    stopped: Callable[[], bool],
) -> Cover:
    """Rows that add up to just what is wanted, for ``budget`` at most; of more than ``most`` states the cheapest go on.

    Parameters
    ----------
    counts
        A row for each pattern: how many it holds of each thing, of something one at least.
    costs
        What each row costs, nothing or more.
    """
    things = [thing for thing, number in enumerate(wanted) if number]
    held = counts[:, things]
    usable = np.flatnonzero((counts.sum(axis=1) == held.sum(axis=1)) & (costs <= budget))
    held = held[usable]
    order = np.argsort((held > 0).sum(axis=0), kind="stable")
    held = held[:, order]
    packed = _Packed.of([wanted[things[k]] for k in order])
    rows = packed.words(held)
    costs = costs[usable]
    by_cost, firsts = np.argsort(costs, kind="stable"), (held > 0).argmax(axis=1)
    states = _States(list(packed.words(np.array([[wanted[things[k]] for k in order]])).T), np.zeros(1), np.array([-1]))
    taken: list[tuple[int, Array, Array]] = []
    made, ended = 0, True
    for thing, (word, mask) in enumerate(packed.masks):
        own = by_cost[firsts[by_cost] == thing]
        while True:
            left = (states.words[word] & mask) != 0
            if not left.any():
                break
            if stopped():
                return Cover(None, False)
            begun = states.picked(left)
            grown = [states.picked(~left)]
            # Few states are held against many rows at once, many states against one row after another.
            size = max(1, 16_384 // len(begun.costs))
            for first in range(0, len(own), size):
                some = own[first : first + size]
                # States come by what they cost, and rows too.
                able = int(np.searchsorted(begun.costs, budget - costs[some[0]], side="right"))
                if not able:
                    break
                fits, words = packed.less(begun.words, rows[some], able)
                fits &= begun.costs[:able, None] + costs[some] <= budget
                state, row = np.nonzero(fits)
                if len(state):
                    taken.append((made, some[row], begun.last[state]))
                    last = np.arange(made, made + len(state))
                    grown.append(_States([one[fits] for one in words], begun.costs[state] + costs[some[row]], last))
                    made += len(state)
            states = _States.joined(grown)
            ended &= len(states.costs) <= most
            states = states.first(most)
    if not len(states.costs):
        return Cover(None, ended)
    chosen: list[int] = []
    number = int(states.last[0])
    begins = [first for first, *_ in taken]
    while number >= 0:
        first, row, before = taken[int(np.searchsorted(begins, number, side="right")) - 1]
        chosen.append(int(usable[row[number - first]]))
        number = int(before[number - first])
    return Cover(chosen, ended)


class _States(NamedTuple):
    """What is left to cover, in words; what was spent, the least first; the number of the row that was taken last."""

    words: list[Array]
    costs: Array
    last: Array

    def picked(self, which: Array) -> _States:
        """Those of a mask or of places."""
        return _States([word[which] for word in self.words], self.costs[which], self.last[which])

    def first(self, most: int) -> _States:
        """The cheapest."""
        return self if len(self.costs) <= most else self.picked(np.arange(most))

    @staticmethod
    def joined(parts: Sequence[_States]) -> _States:
        """All of them, of those that leave the same the cheapest."""
        words = [np.concatenate(same) for same in zip(*(part.words for part in parts), strict=True)]
        costs = np.concatenate([part.costs for part in parts])
        last = np.concatenate([part.last for part in parts])
        mixed = np.zeros(len(costs), dtype=np.uint64)
        for word in words:
            # Odd numbers mix words: what differs hardly ever comes to the same, and if it did a cover might be missed.
            mixed = (mixed ^ word) * np.uint64(0x9E3779B97F4A7C15)
            mixed ^= (mixed >> np.uint64(31)) * np.uint64(0xC2B2AE3D27D4EB4F)
        by_cost = np.argsort(costs, kind="stable")
        _, cheapest = np.unique(mixed[by_cost], return_index=True)
        return _States(words, costs, last).picked(by_cost[np.sort(cheapest)])


class _Packed(NamedTuple):
    """How counts lie side by side in words: where each begins, a bit above each that shows when too much was taken."""

    places: list[tuple[int, int]]
    guards: list[int]
    masks: list[tuple[int, np.uint64]]

    @staticmethod
    def of(wanted: Sequence[int]) -> _Packed:
        """For so many of each thing at most."""
        places: list[tuple[int, int]] = []
        guards, masks = [0], []
        begin = 0
        for number in wanted:
            bits = number.bit_length()
            if begin + bits + 1 > np.iinfo(np.uint64).bits:
                guards.append(0)
                begin = 0
            places.append((len(guards) - 1, begin))
            masks.append((len(guards) - 1, np.uint64(((1 << bits) - 1) << begin)))
            guards[-1] |= 1 << begin + bits
            begin += bits + 1
        return _Packed(places, guards, masks)

    def words(self, counts: Array) -> Array:
        """Rows of counts as rows of words."""
        words = np.zeros((len(counts), len(self.guards)), dtype=np.uint64)
        for (word, begin), of_thing in zip(self.places, counts.T, strict=True):
            words[:, word] |= of_thing.astype(np.uint64) << np.uint64(begin)
        return words

    def less(self, words: Sequence[Array], rows: Array, able: int) -> tuple[Array, list[Array]]:
        """Which of the first states can have which row taken off, and what is left then."""
        fits = np.ones((able, len(rows)), dtype=bool)
        rest = []
        for word, guard, off in zip(words, self.guards, rows.T, strict=True):
            bits = np.uint64(guard)
            taken = (word[:able, None] | bits) - off
            fits &= (taken & bits) == bits
            rest.append(taken & ~bits)
        return fits, rest
