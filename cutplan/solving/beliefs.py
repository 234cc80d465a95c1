"""How likely each of many sets of parts is in a packing, were one drawn of all that take every part once.

Each part tells the sets that hold it how much others want it, each set its parts how well it goes with the rest, until
none has news: exact where sets hang together like a tree, and close to it where parts have many sets.

References
----------
Belief propagation: M. Mezard, A. Montanari, Information, Physics, and Computation, Oxford 2009, chapter 14, from
memory.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from cutplan.solving.full_sets import enough
from cutplan.solving.knapsack import Array

SMALLEST = 1e-9
"""Below that, what others want of a part counts as this much, so that nothing is divided by 0."""


class Beliefs:
    """Messages between parts and sets.

    Parameters
    ----------
    sets
        Arrays of places of parts, a set in each row.
    wanted
        How many there are of each part; of several each is like the others.
    spare
        How much a packing counts less for every part that it leaves out, as a factor for each part: 1 is as well in
        as out.
    """

    def __init__(self, sets: Sequence[Array], wanted: Array, spare: Array) -> None:
        self.wanted, self.spare = wanted.copy(), spare
        self.sets = [some[enough(some, self.wanted)] for some in sets]
        self._said = [np.ones(some.shape) for some in self.sets]
        self.chances = [np.zeros(len(some)) for some in self.sets]

    def take(self, chosen: Sequence[int]) -> None:
        """Take a set, and with it all that want more of its parts than are left."""
        for place in chosen:
            self.wanted[place] -= 1
        keep = [enough(some, self.wanted) for some in self.sets]
        self.sets = [some[ok] for some, ok in zip(self.sets, keep, strict=True)]
        self._said = [said[ok] for said, ok in zip(self._said, keep, strict=True)]
        self.chances = [chances[ok] for chances, ok in zip(self.chances, keep, strict=True)]

    def settle(self, rounds: int, enough_said: float, damping: float) -> None:
        """Pass messages on until none changes by more than ``enough_said``, or for so many rounds.

        ``damping`` is how much of a message stays as it was, as an exponent.
        """
        for _ in range(rounds):
            if self._pass_on(damping) < enough_said:
                return

    def _pass_on(self, damping: float) -> float:
        asked = self._asked() + self.spare
        change = 0.0
        for number, (some, said) in enumerate(zip(self.sets, self._said, strict=True)):
            heard = 1 / np.maximum(asked[some] - said, SMALLEST)
            whole = heard.prod(axis=1)
            self.chances[number] = whole / (1 + whole) * self.wanted[some].prod(axis=1)
            told = (whole[:, None] / heard) ** (1 - damping) * said**damping
            if len(some):
                change = max(change, float(np.abs(told / (1 + told) - said / (1 + said)).max()))
            self._said[number] = told
        return change

    def _asked(self) -> Array:
        """What all sets of each part say together to one of it."""
        asked: Array = np.zeros(len(self.wanted))
        for some, said in zip(self.sets, self._said, strict=True):
            copies = self.wanted[some]
            # A set stands for one of each choice among parts alike.
            ways = copies.prod(axis=1)
            for one in range(some.shape[1]):
                asked += np.bincount(some[:, one], ways / copies[:, one] * said[:, one], minlength=len(asked))
        return asked
