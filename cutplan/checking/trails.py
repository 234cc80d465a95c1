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

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations_with_replacement, permutations
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
        ends = [sorted(odd)] if odd else [[each, each] for each in sorted(joint)]
        choices = [(*before, *((each, place) for each in more)) for before in choices for more in ends]
    touched = [(each, place) for place, (joint, _) in enumerate(state) for each in joint]
    # A trail more in a component has two ends more, which may pay where they become the outermost of all.
    further = [(), *((each,) for each in touched), *combinations_with_replacement(touched, 2)]
    found = (
        _laid_twice([*ends, *more, *more], {place for _, place in more}, classes, last_counts, begun)
        for ends in choices
        for more in further
    )
    return min((each for each in found if each is not None), default=None)


_TrailEnd: TypeAlias = tuple[int, int]
"""The class of an end of a trail, and the place of its component."""


def _laid_twice(
    ends: list[_TrailEnd],
    free: set[int],
    classes: Sequence[EndClass],
    last_counts: bool,
    begun: frozenset[int],
) -> Length | None:
    """Twice the least for trails with just these ends: which are outermost, and which meet between trails.

    In a component of two ends both are of one trail; of more, as of those that are ``free``, that is left open, and so
    it is where there are more than two components.
    """
    number = Counter(place for _, place in ends)
    # Left open, the two ends of one trail may be taken to meet, which makes a ring that no bar has: less may then seem
    # lost than is, never more.
    single = {place for place, n in number.items() if n == 2} - free if len(number) == 2 else set()
    lost = sum(classes[each].saved for each, _ in ends)
    found = []
    for first, last in set(permutations(ends, 2)):
        if first[0] not in begun or (first[1] == last[1] and first[1] in single):
            continue
        between = list(ends)
        between.remove(first)
        between.remove(last)
        met = _met_twice(tuple(sorted(between)), frozenset(single), tuple(each.kerf for each in classes))
        if met is not None:
            after = classes[last[0]].kerf if last_counts else -classes[last[0]].kerf
            found.append(lost + met - classes[first[0]].kerf + after)
    return min(found, default=None)


@cache
def _met_twice(between: tuple[_TrailEnd, ...], single: frozenset[int], kerfs: tuple[Length, ...]) -> Length | None:
    """Twice what is lost where trails meet beyond half of each kerf: the wider one is; None where they cannot meet."""
    if not between:
        return 0
    (one, place), *others = between
    found = []
    for k, (other, there) in enumerate(others):
        if place != there or place not in single:
            rest = _met_twice((*others[:k], *others[k + 1 :]), single, kerfs)
            if rest is not None:
                # Half of each is counted with the parts: twice what the wider one adds to that is the difference.
                found.append(rest + abs(kerfs[one] - kerfs[other]))
    return min(found, default=None)


def own_twice(length: Length, a: EndClass, b: EndClass) -> Length:
    """Twice what a part counts for: its length, and half of what each of its cuts takes less what it saves. [nm]"""
    return 2 * length + a.kerf - a.saved + b.kerf - b.saved
