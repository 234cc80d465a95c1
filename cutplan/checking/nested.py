"""A group whose parts may share cuts, as a bound sees it: the classes of their ends, and the states of sets of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache

from cutplan.checking.reckoning import Reckoning
from cutplan.checking.trails import NO_PARTS, EndClass, State, beyond_twice, breaks, joined, own_twice, reached_from
from cutplan.model import Part, Saw
from cutplan.model.placing import PlacedEnd, meet, placed_ends, shares_cuts, ways_of
from cutplan.units import Angle, Length, kerf_along, mitre_saving

MOST_STATES = 130
"""States followed side by side; a group with two mitres has 24, one with three about a hundred."""

Ends = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Nesting:
    """Parts of a group as edges between the classes of their ends.

    Parameters
    ----------
    classes
        Square first, then what can be shared, then mitres that share no cut, by their kerfs.
    ends
        The classes of each part's ends.
    followed
        Whether states are followed; else all sets are seen as the one that takes least.
    """

    classes: tuple[EndClass, ...]
    ends: tuple[Ends, ...]
    followed: bool

    def after(self, state: State, ends: Ends, copies: int) -> State:
        """The state of a set with more parts of these ends."""
        return joined(state, *ends, copies) if self.followed and copies else state

    def states(self, begun: State, kinds: Iterable[Ends]) -> list[State]:
        """Every state that such parts lead to from another."""
        found = reached_from(begun, set(kinds), MOST_STATES) if self.followed else [begun]
        if found is None:
            raise OverflowError(f"parts come together in more than {MOST_STATES} ways")
        return found

    def beyond_twice(self, state: State) -> Length:
        """Twice what a set takes at least beyond the sum of its parts. [nm]"""
        if self.followed:
            return _beyond_twice(state, self.classes, False)
        return 2 * min(each.saved - each.kerf for each in self.classes)

    def left_twice(self, state: State) -> Length:
        """The same with the kerf after the last part. [nm]"""
        if self.followed:
            return _beyond_twice(state, self.classes, True)
        return min(each.saved - each.kerf for each in self.classes) + min(
            each.saved + each.kerf for each in self.classes
        )

    def strokes_twice(self, state: State, *, trimmed: bool, open_end: bool) -> int:
        """Twice the strokes of a bar beyond those its parts are counted with, at least."""
        touched = {each for joint, _ in state for each in joint} if self.followed else range(len(self.classes))
        ends = [self.classes[each] for each in touched] or list(self.classes)
        first = min((2 if each.mitred else 2 * trimmed) - _half_strokes(each) for each in ends)
        last = min((2 if each.mitred else 2 * (not open_end)) - _half_strokes(each) for each in ends)
        # Of mitres that share nothing, what more a change of class takes is counted with them already.
        own = any(each.alone for each in ends)
        return first + last + (0 if own or not state else 2 * breaks(state))

    def reckoning(self, parts: Sequence[Part]) -> Reckoning:
        """How parts count, in half nanometres."""
        pairs = [(self.classes[a], self.classes[b]) for a, b in self.ends]
        return Reckoning(
            places=frozenset(range(len(parts))),
            weights=tuple(own_twice(part.length, *pair) for part, pair in zip(parts, pairs, strict=True)),
            strokes=tuple((_half_strokes(a) + _half_strokes(b)) // 2 for a, b in pairs),
            spare=0,
            more_left=0,
            least={
                (trimmed, open_end): self.strokes_twice(NO_PARTS, trimmed=trimmed, open_end=open_end) // 2
                for trimmed in (False, True)
                for open_end in (False, True)
            },
        )


_Lying = tuple[Length, Angle, frozenset[tuple[bool, PlacedEnd]]]
"""Depth and angle of a mitred end, and how it can lie: is it away from START, and where is its long point?"""


def nesting_of(parts: Sequence[Part], saw: Saw) -> Nesting | None:
    """None where no two ends of the parts can share a cut, and none is worth turning end for end."""
    number: Counter[_Lying] = Counter()
    sharing = [part for part in parts if shares_cuts(part, saw)]
    lying = {(part.mark, end): _lying(part, end) for part in sharing for end in (0, 1)}
    for part in sharing:
        for end in (0, 1):
            if lying[part.mark, end][1]:
                number[lying[part.mark, end]] += part.quantity + part.spares
    together = _together(number)
    turning = [part for part in sharing if any(way.turned for way in ways_of(part))]
    if not together and not any(_ends_differ(part, saw) for part in turning):
        return None
    shared = sorted(set(together.values()))
    classes = [EndClass(saw.kerf)]
    classes += [EndClass(kerf_along(saw.kerf, end.angle), mitre_saving(depth, end.angle), True)
                for depth, (_, end) in shared]  # fmt: skip

    def class_of(part: Part, end: int) -> int:
        angle = (part.end_a, part.end_b)[end].angle
        if not angle:
            return 0
        how = lying.get((part.mark, end))
        if how in together:
            return 1 + shared.index(together[how])
        own = EndClass(kerf_along(saw.kerf, angle), mitred=True, alone=True)
        if own not in classes[1 + len(shared) :]:
            classes.append(own)
        return classes.index(own, 1 + len(shared))

    ends = tuple((class_of(part, 0), class_of(part, 1)) for part in parts)
    followed = reached_from(NO_PARTS, set(ends), MOST_STATES) is not None
    return Nesting(classes=tuple(classes), ends=ends, followed=followed)


def _ends_differ(part: Part, saw: Saw) -> bool:
    """Does a bar look otherwise when such a part is turned?"""
    a, b = ((kerf_along(saw.kerf, end.angle), end.angle > 0) for end in (part.end_a, part.end_b))
    return a != b


def _lying(part: Part, end: int) -> _Lying:
    """How end A (0) or end B (1) can lie."""
    found = set()
    for way in ways_of(part):
        is_far = (end == 1) != way.turned
        found.add((is_far, placed_ends(part, way)[is_far]))
    return part.depth, (part.end_a, part.end_b)[end].angle, frozenset(found)


def _together(number: Counter[_Lying]) -> dict[_Lying, tuple[Length, tuple[bool, PlacedEnd]]]:
    """For ends that can meet others, and those through others, one name: that of the least of them.

    All of a name count as one class, as if any two of them met: no set takes less than that says.
    """
    found: dict[_Lying, set[_Lying]] = {}
    for one in number:
        for other in number:
            if (number[one] > 1 or one != other) and one[:2] == other[:2] and _may_meet(one, other):
                joined = found.get(one, {one}) | found.get(other, {other})
                found.update(dict.fromkeys(joined, joined))
    return {one: min((each[0], min(each[2])) for each in joined) for one, joined in found.items()}


def _may_meet(one: _Lying, other: _Lying) -> bool:
    return any(
        far_one != far_other and meet(*((a, b) if far_one else (b, a)))
        for far_one, a in one[2]
        for far_other, b in other[2]
    )


@cache
def _beyond_twice(state: State, classes: tuple[EndClass, ...], last_counts: bool) -> Length:
    return beyond_twice(state, classes, last_counts=last_counts)


def _half_strokes(end: EndClass) -> int:
    """Halves of strokes that an end counts for: with its like it takes one, a mitre that shares nothing one alone."""
    return 2 if end.alone else 1
