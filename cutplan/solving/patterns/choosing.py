"""Which pattern space a group has."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from cutplan.solving.instance import Instance
from cutplan.solving.parameters import Parameters
from cutplan.solving.patterns.carried import CutForCarry
from cutplan.solving.patterns.carried_mitres import MitresForCarry
from cutplan.solving.patterns.counts import Counts, SquareWeighing
from cutplan.solving.patterns.laid import LaidSpace
from cutplan.solving.patterns.laying import Joint, Kind
from cutplan.solving.patterns.sequences import EndWeighing, Sequences
from cutplan.solving.patterns.shared_cuts import JointWeighing, SharedCuts, stated
from cutplan.solving.patterns.space import PatternSpace, Weighing
from cutplan.solving.patterns.vertices import SCARCER, Vertex, ends_of
from cutplan.units import Length


@dataclass(frozen=True)
class Choice:
    """A pattern space for the instances of a group, and how its parts are weighed in it."""

    weighing: Weighing
    space: Callable[[Instance], PatternSpace]
    scarcer: int = 0

    def seen(self, end: Vertex) -> Vertex:
        """An end as the space sees it: its hand by which of them is the scarcer one, where hands are told apart."""
        return end._replace(hand=SCARCER * self.scarcer * end.hand) if self.scarcer else end


def choose(
    kinds: Sequence[Kind],
    demand: Sequence[int],
    spares: Sequence[int],
    *,
    lengths: Sequence[Length],
    slants: Iterable[Joint] = (),
    to_carry: Parameters | None = None,
) -> tuple[list[Kind], Choice]:
    """The space for a group of some kinds of parts, and the kinds as it sees them.

    ``demand`` is how many there are of each, ``spares`` how many more are welcome, ``lengths`` theirs [nm]. ``slants``
    are joints of ends that may begin on a piece from the rack, with no cut. ``to_carry`` is there where lengths are
    cut for the carry: it limits how long sharing a set out may take. Where no two ends can share a cut and every part
    looks the same from both ends, nothing is gained by turning parts.
    """
    if not any(kind.mitred_a or kind.mitred_b for kind in kinds):
        weighing = SquareWeighing(kinds[0].kerf_a)
        cut = Counts if to_carry is None else partial(CutForCarry, most_tried=to_carry.parted)
        return list(kinds), Choice(weighing, cut)
    ends: Counter[tuple[Joint, int]] = Counter()
    for kind, wanted, more in zip(kinds, demand, spares, strict=True):
        ends[kind.joint_a, kind.hand_a] += wanted + more
        ends[kind.joint_b, kind.hand_b] += wanted + more
    # Of a hand, one end of the other is enough to share a cut with; without hands it takes two.
    meeting = {joint for joint, hand in ends if joint and ends[joint, -hand] > (not hand)}
    meeting.update(slants)
    if meeting or any(kind.may_turn and not kind.alike for kind in kinds):
        kinds = [_meeting_only(kind, meeting) for kind in kinds]
        scarcer = _scarcer_hand(kinds, ends, lengths)
        if scarcer:
            kinds = [_by_scarcer(kind, scarcer) for kind in kinds]
        return kinds, Choice(JointWeighing(stated(kinds)), _for_carry(SharedCuts, to_carry), scarcer)
    alone = [replace(_meeting_only(kind, meeting), may_turn=False) for kind in kinds]
    return alone, Choice(EndWeighing.of(alone, demand), _for_carry(Sequences, to_carry))


def _for_carry(
    laid: Callable[[Instance], LaidSpace[Any]], to_carry: Parameters | None
) -> Callable[[Instance], PatternSpace]:
    """The space in which some lengths are cut for the carry, where some are."""
    if to_carry is None:
        return laid
    most_tried, most_further = to_carry.parted_mitres, to_carry.parted_further
    return partial(MitresForCarry, laid_by=laid, most_tried=most_tried, most_further=most_further)


def _scarcer_hand(kinds: Sequence[Kind], ends: Mapping[tuple[Joint, int], int], lengths: Sequence[Length]) -> int:
    """Where all mitres save as much and meet those of the other hand alone, the hand of fewer ends; else 0.

    Hands do not matter where each part brings one end of either. A part is to be longer than what its ends save, so
    that a set is never shorter for one part more. Of as many ends of either hand, that of the first is taken.
    """
    mitred = [end for kind in kinds for end in ends_of(kind) if end.mitred]
    if not all(end.hand for end in mitred) or len({(end.kerf, end.saved) for end in mitred}) > 1:
        return 0
    if all(kind.hand_a == -kind.hand_b for kind in kinds):
        return 0
    at_ends = (sum(end.saved for end in ends_of(kind)) for kind in kinds)
    if any(length <= saved for length, saved in zip(lengths, at_ends, strict=True)):
        return 0
    there = {(end.joint, hand) for end in mitred for hand in (1, -1)}
    number = {each: sum(ends[joint, hand] for joint, hand in there if hand == each) for each in (1, -1)}
    first = mitred[0].hand
    return first if number[first] <= number[-first] else -first


def _by_scarcer(kind: Kind, scarcer: int) -> Kind:
    return replace(kind, hand_a=SCARCER * scarcer * kind.hand_a, hand_b=SCARCER * scarcer * kind.hand_b)


def _meeting_only(kind: Kind, meeting: Set[Joint]) -> Kind:
    """Without joints that no other end shares."""
    (joint_a, hand_a), (joint_b, hand_b) = (
        (joint, hand) if joint in meeting else ((), 0)
        for joint, hand in ((kind.joint_a, kind.hand_a), (kind.joint_b, kind.hand_b))
    )
    return replace(kind, joint_a=joint_a, joint_b=joint_b, hand_a=hand_a, hand_b=hand_b)
