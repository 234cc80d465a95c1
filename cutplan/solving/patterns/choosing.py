"""Which pattern space a group has."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from cutplan.solving.instance import Instance
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


def choose(kinds: Sequence[Kind], demand: Sequence[int], spares: Sequence[int]) -> tuple[list[Kind], Choice]:
    """The space for a group of some kinds of parts, and the kinds as it sees them.

    ``demand`` is how many there are of each, ``spares`` how many more are welcome. Where no two ends can share a cut
    and every part looks the same from both ends, nothing is gained by turning parts.
    """
    if not any(kind.mitred_a or kind.mitred_b for kind in kinds):
        return list(kinds), Choice(SquareWeighing(kinds[0].kerf_a), Counts)
    ends: Counter[Joint] = Counter()
    for kind, wanted, more in zip(kinds, demand, spares, strict=True):
        ends.update(dict.fromkeys((kind.joint_a, kind.joint_b), wanted + more))
        if kind.joint_a == kind.joint_b:
            ends[kind.joint_a] += wanted + more
    del ends[()]
    meeting = {joint for joint, number in ends.items() if number > 1}
    if meeting or any(kind.may_turn and (kind.kerf_a, kind.mitred_a) != (kind.kerf_b, kind.mitred_b) for kind in kinds):
        kinds = [
            replace(
                kind,
                joint_a=kind.joint_a if kind.joint_a in meeting else (),
                joint_b=kind.joint_b if kind.joint_b in meeting else (),
            )
            for kind in kinds
        ]
        return kinds, Choice(JointWeighing(stated(kinds)), SharedCuts)
    alone = [replace(kind, joint_a=(), joint_b=(), may_turn=False) for kind in kinds]
    return alone, Choice(EndWeighing.of(alone, demand), Sequences)
