"""What parts take at least where neighbours may share a cut: their own share of it, and what their ends in all add.

Let every part be an edge between the classes of its two ends: square, or mitred at one angle in one plane. Two ends of
one class meet at the least that either can lose, so that a bar laid as one trail of the graph takes no more than the
sum of its parts. A class with an odd number of ends is where a trail ends, and each component of the graph needs a
trail of its own; at every end of a trail half of what two mitres reach into one another is not saved, and between two
trails the wider kerf of two different ends is lost. So what a set takes follows from sums over its parts and from a
state: which classes are joined, and how many ends of each are odd. Twice the lengths are used, since halves occur.

References
----------
L. Euler, Solutio problematis ad geometriam situs pertinentis, 1741, for trails; worked out here, and held to trying
every order, turn and roll by ``tests/test_checking_trails.py``.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations_with_replacement
from typing import TypeAlias

from cutplan.units import Length


@dataclass(frozen=True, slots=True)
class EndClass:
    """Ends of one look: what their cut takes along the bar, and what it saves where two of them share it. [nm]

    A mitre that shares no cut is ``alone``.
    """

    kerf: Length
    saved: Length = 0
    mitred: bool = False
    alone: bool = False


State: TypeAlias = tuple[tuple[frozenset[int], frozenset[int]], ...]
"""The components of the graph, in order: their classes, and those of them with an odd number of ends."""

NO_PARTS: State = ()


def joined(state: State, a: int, b: int, copies: int) -> State:
    """The state with more parts between two classes."""
    classes, others = {a, b}, []
    odd: set[int] = set()
    for each in state:
        if a in each[0] or b in each[0]:
            classes |= each[0]
            odd ^= each[1]
        else:
            others.append(each)
    if copies % 2:
        odd ^= {a} ^ {b}
    return tuple(sorted([*others, (frozenset(classes), frozenset(odd))], key=lambda each: min(each[0])))


def reached_from(begun: State, kinds: Iterable[tuple[int, int]], most: int) -> list[State] | None:
    """Every state that parts of some kinds lead to, the first first; None where there are more than ``most``."""
    kinds = list(kinds)
    found = {begun: None}
    waiting = [begun]
    while waiting:
        state = waiting.pop()
        for a, b in kinds:
            # Only whether copies are odd or even counts.
            for copies in (1, 2):
                after = joined(state, a, b, copies)
                if after not in found:
                    if len(found) == most:
                        return None
                    found[after] = None
                    waiting.append(after)
    return list(found)


def breaks(state: State) -> int:
    """Between how many neighbours two trails meet, at least."""
    # Each trail ends at two odd classes; a component that has none of them takes one closed trail.
    return sum(max(1, len(odd) // 2) for _, odd in state) - 1


def beyond_twice(state: State, classes: Sequence[EndClass], *, last_counts: bool = False) -> Length:
    """Twice what a set takes beyond the sum of its parts, at least; may be negative. [nm]

    With ``last_counts`` the kerf after the last part is counted too, as where it is asked what is left of the bar.
    """
    if not state:
        return 0
    found = begun_twice(state, classes, frozenset(range(len(classes))), last_counts=last_counts)
    assert found is not None
    return found


def begun_twice(
    state: State, classes: Sequence[EndClass], begun: frozenset[int], *, last_counts: bool = False
) -> Length | None:
    """The same for sets whose first end is of one of some classes; None where none is. [nm]"""
    # Classes with an odd number of ends end a trail; of a component without one any class does, twice.
    choices: list[tuple[_TrailEnd, ...]] = [()]
    for place, (joint, odd) in enumerate(state):
        ways = [sorted(odd)] if odd else [[each, each] for each in sorted(joint)]
        choices = [(*before, *((each, place) for each in way)) for before in choices for way in ways]
    touched = [(each, place) for place, (joint, _) in enumerate(state) for each in joint]
    # A trail more in a component has two ends more, which may pay where they become the outermost of all.
    further: list[tuple[_TrailEnd, ...]] = [
        (),
        *((each,) for each in touched),
        *combinations_with_replacement(touched, 2),
    ]
    kerfs = tuple(each.kerf for each in classes)
    found = []
    for ends in choices:
        for more in further:
            all_ends = sorted([*ends, *more, *more])
            lost = sum(classes[each].saved for each, _ in all_ends)
            for first in set(all_ends):
                if first[0] in begun and (met := _along(first, _less(all_ends, first), kerfs, last_counts)) is not None:
                    found.append(lost - kerfs[first[0]] + met)
    return min(found, default=None)


_TrailEnd: TypeAlias = tuple[int, int]
"""The class of an end of a trail, and the place of its component."""


@cache
def _along(
    entered: _TrailEnd, others: tuple[_TrailEnd, ...], kerfs: tuple[Length, ...], last_counts: bool
) -> Length | None:
    """Twice what is lost at least beyond half of each kerf from an end of a trail on; None where no row is left.

    A trail ends in its own component, at which of the ends there are is left open. Where trails meet the wider kerf is
    lost; half of each is counted with the parts, so that twice what the wider one adds is the difference. [nm]
    """
    found = []
    for out in {each for each in others if each[1] == entered[1]}:
        left = _less(others, out)
        if not left:
            found.append(kerfs[out[0]] if last_counts else -kerfs[out[0]])
        for into in set(left):
            rest = _along(into, _less(left, into), kerfs, last_counts)
            if rest is not None:
                found.append(rest + abs(kerfs[out[0]] - kerfs[into[0]]))
    return min(found, default=None)


def _less(ends: Sequence[_TrailEnd], one: _TrailEnd) -> tuple[_TrailEnd, ...]:
    """The ends without one of them."""
    place = ends.index(one)
    return (*ends[:place], *ends[place + 1 :])


def own_twice(length: Length, a: EndClass, b: EndClass) -> Length:
    """Twice what a part counts for: its length, and half of what each of its cuts takes less what it saves. [nm]"""
    return 2 * length + a.kerf - a.saved + b.kerf - b.saved
