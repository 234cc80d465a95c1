"""First fit of very many square parts: what a bar holds as the few pieces in it, not as a count for every piece.

The plan is that of :func:`~cutplan.solving.constructive.first_fit`, in time that hardly grows faster than the number
of parts.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from operator import neg

from cutplan.solving.instance import Instance
from cutplan.units import Length


@dataclass(frozen=True)
class Filled:
    """``count`` bars of one source that hold the pieces in ``holds``, each with its count."""

    source: int
    holds: tuple[tuple[int, int], ...]
    count: int


class _Waiting:
    """Pieces still wanted, the longest first, with a quick way to the first that takes no more than a room."""

    def __init__(self, instance: Instance) -> None:
        self.order = instance.longest_first
        self.wanted = list(instance.demand)
        self._takes = [neg(instance.takes[i]) for i in self.order]
        self._next = list(range(len(self.order) + 1))
        self.left = len(self.order)
        """How many pieces are still wanted."""

    def first(self, room: Length, after: int) -> int:
        """Where in the order the first such piece from ``after`` on stands; beyond its end where there is none."""
        at = bisect_left(self._takes, -room, after)
        return at if self._next[at] == at else self._wanted_from(at)

    def _wanted_from(self, at: int) -> int:
        way = []
        while self._next[at] != at:
            way.append(at)
            at = self._next[at]
        for passed in way:
            self._next[passed] = at
        return at

    def take(self, at: int, number: int) -> None:
        """Cut ``number`` of the piece that stands there."""
        piece = self.order[at]
        self.wanted[piece] -= number
        if not self.wanted[piece]:
            self._next[at] = at + 1
            self.left -= 1


def sparse_first_fit(instance: Instance, preference: Sequence[int]) -> list[Filled] | None:
    """First fit decreasing, opening bars in the order of ``preference``; None when parts remain.

    Raises
    ------
    ValueError
        When what a set takes is no sum.
    """
    if not instance.space.adds_up:
        raise ValueError("what a set takes is no sum of its parts")
    waiting = _Waiting(instance)
    left = [source.most for source in instance.sources]
    whole = {index: frozenset(instance.uncut[index]) for index in preference}
    plan: list[Filled] = []
    while waiting.left:
        for index in preference:
            found = _fill(instance, index, waiting, whole[index]) if left[index] else []
            if found:
                break
        else:
            return None
        times = min([left[index], *[waiting.wanted[waiting.order[at]] // n for at, n in found]])
        left[index] -= times
        for at, n in found:
            waiting.take(at, n * times)
        plan.append(Filled(index, tuple([(waiting.order[at], n) for at, n in found]), times))
    return plan


def _fill(instance: Instance, index: int, waiting: _Waiting, whole: frozenset[int]) -> list[tuple[int, int]]:
    """Longest pieces first into one bar: where each stands in the order, and how many; empty when none can be cut."""
    source, served, takes = instance.sources[index], instance.served[index], instance.takes
    order, wanted, end = waiting.order, waiting.wanted, len(waiting.order)
    room = source.room
    found: list[tuple[int, int]] = []
    at = waiting.first(room, 0)
    while at < end:
        piece = order[at]
        if served[piece]:
            # Of very many different pieces most are wanted once, and one is known to fit.
            number = 1 if wanted[piece] == 1 else min(wanted[piece], room // takes[piece])
            room -= number * takes[piece]
            found.append((at, number))
        at = waiting.first(room, at + 1)
    # A left over of so much beyond the room can be held by itself, and then nothing is asked of the pieces.
    spare = source.reach - source.room - instance.hold
    # What cannot be held is taken off again, shortest first, until the left over can be held instead.
    while found and instance.hold and spare + room < 0 and not _is_held(instance, waiting, found, whole):
        at, number = found.pop()
        room += takes[order[at]]
        if number > 1:
            found.append((at, number - 1))
    return found


def _is_held(instance: Instance, waiting: _Waiting, found: Sequence[tuple[int, int]], whole: frozenset[int]) -> bool:
    """Can the vice hold a part, or is the bar one part as it comes, where what is left over is too short for it?"""
    for at, _ in found:  # asked of nearly every bar, for which a generator takes as long again
        if instance.pieces[waiting.order[at]].held:
            return True
    return len(found) == 1 and found[0][1] == 1 and waiting.order[found[0][0]] in whole
