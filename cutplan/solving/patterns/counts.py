"""Square parts: a pattern is a vector of counts, and what it takes is a sum."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import compress

import numpy as np

from cutplan.model import Part
from cutplan.solving.instance import Instance
from cutplan.solving.patterns.laying import Kind
from cutplan.solving.patterns.space import Array, Placed, View
from cutplan.solving.solver_pieces import Pattern, Piece, Source
from cutplan.units import Length


@dataclass(frozen=True)
class SquareWeighing:
    """Every part takes a kerf and a stroke after it; the last of a bar may do without its kerf."""

    width: Length

    def kerf(self, kind: Kind) -> Length:
        """[nm]"""
        return kind.kerf_a

    def cuts(self, kind: Kind) -> int:
        """One for every part."""
        return 1

    def spared(self) -> Length:
        """[nm]"""
        return self.width

    def left_unsaid(self) -> Length:
        """[nm]"""
        return 0

    def strokes_beyond(self, *, squared: bool, open_end: bool) -> int:
        """The squaring of START; a last cut that is spared depends on the set, which is then priced by itself."""
        return int(squared)

    def ends_flush(self, served: Iterable[Piece], room: Length, most_steps: int) -> bool:
        """Does some set take just the room?"""
        pieces = list(served)
        return fills([piece.take for piece in pieces], [piece.demand for piece in pieces], room, most_steps)


@dataclass(frozen=True)
class Counts:
    """The pattern space of square parts."""

    instance: Instance

    adds_up = True
    adds_up_on_pieces = False
    states = 1
    told_by_view = True
    judged = True
    beyond = ()

    def can_be_cut(self, index: int, pattern: Pattern) -> bool:
        """Does the vice hold the left over, or a part, or is the bar one part as it comes?"""
        instance = self.instance
        if instance.hold == 0 or any(compress(pattern, instance.held)):
            return True
        if instance.sources[index].reach - instance.fill(pattern) >= instance.hold:
            return True
        return sum(pattern) == 1 and any(pattern[i] for i in instance.uncut[index])

    def which_can_be_cut(self, index: int, counts: Array, stopped: Callable[[], bool]) -> Array:
        """See :class:`~cutplan.solving.patterns.space.PatternSpace`."""
        return fit_and_held(self.instance, index, counts)

    def thinned(self, index: int, pattern: Pattern) -> Pattern:
        """No set of a view for plans wants it."""
        return ()

    def left(self, index: int, pattern: Pattern) -> Length:
        """[nm]"""
        return max(0, self.instance.sources[index].reach - self.instance.fill(pattern))

    def cost(self, index: int, pattern: Pattern, *, kept: bool) -> int:
        """[cost unit]"""
        source = self.instance.sources[index]
        value = self.instance.value_left(index, pattern) if kept else 0
        return source.price + self._work(source, pattern) - value

    def _work(self, source: Source, pattern: Pattern) -> int:
        """What cutting a set counts for beyond the price of a bar. [cost unit]"""
        if not (source.per_cut or source.per_setup):
            return 0
        cuts = sum(pattern) - int(source.flush and self.instance.fill(pattern) == source.room)
        return cuts * source.per_cut + self.instance.set_up(source, pattern)

    def views_for_bounds(self) -> tuple[View, ...]:
        """The instance as it is."""
        return (self.view_for_plans(),)

    def view_for_plans(self) -> View:
        """The instance as it is."""
        return View(self.instance.pieces, self.instance.sources, self.instance.demand)

    def in_order(self, index: int, pattern: Pattern, parts: Sequence[Part], usual: Sequence[Part]) -> list[Placed]:
        """No order is cheaper than another."""
        return list(map(Placed, usual))

    def parted(self, index: int, pattern: Pattern) -> None:
        """Every bar comes whole."""


def fit_and_held(instance: Instance, index: int, counts: Array) -> Array:
    """Which sets, one in each row, hold anything, fit as their takes add up and leave or hold what the vice needs."""
    source = instance.sources[index]
    fill = counts @ np.array(instance.takes, dtype=np.int64)
    number = counts.sum(axis=1)
    safe = source.reach - fill >= instance.hold
    safe |= counts[:, list(instance.held)].any(axis=1)
    safe |= (number == 1) & counts[:, list(instance.uncut[index])].any(axis=1)
    found: Array = (number > 0) & (fill <= source.room) & (safe | (instance.hold == 0))
    return found


def fills(takes: Sequence[Length], most: Sequence[int], room: Length, most_steps: int) -> bool:
    """Can parts, at most ``most`` of each, take exactly ``room``? Beyond ``most_steps`` it is assumed that they do."""
    step = math.gcd(*takes)
    if room < 0 or not step or room % step:
        return False
    if room // step > most_steps:
        return True
    # A bit for every number of steps that some set takes.
    steps = room // step
    filled, mask = 1, (1 << (steps + 1)) - 1
    for take, copies in zip(takes, most, strict=True):
        size, left = 1, min(copies, room // take)
        while left:
            size = min(size, left)
            filled |= (filled << (size * (take // step))) & mask
            left -= size
            size *= 2
    return bool(filled >> steps & 1)
