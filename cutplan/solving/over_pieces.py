"""The most that a set shared out among pieces of a length is worth, by what a set on one piece is worth at most.

Each piece has so much room, all of them together so much more; what a piece is worth by how much its set takes never
falls. How many of each part there are in all is left aside, so that what is found is no less than the truth.
"""

from __future__ import annotations

from typing import Any, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[Any]

MOST_PIECES = 4
"""Two pairs; more pieces would need a further table, of what a pair and a single one are worth."""


class Shared(NamedTuple):
    """What sets on some pieces are worth together at most, and how much each takes at most. [steps]"""

    worth: Any
    fills: tuple[int, ...]


class OverPieces:
    """Sums over pieces of one array of worths, each piece with room for ``cap`` steps."""

    def __init__(self, best: Array, cap: int) -> None:
        self.cap = min(cap, len(best) - 1)
        self._best = best[: self.cap + 1]
        self._pairs: Array | None = None

    def most(self, pieces: int, room: int) -> Shared | None:
        """The most of two, three or four pieces with room for so many steps in all; None for more of them."""
        room = min(room, pieces * self.cap)
        if room < 0 or not 2 <= pieces <= MOST_PIECES:
            return None
        if pieces == 2:
            return self._two(room)
        # As worths never fall with the room, sums that use all of it are enough.
        pairs = self._of_pairs()
        if pieces == 3:
            low = max(0, room - 2 * self.cap)
            single = self._best[low : min(self.cap, room) + 1]
            worths = single + pairs[room - low - len(single) + 1 : room - low + 1][::-1]
            at = int(np.argmax(worths))
            return Shared(worths[at], (low + at, *self._two(room - low - at).fills))
        low, high = max(0, room - 2 * self.cap), min(2 * self.cap, room)
        worths = pairs[low : high + 1] + pairs[room - high : room - low + 1][::-1]
        at = low + int(np.argmax(worths))
        return Shared(worths[at - low], (*self._two(at).fills, *self._two(room - at).fills))

    def most_of(self, pieces: int, rooms: Array) -> Array:
        """No less than what one, two or three pieces are worth with each of the rooms."""
        one = self._best[np.minimum(rooms, self.cap)]
        if pieces == 1:
            return one
        two = self._of_pairs()[np.minimum(rooms, 2 * self.cap)]
        return two if pieces == 2 else two + one

    def _two(self, room: int) -> Shared:
        low, high = max(0, room - self.cap), min(self.cap, room)
        worths = self._best[low : high + 1] + self._best[room - high : room - low + 1][::-1]
        at = int(np.argmax(worths))
        return Shared(worths[at], (low + at, room - low - at))

    def _of_pairs(self) -> Array:
        """The most of two pieces for every number of steps that they have in all."""
        if self._pairs is None:
            best, cap = self._best, self.cap
            pairs = np.concatenate((best, np.full(cap, best[cap])))
            # Only a fill that is worth more than a smaller one is worth looking at, beside those that take as much.
            for fill in np.flatnonzero(np.diff(best)) + 1:
                both = pairs[2 * fill : fill + cap + 1]
                np.maximum(both, best[fill:] + best[fill], out=both)
            self._pairs = np.maximum.accumulate(pairs)
        return self._pairs
