"""The order in which the parts of one bar are laid where some are mitred, by trying every order that differs.

Between two neighbours the saw takes the wider of two kerfs, that of the end which leaves it and that of the end which
comes next; the last part takes its own, or what is left. So the order decides how long a set is, how much of the bar is
left, how many strokes it takes, and whether the last part can be held. Parts whose ends take the same kerfs are of one
kind, so that there are far fewer sequences than of parts; what follows the last part laid depends on nothing before it.
Of a bar with parts of very many kinds some good orders are tried, not all.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise, product
from typing import TypeAlias, TypeVar

from cutplan.units import Length

MOST_SETS = 3_000
"""Sets that the parts of a bar may be laid in one after another, up to which every order is tried."""

FEW_SETS = 256
"""The same where some bar may hold more, so that no plan is proven by search: other sets are better tried instead."""

Joint: TypeAlias = tuple[int, ...]
"""Angle, plane and saving of an end that can share its cut with its like; empty where it shares none. [nm]"""


@dataclass(frozen=True, order=True)
class Kind:
    """Parts that a bar cannot tell apart but by their length: kerfs and mitres of both ends, and what holds them.

    ``held`` tells that the vice can hold it, ``to_fit`` that it is cut to fit and so comes last. ``may_turn``
    tells that it may lie with end B towards START, ``hand_a`` and ``hand_b`` on which hand of its joint an end is where
    hands differ. [nm]
    """

    kerf_a: Length
    kerf_b: Length
    mitred_a: bool
    mitred_b: bool
    held: bool
    to_fit: bool
    joint_a: Joint = ()
    joint_b: Joint = ()
    may_turn: bool = False
    hand_a: int = 0
    hand_b: int = 0

    @property
    def alike(self) -> bool:
        """Are both ends alike?"""
        return self.kerf_a == self.kerf_b and self.mitred_a == self.mitred_b


Counts: TypeAlias = tuple[int, ...]
"""How many parts of each kind."""

Key: TypeAlias = tuple[Length, int, int, bool]
"""What an order comes to: kerfs between neighbours, strokes that part them, the last kind, and whether that comes after
parts that are cut to fit without being one of them."""


@dataclass(frozen=True)
class CutSequence:
    """Kinds in the order in which they are laid, and what that comes to before the end of the last is looked at.

    ``between`` are the kerfs between neighbours, ``strokes`` those up to the beginning of the last part;
    ``out_of_turn`` tells that the last part comes after parts that are cut to fit. [nm]
    """

    kinds: tuple[int, ...]
    between: Length
    strokes: int
    out_of_turn: bool

    @property
    def last(self) -> int:
        """The kind laid last."""
        return self.kinds[-1]


@dataclass
class CutSequences:
    """Every order of parts of some kinds; what was worked out for one bar serves the next."""

    kinds: Sequence[Kind]
    most_sets: int = MOST_SETS
    _ways: dict[tuple[int, Counts], dict[Key, int]] = field(default_factory=dict, repr=False)

    def __getstate__(self) -> dict[str, object]:
        """What can be worked out again is not sent to another process."""
        return {"kinds": self.kinds, "most_sets": self.most_sets, "_ways": {}}

    def tries_all(self, most: Counts, together: int) -> bool:
        """Is every order tried of up to so many parts of each kind, and up to so many ``together``?"""
        one_alike = len({self.kinds[k].to_fit for k, n in enumerate(most) if n}) == 1
        differ = [1 if n and kind.alike and one_alike else n for n, kind in zip(most, self.kinds, strict=True)]
        return sets_within(differ, together, self.most_sets) <= self.most_sets

    @property
    def in_step(self) -> bool:
        """Does an order that loses more always take more strokes too?

        With two mitres it may still be the one that fills a bar to its very end, and so spare a stroke; that is not
        looked for.
        """
        return len({end for kind in self.kinds for end in _ends(kind)}) <= 2

    def of(self, counts: Counts, *, squared: bool) -> Iterator[CutSequence]:
        """One sequence for each outcome that sequences of these parts have.

        ``squared`` tells that START is trimmed, which takes a stroke where the first end is square.
        """
        # One part of several alike may have to come after those that are cut to fit.
        turns = len({kind.to_fit for kind, n in zip(self.kinds, counts, strict=True) if n})
        runs = [(k, n - 1) for k, n in enumerate(counts) if n > 1 and self.kinds[k].alike and turns == 1]
        between = sum(n * self.kinds[k].kerf_a for k, n in runs)
        strokes = sum(n * (1 + self.kinds[k].mitred_a) for k, n in runs)
        more_of = dict(runs)
        counts = tuple(n - more_of.get(k, 0) for k, n in enumerate(counts))
        all_tried = math.prod(n + 1 for n in counts) <= self.most_sets
        for order in (self._unbeaten if all_tried else self._some)(counts, squared):
            yield replace(
                order,
                kinds=tuple(k for k in order.kinds for _ in range(1 + more_of.get(k, 0))),
                between=between + order.between,
                strokes=strokes + order.strokes,
            )

    def _unbeaten(self, counts: Counts, squared: bool) -> Iterator[CutSequence]:
        """Of orders that begin and end alike, those that no other beats both in what it loses and in strokes."""
        for first, kind in enumerate(self.kinds):
            if counts[first]:
                rest = _without(counts, first)
                for key in self._after(first, rest):
                    yield CutSequence(
                        kinds=(first, *self._followed(first, rest, key)),
                        between=key[0],
                        strokes=key[1] + int(squared or kind.mitred_a),
                        out_of_turn=key[3],
                    )

    def _some(self, counts: Counts, squared: bool) -> Iterator[CutSequence]:
        """From every beginning on the part that loses least beside the one before it, and one that can be held last."""
        there = [k for k, n in enumerate(counts) if n]
        held = [k for k in there if self.kinds[k].held]
        for kinds in orders_by_next(counts, there, held, lambda k: k, self._next):
            late = out_of_turn([self.kinds[k] for k in kinds])
            if late is not None:
                yield replace(self.as_given(kinds, squared=squared), out_of_turn=late)

    def _next(self, last: int, left: Sequence[int]) -> int:
        """Of parts that are left the kind that loses least after another; of these one of which most are left."""
        waiting = [k for k, n in enumerate(left) if n]
        in_turn = [k for k in waiting if not self.kinds[k].to_fit] or waiting
        return min(in_turn, key=lambda k: (self._parting(last, k), -left[k], k))

    def as_given(self, kinds: Sequence[int], *, squared: bool) -> CutSequence:
        """What an order of kinds comes to, whether it pays or not."""
        partings = [self._parting(one, other) for one, other in pairwise(kinds)]
        return CutSequence(
            kinds=tuple(kinds),
            between=sum(kerf for kerf, _ in partings),
            strokes=sum(strokes for _, strokes in partings) + int(squared or self.kinds[kinds[0]].mitred_a),
            out_of_turn=False,
        )

    def _after(self, last: int, rest: Counts) -> dict[Key, int]:
        """What laying ``rest`` after a part of kind ``last`` can come to, and the kind that comes next on the way."""
        if not any(rest):
            return {(0, 0, last, False): -1}
        known = self._ways.get((last, rest))
        if known is None:
            known = self._ways[last, rest] = self._worked_out(last, rest)
        return known

    def _worked_out(self, last: int, rest: Counts) -> dict[Key, int]:
        before, ends = self.kinds[last], sum(rest) == 1
        found: dict[Key, int] = {}
        for after, kind in enumerate(self.kinds):
            out_of_turn = before.to_fit and not kind.to_fit
            if not rest[after] or (out_of_turn and not (ends and kind.held)):
                continue
            kerf, strokes = self._parting(last, after)
            for between, more, end, late in self._after(after, _without(rest, after)):
                found.setdefault((between + kerf, more + strokes, end, late or out_of_turn), after)
        return self._least(found)

    @staticmethod
    def _least(found: dict[Key, int]) -> dict[Key, int]:
        """Of sequences that end alike, those that no other beats both in what it loses and in strokes."""
        least: dict[Key, int] = {}
        fewest: dict[tuple[int, bool], int] = {}
        for key in sorted(found):
            ending = key[2:]
            if key[1] < fewest.get(ending, key[1] + 1):
                fewest[ending] = key[1]
                least[key] = found[key]
        return least

    def _parting(self, one: int, other: int) -> tuple[Length, int]:
        """The kerf between two neighbours and the strokes that part them: one where both ends are square."""
        ahead, behind = self.kinds[one], self.kinds[other]
        square = not ahead.mitred_b and not behind.mitred_a
        return max(ahead.kerf_b, behind.kerf_a), 1 if square else 2

    def _followed(self, last: int, rest: Counts, key: Key) -> Iterator[int]:
        """The kinds on the way to a key."""
        while any(rest):
            after = self._after(last, rest)[key]
            yield after
            kerf, strokes = self._parting(last, after)
            between, more, end, late = key
            rest = _without(rest, after)
            # Only the last part may be out of turn, so that what follows it comes after nothing.
            late = late and any(rest)
            key = (between - kerf, more - strokes, end, late)
            last = after


def sets_within(most: Sequence[int], together: int, enough: int) -> int:
    """The most sets that parts of a bar may be laid in one after another, where it holds up to so many of each kind and
    up to so many ``together``; counted up to beyond ``enough``.
    """
    # The numbers whose sets are most are as like as can be.
    apart = [0] * len(most)
    for _ in range(together):
        grow = [(apart[k], k) for k, limit in enumerate(most) if apart[k] < limit]
        if not grow or math.prod(n + 1 for n in apart) > enough:
            break
        apart[min(grow)[1]] += 1
    return math.prod(n + 1 for n in apart)


Laid = TypeVar("Laid", int, tuple[int, bool])
"""A kind, or a kind and how it lies."""


def orders_by_next(
    counts: Counts,
    firsts: Sequence[Laid],
    held: Sequence[int],
    kind_of: Callable[[Laid], int],
    following: Callable[[Laid, Sequence[int]], Laid],
) -> list[tuple[Laid, ...]]:
    """Orders of so many parts of each kind, a good one from each beginning.

    Parameters
    ----------
    held
        Kinds that can be held last, of which one is also kept for the end.
    following
        What is laid best after a part, of the parts that are left.
    """
    tried = set()
    for first, kept in product(firsts, [None, *held[-1:]]):
        left = list(counts)
        left[kind_of(first)] -= 1
        if kept is not None and not left[kept]:
            continue
        order = [first]
        while any(left):
            usable = [n - (k == kept) for k, n in enumerate(left)]
            order.append(following(order[-1], usable if any(usable) else left))
            left[kind_of(order[-1])] -= 1
        tried.add(tuple(order))
    return sorted(tried)


def out_of_turn(kinds: Sequence[Kind]) -> bool | None:
    """Does the last part come after parts that are cut to fit? None where one that cannot, or another one, does."""
    fitted = [kind.to_fit for kind in kinds]
    late = fitted != sorted(fitted)
    return None if late and (fitted[:-1] != sorted(fitted[:-1]) or not kinds[-1].held) else late


def _ends(kind: Kind) -> tuple[tuple[Length, bool], tuple[Length, bool]]:
    return (kind.kerf_a, kind.mitred_a), (kind.kerf_b, kind.mitred_b)


def _without(counts: Counts, kind: int) -> Counts:
    return (*counts[:kind], counts[kind] - 1, *counts[kind + 1 :])
