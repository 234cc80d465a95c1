"""Parts shared out among the pieces of a length: which part goes on which piece.

Few parts on two or three pieces are decided by all sums that some of them have; more by a search.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import accumulate

import numpy as np

from cutplan.units import Length

MOST_SUMMED = 14
"""Parts up to which the sums of all subsets are looked at: tens of microseconds."""

MOST_SEARCHED = 200
"""Parts of one length up to which they are put on its pieces in more than one way; every part is a step deeper."""


def by_sums(takes: Sequence[Length], rooms: Sequence[Length]) -> list[int] | None:
    """The piece of each part, where two or three pieces can hold them with none left empty; else None.

    ``rooms`` is what each piece has room for, of three those at the ends alike. [nm]
    """
    sums = np.zeros(1, dtype=np.int64)
    for take in takes:
        sums = np.concatenate((sums, sums + take))
    everything, total, outer = len(sums) - 1, sum(takes), rooms[0]
    if len(rooms) == 2:
        fitting = np.flatnonzero((sums <= outer) & (sums >= total - rooms[1]))
        first = [int(one) for one in fitting if 0 < one < everything][:1]
        return [1 - (first[0] >> k & 1) for k in range(len(takes))] if first else None
    between = np.flatnonzero((sums <= rooms[1]) & (sums >= total - 2 * outer))
    ends = np.flatnonzero((sums <= outer) & (sums >= total - outer - rooms[1]))
    ends = ends[ends > 0]
    # The fuller the piece between, the more room is left for the others.
    for middle in between[np.argsort(-sums[between], kind="stable")]:
        rest = total - sums[middle]
        beside = ends[(ends & middle == 0) & (sums[ends] >= rest - outer) & (sums[ends] < rest)]
        if middle and len(beside):
            start, inner = int(beside[0]), int(middle)
            return [0 if start >> k & 1 else 1 if inner >> k & 1 else 2 for k in range(len(takes))]
    return None


class Search:
    """Parts, the longest first, put on pieces one by one: as first fits best, then every other way that differs.

    ``used`` is on how many pieces they may be at most; ``fits`` judges what all pieces hold in the end. Beyond
    ``most_tried`` parts placed it ends.
    """

    def __init__(
        self,
        takes: Sequence[Length],
        held: Sequence[bool],
        trims: Sequence[Length],
        rooms: Sequence[Length],
        used: int,
        most_tried: int,
        fits: Callable[[Sequence[Length], Sequence[bool]], bool],
    ) -> None:
        self._takes, self._held, self._trims, self._rooms = takes, held, trims, rooms
        self._used, self._most, self._fits = used, most_tried, fits
        self._rest = [*accumulate(reversed(takes), initial=0)][::-1]
        self._failed: set[object] = set()
        self._where = [0] * len(takes)
        self.tried = 0

    def run(self) -> list[int] | None:
        """The piece of each part, by its place; None where no way was found."""
        pieces = len(self._rooms)
        if len(self._takes) > MOST_SEARCHED:
            return self._as_they_fit([0] * pieces, [False] * pieces)
        return self._where if self._from(0, [0] * pieces, [False] * pieces) else None

    def _as_they_fit(self, filled: list[Length], held: list[bool]) -> list[int] | None:
        """Each part on the fullest piece with room for it, and no other way looked at."""
        for k, take in enumerate(self._takes):
            full = sum(map(bool, filled)) >= self._used
            there = [
                at for at, room in enumerate(self._rooms) if filled[at] + take <= room and (filled[at] or not full)
            ]
            if not there:
                break
            self._where[k] = at = max(there, key=lambda at: (filled[at], -self._trims[at]))
            filled[at], held[at] = filled[at] + take, held[at] or self._held[k]
        else:
            if self._fits(filled, held):
                return self._where
        self.tried = self._most  # as much as was to be tried
        return None

    def _from(self, k: int, filled: list[Length], held: list[bool]) -> bool:
        if k == len(self._takes):
            return self._fits(filled, held)
        # Parts come in one order and pieces of equal trims are alike, so that the rest depends on nothing else.
        state = k, tuple(sorted(zip(filled, held, self._trims, strict=True)))
        if self.tried >= self._most or state in self._failed:
            return False
        take, seen = self._takes[k], set()
        full = sum(map(bool, filled)) >= self._used
        free = sum(r - f for r, f in zip(self._rooms, filled, strict=True) if f or not full)
        for at in (
            sorted(range(len(filled)), key=lambda at: (-filled[at], self._trims[at])) if self._rest[k] <= free else ()
        ):
            before = filled[at], held[at]
            alike = *before, self._trims[at]
            if alike in seen or before[0] + take > self._rooms[at]:
                continue
            seen.add(alike)
            self.tried += 1
            filled[at], held[at], self._where[k] = before[0] + take, before[1] or self._held[k], at
            if self._from(k + 1, filled, held):
                return True
            filled[at], held[at] = before
        self._failed.add(state)
        return False
