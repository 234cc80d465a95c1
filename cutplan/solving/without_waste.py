"""Plans without any waste where bars hold little more than three parts: which three go together, told by their chances.

Where parts fill the bars that they need by their length to the very end, nearly all of these are cut to sets of two and
three parts, of which there are few thousand. An LP over them has so many optima that a corner tells little; how often
a set is in a packing tells more (:mod:`cutplan.solving.beliefs`), and bar after bar is cut to the likeliest. Parts
without the measure that most parts and the bar have in common, odd ones among even ones, go first: the last two of them
could be in no bar together, and what is left then is counted in coarser steps. Where few are left an integer program
decides.

References
----------
Decimation by beliefs: M. Mezard, A. Montanari, Information, Physics, and Computation, Oxford 2009, from memory.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

import numpy as np

from cutplan.solving.beliefs import Beliefs
from cutplan.solving.clock import Clock
from cutplan.solving.full_sets import full_sets
from cutplan.solving.instance import Instance
from cutplan.solving.integer_master import disjoint_sets, may_ask
from cutplan.solving.knapsack import Array
from cutplan.solving.parameters import Parameters
from cutplan.solving.plans import PatternUse


def without_waste(instance: Instance, parameters: Parameters, clock: Clock, *, again: bool) -> list[PatternUse] | None:
    """A plan of which every bar is filled to its very end, if one is found: by few tries, ``again`` by others."""
    if not _may_be(instance, parameters):
        return None
    room = instance.sources[0].room // instance.divisor
    wanted: Counter[int] = Counter()
    for piece in instance.pieces:
        wanted[piece.take // instance.divisor] += piece.demand
    takes = sorted(wanted, reverse=True)
    demand = np.array([wanted[take] for take in takes])
    sets = full_sets(takes, demand, room, parameters.full_parts)
    if sum(map(len, sets)) > parameters.full_listed or clock.struck():
        return None
    tries = range(parameters.full_first, parameters.full_tries) if again else range(parameters.full_first)
    for number in tries:
        found = _Packing(takes, demand, room, sets, number, parameters, clock).packed()
        if found is not None:
            return _dealt_out(instance, [[takes[place] for place in bar] for bar in found])
        if clock.struck():
            break
    return None


def _may_be(instance: Instance, parameters: Parameters) -> bool:
    """Could there be a plan without waste, and is it worth looking for among bars of few parts?"""
    if len(instance.sources) != 1 or not instance.flat or not instance.space.adds_up or instance.unserved[0]:
        return False
    source, total = instance.sources[0], sum(piece.take * piece.demand for piece in instance.pieces)
    if source.room <= 0 or source.room % instance.divisor or total % source.room or min(instance.takes) <= 0:
        return False
    bars = total // source.room
    few = sum(instance.demand) <= (parameters.full_parts + parameters.full_more) * bars
    return few and bars <= min(source.most, parameters.full_bars)


def in_the_way(takes: Array, wanted: Array, room: int) -> tuple[Array, int]:
    """The fewest parts without which all others, and the bar, have a coarser measure; and that measure.

    None of them where the bar has no coarser one.
    """
    there = takes[wanted > 0]
    now = math.gcd(room, *there.tolist())
    coarser = [now * prime for prime in _primes(room // now)]
    if not coarser:
        return np.zeros(len(takes), dtype=bool), now
    measure = min(coarser, key=lambda one: (int(wanted[takes % one != 0].sum()), one))
    return (takes % measure != 0) & (wanted > 0), measure


def _primes(number: int) -> list[int]:
    found, factor = [], 2
    while factor * factor <= number:
        if number % factor == 0:
            found.append(factor)
            while number % factor == 0:
                number //= factor
        factor += 1
    return [*found, number] if number > 1 else found


def _dealt_out(instance: Instance, bars: Sequence[Sequence[int]]) -> list[PatternUse] | None:
    """Bars of lengths as bars of parts; None where some bar cannot be held."""
    of_length: dict[int, list[int]] = {}
    for i, piece in enumerate(instance.pieces):
        of_length.setdefault(piece.take // instance.divisor, []).extend([i] * piece.demand)
    plan = []
    for bar in bars:
        counts = [0] * len(instance.pieces)
        for take in bar:
            counts[of_length[take].pop()] += 1
        if not instance.allowed(0, counts):
            return None
        plan.append(PatternUse(0, tuple(counts), 1))
    return plan


class _Packing:
    """One way down to a whole plan; with ``number`` above 0 it is another one by chance."""

    def __init__(
        self,
        takes: Sequence[int],
        wanted: Array,
        room: int,
        sets: Sequence[Array],
        number: int,
        parameters: Parameters,
        clock: Clock,
    ) -> None:
        self.takes, self.room, self.all_sets = np.array(takes), room, sets
        self.parameters, self.clock = parameters, clock
        self.rest = parameters.full_rest
        self.spread, self.draw = number and parameters.full_spread, np.random.default_rng(number)
        self.spare = parameters.full_spare * self._factors(len(takes))
        self.bars: list[tuple[int, ...]] = []
        self.beliefs = Beliefs(sets, wanted, self.spare)

    def _factors(self, number: int) -> Array:
        """By chance from a half to two each, and the like with other spreads; 1 where there is none."""
        return np.exp2(self.spread * (2 * self.draw.random(number) - 1))

    def packed(self) -> list[tuple[int, ...]] | None:
        """All bars as places of lengths, if a way is found."""
        parameters = self.parameters
        placed_first, begun, backs, rounds = 0, 0, 0, parameters.full_rounds
        while True:
            if self._bars_left() <= self.rest:
                ended = self._ended()
                self.rest = int(self.rest * parameters.full_rest_again)
                if ended is not None or not self.rest:
                    return ended
            if self.clock.struck():
                return None
            beliefs = self.beliefs
            first, measure = in_the_way(self.takes, beliefs.wanted, self.room)
            if measure != placed_first:
                placed_first, begun, backs = measure, len(self.bars), 0
                beliefs.spare = np.where(first, parameters.full_spare_first, self.spare)
            beliefs.settle(rounds, parameters.full_said, parameters.full_damping)
            rounds = parameters.full_rounds_again
            left = int(beliefs.wanted[first].sum())
            if left and (backs or left <= parameters.full_end or self._likeliest(first) is None):
                placed = self._placed(first)
                if placed is None:
                    backs += 1
                    if backs > parameters.full_backs:
                        return None
                    self._give_back(min(len(self.bars) - begun, backs * parameters.full_back))
                    rounds = parameters.full_rounds
                for bar in placed or ():
                    self._take(bar)
                continue
            likeliest = self._likeliest(first)
            if likeliest is None:
                return None
            self._take(likeliest)

    def _bars_left(self) -> int:
        return int((self.takes * self.beliefs.wanted).sum()) // self.room

    def _take(self, bar: Sequence[int]) -> None:
        self.beliefs.take(bar)
        self.bars.append(tuple(bar))

    def _give_back(self, number: int) -> None:
        """Want the parts of the last so many bars again."""
        wanted = self.beliefs.wanted.copy()
        for _ in range(number):
            for place in self.bars.pop():
                wanted[place] += 1
        self.beliefs = Beliefs(self.all_sets, wanted, self.beliefs.spare)

    def _likeliest(self, first: Array) -> tuple[int, ...] | None:
        """The likeliest set with a part to be placed first, or of all where no part is."""
        best = -1.0
        found: tuple[int, ...] | None = None
        for some, chances in zip(self.beliefs.sets, self.beliefs.chances, strict=True):
            # Rounded, so that the last digits of floats do not choose.
            likely = np.round(chances, 6) * self._factors(len(chances))
            if first.any():
                likely = np.where(first[some].any(axis=1), likely, -1.0)
            if len(likely) and likely.max() > best:
                place = int(likely.argmax())
                best, found = float(likely[place]), tuple(some[place].tolist())
        return found

    def _placed(self, first: Array) -> list[tuple[int, ...]] | None:
        """Likely sets with all parts that are to be placed first, with such of four where those of three do not do."""
        parameters, beliefs = self.parameters, self.beliefs
        if not may_ask(self.clock, parameters.loading):
            return None
        wanted = beliefs.wanted
        sets: list[tuple[int, ...]] = []
        worth: list[int] = []
        for some, chances in zip(beliefs.sets, beliefs.chances, strict=True):
            of_use = first[some].any(axis=1)
            sets += map(tuple, some[of_use].tolist())
            worth += np.rint(parameters.full_worth * (1 + np.minimum(chances[of_use], 1))).astype(int).tolist()
        found = self._disjoint(sets, first, None, worth, parameters.full_effort)
        if found is None and not self.clock.struck():
            *_, longer = full_sets(self.takes.tolist(), wanted, self.room, parameters.full_parts + 1)
            of_use = longer[first[longer].any(axis=1)]
            sets += map(tuple, of_use.tolist())
            found = self._disjoint(sets, first, None, worth + [0] * len(of_use), parameters.full_effort)
        return found

    def _ended(self) -> list[tuple[int, ...]] | None:
        """With all bars but one of sets of up to four parts; the last, of all that is left then, is full by itself."""
        parameters, number = self.parameters, self._bars_left() - 1
        if number < 1 or not may_ask(self.clock, parameters.loading):
            return None
        of_each = full_sets(self.takes.tolist(), self.beliefs.wanted, self.room, parameters.full_parts + 1)
        sets = [tuple(row) for some in of_each for row in some.tolist()]
        nowhere = np.zeros(len(self.takes), dtype=bool)
        found = self._disjoint(sets, nowhere, number, [0] * len(sets), parameters.full_rest_effort)
        if found is None:
            return None
        left = self.beliefs.wanted.copy()
        for bar in found:
            for place in bar:
                left[place] -= 1
        return [*self.bars, *found, tuple(np.repeat(np.arange(len(left)), left).tolist())]

    def _disjoint(
        self, sets: Sequence[tuple[int, ...]], whole: Array, number: int | None, worth: Sequence[int], effort: float
    ) -> list[tuple[int, ...]] | None:
        wanted, seconds = self.beliefs.wanted.tolist(), self.clock.seconds_left
        chosen = disjoint_sets(sets, wanted, whole.tolist(), number, worth, effort, seconds)
        return None if chosen is None else [sets[k] for k in chosen]
