"""Which pattern space a group has."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence, Set
from dataclasses import dataclass, replace
from functools import partial

from cutplan.solving.instance import Instance
from cutplan.solving.patterns.carried import CutForCarry
from cutplan.solving.patterns.counts import Counts, SquareWeighing
from cutplan.solving.patterns.laying import Joint, Kind
from cutplan.solving.patterns.sequences import EndWeighing, Sequences
from cutplan.solving.patterns.shared_cuts import JointWeighing, SharedCuts, stated
from cutplan.solving.patterns.space import PatternSpace, Weighing


@dataclass(frozen=True)
class Choice:
    """A pattern space for the instances of a group, and how its parts are weighed in it."""

    weighing: Weighing
    space: Callable[[Instance], PatternSpace]


def choose(
    kinds: Sequence[Kind], demand: Sequence[int], spares: Sequence[int], *, parted: int | None = None
) -> tuple[list[Kind], Choice]:
    """The space for a group of some kinds of parts, and the kinds as it sees them.

    ``demand`` is how many there are of each, ``spares`` how many more are welcome. ``parted`` is there where lengths
    are cut for the carry, which none are whose parts have mitres: the most effort that sharing a set out may take.
    Where no two ends can share a cut and every part looks the same from both ends, nothing is gained by turning parts.
    """
    if not any(kind.mitred_a or kind.mitred_b for kind in kinds):
        weighing = SquareWeighing(kinds[0].kerf_a)
        return list(kinds), Choice(weighing, Counts if parted is None else partial(CutForCarry, most_tried=parted))
    ends: Counter[tuple[Joint, int]] = Counter()
    for kind, wanted, more in zip(kinds, demand, spares, strict=True):
        ends[kind.joint_a, kind.hand_a] += wanted + more
        ends[kind.joint_b, kind.hand_b] += wanted + more
    meeting = {joint for joint, hand in ends if joint and ends[joint, -hand] > (not hand)}
    if meeting or any(kind.may_turn and not kind.alike for kind in kinds):
        kinds = [_meeting_only(kind, meeting) for kind in kinds]
        return kinds, Choice(JointWeighing(stated(kinds)), SharedCuts)
    alone = [replace(_meeting_only(kind, meeting), may_turn=False) for kind in kinds]
    return alone, Choice(EndWeighing.of(alone, demand), Sequences)


def _meeting_only(kind: Kind, meeting: Set[Joint]) -> Kind:
    """Without joints that no other end shares."""
    (joint_a, hand_a), (joint_b, hand_b) = (
        (joint, hand) if joint in meeting else ((), 0)
        for joint, hand in ((kind.joint_a, kind.hand_a), (kind.joint_b, kind.hand_b))
    )
    return replace(kind, joint_a=joint_a, joint_b=joint_b, hand_a=hand_a, hand_b=hand_b)
