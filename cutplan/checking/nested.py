"""A group whose parts may share cuts, as a bound sees it: the classes of their ends, and the states of sets of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, field, replace
from functools import cache

from cutplan.checking.hands import LACKING, Matched, matched, taken_back
from cutplan.checking.reckoning import Reckoning
from cutplan.checking.trails import (
    NO_PARTS,
    EndClass,
    State,
    begun_twice,
    beyond_twice,
    breaks,
    joined,
    own_twice,
    reached_from,
)
from cutplan.model import Offcut, Part, Saw
from cutplan.model.placing import PlacedEnd, across, meet, placed_ends, shares_cuts, ways_of
from cutplan.units import Angle, Length, kerf_along, mitre_saving

MOST_STATES = 130
"""States followed side by side; a group with two mitres has 24, one with three about a hundred."""

Ends = tuple[int, int]

SetState = State | Matched
"""What is followed of a set: how its classes hang together, or how their hands are matched; empty without parts."""


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
    hands
        Of each class, where hands are matched instead: -1 the hand of fewer ends, 1 the other, 0 square.
    begun
        By the marks of pieces with a slanted end, the classes of ends that may begin on it, with no cut.
    """

    classes: tuple[EndClass, ...]
    ends: tuple[Ends, ...]
    followed: bool
    hands: tuple[int, ...] = ()
    begun: Mapping[str, frozenset[int]] = field(default_factory=dict)

    def after(self, state: SetState, ends: Ends, copies: int) -> SetState:
        """The state of a set with more parts of these ends."""
        if not (self.followed and copies):
            return state
        if isinstance(state, Matched) or self.hands:
            before = state if isinstance(state, Matched) else Matched()
            return matched(before, (self.hands[ends[0]], self.hands[ends[1]]), copies)
        return joined(state, *ends, copies)

    def turn(self, ends: Ends) -> int:
        """In the order of these, least first, parts are let in: so most is known of sets whose hands are matched."""
        return sum(self.hands[each] for each in ends) if self.hands else 0

    def states(self, begun: SetState, kinds: Iterable[Ends]) -> list[SetState]:
        """Every state that such parts lead to from another."""
        if self.followed and self.hands:
            return self._matched_from(begun, set(kinds))
        assert not isinstance(begun, Matched)
        found = reached_from(begun, set(kinds), MOST_STATES) if self.followed else [begun]
        if found is None:
            raise OverflowError(f"parts come together in more than {MOST_STATES} ways")
        return [*found]

    def _matched_from(self, begun: SetState, kinds: Iterable[Ends]) -> list[SetState]:
        found, waiting = {begun: None}, [begun]
        while waiting:
            state = waiting.pop()
            # From the most that are lacking to one over takes one copy more than that; further ones change nothing.
            for after in (self.after(state, ends, copies) for ends in kinds for copies in range(1, LACKING + 2)):
                if after not in found:
                    found[after] = None
                    waiting.append(after)
        return list(found)

    def _back_twice(self, state: SetState) -> Length:
        """Twice what is not saved because ends of the fewer hand find no other. [nm]"""
        one = max(each.saved for each in self.classes)
        return one * taken_back(state) if isinstance(state, Matched) else 0

    def _outer_kerf(self, state: SetState) -> Length:
        """The widest that an outermost cut may be. [nm]"""
        square = isinstance(state, Matched) and not state.mitred
        return max(each.kerf for each in self.classes if not (square and each.mitred))

    def beyond_twice(self, state: SetState) -> Length:
        """Twice what a set takes at least beyond the sum of its parts. [nm]"""
        if self.followed and self.hands:
            return self._back_twice(state) - 2 * self._outer_kerf(state)
        if self.followed:
            assert not isinstance(state, Matched)
            return _beyond_twice(state, self.classes, False)
        return 2 * min(each.saved - each.kerf for each in self.classes)

    def left_twice(self, state: SetState) -> Length:
        """The same with the kerf after the last part. [nm]"""
        if self.followed and self.hands:
            least = min(each.kerf for each in self.classes)
            return self._back_twice(state) - self._outer_kerf(state) + least
        if self.followed:
            assert not isinstance(state, Matched)
            return _beyond_twice(state, self.classes, True)
        return min(each.saved - each.kerf for each in self.classes) + min(
            each.saved + each.kerf for each in self.classes
        )

    def begun_twice(self, state: SetState, begun: frozenset[int]) -> tuple[Length, Length] | None:
        """Both for sets that begin with an end of some classes; None where none can. [nm]"""
        if isinstance(state, Matched) and not state.mitred:
            return None
        if not self.followed or self.hands:
            return self.beyond_twice(state), self.left_twice(state)
        assert not isinstance(state, Matched)
        short, left = (_begun_twice(state, self.classes, begun, last_counts) for last_counts in (False, True))
        return None if short is None or left is None else (short, left)

    def strokes_twice(
        self, state: SetState, *, trimmed: bool, open_end: bool, begun: frozenset[int] = frozenset()
    ) -> int:
        """Twice the strokes of a bar beyond those its parts are counted with, at least.

        A set that is ``begun`` with an end of some classes takes none for that.
        """
        if self.hands:
            return -2 * int(open_end or not trimmed)
        assert not isinstance(state, Matched)
        touched = {each for joint, _ in state for each in joint} if self.followed else range(len(self.classes))
        ends = [self.classes[each] for each in touched] or list(self.classes)
        first = min((2 if each.mitred else 2 * trimmed) - _half_strokes(each) for each in ends)
        if begun:
            first = min(-_half_strokes(self.classes[each]) for each in begun)
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
            # Rounded down: a bound may count a stroke too few, never one too many.
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


def nesting_of(parts: Sequence[Part], saw: Saw, pieces: Sequence[Offcut] = ()) -> Nesting | None:
    """None where no two ends of the parts can share a cut, and none is worth turning end for end.

    Of the ``pieces`` on the rack some may have a slanted end, on which parts may begin.
    """
    number: Counter[_Lying] = Counter()
    sharing = [part for part in parts if shares_cuts(part, saw)]
    lying = {(part.mark, end): _lying(part, end) for part in sharing for end in (0, 1)}
    for part in sharing:
        for end in (0, 1):
            if lying[part.mark, end][1]:
                number[lying[part.mark, end]] += part.quantity + part.spares
    slanted = {piece.mark: {how for how in number if _may_begin(how, piece)} for piece in pieces if piece.angle_a}
    together = _together(number, set().union(*slanted.values()))
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
    hands = _hands(parts, lying, number, together)
    if hands:
        square, mitre, *_ = classes
        classes = [square, replace(mitre, saved=2 * mitre.saved), replace(mitre, saved=0)]
        ends = tuple((_by_hand(hands, part, 0), _by_hand(hands, part, 1)) for part in parts)
        begun = {mark: frozenset((1, 2)) for mark, lying_so in slanted.items() if lying_so}
        return Nesting(classes=tuple(classes), ends=ends, followed=True, hands=(0, -1, 1), begun=begun)
    followed = reached_from(NO_PARTS, set(ends), MOST_STATES) is not None
    begun = {
        mark: frozenset(1 + shared.index(together[how]) for how in lying_so)
        for mark, lying_so in slanted.items()
        if lying_so
    }
    return Nesting(classes=tuple(classes), ends=ends, followed=followed, begun=begun)


def _may_begin(how: _Lying, piece: Offcut) -> bool:
    """Can an end that lies so be the slanted end of a piece, its long point where that has its own?"""
    depth, angle, lying = how
    near = PlacedEnd(piece.angle_a, piece.side)
    return (depth, angle) == (piece.depth, piece.angle_a) and (False, near) in lying


def _hands(
    parts: Sequence[Part],
    lying: Mapping[tuple[str, int], _Lying],
    number: Mapping[_Lying, int],
    together: Mapping[_Lying, object],
) -> dict[tuple[str, int], int]:
    """The hand of each mitred end, -1 the one of fewer ends, 1 the other; nothing where hands are not to be matched.

    They are where all mitres are of one angle and depth and meet those of the other hand alone, some part has not one
    of either, and every part is longer than its ends may save.
    """
    mitred = [(part.mark, end) for part in parts for end, cut in enumerate((part.end_a, part.end_b)) if cut.angle]
    if any(lying.get(each) not in together for each in mitred) or len({lying[each][:2] for each in mitred}) > 1:
        return {}
    hand = {one: _points(one) for one in together}
    if any(hand[one] == hand[other] for one in together for other in together if _may_meet(one, other)):
        return {}
    first = hand[lying[mitred[0]]]
    like_first = sum(number[one] for one in together if hand[one] == first)
    fewer = first if 2 * like_first <= sum(number[one] for one in together) else not first
    found = {each: -1 if hand[lying[each]] == fewer else 1 for each in mitred}
    longer = all(
        part.length > sum(mitre_saving(part.depth, cut.angle) for cut in (part.end_a, part.end_b)) for part in parts
    )
    either = all(found.get((part.mark, 0), 0) + found.get((part.mark, 1), 0) == 0 for part in parts)
    return found if longer and not either else {}


def _points(how: _Lying) -> bool:
    """Of two hands the one of an end: does its long point come to lie at the first of the sides as a far end?"""
    far, near = ({end.side for is_far, end in how[2] if is_far == wanted} for wanted in (True, False))
    return min(far | {across(side) for side in near}) in far


def _by_hand(hands: Mapping[tuple[str, int], int], part: Part, end: int) -> int:
    return {0: 0, -1: 1, 1: 2}[hands.get((part.mark, end), 0)]


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


def _together(number: Counter[_Lying], slanted: Set[_Lying]) -> dict[_Lying, tuple[Length, tuple[bool, PlacedEnd]]]:
    """For ends that can meet others or a slanted end, and those through others, one name: that of the least of them.

    All of a name count as one class, as if any two of them met: no set takes less than that says.
    """
    found: dict[_Lying, set[_Lying]] = {}
    for one in number:
        for other in number:
            meet_in_bar = (number[one] > 1 or one != other) and one[:2] == other[:2] and _may_meet(one, other)
            if meet_in_bar or (one == other and one in slanted):
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


@cache
def _begun_twice(
    state: State, classes: tuple[EndClass, ...], begun: frozenset[int], last_counts: bool
) -> Length | None:
    return begun_twice(state, classes, begun, last_counts=last_counts)


def _half_strokes(end: EndClass) -> int:
    """Halves of strokes that an end counts for: with its like it takes one, a mitre that shares nothing one alone."""
    return 2 if end.alone else 1
