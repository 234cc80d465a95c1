"""A group whose parts may share cuts, as a bound sees it: the classes of their ends, and the states of sets of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache

from cutplan.checking.reckoning import Reckoning
from cutplan.checking.trails import NO_PARTS, EndClass, State, beyond_twice, breaks, joined, own_twice, reached_from
from cutplan.model import Part, Saw
from cutplan.model.placing import shares_cuts
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


def nesting_of(parts: Sequence[Part], saw: Saw) -> Nesting | None:
    """None where no two ends of the parts can share a cut, and none is worth turning end for end."""
    number: Counter[tuple[Angle, Length]] = Counter()
    for part in parts:
        if shares_cuts(part, saw):
            for end in (part.end_a, part.end_b):
                if end.angle:
                    number[end.angle, part.depth] += part.quantity + part.spares
    shared = sorted(end for end, n in number.items() if n > 1)
    if not shared and not any(shares_cuts(part, saw) and part.end_a.angle != part.end_b.angle for part in parts):
        return None
    classes = [EndClass(saw.kerf)]
    classes += [EndClass(kerf_along(saw.kerf, angle), mitre_saving(depth, angle), True) for angle, depth in shared]

    def class_of(part: Part, angle: Angle) -> int:
        if not angle:
            return 0
        if shares_cuts(part, saw) and (angle, part.depth) in shared:
            return 1 + shared.index((angle, part.depth))
        own = EndClass(kerf_along(saw.kerf, angle), mitred=True, alone=True)
        if own not in classes[1 + len(shared) :]:
            classes.append(own)
        return classes.index(own, 1 + len(shared))

    ends = tuple((class_of(part, part.end_a.angle), class_of(part, part.end_b.angle)) for part in parts)
    followed = reached_from(NO_PARTS, set(ends), MOST_STATES) is not None
    return Nesting(classes=tuple(classes), ends=ends, followed=followed)


@cache
def _beyond_twice(state: State, classes: tuple[EndClass, ...], last_counts: bool) -> Length:
    return beyond_twice(state, classes, last_counts=last_counts)


def _half_strokes(end: EndClass) -> int:
    """Halves of strokes that an end counts for: with its like it takes one, a mitre that shares nothing one alone."""
    return 2 if end.alone else 1
